"""How far a long job is, told to whoever watches; nobody need."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any, Protocol, runtime_checkable

Progress = Callable[[Iterable[Any], int, str], Iterable[Any]]
"""Passes on the items of a long job, of which there are so many, and may show how far it is."""


@runtime_checkable
class Labelled(Protocol):
    """An item that says what it is, since it may take long by itself."""

    @property
    def label(self) -> str:
        """A few words."""


def quiet(items: Iterable[Any], total: int, what: str) -> Iterable[Any]:
    """Shows nothing."""
    return items
