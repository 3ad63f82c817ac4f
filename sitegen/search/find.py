"""All sequences that do what claims say, length after length, each held against the claims by turning."""

from __future__ import annotations

from bisect import insort
from dataclasses import dataclass, field
from itertools import count
from typing import TYPE_CHECKING, Generic, TypeVar

from sitegen.effects.claims import Subject
from sitegen.effects.effect import Effect
from sitegen.moves.metrics import Length, total
from sitegen.moves.notation import write_all
from sitegen.moves.turning import permutation_of
from sitegen.progress import Progress, quiet
from sitegen.puzzles.puzzle import Turn
from sitegen.search.ease import ease
from sitegen.search.query import Query
from sitegen.search.turns import Word

if TYPE_CHECKING:
    from sitegen.search.two_sided import Search

Rank = tuple[int, ...]
"""Length, ease, and the turns by number, or what else answers are sorted by: less comes first."""
MEMORY = 10**9
"""Bytes that a search may take, if nothing else is said."""
SHORTEST, LONGEST, NEVER = "shortest", "longest", "never"
OUT_OF_MEMORY, IN_VAIN, OUT_OF_TIME = "memory", "in vain", "time"
"""Why a search came to its end: what was asked for is found; no longer ones were asked for; it is known that
no length does it; what it takes to go on does not fit in memory; too many were turned in vain; or nobody
waits any longer."""
LONGEST_SOUGHT = 100
"""No longer sequences are searched for, whatever is asked."""
MOST_IN_VAIN = 300_000
"""After so many that came through and do not satisfy the claims a search ends."""


@dataclass(frozen=True)
class Answer:
    """A sequence that does what the claims say, and the case of which they all hold."""

    turns: tuple[Turn, ...]
    case: Subject

    @property
    def effect(self) -> Effect:
        return self.case.effect

    @property
    def length(self) -> Length:
        return self.case.length

    @property
    def moves(self) -> str:
        return write_all(self.turns, self.case.puzzle)


A = TypeVar("A", bound=Answer)


@dataclass(kw_only=True)
class Tally:
    """How many sequences there are, and how far a search came."""

    counts: dict[int, int] = field(default_factory=dict)
    """For each length that was searched to its end, how many sequences there are."""
    partly: int = 0
    """How many were found of the length after these, where it was not searched to its end."""
    ended: str = ""

    @property
    def shortest(self) -> int | None:
        """The least length at which there are any, if one was found."""
        return next((length for length, number in self.counts.items() if number), None)

    @property
    def searched(self) -> int:
        """The longest length that was searched to its end."""
        return max(self.counts, default=-1)

    @property
    def total(self) -> int:
        """How many were found in all."""
        return sum(self.counts.values()) + self.partly


@dataclass
class Ranked(Tally, Generic[A]):
    """What a search has found so far: the first `most` answers, by their ranks."""

    most: int
    ranked: list[tuple[Rank, A]] = field(default_factory=list)

    @property
    def answers(self) -> list[A]:
        return [answer for _, answer in self.ranked]

    def wants(self, rank: Rank) -> bool:
        """Whether an answer of that rank is among the first so far."""
        return len(self.ranked) < self.most or rank < self.ranked[-1][0]

    def take(self, rank: Rank, answer: A) -> None:
        """Counts an answer, and keeps it if it is among the first."""
        self.partly += 1
        if self.wants(rank):
            insort(self.ranked, (rank, answer), key=lambda entry: entry[0])
            del self.ranked[self.most :]

    def close(self, length: int) -> None:
        """Says that a length was searched to its end."""
        self.counts[length], self.partly = self.partly, 0


class Found(Ranked[Answer]):
    """Sequences, by length and then by ease."""


def find(
    query: Query, found: Found, longest: int | None = None, memory: int = MEMORY, progress: Progress = quiet
) -> None:
    """Fills `found` with the sequences of the shortest length, or of all lengths up to `longest`.

    `memory` is in bytes. Whenever it is broken off, what was found by then is there.
    """
    from sitegen.search.two_sided import Search  # takes long to load, and many who come here never search

    limit = min(length for length in (longest, query.longest, LONGEST_SOUGHT) if length is not None)
    end = query.turns.longest
    search, checked = Search(query.turns, query.asked, memory), _Checked(query, found)
    for length in count():
        if length > limit:
            found.ended = LONGEST
        elif search.hopeless or (end is not None and length > end):
            found.ended = NEVER
        elif not search.prepare(length, progress):
            found.ended = OUT_OF_MEMORY
        elif not checked.take_all(search, length, progress):
            found.ended = IN_VAIN
        else:
            found.close(length)
            if longest is None and found.shortest is not None:
                found.ended = SHORTEST
        if found.ended:
            return


class _Checked:
    """What comes through a search, held against the claims."""

    def __init__(self, query: Query, found: Found) -> None:
        self.query, self.found = query, found
        self.in_vain = 0
        """How many words were held against the claims and did not satisfy them."""

    def take_all(self, search: Search, length: int, progress: Progress) -> bool:
        """Takes all answers of a length, unless too many words are tried in vain."""
        turns, symmetries = self.query.turns, self.query.symmetries
        # Of words that are each other's image one is enough. The lowest of them begins with a turn that no
        # symmetry takes to a lower one: it is first among those about its line, in whatever image.
        first = {min(images[turn] for images in symmetries) for turn in range(len(turns.listed))}
        for word in search.words(length, first, progress):
            alike = {turns.ordered(tuple(images[turn] for turn in word)) for images in symmetries}
            for image in alike if word == min(alike) else ():
                self._hold(image, length)
                if self.in_vain > MOST_IN_VAIN:
                    return False
        return True

    def _hold(self, word: Word, length: int) -> None:
        """Takes a word among the answers if all claims hold."""
        turns, puzzle = self.query.turns.spelled(word), self.query.puzzle
        effect = Effect(puzzle, permutation_of(turns, puzzle), self.query.marked)
        case = Subject(effect, total(turns, puzzle), self.query.others)
        if any(claim.fault(case) for _, claim in self.query.claims):
            self.in_vain += 1
        else:
            self.found.take((length, *ease(turns, puzzle), *word), Answer(turns, case))
