"""Every word of a length that leads to a goal: forwards through all words, as far as they may still arrive.

Two-sided: what lies within reach of the goal was found from there backwards.

The steps of a method are solved from two sides too (`methods/solving.ByAnyTurns`), and not by this search.
Here all words are wanted, from one start, and a position is where those few pieces are that claims name, each
told from every other: a few bytes, of which a turn changes the values. There one word is wanted for each of
many thousand cases, and pieces that goals treat alike must count as one: a state is a label for each slot, of
which a turn changes the order. One search over such rows of 256 bytes could do both. It lost: measured
against rows of 20 bytes they take four times as long to turn, and three times the memory, of which a search
has never enough.
"""

from __future__ import annotations

from collections.abc import Container, Iterable, Iterator

from sitegen.effects.claims.claim import Asked
from sitegen.progress import Progress
from sitegen.search.distances import AT_GOAL, LEAST_MARK, Distances
from sitegen.search.points import points
from sitegen.search.turns import Turns, Word

Move = tuple[int, bytes, int]
"""A turn by its number, its table, and how much it counts."""


class Search:
    """Finds the words of some turns that do what is asked; `memory` is in bytes."""

    def __init__(self, turns: Turns, asked: Asked, memory: int) -> None:
        self.turns = turns
        self.points = points(turns.puzzle, asked, turns.permutations)
        self.tables = [self.points.table(permutation) for permutation in turns.permutations]
        steps = zip(self.tables, turns.lengths, strict=True)
        self.distances = Distances(self.points.goal, steps, memory)
        self.moves = self._moves()

    def _moves(self) -> list[list[Move]]:
        """After each turn, and last of all to begin with, those that may come next, the shorter first."""
        tables, lengths = self.tables, self.turns.lengths
        return [
            sorted(
                ((turn, tables[turn], lengths[turn]) for turn in after),
                key=lambda move: (move[2], move[0]),
            )
            for after in self.turns.following
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
        start, goal = self.points.start, self.points.goal
        if length == 0:
            yield from [()] if start == goal else []
            return
        moves, marks = self.moves, self.distances.marks
        depth = length if self.distances.complete else self.distances.depth
        mask = len(marks) - 1
        floors = [max(AT_GOAL - left, LEAST_MARK) for left in range(length + 1)]
        word: list[int] = []

        def go(position: bytes, choices: Iterable[Move], left: int) -> Iterator[Word]:
            for turn, table, counts in choices:
                rest = left - counts
                if rest < 0:
                    return
                there = position.translate(table)
                if rest <= depth and marks[hash(there) & mask] < floors[rest]:
                    continue
                word.append(turn)
                if rest:
                    yield from go(there, moves[turn], rest)
                elif there == goal:
                    yield tuple(word)
                word.pop()

        opening = [move for move in moves[-1] if move[0] in first]
        for move in progress(opening, len(opening), f"Length {length}"):
            yield from go(start, (move,), length)
