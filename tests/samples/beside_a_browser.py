"""Scenes that play in a loop of their own, whether or not a browser's loop goes on in this thread.

Knows nothing of what is played.
"""

from __future__ import annotations

import asyncio
from collections.abc import Coroutine
from concurrent.futures import ThreadPoolExecutor
from typing import Any


def in_a_thread(play: Coroutine[Any, Any, Any]) -> Any:
    """To its end, beside a browser, which may be going on in this thread."""
    with ThreadPoolExecutor(1) as pool:
        return pool.submit(asyncio.run, play).result()
