"""The views: each is a function from a puzzle to its layout, in one file, and a line in the table here.

Knows which views there are and what puzzles they suit; knows nothing of how they work.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from sitegen.figures.layout import Layout
from sitegen.figures.views.corner import corner
from sitegen.figures.views.mirrors import has_mirrors, mirrors
from sitegen.figures.views.net import net
from sitegen.figures.views.top import has_borders, top
from sitegen.puzzles.puzzle import Puzzle

VIEWS: Mapping[str, Callable[[Puzzle], Layout]] = {
    "corner": corner,
    "corner with back": mirrors,
    "top": top,
    "net": net,
}

SUITS: Mapping[str, Callable[[Puzzle], bool]] = {"corner with back": has_mirrors, "top": has_borders}
"""Views that not every puzzle has."""

# A puzzle cannot be hashed; its id serves while the entry itself keeps the puzzle alive.
_laid_out: dict[tuple[int, str], tuple[Puzzle, Layout]] = {}
_suited: dict[int, tuple[Puzzle, list[str]]] = {}


def available(puzzle: Puzzle) -> list[str]:
    """The views that a puzzle has."""
    if id(puzzle) not in _suited:
        views = [view for view in VIEWS if view not in SUITS or SUITS[view](puzzle)]
        _suited[id(puzzle)] = (puzzle, views)
    return list(_suited[id(puzzle)][1])


def layout(puzzle: Puzzle, view: str) -> Layout:
    """A puzzle's layout in a view, computed once; KeyError where no view is called so."""
    key = (id(puzzle), view)
    if key not in _laid_out:
        _laid_out[key] = (puzzle, VIEWS[view](puzzle))
    return _laid_out[key][1]
