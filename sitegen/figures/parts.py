"""What a figure is made of: parts, each of a kind that says how it is painted, and what it says in words.

Knows shapes and letters on the page; knows nothing of puzzles, shades or how a figure is written down.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

PUZZLE, CHART = "puzzle", "chart"
"""What figures are of."""


class Path(NamedTuple):
    """A shape, by the text of its path; `width` is that of its line, in units of the figure."""

    d: str
    kind: str = ""
    """One of those in `style.LOOKS`, or several, parted by a blank."""
    width: int | None = None
    dashes: str | None = None


class Text(NamedTuple):
    """Characters, each at its own x and y, and all that are left at the last; `size` is how high they are."""

    written: str
    xs: tuple[int, ...]
    ys: tuple[int, ...]
    size: int | None = None
    kind: str = ""


BELOW = 0.36
"""How far below the middle a capital stands, by its size, to be in the middle whatever reads the file."""


class PartGroup(NamedTuple):
    """Parts, the lowest first, that have in common what is said here."""

    kind: str
    parts: Sequence[Part]
    width: int | None = None
    size: int | None = None


Part = Path | Text | PartGroup


class Figure(NamedTuple):
    """`of` is PUZZLE or CHART; `parts` are painted one over the other, the first below all.

    Without a title it is silent.
    """

    of: str
    title: str
    description: str
    width: int
    height: int
    parts: Sequence[Part]
