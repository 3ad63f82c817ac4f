"""How each case of a step is solved: with the fewest applications of the tools, or the fewest turns of any.

From the goal backwards: a state from which one application leads to a state of some level is on the next.
By any turns from both sides, and not as sequences are searched for: `search/two_sided.py` says why.
Knows states and what may be done; knows nothing of stages.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from sitegen.effects.effect import held_by
from sitegen.methods.cases import FEWER_PIECES, TooMany
from sitegen.methods.goals import State, padded
from sitegen.methods.tools import Application, application
from sitegen.moves.metrics import obtm
from sitegen.moves.notation import write_all
from sitegen.moves.simplify import first_run, join, last_run, simplify
from sitegen.moves.turning import permutation_of
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Puzzle, Turn
from sitegen.search.ease import Ease, Effort, ease, ease_of, effort
from sitegen.search.turns import Turns, Word

FEW_CASES = 2_000
"""So many cases are solved at once. With more of them nobody looks ahead to what will cancel between
applications: solutions may be some turns longer.
"""
MOST_STATES = 4_000_000
"""So many states are looked at for a step by any turns, counting each as often as it is come to."""
FEW_STATES = 400_000
"""So many where other turns, which are fewer, do as well."""
MOST_APPLIED = 20_000_000
"""So many times an application is tried on a state."""
MOST_APPLICATIONS = 100
"""A case that takes more than this is not solved."""


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

    @cached_property
    def back(self) -> Permutation:
        """What undoes it."""
        return perm.inverse(self.permutation)


Short = Permutation
"""A state, or what is composed with one, without what it is padded with: there are millions of them."""
Measure = tuple[int, int]
"""Applications and turns (OBTM) that a solution takes."""
Beginnings = dict[tuple[Turn, ...], Solution]
"""Solutions of one state, by the turns with which they begin."""


@dataclass(frozen=True, eq=False)
class First:
    """An application that is to come before solutions: its turns but for those that may meet others."""

    application: Application
    line: frozenset[str]
    """What the turns at its end turn about."""
    ends: tuple[Turn, ...]
    """The turns about that line that stand together at its end."""
    begins: tuple[Turn, ...]
    """The first of the turns ahead of them."""
    effort: Effort
    """Of the turns ahead of them."""


@dataclass(frozen=True, eq=False)
class Rest:
    """A solution that something is to come before: its turns that meet others, and those behind them."""

    solution: Solution
    starts: tuple[Turn, ...]
    """The turns that stand together at its beginning, if about the line of what comes before."""
    puzzle: Puzzle

    @cached_property
    def behind(self) -> tuple[Turn, ...]:
        return self.solution.turns[len(self.starts) :]

    @cached_property
    def effort(self) -> Effort:
        """Of the turns behind."""
        return effort(self.behind, self.puzzle)


@dataclass(frozen=True, eq=False)
class Seam:
    """What turns about one line become where they meet."""

    turns: tuple[Turn, ...]
    saved: int
    """How much shorter they become, in OBTM."""
    effort: Effort


Made = dict[tuple[Turn, ...], tuple[tuple[int, Ease], Application | None, Solution]]
"""By the turns with which it begins, the best so far: length in OBTM and ease, and what it is made of: an
application that comes first, or none, and a solution."""


class Solver(ABC):
    """Finds the solutions of the cases that it was made for."""

    @abstractmethod
    def measure(self, state: State) -> Measure | None:
        """What the simplest solution of a case takes, if there is one."""

    @abstractmethod
    def solve(self, state: State) -> Solution | None:
        """The simplest solution of a case, or None where there is none."""

    def as_taken_up(self, state: State) -> State:
        """What a case is when the puzzle is taken up so that it is solved as it is held."""
        return state


class ByTools(Solver):
    """By the fewest applications; of these by the fewest turns, what cancels taken away; then the easiest.

    `free` are turns that may stand between the applications, one at a time, and are not counted as any: with
    the turn of nothing they are a group. What stands in front of a solution can cancel against its beginning,
    so that for each state the shortest solution is kept for every way to begin: `told_apart` turns of it.
    """

    def __init__(
        self,
        goal: State,
        cases: Iterable[State],
        applications: Sequence[Application],
        free: Sequence[Application],
        told_apart: int,
        puzzle: Puzzle,
    ) -> None:
        self.puzzle = puzzle
        self.told_apart = told_apart
        self.applications = applications
        self.free = free
        self.levels: dict[State, int] = {}
        """How many applications lead from a state to the goal."""
        self._begun: dict[State, Beginnings] = {goal: {(): Solution((), 0, (), 0, puzzle.identity)}}
        """The solutions that begin with an application."""
        self._all: dict[State, Beginnings] = {}
        self._solved: dict[State, Solution | None] = {}
        self._met: dict[tuple[State, frozenset[str]], Sequence[Rest]] = {}
        self._rests: dict[tuple[Solution, bool], Rest] = {}
        self._seams: dict[tuple[tuple[Turn, ...], tuple[Turn, ...]], Seam | None] = {}
        self._reach(goal, set(cases))

    def _reach(self, goal: State, left: set[State]) -> None:
        """The level of each case, as far as there are any."""
        tables = list(dict.fromkeys(each.permutation for each in self.applications))
        if len(left) * len(tables) > MOST_APPLIED:
            what = (
                f"there are {len(tables):,} ways to apply its sequences, and {len(left):,} cases to try them "
                f"on; that is more than {MOST_APPLIED:,} trials"
            )
            raise TooMany(what, f"{FEWER_PIECES}; or allow a shorter lead-in, or fewer faces in it")
        between = [each.permutation for each in self.free]
        fresh, level = {goal}, 0
        while fresh and level <= MOST_APPLICATIONS:
            fresh |= perm.products(between, fresh)
            self.levels.update(dict.fromkeys(fresh, level))
            left -= fresh
            level += 1
            fresh = perm.products(tables, fresh) if left else set()
            fresh -= self.levels.keys()

    def measure(self, state: State) -> Measure | None:
        solution = self.solve(state)
        return (solution.used, solution.length) if solution else None

    def solve(self, state: State) -> Solution | None:
        if state not in self._solved:
            self._solved[state] = self._simplest(state) if state in self.levels else None
        return self._solved[state]

    def _simplest(self, state: State) -> Solution:
        solutions = self._solutions(state).values()
        fewest = min(each.length for each in solutions)
        shortest = [each for each in solutions if each.length == fewest]
        return min(shortest, key=lambda each: ease(each.turns, self.puzzle))

    def _solutions(self, state: State) -> Beginnings:
        """With or without a free turn to begin with."""
        if state not in self._all:
            begun = self._begin(state)
            made: Made = {
                begins: ((each.length, ease(each.turns, self.puzzle)), None, each)
                for begins, each in (begun.items() if self.free else ())
            }
            for first in self._first_free:
                there = self._begin(perm.compose(first.application.back, state))
                self._note(made, first, [self._rest(each, first.line) for each in there.values()])
            self._all[state] = self._joined(made, 0) if made else begun
        return self._all[state]

    def _begin(self, state: State) -> Beginnings:
        if state not in self._begun:
            wanted = self.levels[state] - 1
            leads_to = {back: perm.compose(back, state) for back in self._backs}
            nearer = {back: there for back, there in leads_to.items() if self.levels.get(there) == wanted}
            made: Made = {}
            for first in self._first:
                if first.application.back in nearer:
                    self._note(made, first, self._meeting(nearer[first.application.back], first.line))
            self._begun[state] = self._joined(made, 1)
        return self._begun[state]

    @cached_property
    def _backs(self) -> dict[Permutation, None]:
        """What undoes an application, each once."""
        return dict.fromkeys(each.back for each in self.applications)

    @cached_property
    def _first(self) -> list[First]:
        return [self._as_first(each) for each in self.applications]

    @cached_property
    def _first_free(self) -> list[First]:
        return [self._as_first(each) for each in self.free]

    def _as_first(self, each: Application) -> First:
        ends = last_run(each.turns, self.puzzle)
        ahead = each.turns[: -len(ends)]
        begins = ahead[: self.told_apart]
        return First(each, self.puzzle.line(ends[0]), ends, begins, effort(ahead, self.puzzle))

    def _rest(self, solution: Solution, line: frozenset[str]) -> Rest:
        """A solution, to come behind turns about a line."""
        turns, puzzle = solution.turns, self.puzzle
        meets = bool(turns) and puzzle.line(turns[0]) == line
        if (solution, meets) not in self._rests:
            starts = first_run(turns, puzzle) if meets else ()
            self._rests[solution, meets] = Rest(solution, starts, puzzle)
        return self._rests[solution, meets]

    def _meeting(self, state: State, line: frozenset[str]) -> Sequence[Rest]:
        """The shortest solution of a state, then all that begin with turns about a line."""
        if (state, line) not in self._met:
            rests = [self._rest(each, line) for each in self._solutions(state).values()]
            shortest = min(rests, key=lambda rest: rest.solution.length)
            about = (rest for rest in rests if rest.starts and rest is not shortest)
            self._met[state, line] = [shortest, *about]
        return self._met[state, line]

    def _note(self, made: Made, first: First, rests: Iterable[Rest]) -> None:
        """One application before solutions: keeps of all that begin alike the shortest, of these the easiest.

        Few of very many are kept, and their turns are put in a row only then: what turns become where they
        meet tells the rest.
        """
        for rest in rests:
            begins, length = self._joint(first, rest)
            known = made.get(begins)
            if known is None or length <= known[0][0]:
                costs = length, self._joint_ease(first, rest)
                if known is None or costs < known[0]:
                    made[begins] = costs, first.application, rest.solution

    def _joint(self, first: First, rest: Rest) -> tuple[tuple[Turn, ...], int]:
        """How an application and then a solution begin, and how long they are together, in OBTM."""
        seam = self._seam(first.ends, rest.starts)
        if seam is None:
            turns = join(first.application.turns, rest.solution.turns, self.puzzle)
            return turns[: self.told_apart], obtm(turns, self.puzzle)
        begins = first.begins
        if missing := self.told_apart - len(begins):
            begins = (*begins, *seam.turns, *rest.behind[:missing])[: self.told_apart]
        return begins, first.application.length + rest.solution.length - seam.saved

    def _joint_ease(self, first: First, rest: Rest) -> Ease:
        """How easy they are together."""
        if seam := self._seam(first.ends, rest.starts):
            return ease_of(first.effort, seam.effort, rest.effort)
        return ease(join(first.application.turns, rest.solution.turns, self.puzzle), self.puzzle)

    def _seam(self, ends: tuple[Turn, ...], starts: tuple[Turn, ...]) -> Seam | None:
        """What turns about one line become where they meet; None where nothing is left, and more may meet."""
        if (ends, starts) not in self._seams:
            puzzle, met = self.puzzle, join(ends, starts, self.puzzle)
            saved = obtm(ends + starts, puzzle) - obtm(met, puzzle)
            self._seams[ends, starts] = Seam(met, saved, effort(met, puzzle)) if met else None
        return self._seams[ends, starts]

    def _joined(self, made: Made, used: int) -> Beginnings:
        """What was kept, as solutions with so many applications more."""
        return {
            begins: rest if first is None else self._after(first, rest, used)
            for begins, (_, first, rest) in made.items()
        }

    def _after(self, first: Application, rest: Solution, used: int) -> Solution:
        turns = join(first.turns, rest.turns, self.puzzle)
        length = obtm(turns, self.puzzle)
        done = perm.compose(first.permutation, rest.permutation)
        return Solution((first, *rest.applications), rest.used + used, turns, length, done)


class TakenUp(Solver):
    """By what takes least when the puzzle is first taken up otherwise, which is counted as nothing.

    `wholes` are the ways to hold it that make no difference to what is reached already.
    """

    def __init__(
        self, solver: Solver, wholes: Mapping[Permutation, tuple[Turn, ...]], puzzle: Puzzle
    ) -> None:
        self.solver = solver
        self.wholes = wholes
        self.puzzle = puzzle

    def _taken_up(self, state: State) -> Permutation:
        """How to take it up; as it is, if that is as good as any."""
        solver = self.solver

        def takes(whole: Permutation) -> tuple[bool, Measure | None, int]:
            measured = solver.measure(_after(state, whole))
            return measured is None, measured, len(self.wholes[whole])

        return min(self.wholes, key=takes)

    def as_taken_up(self, state: State) -> State:
        return _after(state, self._taken_up(state))

    def measure(self, state: State) -> Measure | None:
        return self.solver.measure(self.as_taken_up(state))

    def solve(self, state: State) -> Solution | None:
        whole = self._taken_up(state)
        found, turns = self.solver.solve(_after(state, whole)), self.wholes[whole]
        if found is None or not turns:
            return found
        first = application(write_all(turns, self.puzzle), turns, whole, self.puzzle)
        done = perm.compose(whole, found.permutation)
        return replace(
            found,
            applications=(first, *found.applications),
            turns=(*turns, *found.turns),
            permutation=done,
        )


def _after(state: State, done: Permutation) -> State:
    """The state that another becomes when something is done."""
    return perm.compose(perm.inverse(done), state)


class ByAnyTurns(Solver):
    """By the fewest turns, and of all that are as few by the easiest; found from both ends.

    `hold` are turns of the whole puzzle, of which some may be done first; they are not counted. A turn of an
    inner layer counts as one while solutions are sought, and as what it is in OBTM when they are measured.
    `cases` has for each state the first that shows the same case.
    """

    def __init__(
        self,
        goal: State,
        cases: Mapping[State, State],
        turns: Turns,
        longest: int,
        hold: Iterable[Turn] = (),
        most: int | None = None,
    ) -> None:
        self.most = MOST_STATES if most is None else most
        self.turns = turns
        self.goal = goal
        self.holds = {perm.inverse(whole): spelled for whole, spelled in held_by(hold, turns.puzzle).items()}
        """What undoes each way to hold the puzzle, and how it is written."""
        self.behind: list[set[Short]] = [{self._short(goal)}]
        """States by how many turns they are from the goal."""
        self.met: dict[State, tuple[list[set[Short]], int]] = {}
        """For each case the states by how many turns they are from it, and the level behind that is met."""
        self.solutions: dict[State, Solution | None] = {goal: Solution((), 0, (), 0, turns.puzzle.identity)}
        self._meet(cases, longest)
        if len(self.met) <= FEW_CASES:
            for case in self.met:
                self.solve(case)
            self.met, self.behind = {}, []  # which take much memory, and are not needed any more

    def _meet(self, cases: Mapping[State, State], longest: int) -> None:
        """From the side where there is less to do, until every case is met or no more turns are allowed.

        Of the states that show one case it is enough to meet one.
        """
        starts = {state: set(self._held(state)) for state, case in cases.items() if case != cases[self.goal]}
        left = {state: [start] for state, start in starts.items() if start}
        known = 0
        for done in range(longest + 1):
            met = [state for state, levels in left.items() if not levels[-1].isdisjoint(self.behind[-1])]
            self.met.update((state, (left[state], len(self.behind) - 1)) for state in met)
            done_with = {cases[state] for state in met}
            left = {state: levels for state, levels in left.items() if cases[state] not in done_with}
            if not left or done == longest:
                break
            sides = len(self.behind[-1]), sum(len(levels[-1]) for levels in left.values())
            known += min(sides) * len(self.turns.listed)
            if known > self.most:
                what = (
                    f"between its {len(set(cases.values())):,} cases and its goal there are more than "
                    f"{self.most:,} positions to look at by {done + 1} turns"
                )
                raise TooMany(what, f"allow fewer turns, or turns of fewer faces; or {FEWER_PIECES}")
            if sides[0] <= sides[1]:
                self.behind.append(self._next(self.behind))
            else:
                for levels in left.values():
                    levels.append(self._next(levels))

    def _short(self, state: State) -> Short:
        return state[: len(self.turns.puzzle.stickers)]

    def _whole(self, short: Short) -> State:
        return padded(short, self.turns.puzzle)

    def _held(self, case: State) -> dict[Short, tuple[Turn, ...]]:
        """What a case is when held otherwise, where all that no turn moves is as the goal has it."""
        starts = ((perm.compose(back, case), spelled) for back, spelled in reversed(self.holds.items()))
        goal, still = self.goal, self._still
        return {
            self._short(there): spelled
            for there, spelled in starts
            if all(there[slot] == goal[slot] for slot in still)
        }

    @cached_property
    def _still(self) -> list[int]:
        """The slots whose stickers no turn moves."""
        tables = self.turns.permutations
        return [slot for slot in range(len(self.goal)) if all(table[slot] == slot for table in tables)]

    def _next(self, levels: Sequence[set[Short]]) -> set[Short]:
        """The states that one more turn leads to, and no fewer: every turn can also be undone by one."""
        return perm.products(self._tables, map(self._whole, levels[-1])).difference(*levels[-2:])

    def measure(self, state: State) -> Measure | None:
        if state == self.goal:
            return 0, 0
        if state not in self.met or max(self.turns.lengths) > 1:
            solution = self.solve(state)
            return (1, solution.length) if solution else None
        ahead, behind = self.met[state]
        return 1, len(ahead) - 1 + behind

    def solve(self, state: State) -> Solution | None:
        if state not in self.solutions:
            self.solutions[state] = self._easiest(state) if state in self.met else None
        return self.solutions[state]

    def _easiest(self, state: State) -> Solution:
        turns, puzzle = self.turns, self.turns.puzzle

        def effort(way: tuple[tuple[Turn, ...], Word]) -> tuple[int, tuple[int, ...], int, Word]:
            hold, word = way
            spelled = turns.spelled(word)
            return obtm(spelled, puzzle), ease(spelled, puzzle), len(hold), word

        hold, word = min(((hold, turns.ordered(word)) for hold, word in self._shortest(state)), key=effort)
        spelled = (*hold, *simplify(turns.spelled(word), puzzle))
        done = permutation_of(spelled, puzzle)
        whole = application(write_all(spelled, puzzle), spelled, done, puzzle)
        return Solution((whole,), 1, spelled, whole.length, done)

    def _shortest(self, case: State) -> Iterator[tuple[tuple[Turn, ...], Word]]:
        """Every hold and word of the fewest turns, through each state in which both sides meet."""
        ahead, behind = self.met[case]
        starts = self._held(case)
        for middle in ahead[-1] & self.behind[behind]:
            back = [(starts[start], self._undone(word)) for word, start in self._down(middle, ahead)]
            for word, _ in self._down(middle, self.behind[: behind + 1]):
                yield from ((hold, start + word) for hold, start in back)

    def _down(self, state: Short, levels: Sequence[set[Short]]) -> Iterator[tuple[Word, Short]]:
        """The words that lead from a state of the last level to one of the first, a level with each turn."""
        if len(levels) == 1:
            yield (), state
            return
        whole = self._whole(state)
        for turn, back in enumerate(self._backs):
            there = perm.compose(back, whole)
            if there in levels[-2]:
                for word, end in self._down(there, levels[:-1]):
                    yield (turn, *word), end

    @cached_property
    def _tables(self) -> list[Short]:
        """What makes of a state, by `compose`, the one before each turn."""
        return [self._short(table) for table in self.turns.permutations]

    @cached_property
    def _backs(self) -> list[Short]:
        return [self._short(perm.inverse(table)) for table in self.turns.permutations]

    @cached_property
    def _undoing(self) -> list[int]:
        """For each turn the one that undoes it."""
        return [self._tables.index(back) for back in self._backs]

    def _undone(self, word: Word) -> Word:
        return tuple(self._undoing[turn] for turn in reversed(word))
