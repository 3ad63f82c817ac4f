"""How far a long job is, told to whoever watches; nobody need."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

Progress = Callable[[Iterable[Any], int, str], Iterable[Any]]
"""Passes on the items of a long job, of which there are so many, and may show how far it is."""


def quiet(items: Iterable[Any], total: int, what: str) -> Iterable[Any]:
    """Shows nothing."""
    return items
