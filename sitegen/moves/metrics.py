"""How long a sequence is, in the four metrics of the trade.

OBTM counts turns of an outer block (WCA 12a5), QTM quarter turns, STM turns of any block of layers,
ETM turns as carried out, rotations too (WCA 12a6). An inner slice is two outer blocks.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from functools import cache, lru_cache, reduce
from operator import add
from typing import NamedTuple

from sitegen.moves.tree import Algebra, Node, fold
from sitegen.puzzles.puzzle import Puzzle, Turn


class Length(NamedTuple):
    """How long something is in each metric."""

    obtm: int = 0
    qtm: int = 0
    stm: int = 0
    etm: int = 0

    def plus(self, other: Length) -> Length:
        """One after the other."""
        return Length(*map(add, self, other))

    def times(self, count: int) -> Length:
        """Of so many repeats; undone, where negative, it is as long."""
        return Length(*(number * abs(count) for number in self))

    def told(self, metrics: Sequence[str] | None) -> str:
        """As in `9 OBTM, 10 QTM`, in some metrics; by its first where nobody has said in which."""
        asked = METRICS[:1] if metrics is None else metrics
        return ", ".join(f"{getattr(self, each)} {each.upper()}" for each in asked)

    def __str__(self) -> str:
        return ", ".join(f"{number} {metric.upper()}" for metric, number in self._asdict().items())


METRICS = Length._fields


def length(tree: Node, puzzle: Puzzle) -> Length:
    """The length of the moves as written: nothing is cancelled first."""
    algebra = Algebra[Length](
        turn=lambda turn: turn_length(turn, puzzle),
        join=lambda parts: reduce(Length.plus, parts, Length()),
        times=Length.times,
    )
    return fold(tree, algebra)


def total(turns: Iterable[Turn], puzzle: Puzzle) -> Length:
    """The length of turns done one after another."""
    return Length(*map(sum, zip(Length(), *(turn_length(turn, puzzle) for turn in turns), strict=True)))


@lru_cache(maxsize=1 << 12)
def turn_length(turn: Turn, puzzle: Puzzle) -> Length:
    """The length of one turn: of a rotation only as it is carried out, of an inner slice two outer blocks."""
    size = puzzle.layer_count
    if (turn.first, turn.last) == (1, size):
        return Length(etm=1)
    outer = turn.first == 1 or turn.last == size
    blocks = 1 if outer else 2
    amount = turn.amount % puzzle.full_turn
    return Length(blocks, blocks * min(amount, puzzle.full_turn - amount), 1, 1)


def obtm(turns: Iterable[Turn], puzzle: Puzzle) -> int:
    """The length in the first of the metrics alone."""
    return sum(map(_obtm_of(puzzle), turns))


@cache
def _obtm_of(puzzle: Puzzle) -> Callable[[Turn], int]:
    return cache(lambda turn: turn_length(turn, puzzle).obtm)
