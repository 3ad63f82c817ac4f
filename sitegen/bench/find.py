"""All sequences that do what claims say, length after length, each held against the claims by turning."""

from __future__ import annotations

from bisect import insort
from dataclasses import dataclass, field
from itertools import count

from sitegen.bench.ease import ease
from sitegen.bench.frames import as_turned, centres_home
from sitegen.bench.query import Query
from sitegen.bench.search import Search
from sitegen.bench.turns import Word
from sitegen.effects.claims import Case
from sitegen.effects.effect import Effect, report
from sitegen.moves.metrics import Length, total
from sitegen.moves.notation import write_all
from sitegen.moves.turning import permutation_of
from sitegen.progress import Progress, quiet
from sitegen.puzzles.puzzle import Turn

Rank = tuple[int, ...]
"""Length, ease, and the turns by number: less comes first."""
MEMORY = 10**9
"""Bytes that a search may take, if nothing else is said."""
SHORTEST, LONGEST, OUT_OF_MEMORY, NEVER = "shortest", "longest", "memory", "never"
"""Why a search came to its end: what was asked for is found; no longer ones were asked for; what it takes to
go on does not fit in memory; or it is known that no length does it."""


@dataclass(frozen=True)
class Answer:
    """A sequence that does what the claims say, and the case in which they all hold."""

    turns: tuple[Turn, ...]
    case: Case

    @property
    def effect(self) -> Effect:
        return self.case.effect

    @property
    def length(self) -> Length:
        return self.case.length

    @property
    def moves(self) -> str:
        return write_all(self.turns, self.case.puzzle)

    @property
    def turned_back(self) -> str:
        """How the whole puzzle is turned afterwards for the claims to hold; empty where it is not."""
        return write_all(self.case.report.hold, self.case.puzzle) if self.case.home else ""

    @property
    def whole(self) -> str:
        """The moves, with that."""
        return f"{self.moves} {self.turned_back}".strip()


@dataclass
class Found:
    """What a search has found so far. `answers` are the first few, by length and then by ease."""

    most: int
    counts: dict[int, int] = field(default_factory=dict)
    """For each length that was searched to its end, how many sequences there are."""
    partly: int = 0
    """How many were found of the length after these, where it was not searched to its end."""
    ended: str = ""
    kept: list[tuple[Rank, Answer]] = field(default_factory=list)

    @property
    def answers(self) -> list[Answer]:
        return [answer for _, answer in self.kept]

    @property
    def shortest(self) -> int | None:
        return next((length for length, number in self.counts.items() if number), None)

    @property
    def searched(self) -> int:
        """The longest length that was searched to its end."""
        return max(self.counts, default=-1)

    def take(self, rank: Rank, answer: Answer) -> None:
        self.partly += 1
        if len(self.kept) < self.most or rank < self.kept[-1][0]:
            insort(self.kept, (rank, answer), key=lambda entry: entry[0])
            del self.kept[self.most :]

    def close(self, length: int) -> None:
        self.counts[length], self.partly = self.partly, 0


def find(
    query: Query, found: Found, longest: int | None = None, memory: int = MEMORY, progress: Progress = quiet
) -> None:
    """Fills `found` with the sequences of the shortest length, or of all lengths up to `longest`.

    Whenever it is broken off, what was found by then is there.
    """
    finder = _Finder(query, found, memory, progress)
    for length in count():
        if longest is not None and length > longest:
            found.ended = LONGEST
        elif finder.hopeless:
            found.ended = NEVER
        elif not finder.prepare(length):
            found.ended = OUT_OF_MEMORY
        else:
            finder.search(length)
            found.close(length)
            if longest is None and found.shortest is not None:
                found.ended = SHORTEST
        if found.ended:
            return


class _Finder:
    """One search for effects as turned and, where turns move the centres, one for effects with them home."""

    def __init__(self, query: Query, found: Found, memory: int, progress: Progress) -> None:
        self.query, self.found, self.progress = query, found, progress
        views = [as_turned(query.turns), centres_home(query.turns)] if query.turns.moves_centres else []
        views = [frames for frames in views if frames] or [as_turned(query.turns)]
        share = memory // len(views)
        self.searches = [Search(query.turns, query.asked, frames, share) for frames in views]

    @property
    def hopeless(self) -> bool:
        return all(search.hopeless for search in self.searches)

    def prepare(self, length: int) -> bool:
        return all(search.prepare(length, self.progress) for search in self.searches)

    def search(self, length: int) -> None:
        turns, symmetries = self.query.turns, self.query.symmetries
        # Of words that are each other's image one is enough. The lowest of them begins with a turn that no
        # symmetry takes to a lower one: it is first among those about its line, in whatever image.
        first = {min(images[turn] for images in symmetries) for turn in range(len(turns.listed))}
        for home, search in enumerate(self.searches):

            def heard(word: Word, home: bool = bool(home)) -> None:
                alike = {turns.ordered(tuple(images[turn] for turn in word)) for images in symmetries}
                if word == min(alike):
                    for image in alike:
                        self._hold(image, length, home)

            search.words(length, first, heard, self.progress)

    def _hold(self, word: Word, length: int, home: bool) -> None:
        """Takes a word among the answers if all claims hold; once, though both searches may come upon it."""
        turns, puzzle = self.query.turns.turns(word), self.query.puzzle
        case = Case(report(puzzle, permutation_of(turns, puzzle)), total(turns, puzzle), self.query.others)
        holding = [reading for reading in case.readings() if self._holds(reading)]
        if any(not reading.home for reading in holding) != home and holding:
            self.found.take((length, *ease(turns, puzzle), *word), Answer(turns, holding[0]))

    def _holds(self, case: Case) -> bool:
        return not any(claim.fault(case) for _, claim in self.query.claims)
