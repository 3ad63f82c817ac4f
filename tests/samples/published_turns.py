"""The turns of the published cube as permutations of SymPy, those of its middle layers with them."""

from __future__ import annotations

from published_cube import NAMES, TURNS, key
from sympy.combinatorics import Permutation as Cycles

from sitegen.puzzles.puzzle import Turn

FACETS = {
    letter: Cycles([[int(n) for n in c.split(",")] for c in cycles[1:-1].split(")(")], size=49)
    for letter, cycles in TURNS.items()
}


SLICES = {
    "D": Cycles([[12, 20, 28, 36], [13, 21, 29, 37]], size=49),
    "L": Cycles([[2, 18, 42, 39], [7, 23, 47, 34]], size=49),
    "F": Cycles([[4, 26, 45, 15], [5, 31, 44, 10]], size=49),
}
"""What E, M and S take round, by the face that each follows: the rows beside those of its published turn."""
OPPOSITE = {"U": "D", "R": "L", "B": "F"}


def turned_by_sympy(turn: Turn) -> Cycles:
    if (turn.first, turn.last) == (1, 1):
        return FACETS[turn.axis] ** (turn.amount % 4)
    assert (turn.first, turn.last) == (2, 2)
    way = -1 if turn.axis in OPPOSITE else 1
    return SLICES[OPPOSITE.get(turn.axis, turn.axis)] ** (way * turn.amount % 4)


def facet_of(name: str) -> int:
    return next(n for n, each in enumerate(NAMES, 1) if key(each) == key(name))
