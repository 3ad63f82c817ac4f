"""Ways to reach a goal by clean steps, fewest first: each is looked at, and held against the goal by turning.

What only a symmetry, or more set aside than is needed, makes another way is counted and not listed.
"""

from __future__ import annotations

from bisect import insort
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from itertools import chain
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sitegen.effects.claims import Subject
from sitegen.effects.effect import Effect
from sitegen.effects.piece_sets import Pieces
from sitegen.moves.metrics import Length, total
from sitegen.moves.notation import write_all
from sitegen.moves.simplify import simplify
from sitegen.moves.turning import permutation_of
from sitegen.progress import Progress, quiet
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.puzzle import Puzzle, Turn
from sitegen.search.clean_steps import CleanStep, CleanSteps, clean_steps
from sitegen.search.ease import ease
from sitegen.search.find import LONGEST, MEMORY, NEVER, OUT_OF_MEMORY, SHORTEST
from sitegen.search.points import Points, points
from sitegen.search.query import Query

States = NDArray[np.uint8]
"""In each row where the pieces are that are looked at; no two rows are the same."""
Counts = NDArray[np.int64]
Numbers = tuple[int, ...]
"""Steps, by their numbers."""
USUAL_ASIDE, LONGEST_ASIDE = 2, 3
"""How many turns may set something aside, if nothing else is said, and at most."""
MOST_STEPS = 6
"""No ways of more steps are looked for, whatever is asked."""
AT_ONCE = 1 << 22
"""About so many bytes of states are made at once."""
BESIDES = 24
"""Bytes counted for a state that is made, beside its row and a copy of it."""


@dataclass(frozen=True)
class StepWay:
    """Clean steps one after the other, and the case of which the claims of the goal hold."""

    steps: tuple[CleanStep, ...]
    turns: tuple[Turn, ...]
    """All of them in full, what cancels taken away."""
    case: Subject

    @property
    def puzzle(self) -> Puzzle:
        return self.case.puzzle

    @property
    def effect(self) -> Effect:
        return self.case.effect

    @property
    def length(self) -> Length:
        return self.case.length

    @property
    def moves(self) -> str:
        return write_all(self.turns, self.puzzle)

    def __str__(self) -> str:
        """`[F': E'] [F: E2]`"""
        return " ".join(map(str, self.steps))


@dataclass
class StepWays:
    """What was found so far: the first `most`, by their steps, their turns, and how easy they are."""

    most: int
    steps: int = 0
    """How many clean steps there are."""
    counts: dict[int, int] = field(default_factory=dict)
    """For each number of steps that was looked at to the end, how many ways are listed, or would be."""
    others: int | None = 0
    """How many ways there are besides, which differ from these by a symmetry or by a longer aside; None where
    only turning each of them would tell."""
    partly: int = 0
    ended: str = ""
    ranked: list[tuple[tuple[int, ...], StepWay]] = field(default_factory=list)

    @property
    def ways(self) -> list[StepWay]:
        return [way for _, way in self.ranked]

    @property
    def fewest(self) -> int | None:
        """The least number of steps of which there is a way, if one was found."""
        return next((steps for steps, number in self.counts.items() if number), None)

    def take(self, rank: tuple[int, ...], way: StepWay) -> None:
        """Counts a way, and keeps it if it is among the first."""
        self.partly += 1
        if len(self.ranked) < self.most or rank < self.ranked[-1][0]:
            insort(self.ranked, (rank, way), key=lambda entry: entry[0])
            del self.ranked[self.most :]

    def close(self, steps: int) -> None:
        """Says that all ways of so many steps were looked at."""
        self.counts[steps], self.partly = self.partly, 0


