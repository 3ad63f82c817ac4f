"""How many turns at least lead from a position to a goal: found from the goal backwards, level by level.

Levels are kept as sets while memory lasts; one more is only marked, in a table in which positions share
places: what the table tells may be too little, never too much.
"""

from __future__ import annotations

from collections.abc import Iterable
from sys import getsizeof

from sitegen.progress import Progress

BESIDES = 72
"""Bytes that a set takes for an element, beside the element itself: measured, and rounded up."""
ROOM = 8
"""Places in the table for each position that is marked in it."""
LEAST_ROOM = 1 << 16
AT_GOAL, LEAST_MARK = 255, 1
"""Marks: a distance is taken from that of the goal, so that a place not marked, 0, is farthest of all."""

BackwardTurn = tuple[bytes, int]
"""A table for `bytes.translate`, and how much the turn counts."""


class Distances:
    """All positions at a distance of up to `depth` are marked. `steps` lead backwards too."""

    def __init__(self, goal: bytes, steps: Iterable[BackwardTurn], memory: int) -> None:
        self.steps = _without_sums(steps)
        self.memory = memory
        self.levels = [{goal}]
        self.depth = 0
        self.complete = False
        """Whether all positions from which the goal can be reached are on the levels."""
        self.closed = False
        """Whether memory allows no further level."""
        self._mark_all(1)

    def known(self, position: bytes) -> bool:
        """Whether a position is on one of the levels that are kept."""
        return any(position in level for level in self.levels)

    def reach(self, depth: int, progress: Progress) -> bool:
        """Marks all positions up to a depth, if memory allows it."""
        while self.depth < depth and not (self.complete or self.closed):
            self._deepen(progress)
        return self.complete or self.depth >= depth

    def _deepen(self, progress: Progress) -> None:
        """One level further, kept or only marked as memory allows; counted as if all in it were new."""
        count = sum(map(len, self.levels))
        most = count + sum(len(level) for level, _ in self._sources())
        each = getsizeof(next(iter(self.levels[0]))) + BESIDES
        if most * each + _room(most) <= self.memory:
            self._keep_next(progress)
        elif count * each + _room(most) <= self.memory:
            self._mark_next(most, progress)
        else:
            self.closed = True

    def _sources(self) -> list[tuple[set[bytes], bytes]]:
        """Each level that leads to the next one, with the turn that does."""
        after = self.depth + 1
        return [(self.levels[after - length], table) for table, length in self.steps if length <= after]

    def _keep_next(self, progress: Progress) -> None:
        fresh: set[bytes] = set()
        sources = self._sources()
        for level, table in progress(sources, len(sources), f"{self.depth + 1} turns from the end"):
            fresh.update([position.translate(table) for position in level])
        for level in self.levels:
            fresh -= level
        self.levels.append(fresh)
        self.depth += 1
        count = sum(map(len, self.levels))
        if _room(count) > len(self.marks):
            self._mark_all(count)
        else:
            self._mark(fresh, self.depth)
        farthest = max((length for _, length in self.steps), default=1)
        self.complete = not any(self.levels[-farthest:])

    def _mark_next(self, count: int, progress: Progress) -> None:
        self._mark_all(count)
        sources = self._sources()
        self.depth += 1
        for level, table in progress(sources, len(sources), f"{self.depth} turns from the end"):
            self._mark((position.translate(table) for position in level), self.depth)
        self.closed = True

    def _mark_all(self, count: int) -> None:
        """A table with room for so many positions, the levels marked in it."""
        self.marks = bytearray()  # the old one goes before the new one comes
        self.marks = bytearray(_room(count))
        for depth, level in enumerate(self.levels):
            self._mark(level, depth)

    def _mark(self, positions: Iterable[bytes], depth: int) -> None:
        marks, mask, mark = self.marks, len(self.marks) - 1, max(AT_GOAL - depth, LEAST_MARK)
        for position in positions:
            place = hash(position) & mask
            if marks[place] < mark:
                marks[place] = mark


def _room(count: int) -> int:
    """The size of a table for so many positions: a power of two."""
    return max(LEAST_ROOM, 1 << (count * ROOM - 1).bit_length())


def _without_sums(steps: Iterable[BackwardTurn]) -> tuple[BackwardTurn, ...]:
    """The steps that are not made of two others that count no more than they do together."""
    least: dict[bytes, int] = {}
    for table, length in steps:
        least[table] = min(length, least.get(table, length))
    least.pop(bytes(range(256)), None)
    pairs = list(least.items())
    sums = {
        (a.translate(b), length + other)
        for a, length in pairs
        for b, other in pairs
        if any(n >= length + other for n in set(least.values()))
    }
    return tuple((t, n) for t, n in pairs if not any((t, m) in sums for m in range(n + 1)))
