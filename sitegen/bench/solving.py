"""How each case of a step is solved: with the fewest applications of the tools, or the fewest turns of any.

From the goal backwards: a state from which one application leads to a state of some level is on the next.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Protocol

from sitegen.bench.cases import TooMany
from sitegen.bench.ease import ease, obtm
from sitegen.bench.goals import State
from sitegen.bench.tools import Application, application
from sitegen.bench.turns import Turns, Word
from sitegen.moves.notation import write_all
from sitegen.moves.simplify import join
from sitegen.moves.turning import permutation_of
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Puzzle, Turn

MOST_STATES = 4_000_000
"""So many states are looked at for a step, counting each as often as it is come to."""


@dataclass(frozen=True, eq=False)
class Solution:
    """What leads from a case to the goal: one application after another, and all their turns together."""

    applications: tuple[Application, ...]
    used: int
    """How many of them use a tool, or are more than turns of a layer."""
    turns: tuple[Turn, ...]
    """With nothing left to cancel."""
    length: int
    """In OBTM."""
    permutation: Permutation


class Solver(Protocol):
    """Finds the solutions of the cases that it was made for."""

    def measure(self, state: State) -> tuple[int, int] | None:
        """Applications and turns (OBTM) that the simplest solution of a case takes, if there is one."""

    def solve(self, state: State) -> Solution | None:
        """The simplest solution of a case, or None where there is none."""


class ByTools:
    """By the fewest applications; of these by the fewest turns, what cancels taken away; then the easiest.

    That is chosen one application at a time from the goal backwards: what follows is the simplest there.
    `free` are turns that may stand between the applications, one at a time, and are not counted as any.
    """

    def __init__(
        self,
        goal: State,
        cases: Iterable[State],
        applications: Sequence[Application],
        free: Sequence[Application],
        puzzle: Puzzle,
    ) -> None:
        self.puzzle = puzzle
        self.applications = applications
        self.free = free
        self.levels: dict[State, int] = {}
        """How many applications lead from a state to the goal."""
        self._begun: dict[State, Solution | None] = {goal: Solution((), 0, (), 0, puzzle.identity)}
        self._solved: dict[State, Solution | None] = {}
        self._reach(goal, set(cases))

    def _reach(self, goal: State, left: set[State]) -> None:
        """The level of each case, as far as there are any."""
        tables = [each.permutation for each in self.applications]
        between = [each.permutation for each in self.free]
        fresh, level = {goal}, 0
        while fresh:
            fresh |= {perm.compose(table, state) for state in fresh for table in between}
            fresh -= self.levels.keys()
            self.levels.update(dict.fromkeys(fresh, level))
            left -= fresh
            level += 1
            fresh = {perm.compose(table, state) for state in fresh for table in tables} if left else set()

    def measure(self, state: State) -> tuple[int, int] | None:
        """Applications and turns (OBTM) that a case takes."""
        solution = self.solve(state)
        return (solution.used, solution.length) if solution else None

    def solve(self, state: State) -> Solution | None:
        if state not in self._solved:
            self._solved[state] = self._solve(state) if state in self.levels else None
        return self._solved[state]

    def _solve(self, state: State) -> Solution:
        """With or without a free turn to begin with."""
        begun = [begun] if (begun := self._begin(state)) else []
        for each in self.free:
            there = perm.compose(each.back, state)
            if self.levels[there] == self.levels[state] and (rest := self._begin(there)):
                begun.append(self._after(each, rest, 0))
        return self._simplest(begun)

    def _begin(self, state: State) -> Solution | None:
        """The simplest solution that begins with an application."""
        if state not in self._begun:
            wanted = self.levels[state] - 1
            there = [(each, perm.compose(each.back, state)) for each in self.applications]
            onward = [(each, self.solve(then)) for each, then in there if self.levels.get(then) == wanted]
            begun = [self._after(each, rest, 1) for each, rest in onward if rest]
            self._begun[state] = self._simplest(begun) if begun else None
        return self._begun[state]

    def _after(self, first: Application, rest: Solution, used: int) -> Solution:
        turns = join(first.turns, rest.turns, self.puzzle)
        whole = len(turns) == len(first.turns) + len(rest.turns)
        length = first.length + rest.length if whole else obtm(turns, self.puzzle)
        done = perm.compose(first.permutation, rest.permutation)
        return Solution((first, *rest.applications), rest.used + used, turns, length, done)

    def _simplest(self, solutions: Sequence[Solution]) -> Solution:
        fewest = min(each.length for each in solutions)
        shortest = [each for each in solutions if each.length == fewest]
        return min(shortest, key=lambda each: ease(each.turns, self.puzzle))


class ByAnyTurns:
    """By the fewest turns, and of all that are as short by the easiest; found from both ends."""

    def __init__(self, goal: State, cases: Iterable[State], turns: Turns, longest: int) -> None:
        self.turns = turns
        self.goal = goal
        self.behind: list[set[State]] = [{goal}]
        """States by how many turns they are from the goal."""
        self.met: dict[State, tuple[list[set[State]], int]] = {}
        """For each case the states by how many turns they are from it, and the level behind that is met."""
        self.solutions: dict[State, Solution | None] = {goal: Solution((), 0, (), 0, turns.puzzle.identity)}
        self._meet(cases, longest)

    def _meet(self, cases: Iterable[State], longest: int) -> None:
        """From the side where there is less to do, until every case is met or no more turns are allowed."""
        left = {case: [{case}] for case in cases if case != self.goal}
        known = 0
        for _ in range(longest):
            sides = len(self.behind[-1]), sum(len(levels[-1]) for levels in left.values())
            known += min(sides) * len(self.turns.listed)
            if known > MOST_STATES:
                raise TooMany
            if sides[0] <= sides[1]:
                self.behind.append(self._next(self.behind))
            else:
                for levels in left.values():
                    levels.append(self._next(levels))
            for case in [case for case, levels in left.items() if not levels[-1].isdisjoint(self.behind[-1])]:
                self.met[case] = (left.pop(case), len(self.behind) - 1)

    def _next(self, levels: Sequence[set[State]]) -> set[State]:
        """The states that one more turn leads to, and no fewer: every turn can also be undone by one."""
        fresh = {perm.compose(table, state) for state in levels[-1] for table in self.turns.permutations}
        return fresh.difference(*levels[-2:])

    def measure(self, state: State) -> tuple[int, int] | None:
        """Whether anything is to be done, and the turns that it takes."""
        if state == self.goal:
            return 0, 0
        if state not in self.met:
            return None
        ahead, behind = self.met[state]
        return 1, len(ahead) - 1 + behind

    def solve(self, state: State) -> Solution | None:
        if state not in self.solutions:
            self.solutions[state] = self._easiest(state) if state in self.met else None
        return self.solutions[state]

    def _easiest(self, state: State) -> Solution:
        turns = self.turns
        words = {turns.ordered(word) for word in self._shortest(state)}
        _, word = min((ease(turns.spelled(word), turns.puzzle), word) for word in words)
        spelled = turns.spelled(word)
        done = permutation_of(spelled, turns.puzzle)
        whole = application(write_all(spelled, turns.puzzle), spelled, done, turns.puzzle)
        return Solution((whole,), 1, spelled, whole.length, done)

    def _shortest(self, case: State) -> Iterator[Word]:
        """Every word of the fewest turns, through each state in which both sides meet."""
        ahead, behind = self.met[case]
        for middle in ahead[-1] & self.behind[behind]:
            back = [self._undone(word) for word in self._down(middle, ahead)]
            for word in self._down(middle, self.behind[: behind + 1]):
                yield from (start + word for start in back)

    def _down(self, state: State, levels: Sequence[set[State]]) -> Iterator[Word]:
        """The words that lead from a state of the last level to the first one, a level with each turn."""
        if len(levels) == 1:
            yield ()
            return
        for turn, back in enumerate(self._backs):
            there = perm.compose(back, state)
            if there in levels[-2]:
                for word in self._down(there, levels[:-1]):
                    yield (turn, *word)

    @cached_property
    def _backs(self) -> list[Permutation]:
        return [perm.inverse(table) for table in self.turns.permutations]

    @cached_property
    def _undoing(self) -> list[int]:
        """For each turn the one that undoes it."""
        return [self.turns.permutations.index(back) for back in self._backs]

    def _undone(self, word: Word) -> Word:
        return tuple(self._undoing[turn] for turn in reversed(word))
