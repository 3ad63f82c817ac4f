"""How many turns at least lead from a position to a goal: found from the goal backwards, level by level.

Levels are kept while memory lasts; one more is only marked, in a table in which positions share places: what
the table tells may be too little, never too much.
"""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from sitegen.progress import Progress
from sitegen.search.positions import (
    Keys,
    PairTable,
    Rows,
    distinct,
    keys,
    pair_table,
    portions,
    position_row,
    turned,
    without,
)

BESIDES = 64
"""Bytes counted for a position while a level is made, beside its row and a copy of it. Sorting takes half of
them, as measured; the rest is for what a search holds besides."""
ROOM = 8
"""Places in the table for each position that is marked in it."""
LEAST_ROOM = 1 << 16
NEAR = 63
"""Places that differ in these bits alone are fetched together."""
AT_GOAL, LEAST_MARK = 255, 1
"""Marks: a distance is taken from that of the goal, so that a place not marked, 0, is farthest of all."""

BackwardTurn = tuple[bytes, int]
"""Where a turn takes each point, and how much it counts."""


class Distances:
    """All positions at a distance of up to `depth` are marked. `steps` lead backwards too."""

    def __init__(self, goal: bytes, steps: Iterable[BackwardTurn], memory: int) -> None:
        self.steps = [(pair_table(table), length) for table, length in _without_sums(steps)]
        self.memory = memory
        self.levels = [position_row(goal)]
        """Each sorted by keys."""
        self.depth = 0
        self.complete = False
        """Whether all positions from which the goal can be reached are on the levels."""
        self.closed = False
        """Whether memory allows no further level."""
        self._mark_all(1)

    def known(self, position: bytes) -> bool:
        """Whether a position is on one of the levels that are kept."""
        return any((level == position_row(position)).all(axis=1).any() for level in self.levels)

    def reach(self, depth: int, progress: Progress) -> bool:
        """Marks all positions up to a depth, if memory allows it."""
        while self.depth < depth and not (self.complete or self.closed):
            self._deepen(progress)
        return self.complete or self.depth >= depth

    def within(self, rows: Rows, left: NDArray[np.int16]) -> NDArray[np.intp]:
        """Which positions so many turns may bring to the goal: any, where that is more than is marked."""
        told = self.complete | (left <= self.depth)
        floors = np.where(told, np.maximum(AT_GOAL - left, LEAST_MARK), 0)
        numbers = keys(rows)
        near = np.flatnonzero(self.marks.take(self._place(numbers)) >= floors)
        return near[self.marks.take(self._place_beside(numbers[near])) >= floors[near]]

    def _deepen(self, progress: Progress) -> None:
        """One level further, kept or only marked as memory allows; counted as if all in it were new."""
        count = sum(map(len, self.levels))
        most = count + sum(len(level) for level, _ in self._sources())
        each = 2 * self.levels[0].nbytes + BESIDES
        if most * each + _room(most) <= self.memory:
            self._keep_next(progress)
        elif count * each + _room(most) <= self.memory:
            self._mark_next(most, progress)
        else:
            self.closed = True

    def _sources(self) -> list[tuple[Rows, PairTable]]:
        """Each level that leads to the next one, with the turn that does."""
        after = self.depth + 1
        return [(self.levels[after - length], table) for table, length in self.steps if length <= after]

    def _keep_next(self, progress: Progress) -> None:
        sources = self._sources()
        told = progress(sources, len(sources), f"{self.depth + 1} turns from the end")
        fresh = distinct(
            np.concatenate([self.levels[0][:0], *(turned(level, table) for level, table in told)])
        )
        for level in self.levels:
            fresh = without(fresh, level)
        self.levels.append(fresh)
        self.depth += 1
        count = sum(map(len, self.levels))
        if _room(count) > len(self.marks):
            self._mark_all(count)
        else:
            self._mark(fresh, self.depth)
        farthest = max((length for _, length in self.steps), default=1)
        self.complete = not any(map(len, self.levels[-farthest:]))

    def _mark_next(self, count: int, progress: Progress) -> None:
        self._mark_all(count)
        sources = self._sources()
        self.depth += 1
        for level, table in progress(sources, len(sources), f"{self.depth} turns from the end"):
            for some in portions(level):
                self._mark(turned(some, table), self.depth)
        self.closed = True

    def _mark_all(self, count: int) -> None:
        """A table with room for so many positions, the levels marked in it."""
        self.marks = np.zeros(0, np.uint8)  # the old one goes before the new one comes
        self.marks = np.zeros(_room(count), np.uint8)
        for depth, level in enumerate(self.levels):
            for some in portions(level):
                self._mark(some, depth)

    def _mark(self, rows: Rows, depth: int) -> None:
        """Each in two places, so that few positions that are not marked find both taken."""
        numbers, mark = keys(rows), max(AT_GOAL - depth, LEAST_MARK)
        for places in (self._place(numbers), self._place_beside(numbers)):
            self.marks[places] = np.maximum(self.marks.take(places), mark)

    def _place(self, numbers: Keys) -> NDArray[np.int64]:
        """The upper bits of each key, as many as the table has room for."""
        bits = len(self.marks).bit_length() - 1
        return (numbers >> np.uint64(64 - bits)).view(np.int64)

    def _place_beside(self, numbers: Keys) -> NDArray[np.int64]:
        """Another one, and near: the processor fetches both at once."""
        return self._place(numbers) ^ (numbers >> np.uint64(20) & np.uint64(NEAR) | np.uint64(1)).view(
            np.int64
        )


def _room(count: int) -> int:
    """The size of a table for so many positions: a power of two."""
    return max(LEAST_ROOM, 1 << (count * ROOM - 1).bit_length())


def _without_sums(steps: Iterable[BackwardTurn]) -> tuple[BackwardTurn, ...]:
    """The steps that are not made of two others that count no more than they do together."""
    least: dict[bytes, int] = {}
    for table, length in steps:
        least[table] = min(length, least.get(table, length))
    least = {table: length for table, length in least.items() if table != bytes(range(len(table)))}
    pairs = list(least.items())
    sums = {
        (a.translate(b.ljust(256)), length + other)
        for a, length in pairs
        for b, other in pairs
        if any(n >= length + other for n in set(least.values()))
    }
    return tuple((t, n) for t, n in pairs if not any((t, m) in sums for m in range(n + 1)))
