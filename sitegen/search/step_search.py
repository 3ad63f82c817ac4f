"""Every product of clean steps, by where it brings the few pieces that are looked at.

How many ways there are is counted from the goal back. Gone through one by one are those that no symmetry, and
nothing more that is set aside, makes out of others; each is held against the claims by turning.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cached_property, reduce
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sitegen.effects.claims import Subject
from sitegen.effects.effect import Effect
from sitegen.moves.metrics import total
from sitegen.moves.shorthand import Row, shorthand_of
from sitegen.moves.simplify import simplify
from sitegen.moves.turning import permutation_of
from sitegen.progress import Progress
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.puzzle import Turn
from sitegen.search.clean_steps import CleanSteps
from sitegen.search.ease import ease_of_row
from sitegen.search.points import Points, points
from sitegen.search.query import Query
from sitegen.search.step_ways import StepWay, StepWays

States = NDArray[np.uint8]
"""In each row where the pieces are that are looked at; no two rows are the same."""
Counts = NDArray[np.float64]
"""Whole numbers: what is too many for one to be exact is still more than none."""
EXACT = 2**53
"""Up to here they are."""
Numbers = tuple[int, ...]
"""Steps, by their numbers."""
AT_ONCE = 1 << 22
"""About so many bytes of states are made at once."""
BESIDES = 24
"""Bytes counted for a state that is made, beside its row and a copy of it."""


class StepSearch:
    """Where steps may bring what is looked at, and from where it can still come to where it shall."""

    def __init__(self, query: Query, clean: CleanSteps, memory: int) -> None:
        self.query, self.clean, self.memory = query, clean, memory
        self.shorthand = shorthand_of(query.puzzle)
        self._rows: dict[int, Row] = {}
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
        counts = [(self.levels[number] == self.goal).all(axis=1).astype(np.float64)]
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
            # All images are as long.
            length = self.shorthand.length(self._joined(numbers))
            if longest is not None and length > longest:
                found.longer += 1
                continue
            if self._exact and not found.wants((number, length)):
                found.partly += 1
                listed += 1
                continue
            rank, row, first = min(self._ranked(image) for image in images)
            if self._exact and not found.wants(rank):
                found.partly += 1
            elif way := self._held(first, self.shorthand.turns(row)):
                found.take(rank, way)
            else:
                continue
            listed += 1
        every = int(counts[0][0])
        exact = self._exact and longest is None and every <= EXACT
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

    def _row(self, step: int) -> Row:
        """The turns of a step."""
        if step not in self._rows:
            self._rows[step] = self.shorthand.row(simplify(self.clean.listed[step].turns, self.query.puzzle))
        return self._rows[step]

    def _joined(self, numbers: Numbers) -> Row:
        """The turns of steps, one after the other."""
        return reduce(self.shorthand.join, map(self._row, numbers))

    def _ranked(self, numbers: Numbers) -> tuple[tuple[int, ...], Row, Numbers]:
        """By what a way is listed: its steps, its turns, how easy these are; then its turns, and itself."""
        row = self._joined(numbers)
        length = self.shorthand.length(row)
        return (len(numbers), length, *ease_of_row(row, self.shorthand), *numbers), row, numbers

    def _held(self, numbers: Numbers, turns: tuple[Turn, ...]) -> StepWay | None:
        """A way, if all claims hold of it."""
        query = self.query
        effect = Effect(query.puzzle, permutation_of(turns, query.puzzle), query.marked)
        case = Subject(effect, total(turns, query.puzzle), query.others)
        if any(claim.fault(case) for _, claim in query.claims):
            return None
        return StepWay(turns, case, tuple(self.clean.listed[step] for step in numbers))

    @cached_property
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
