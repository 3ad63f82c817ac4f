"""What a search looks at: for each piece that is asked about one sticker, or only its place; packed in bytes.

What becomes of all other pieces is never computed.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

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
        numbers, puzzle, count = self.numbers, self.puzzle, len(self.puzzle.stickers)
        # In the order of their numbers, as they were met.
        images = [permutation[p] if p < count else _images(p, puzzle, [permutation])[0] for p in numbers]
        return bytes(map(numbers.__getitem__, images)) or b"\0"


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
            edge += set(_images(point, puzzle, turned)) - found.keys()
    return list(found)


def _images(point: int, puzzle: Puzzle, turned: Sequence[Permutation]) -> list[int]:
    """Where each of some permutations takes a point."""
    count = len(puzzle.stickers)
    if point < count:
        return [permutation[point] for permutation in turned]
    first = puzzle.pieces[point - count].stickers[0]
    return [count + puzzle.stickers[permutation[first]].piece for permutation in turned]
