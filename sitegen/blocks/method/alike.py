"""Cases that a reader could not tell apart, since the views that the author has chosen show them as one.

Knows what is drawn of a case, and which slots a view shows.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence

from sitegen.figures.views import available, in_sight
from sitegen.methods.coverage import Case
from sitegen.puzzles.puzzle import Puzzle


def shown_as_one(cases: Iterable[Case], views: Sequence[str], puzzle: Puzzle) -> int:
    """How many of some cases look in these views as another of them does."""
    seen = in_sight(puzzle, tuple(views))
    looks = Counter(_look(case, seen, puzzle) for case in cases if case.position)
    return sum(count for count in looks.values() if count > 1)


def better_view(cases: Sequence[Case], puzzle: Puzzle) -> str:
    """The first view in which no two look alike; empty where there is none."""
    views = (view for view in available(puzzle) if not shown_as_one(cases, [view], puzzle))
    return next(views, "")


def _look(case: Case, seen: frozenset[int], puzzle: Puzzle) -> tuple[tuple[int, str], ...]:
    """The slots in colour that are seen, each with its face's name."""
    faces = {at: puzzle.stickers[sticker].face for sticker, at in enumerate(case.position)}
    return tuple((slot, faces[slot]) for slot in sorted({*case.shown, *puzzle.fixed_centres} & seen))
