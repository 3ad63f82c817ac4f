"""What a search looks at: for each piece that is asked about one sticker, or only its place; packed in bytes.

What becomes of all other pieces is never computed.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from operator import itemgetter

from sitegen.effects.claims.claim import Asked
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Puzzle

MOST = 256
"""So many points can be told apart in a byte."""


@dataclass(frozen=True)
class Points:
    """Slots and places, numbered as they are met. A position is a byte for each piece that is looked at.

    Points below the number of stickers are slots; the others are places, in the order of the pieces.
    """

    puzzle: Puzzle
    numbers: dict[int, int]
    start: bytes
    goal: bytes

    def table(self, permutation: Permutation) -> bytes:
        """A permutation of the points, by their numbers; of 0 alone if there are none."""
        return bytes([number[permutation[slot]] for slot, number in self._looked_up]) or b"\0"

    @cached_property
    def _looked_up(self) -> list[tuple[int, Sequence[int]]]:
        """For each point a slot that shows where it comes, and the number that each slot then stands for."""
        stickers, count = self.puzzle.stickers, len(self.puzzle.stickers)
        as_slot = [self.numbers.get(sticker.index, 0) for sticker in stickers]
        as_place = [self.numbers.get(count + sticker.piece, 0) for sticker in stickers]
        # In the order of their numbers, as they were met.
        return [
            (_shown(point, self.puzzle), as_slot if point < count else as_place) for point in self.numbers
        ]


def points(puzzle: Puzzle, asked: Asked, turned: Sequence[Permutation]) -> Points:
    """Those that show what is asked, as far as they can be told apart in a byte.

    What is asked of a piece that cannot move at all, or in ways that no point tells, is left out: what a
    search finds must be held against the claims in any case.
    """
    numbers: dict[int, int] = {}
    start, goal = [], []
    for point, there in _asked_points(puzzle, asked):
        orbit = _orbit([point, there], puzzle, turned)
        new = [p for p in orbit if p not in numbers]
        if (point == there and len(orbit) == 1) or len(numbers) + len(new) > MOST:
            continue
        numbers.update(zip(new, range(len(numbers), MOST), strict=False))
        start.append(numbers[point])
        goal.append(numbers[there])
    return Points(puzzle, numbers, bytes(start), bytes(goal))


def _asked_points(puzzle: Puzzle, asked: Asked) -> Iterator[tuple[int, int]]:
    """A point and where it is to come, for each piece of which that can be said."""
    for piece in puzzle.pieces:
        targets = asked.get(piece.stickers[0])
        if not targets:
            continue
        places = {puzzle.stickers[slot].piece for slot in targets}
        if len(targets) == 1:
            yield piece.stickers[0], min(targets)
        elif len(places) == 1:
            yield len(puzzle.stickers) + piece.index, len(puzzle.stickers) + min(places)


def _orbit(starts: Iterable[int], puzzle: Puzzle, turned: Sequence[Permutation]) -> list[int]:
    """The points that turns bring some to."""
    found: dict[int, None] = {}
    edge = list(starts)
    while edge:
        point = edge.pop()
        if point not in found:
            found[point] = None
            edge += _images(point, puzzle, turned) - found.keys()
    return list(found)


def _images(point: int, puzzle: Puzzle, turned: Sequence[Permutation]) -> set[int]:
    """Where some permutations take a point."""
    slots = set(map(itemgetter(_shown(point, puzzle)), turned))
    count = len(puzzle.stickers)
    return slots if point < count else {count + puzzle.stickers[slot].piece for slot in slots}


def _shown(point: int, puzzle: Puzzle) -> int:
    """A slot that shows where a point comes: itself, or the first of the place."""
    count = len(puzzle.stickers)
    return point if point < count else puzzle.pieces[point - count].stickers[0]
