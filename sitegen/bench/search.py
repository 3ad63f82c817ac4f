"""Every word of a length that leads to a goal: forwards through all words, as far as they may still arrive.

Two-sided: what lies within reach of the goal was found from there backwards.
"""

from __future__ import annotations

from collections.abc import Container, Iterable, Iterator, Sequence

from sitegen.bench.distances import AT_GOAL, LEAST_MARK, Distances
from sitegen.bench.frames import Frame
from sitegen.bench.points import points
from sitegen.bench.turns import Turns, Word
from sitegen.effects.claims.case import Asked
from sitegen.progress import Progress

Move = tuple[int, bytes, int, int]
"""A turn by its number, its table, how much it counts, and the node from which the next is chosen."""


class Search:
    """For words of turns, seen through some frames, that do what is asked."""

    def __init__(self, turns: Turns, asked: Asked, frames: Sequence[Frame], memory: int) -> None:
        self.turns = turns
        self.frames = frames
        seen = [permutation for frame in frames for permutation, _ in frame]
        self.points = points(turns.puzzle, asked, list(dict.fromkeys(seen)))
        tables = {permutation: self.points.table(permutation) for permutation in dict.fromkeys(seen)}
        self.tables = [[(tables[permutation], after) for permutation, after in frame] for frame in frames]
        steps = [(t, n) for row in self.tables for (t, _), n in zip(row, turns.lengths, strict=True)]
        self.distances = Distances(self.points.goal, steps, memory)
        self.moves = self._moves()

    def _moves(self) -> list[list[Move]]:
        """For each frame and last turn, the turns that may come next, those that count least first."""
        follows, lengths = self.turns.following, self.turns.lengths
        return [
            sorted(
                (
                    (turn, table, lengths[turn], then * len(follows) + turn)
                    for turn in after
                    for table, then in [row[turn]]
                ),
                key=lambda move: (move[2], move[0]),
            )
            for row in self.tables
            for after in follows
        ]

    @property
    def hopeless(self) -> bool:
        """Whether it is known that no word of any length arrives."""
        return self.distances.complete and not self.distances.known(self.points.start)

    def prepare(self, length: int, progress: Progress) -> bool:
        """Looks back as far as words of a length need it, if memory allows."""
        return self.distances.reach(length // 2, progress)

    def words(self, length: int, first: Container[int], progress: Progress) -> Iterator[Word]:
        """Each word of a length that begins with one of some turns."""
        start, goal, home = self.points.start, self.points.goal, len(self.turns.following) - 1
        if length == 0:
            yield from [()] if start == goal else []
            return
        moves, marks = self.moves, self.distances.marks
        depth = length if self.distances.complete else self.distances.depth
        mask = len(marks) - 1
        floors = [max(AT_GOAL - left, LEAST_MARK) for left in range(length + 1)]
        word: list[int] = []

        def go(position: bytes, choices: Iterable[Move], left: int) -> Iterator[Word]:
            for turn, table, counts, then in choices:
                rest = left - counts
                if rest < 0:
                    return
                there = position.translate(table)
                if rest <= depth and marks[hash(there) & mask] < floors[rest]:
                    continue
                word.append(turn)
                if rest:
                    yield from go(there, moves[then], rest)
                elif there == goal:
                    yield tuple(word)
                word.pop()

        opening = [move for move in moves[home] if move[0] in first]
        for move in progress(opening, len(opening), f"Length {length}"):
            yield from go(start, (move,), length)
