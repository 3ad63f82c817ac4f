"""Published counts of positions of cube-2 at each distance, and the turns that they are counted in."""

from __future__ import annotations

from collections.abc import Iterable

from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Puzzle, Turn

HALF_TURN_1 = [1, 9, 54, 321, 1847, 9992, 50136, 227536, 870072, 1887748, 623800, 2644]
"""OEIS A079761."""
HALF_TURN_2 = [
    *[1, 6, 27, 120, 534, 2256, 8969, 33058, 114149, 360508],
    *[930588, 1350852, 782536, 90280, 276],
]
"""OEIS A079762."""


def quarter_turns(puzzle: Puzzle, axes: Iterable[str]) -> list[Permutation]:
    """Clockwise and anticlockwise by the smallest amount: a half turn is 2."""
    return [puzzle.permutation(Turn(axis, 1, 1, amount)) for axis in axes for amount in (1, -1)]


def all_turns(puzzle: Puzzle, axes: Iterable[str]) -> list[Permutation]:
    """Half turns too: a half turn is 1."""
    return [puzzle.permutation(Turn(axis, 1, 1, amount)) for axis in axes for amount in (1, 2, -1)]