def derive(
    query: Query,
    guard: Pieces,
    found: StepWays,
    *,
    steps: int | None = None,
    longest: int | None = None,
    aside: int = USUAL_ASIDE,
    memory: int = MEMORY,
    progress: Progress = quiet,
) -> None:
    """Fills `found` with the ways of fewest clean steps that do what is asked, or of up to so many `steps`.

    `longest` is how many turns of the outer layers they may have, what cancels taken away; `aside` how many
    may set something aside; `memory` is in bytes. Whenever it is broken off, what was found by then is there.
    """
    clean = clean_steps(query.turns, guard, aside, memory)
    if clean is None:
        found.ended = OUT_OF_MEMORY
        return
    found.steps = len(clean.listed)
    search = _Search(query, clean, memory)
    for number in range(1, MOST_STEPS + 1):
        if number > (steps or MOST_STEPS):
            found.ended = LONGEST
        elif search.hopeless:
            found.ended = NEVER
        elif not search.reach(number):
            found.ended = OUT_OF_MEMORY
        else:
            search.take_all(number, found, longest, progress)
            found.close(number)
            if steps is None and found.fewest is not None:
                found.ended = SHORTEST
        if found.ended:
            return
    found.ended = LONGEST


class _Search:
    """Where steps may bring what is looked at, and from where it can still come to where it shall."""

    def __init__(self, query: Query, clean: CleanSteps, memory: int) -> None:
        self.query, self.clean, self.memory = query, clean, memory
        self.points = points(query.puzzle, query.asked, [step.permutation for step in clean.listed])
        width = max(1, len(self.points.start))
        tables = [self.points.table(step.permutation) for step in clean.listed]
        self.tables = np.frombuffer(b"".join(tables), np.uint8).reshape(len(tables), -1)
        self.goal = np.frombuffer(self.points.goal.ljust(width, b"\0"), np.uint8)
        start = np.frombuffer(self.points.start.ljust(width, b"\0"), np.uint8)[None]
        self.levels: list[States] = [start]
        """Where as many steps may bring what is looked at."""
        self.known = start
        self.hopeless = False
        """Whether no further step brings it anywhere new, and it was never where it shall be."""

    def reach(self, number: int) -> bool:
        """Makes one level more, if memory allows it."""
        before = self.levels[-1]
        made = len(self.clean.listed) * len(before)
        if made * (2 * before.shape[1] + BESIDES) > self.memory:
            return False
        level = _distinct(list(self._after(before))) if made else before[:0]
        known = _distinct([self.known, level])
        there = bool((known == self.goal).all(axis=1).any())
        self.hopeless = len(known) == len(self.known) and not there
        self.levels.append(level)
        self.known = known
        return True

    def _after(self, states: States) -> Iterator[States]:
        """What each step makes of some states, some of these at a time: a row for each step and state."""
        many = max(1, AT_ONCE // max(1, self.tables.shape[0] * states.shape[1]))
        for start in range(0, len(states), many):
            yield self.tables[:, states[start : start + many]].reshape(-1, states.shape[1])

    def counts(self, number: int) -> list[Counts]:
        """For each level in how many ways the steps that are left lead from each state to the goal."""
        counts = [(self.levels[number] == self.goal).all(axis=1).astype(np.int64)]
        for states, level in zip(self.levels[number - 1 :: -1], self.levels[number:0:-1], strict=False):
            numbers = _keys(level)
            ways = [
                counts[0][np.searchsorted(numbers, _keys(after))]
                .reshape(self.tables.shape[0], -1)
                .sum(axis=0)
                for after in self._after(states)
            ]
            counts.insert(0, np.concatenate(ways))
        return counts

    def take_all(self, number: int, found: StepWays, longest: int | None, progress: Progress) -> None:
        """Takes all ways of so many steps, but for those that only seem to be others."""
        if not (self.levels[number] == self.goal).all(axis=1).any():
            return
        counts = self.counts(number)
        left = [
            dict(zip(map(bytes, level), some.tolist(), strict=True))
            for level, some in zip(self.levels, counts, strict=False)
        ]
        listed = 0
        for numbers in self._words(number, left, progress):
            images = {tuple(image[step] for step in numbers) for image in self._images}
            if numbers != min(images):
                continue
            ranked = min(self._ranked(image) for image in images)
            if longest is not None and ranked[0][1] > longest:
                continue
            way = self._held(ranked[0][2:][-number:], ranked[1])
            if way is not None:
                listed += 1
                found.take(ranked[0], way)
        every = int(counts[0][0])
        exact = self._exact and longest is None
        found.others = found.others + every - listed if exact and found.others is not None else None

    def _words(self, number: int, left: Sequence[dict[bytes, int]], progress: Progress) -> Iterator[Numbers]:
        """The ways that lead to the goal, each step of which is needed as it is."""
        onward: dict[tuple[int, bytes], list[tuple[int, bytes]]] = {}

        def steps(level: int, state: bytes) -> list[tuple[int, bytes]]:
            if (level, state) not in onward:
                onward[level, state] = self._needed(state, left[level + 1])
            return onward[level, state]

        def words(level: int, state: bytes) -> Iterator[Numbers]:
            if level == number:
                yield ()
                return
            for step, after in steps(level, state):
                for others in words(level + 1, after):
                    yield (step, *others)

        start = self.levels[0][0].tobytes()
        first = steps(0, start)
        for step, after in progress(first, len(first), f"{number} steps" if number > 1 else "1 step"):
            for others in words(1, after):
                yield (step, *others)

    def _needed(self, state: bytes, left: dict[bytes, int]) -> list[tuple[int, bytes]]:
        """The steps that lead on from a state, and where to; none in which less may be set aside."""
        afters = self.tables[:, np.frombuffer(state, np.uint8)]
        leading = [(step, after.tobytes()) for step, after in enumerate(afters) if left.get(after.tobytes())]
        return [
            (step, after)
            for step, after in leading
            if after != state
            and not any(afters[less].tobytes() == after for less in self.clean.shorter[step])
        ]

    @cached_property
    def _images(self) -> list[Numbers]:
        """What each step becomes by each symmetry that leaves what is asked as it is."""
        numbers = self.clean.numbers
        return [
            tuple(
                numbers[perm.compose(perm.compose(perm.inverse(symmetry), step.permutation), symmetry)]
                for step in self.clean.listed
            )
            for symmetry in self.query.kept_by
        ]

    def _ranked(self, numbers: Numbers) -> tuple[tuple[int, ...], tuple[Turn, ...]]:
        """By what a way is listed: its steps, its turns, how easy these are; and its turns."""
        puzzle = self.query.puzzle
        turns = simplify(chain.from_iterable(self.clean.listed[step].turns for step in numbers), puzzle)
        return (len(numbers), total(turns, puzzle).obtm, *ease(turns, puzzle), *numbers), turns

    def _held(self, numbers: Numbers, turns: tuple[Turn, ...]) -> StepWay | None:
        """A way, if all claims hold of it."""
        query = self.query
        effect = Effect(query.puzzle, permutation_of(turns, query.puzzle), query.marked)
        case = Subject(effect, total(turns, query.puzzle), query.others)
        if any(claim.fault(case) for _, claim in query.claims):
            return None
        return StepWay(tuple(self.clean.listed[step] for step in numbers), turns, case)

    @property
    def _exact(self) -> bool:
        """Whether where the pieces come that are looked at tells all that is asked."""
        said = not any(claim.counts() for _, claim in self.query.claims)
        told = all(len(there) == 1 for there in self.query.asked.values())
        moved = {s for step in self.clean.listed for s in self.query.asked if step.permutation[s] != s}
        return said and told and _looked_at(self.points, self.query) >= moved


def _looked_at(looked: Points, query: Query) -> set[int]:
    """The slots of the pieces of which the points tell where they come."""
    return {
        slot
        for piece in query.puzzle.pieces
        if piece.stickers[0] in looked.numbers
        for slot in piece.stickers
    }


def _keys(states: States) -> NDArray[Any]:
    """What rows are told apart and sorted by."""
    whole = np.ascontiguousarray(states)
    return whole.view(np.dtype((np.void, whole.shape[1]))).ravel()


def _distinct(states: Sequence[States]) -> States:
    """Each state once, sorted."""
    width = states[0].shape[1]
    keys = np.unique(np.concatenate([np.unique(_keys(some)) for some in states]))
    return keys.view(np.uint8).reshape(-1, width)
