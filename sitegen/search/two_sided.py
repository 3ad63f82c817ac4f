"""Every word of a length that leads to a goal: forwards through all words, as far as they may still arrive.

Two-sided: what lies within reach of the goal was found from there backwards. Many words are made longer at
once (`search/positions.py` says why), and told in the order in which one would come to them one by one.

The steps of a method are solved from two sides too (`methods/solving.ByAnyTurns`), and not by this search.
Here all words are wanted, from one start, and a position is where those few pieces are that claims name, each
told from every other: a few bytes, of which a turn changes the values. There one word is wanted for each of
many thousand cases, and pieces that goals treat alike must count as one: a state is a label for each slot, of
which a turn changes the order. One search over such rows of 256 bytes could do both. It lost: measured
against rows of 24 bytes they take nine times as long to turn, and ten times the memory, of which a search has
never enough.
"""

from __future__ import annotations

from collections.abc import Container, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sitegen.effects.claims.claim import Asked
from sitegen.progress import Progress
from sitegen.search.distances import Distances
from sitegen.search.points import points
from sitegen.search.positions import Rows, pair_table, position_row, turned
from sitegen.search.turns import Turns, Word

AT_ONCE = 1 << 15
"""About so many words are made at once, and gone on with before others: they are few enough to keep."""

Numbers = NDArray[np.int16]
"""Lengths, and turns."""


@dataclass(frozen=True)
class Begun:
    """Words that may still arrive, in order: their turns, where they lead, and how much is left of each."""

    words: Numbers
    rows: Rows
    left: Numbers

    def parts(self, most: int) -> Iterator[Begun]:
        """The words in order, up to so many at a time."""
        for start in range(0, len(self.left), most):
            some = slice(start, start + most)
            yield Begun(self.words[some], self.rows[some], self.left[some])


class Search:
    """Finds the words of some turns that do what is asked; `memory` is in bytes.

    Here turns are numbered in another way, the shorter first; and `pause` is no turn: it stands before the
    first one, and behind the last one of a word that is shorter than others beside it.
    """

    def __init__(self, turns: Turns, asked: Asked, memory: int) -> None:
        self.points = points(turns.puzzle, asked, turns.permutations)
        tables = [self.points.table(permutation) for permutation in turns.permutations]
        self.distances = Distances(self.points.goal, zip(tables, turns.lengths, strict=True), memory)
        self.turns = sorted(range(len(tables)), key=lambda turn: (turns.lengths[turn], turn))
        """The number that each turn has elsewhere."""
        self.pause = len(tables)
        stay = bytes(range(len(tables[0])))
        self.tables = np.stack(
            [pair_table(table) for table in (*(tables[turn] for turn in self.turns), stay)]
        )
        self.lengths = np.array([*(turns.lengths[turn] for turn in self.turns), 0], np.int16)
        self.may_follow = np.array(
            [
                [*(turn in turns.following[before] for turn in self.turns), False]
                for before in (*self.turns, self.pause)
            ]
        )
        """In a row for each turn, whether each may come next."""

    @property
    def hopeless(self) -> bool:
        """Whether it is known that no word of any length arrives."""
        return self.distances.complete and not self.distances.known(self.points.start)

    def prepare(self, length: int, progress: Progress) -> bool:
        """Looks back as far as words of a length need it, if memory allows."""
        return self.distances.reach(length // 2, progress)

    def words(self, length: int, first: Container[int], progress: Progress) -> Iterator[Word]:
        """Each word of a length that begins with one of some turns."""
        if length == 0:
            yield from [()] if self.points.start == self.points.goal else []
            return
        nothing = Begun(
            np.array([[self.pause]], np.int16), position_row(self.points.start), np.array([length], np.int16)
        )
        begun = {self.turns[one.words[0, -1]]: one for one in self._longer(nothing).parts(1)}
        opening = [turn for turn in self.turns if turn in first]
        for turn in progress(opening, len(opening), f"Length {length}"):
            yield from self._completed(begun[turn]) if turn in begun else ()

    def _completed(self, begun: Begun) -> Iterator[Word]:
        """The words that arrive, of all that begin as some do, in order."""
        if not begun.left.any():
            arrived = (begun.rows == position_row(self.points.goal)).all(axis=1)
            for word in begun.words[arrived].tolist():
                yield tuple(self.turns[turn] for turn in word if turn != self.pause)
            return
        for some in begun.parts(max(1, AT_ONCE // len(self.tables))):
            yield from self._completed(self._longer(some))

    def _longer(self, begun: Begun) -> Begun:
        """Each word with one more turn, wherever it may still arrive; with a pause, if it has its length."""
        may = self.may_follow[begun.words[:, -1]] & (self.lengths <= begun.left[:, None])
        may[:, self.pause] = begun.left == 0
        which, turn = may.nonzero()
        after = turned(begun.rows, self.tables).reshape(-1, begun.rows.shape[1])
        rows = after.take(turn * len(begun.rows) + which, axis=0)
        left = begun.left[which] - self.lengths[turn]
        near = self.distances.within(rows, left)
        which, turn = which[near], turn[near]
        words = np.column_stack([begun.words.take(which, axis=0), turn.astype(np.int16)])
        return Begun(words, rows.take(near, axis=0), left[near])
