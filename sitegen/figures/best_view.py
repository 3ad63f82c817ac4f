"""The view that shows what moves, or what else is to be seen, where nobody has named one.

Knows views, and which marks and slots can be seen in them; knows nothing of what these mean.
"""

from __future__ import annotations

from collections.abc import Sequence

from sitegen.figures.layout import Layout
from sitegen.figures.marks.routes import crossings, routes
from sitegen.figures.picture import Arrow, FlipMark, Mark, TwistMark, arrows_of
from sitegen.figures.views import DEFAULT_VIEW, available, layout
from sitegen.puzzles.puzzle import Puzzle

IN_ORDER = ("corner", "top", "corner with back", "net")
"""Which of two is taken that show as much: the one that is easier to recognize the puzzle in."""


def best_view(puzzle: Puzzle, marks: Sequence[Mark], rather: Sequence[str] = ()) -> str:
    """The view in which most of some marks are seen, and the fewest arrows cross.

    Of those that are as good it is the first, and rather one of some than any other.
    """
    if not marks:
        return DEFAULT_VIEW
    return min(_in_order(puzzle, rather), key=lambda view: _faults(layout(puzzle, view), tuple(marks)))


def view_of(puzzle: Puzzle, slots: frozenset[int], rather: Sequence[str] = ()) -> str:
    """The view in which most of some slots are seen; of those that are as good it is the first likewise."""
    return max(_in_order(puzzle, rather), key=lambda view: len(slots & layout(puzzle, view).shapes.keys()))


def _in_order(puzzle: Puzzle, rather: Sequence[str]) -> list[str]:
    return [view for view in (*rather, *IN_ORDER) if view in available(puzzle)]


def _faults(plan: Layout, marks: Sequence[Mark]) -> tuple[int, int]:
    """How many marks cannot be seen, and how many pairs of arrows cross."""
    led = routes(plan, arrows_of(marks))
    turned = [mark for mark in marks if isinstance(mark, FlipMark | TwistMark)]
    unseen = sum(plan.shapes.keys().isdisjoint(mark.stickers) for mark in turned)
    return unseen + sum(isinstance(mark, Arrow) and mark not in led for mark in marks), crossings(plan, led)
