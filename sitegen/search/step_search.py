"""Every product of clean steps, by where it brings the few pieces that are looked at.

How many ways there are is counted from the goal back. Gone through one by one are those that no symmetry, and
nothing more that is set aside, makes out of others; what is listed is held against the claims by turning.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from functools import cache, cached_property, reduce
from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sitegen.effects.claims import Subject
from sitegen.effects.effect import Effect
from sitegen.moves.metrics import total
from sitegen.moves.shorthand import Row, shorthand_of
from sitegen.moves.turning import inverse_turns, permutation_of
from sitegen.progress import Progress
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.puzzle import Turn
from sitegen.search.clean_steps import CleanSteps
from sitegen.search.ease import ease_of_row
from sitegen.search.find import Rank
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
RANKED_AT_ONCE = 1 << 10
"""So many ways are ranked before any is turned: of these only the first need be."""
BESIDES = 24
"""Bytes counted for a state that is made, beside its row and a copy of it."""


class StepSearch:
    """Where steps may bring what is looked at, and from where it can still come to where it shall."""

    def __init__(self, query: Query, clean: CleanSteps, memory: int) -> None:
        self.query, self.clean, self.memory = query, clean, memory
        self.shorthand = shorthand_of(query.puzzle)
        simplified = self.shorthand.simplified
        # Few things are set aside before many turns.
        self._around = cache(lambda aside: (simplified(aside), simplified(inverse_turns(aside))))
        self._row = cache(self._turns_of_step)
        self.points = points(query.puzzle, query.asked, [step.permutation for step in clean.listed])
        width = max(1, len(self.points.start))
        tables = [self.points.table(step.permutation) for step in clean.listed]
        size = max(1, len(self.points.numbers))
        self.tables = np.frombuffer(b"".join(tables), np.uint8).reshape(len(tables), size)
        self.goal = np.frombuffer(self.points.goal.ljust(width, b"\0"), np.uint8)
        self.origins = self.tables.argsort(axis=1).astype(np.uint8)[:, self.goal]
        """From where each step leads to the goal."""
        start = np.frombuffer(self.points.start.ljust(width, b"\0"), np.uint8)[None]
        self.levels: list[States] = [start]
        """Where as many steps may bring what is looked at."""
        self.known = start
        self.hopeless = False
        """Whether no further step brings it anywhere new, and it was never where it shall be."""

    def reach(self, number: int) -> bool:
        """Makes the levels before the last of so many steps, as far as memory allows it."""
        while len(self.levels) < number:
            before = self.levels[-1]
            made = len(self.tables) * len(before)
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

    def take_all(self, number: int, found: StepWays, longest: int | None, progress: Progress) -> None:
        """Takes all ways of so many steps, but for those that only seem to be others."""
        counts = self.counts(number)
        every = int(counts[0][0])
        if not every:
            return
        listed, some = 0, list[Numbers]()
        try:
            for numbers in self._words(number, counts, progress):
                some.append(numbers)
                if len(some) == RANKED_AT_ONCE:
                    every_one, some = some, []
                    listed += self._take(every_one, found, longest)
        finally:
            # Where it is broken off, what was found by then is taken too.
            listed += self._take(some, found, longest)
        exact = self._exact and longest is None and every <= EXACT
        found.others = found.others + every - listed if exact and found.others is not None else None

    def counts(self, number: int) -> list[Counts]:
        """For each level before the last step in how many ways the steps that are left lead to the goal."""
        counts = [self._to_go_last(self.levels[number - 1])]
        for ahead, level in pairwise(self.levels[number - 1 :: -1]):
            numbers = _keys(ahead)
            ways = [
                counts[0][np.searchsorted(numbers, _keys(after))]
                .reshape(self.tables.shape[0], -1)
                .sum(axis=0)
                for after in self._after(level)
            ]
            counts.insert(0, np.concatenate(ways))
        return counts

    def _to_go_last(self, level: States) -> Counts:
        """For each state on a level by how many steps it is at the goal."""
        at = np.searchsorted(_keys(level), _keys(self.origins))
        there = (level.take(at, axis=0, mode="clip") == self.origins).all(axis=1)
        return np.bincount(at[there], minlength=len(level)).astype(np.float64)

    @cached_property
    def _last(self) -> dict[bytes, set[int]]:
        """The steps that lead to the goal, by where from."""
        found: dict[bytes, set[int]] = {}
        for step, origin in enumerate(map(bytes, self.origins)):
            found.setdefault(origin, set()).add(step)
        return found

    def _words(self, number: int, counts: Sequence[Counts], progress: Progress) -> Iterator[Numbers]:
        """The ways that lead to the goal, each step of which is needed as it is."""
        left = [set(map(bytes, level[some > 0])) for level, some in zip(self.levels, counts, strict=False)]
        onward: dict[tuple[int, bytes], list[tuple[int, bytes]]] = {}

        def steps(level: int, state: bytes) -> list[tuple[int, bytes]]:
            if (level, state) not in onward:
                at_goal = level + 1 == number
                leading = self._to_goal(state) if at_goal else self._leading(state, left[level + 1])
                onward[level, state] = self._needed(state, leading)
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

    def _leading(self, state: bytes, left: set[bytes]) -> dict[bytes, set[int]]:
        """The steps that lead from a state to one of some others, by where to."""
        afters, width = self.tables[:, np.frombuffer(state, np.uint8)].tobytes(), len(state)
        found: dict[bytes, set[int]] = {}
        for step in range(len(self.tables)):
            after = afters[step * width : (step + 1) * width]
            if after in left:
                found.setdefault(after, set()).add(step)
        return found

    def _to_goal(self, state: bytes) -> dict[bytes, set[int]]:
        """The steps that lead from a state to the goal."""
        return {self.goal.tobytes(): self._last.get(state, set())}

    def _needed(self, state: bytes, leading: dict[bytes, set[int]]) -> list[tuple[int, bytes]]:
        """The steps that lead on from a state, and where to; none in which less may be set aside."""
        return sorted(
            (step, after)
            for after, steps in leading.items()
            if after != state
            for step in steps
            if steps.isdisjoint(self.clean.shorter[step])
        )

    def _take(self, words: list[Numbers], found: StepWays, longest: int | None) -> int:
        """Takes ways, of which some may seem to be others; tells how many do not, and are no longer."""
        by_length = defaultdict[int, list[Numbers]](list)
        lowest = self._lowest(words)
        # All images are as long.
        for length, numbers in zip(self._lengths(lowest), lowest, strict=True):
            by_length[length].append(numbers)
        listed = 0
        for length, several in sorted(by_length.items()):
            if longest is not None and length > longest:
                found.longer += len(several)
            elif self._exact and not found.wants((len(words[0]), length)):
                found.partly += len(several)
                listed += len(several)
            else:
                ranked = sorted(min(map(self._ranked, self._alike(numbers))) for numbers in several)
                listed += sum(self._taken(*each, found) for each in ranked)
        return listed

    def _lowest(self, words: list[Numbers]) -> list[Numbers]:
        """Of those that are each other's images one."""
        if not self._images:
            return words
        return [numbers for numbers in words if numbers == min(self._alike(numbers))]

    def _alike(self, numbers: Numbers) -> set[Numbers]:
        """What symmetries make of a way, and itself."""
        return {numbers, *(tuple([image[step] for step in numbers]) for image in self._images)}

    def _taken(self, rank: Rank, row: Row, numbers: Numbers, found: StepWays) -> bool:
        """Whether a way is one; it is then counted, and kept if it is among the first."""
        if self._exact and not found.wants(rank):
            found.partly += 1
        elif way := self._held(numbers, self.shorthand.turns(row)):
            found.take(rank, way)
        else:
            return False
        return True

    @cached_property
    def _images(self) -> list[Numbers]:
        """What each step becomes by each symmetry that leaves what is asked as it is, and not everything."""
        numbers = self.clean.numbers
        return [
            tuple(
                numbers[perm.compose(perm.compose(perm.inverse(symmetry), step.permutation), symmetry)]
                for step in self.clean.listed
            )
            for symmetry in self.query.kept_by
            if symmetry != self.query.puzzle.identity
        ]

    def _turns_of_step(self, number: int) -> Row:
        step = self.clean.listed[number]
        aside, back = self._around(step.aside)
        return self.shorthand.join(self.shorthand.join(aside, self.shorthand.simplified([step.turn])), back)

    def _joined(self, numbers: Numbers) -> Row:
        """The turns of steps, one after the other."""
        return reduce(self.shorthand.join, map(self._row, numbers))

    def _lengths(self, words: list[Numbers]) -> list[int]:
        """In OBTM: each step adds its own length, but for those at whose seams turns may cancel."""
        if not words:
            return []
        each, begins, ends = self._told_of_steps
        numbers = np.array(words)
        lengths: list[int] = each[numbers].sum(axis=1).tolist()
        meet = (ends[numbers[:, :-1]] == begins[numbers[:, 1:]]).any(axis=1)
        for at in np.flatnonzero(meet).tolist():
            lengths[at] = self.shorthand.length(self._joined(words[at]))
        return lengths

    @cached_property
    def _told_of_steps(self) -> tuple[NDArray[np.int_], NDArray[np.str_], NDArray[np.str_]]:
        """How long each step is, and about what its first and its last turn are."""
        rows, line = list(map(self._row, range(len(self.clean.listed)))), self.shorthand.line
        begins, ends = (np.array([line(row[at]) for row in rows]) for at in (0, -1))
        return np.array(list(map(self.shorthand.length, rows))), begins, ends

    def _ranked(self, numbers: Numbers) -> tuple[Rank, Row, Numbers]:
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
        moved = self.clean.moved & self.query.asked.keys()
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
