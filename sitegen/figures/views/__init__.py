"""The views: each is a function from a puzzle to its layout, in one file, and a line in the table here.

Knows which views there are and what puzzles they suit; knows nothing of how they work.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cache

from sitegen.figures.layout import Layout
from sitegen.figures.views.corner import corner
from sitegen.figures.views.mirrors import has_mirrors, mirrors, some_mirrors
from sitegen.figures.views.net import net
from sitegen.figures.views.top import has_borders, top
from sitegen.puzzles.puzzle import Puzzle

VIEWS: Mapping[str, Callable[[Puzzle], Layout]] = {
    "corner": corner,
    "corner with back": mirrors,
    "top": top,
    "net": net,
}

BACK = "corner with back"
"""The view of which a part of the back may be left away."""
DEFAULT_VIEW = "corner"
"""The view of whatever nobody has said how to look at."""

SUITS: Mapping[str, Callable[[Puzzle], bool]] = {BACK: has_mirrors, "top": has_borders}
"""Views that not every puzzle has."""


# A puzzle equals only itself, so that it can be a key; the entry keeps it alive.
@cache
def available(puzzle: Puzzle) -> tuple[str, ...]:
    """The views that a puzzle has."""
    return tuple(view for view in VIEWS if view not in SUITS or SUITS[view](puzzle))


def all_round(puzzle: Puzzle) -> str:
    """The view in which all of a puzzle is seen, for what may be anywhere on it."""
    return next(view for view in (BACK, "net") if view in available(puzzle))


@cache
def in_sight(puzzle: Puzzle, views: tuple[str, ...]) -> frozenset[int]:
    """The slots that one of some views shows. KeyError likewise."""
    return frozenset(slot for view in views for slot in layout(puzzle, view).shapes)


@cache
def layout(puzzle: Puzzle, view: str) -> Layout:
    """A puzzle's layout in a view, computed once; KeyError where no view is called so."""
    return VIEWS[view](puzzle)


@cache
def with_back(puzzle: Puzzle, room: frozenset[str], shown: frozenset[str]) -> Layout:
    """From the corner, with those of the hidden faces beside it that are shown, of those that have room."""
    return some_mirrors(puzzle, room, shown) if room else layout(puzzle, DEFAULT_VIEW)
