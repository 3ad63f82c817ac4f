"""Turns as letters, and so rows of turns as texts: very many are put together, compared and kept as those.

A row has nothing left to cancel, as `simplify` leaves it. What turns are, and what becomes of them where they
meet, is asked once for each letter, or for those that meet.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property, reduce
from itertools import count
from typing import NamedTuple, TypeVar

from sitegen.moves.metrics import turn_length
from sitegen.moves.simplify import simplify
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Puzzle, Turn

T = TypeVar("T")
Row = str
"""A letter for each turn."""


class Seam(NamedTuple):
    """What is left of turns where two rows meet: of nothing, more may meet."""

    row: Row
    saved: int
    """How much shorter it is, in OBTM."""


class ByLetter(dict[str, T]):
    """What there is to say of the turn of each letter, found when it is first asked for."""

    def __init__(self, turns: Mapping[str, Turn], say: Callable[[Turn], T]) -> None:
        super().__init__()
        self._turns, self._say = turns, say

    def __missing__(self, letter: str) -> T:
        said = self[letter] = self._say(self._turns[letter])
        return said


class Shorthand:
    """The letters of a puzzle's turns, each given when its turn is first written: they have no order."""

    def __init__(self, puzzle: Puzzle) -> None:
        self.puzzle = puzzle
        self._letters: dict[Turn, str] = {}
        self._turns: dict[str, Turn] = {}
        self.line: Callable[[str], str] = self.by_letter(lambda turn: min(puzzle.line(turn))).__getitem__
        """What the turn of a letter turns about: an axis, the same for parallel layers."""
        self._unused = map(chr, count())
        self._uneven: dict[str, int] = {}
        """Those that do not count 1 in OBTM, with how much more they count, or less."""
        self._permutations = self.by_letter(puzzle.permutation)
        self._seams: dict[str, Seam] = {}
        self._singles: dict[Turn, Row] = {}

    def by_letter(self, say: Callable[[Turn], T]) -> ByLetter[T]:
        """What there is to say of a turn, by its letter."""
        return ByLetter(self._turns, say)

    def row(self, turns: Iterable[Turn]) -> Row:
        """Turns that have nothing left to cancel, as letters."""
        return "".join(self._letters.get(turn) or self._new(turn) for turn in turns)

    def simplified(self, turns: Iterable[Turn]) -> Row:
        """Turns one after the other, what cancels taken away."""
        return reduce(self.join, map(self._alone, turns), "")

    def _alone(self, turn: Turn) -> Row:
        """One turn as it is written where it stands by itself."""
        if turn not in self._singles:
            self._singles[turn] = self.row(simplify([turn], self.puzzle))
        return self._singles[turn]

    def _new(self, turn: Turn) -> str:
        """Another letter; if two threads come here with one turn, that of the first is kept."""
        letter = next(self._unused)
        self._turns[letter] = turn
        if more := turn_length(turn, self.puzzle).obtm - 1:
            self._uneven[letter] = more
        return self._letters.setdefault(turn, letter)

    def turns(self, row: Row) -> tuple[Turn, ...]:
        """What a row stands for."""
        return tuple(map(self._turns.__getitem__, row))

    def length(self, row: Row) -> int:
        """In OBTM, in which most turns count 1."""
        length = len(row)
        for letter, more in [*self._uneven.items()]:  # another thread may write a new letter
            if letter in row:
                length += more * row.count(letter)
        return length

    def turned(self, position: Permutation, row: Row) -> Permutation:
        """A position after all turns of a row, one after another."""
        return perm.successive(position, map(self._permutations.__getitem__, row))

    def join(self, first: Row, then: Row) -> Row:
        """One after the other: only where they meet can anything cancel."""
        while first and then and self.line(first[-1]) == self.line(then[0]):
            ends, starts = self.last_run(first), self.first_run(then)
            met = self.seam(ends, starts).row
            first, then = first[: -len(ends)], then[len(starts) :]
            if met:
                return first + met + then
        return first + then

    def first_run(self, row: Row) -> Row:
        """The turns about one line that stand together at the beginning."""
        line, end = self.line(row[0]), 1
        while end < len(row) and self.line(row[end]) == line:
            end += 1
        return row[:end]

    def last_run(self, row: Row) -> Row:
        """The turns about one line that stand together at the end."""
        line, start = self.line(row[-1]), len(row) - 1
        while start and self.line(row[start - 1]) == line:
            start -= 1
        return row[start:]

    def seam(self, ends: Row, starts: Row) -> Seam:
        """What becomes of turns about one line that stand together, where two rows meet."""
        met = ends + starts
        if met not in self._seams:
            row = self.row(simplify(self.turns(met), self.puzzle))
            self._seams[met] = Seam(row, self.length(met) - self.length(row))
        return self._seams[met]


@dataclass(frozen=True, eq=False)
class InShorthand:
    """What has turns, nothing being left to cancel."""

    puzzle: Puzzle
    row: Row
    """All of them."""
    length: int
    """In OBTM."""

    @cached_property
    def turns(self) -> tuple[Turn, ...]:
        """Written out."""
        return shorthand_of(self.puzzle).turns(self.row)


_known: dict[Puzzle, Shorthand] = {}


def shorthand_of(puzzle: Puzzle) -> Shorthand:
    """One for each puzzle, whoever asks, in whatever thread."""
    return _known.get(puzzle) or _known.setdefault(puzzle, Shorthand(puzzle))
