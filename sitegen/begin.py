"""Where the command begins: who breaks it off while it is still being read is told nothing.

Knows nothing of what it does: reading that takes most of the time that a short command has.
"""

from __future__ import annotations

import os
from signal import SIGINT, default_int_handler, signal

from sitegen.statuses import INTERRUPTED


def begin() -> None:
    """Calls the command that was asked for, and ends with its status."""
    signal(SIGINT, lambda number, frame: os._exit(INTERRUPTED))
    from sitegen.cli import main

    signal(SIGINT, default_int_handler)
    main()
