"""How each case of a step is solved: with the fewest applications of the tools, or the fewest turns of any.

From the goal backwards: a state from which one application leads to a state of some level is on the next.
By any turns from both sides, and not as sequences are searched for: `search/two_sided.py` says why.
Knows states and what may be done; knows nothing of stages.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from operator import itemgetter

from sitegen.effects.effect import held_by
from sitegen.methods.cases import FEWER_PIECES, TooMany
from sitegen.methods.goals import State, all_padded, padded
from sitegen.methods.tools import Application, application
from sitegen.moves.metrics import obtm
from sitegen.moves.notation import write_all
from sitegen.moves.shorthand import InShorthand, Row, shorthand_of
from sitegen.moves.simplify import simplify
from sitegen.moves.turning import permutation_of
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Puzzle, Turn
from sitegen.search.ease import ease, ease_of_row
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
class Solution(InShorthand):
    """What leads from a case to the goal: one application after another."""

    applications: tuple[Application, ...]
    used: int
    """How many of them use a tool, or are more than turns of a layer."""

    @cached_property
    def permutation(self) -> Permutation:
        """What all of it does."""
        return perm.successive(self.puzzle.identity, (each.permutation for each in self.applications))

    @cached_property
    def back(self) -> Permutation:
        """What undoes it."""
        return perm.inverse(self.permutation)


Short = Permutation
"""A state, or what is composed with one, without what it is padded with: there are millions of them."""
Measure = tuple[int, int]
"""Applications and turns (OBTM) that a solution takes."""
Levels = list[set[Short]]
"""States by how many turns they are from where a search begins."""
Beginnings = dict[Row, Solution]
"""Solutions of one state, by the turns with which they begin."""
Rest = tuple[Row, Solution]
"""A solution that something is to come before, and the turns at its beginning that meet it."""
Made = dict[Row, tuple[int, Row, Application | None, Solution]]
"""By the turns with which it begins, the best so far: length in OBTM, all its turns, and what it is made of:
an application that comes first, or none, and a solution."""


class Solver(ABC):
    """Finds the solutions of the cases that it was made for."""

    @abstractmethod
    def measure(self, state: State) -> Measure | None:
        """What the simplest solution of a case takes, if there is one."""

    def solve(self, state: State) -> Solution | None:
        """The simplest solution of a case, or None where there is none."""
        if state not in self._known:
            self._known[state] = self._simplest(state)
        return self._known[state]

    @cached_property
    def _known(self) -> dict[State, Solution | None]:
        """What was found so far."""
        return {}

    @abstractmethod
    def _simplest(self, state: State) -> Solution | None:
        """The simplest solution of a case, sought."""

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
        self.shorthand = shorthand_of(puzzle)
        self.told_apart = told_apart
        self.applications = applications
        self.free = free
        self.levels: dict[State, int] = {}
        """How many applications lead from a state to the goal."""
        self._begun: dict[State, Beginnings] = {goal: {"": Solution(puzzle, "", 0, (), 0)}}
        """The solutions that begin with an application."""
        self._all: dict[State, Beginnings] = {}
        self._met: dict[tuple[State, str], Sequence[Rest]] = {}
        self._best: dict[tuple[State, Row], Sequence[Rest]] = {}
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

    def _simplest(self, state: State) -> Solution | None:
        if state not in self.levels:
            return None
        solutions = self._solutions(state).values()
        fewest = min(each.length for each in solutions)
        shortest = [each for each in solutions if each.length == fewest]
        return min(shortest, key=lambda each: ease_of_row(each.row, self.shorthand))

    def _solutions(self, state: State) -> Beginnings:
        """With or without a free turn to begin with."""
        if state not in self._all:
            begun = self._begin(state)
            made: Made = {
                begins: (each.length, each.row, None, each)
                for begins, each in (begun.items() if self.free else ())
            }
            for first in self.free:
                there = self._begin(perm.compose(first.back, state))
                ends = self.shorthand.last_run(first.row)
                self._note(made, first, ends, self._rests(there.values(), self.shorthand.line(ends[0])))
            self._all[state] = self._joined(made, 0) if made else begun
        return self._all[state]

    def _begin(self, state: State) -> Beginnings:
        if state not in self._begun:
            wanted = self.levels[state] - 1
            leads_to = {back: perm.compose(back, state) for back in self._backs}
            nearer = {back: there for back, there in leads_to.items() if self.levels.get(there) == wanted}
            made: Made = {}
            for first, ends in self._ending:
                if first.back in nearer:
                    told = len(first.row) - len(ends) >= self.told_apart
                    meeting = self._best_meeting if told else self._meeting
                    self._note(made, first, ends, meeting(nearer[first.back], ends))
            self._begun[state] = self._joined(made, 1)
        return self._begun[state]

    @cached_property
    def _backs(self) -> dict[Permutation, None]:
        """What undoes an application, each once."""
        return dict.fromkeys(each.back for each in self.applications)

    @cached_property
    def _ending(self) -> list[tuple[Application, Row]]:
        """Each application with the turns about one line that stand together at its end."""
        return [(each, self.shorthand.last_run(each.row)) for each in self.applications]

    def _rests(self, solutions: Iterable[Solution], line: str) -> list[Rest]:
        """Solutions, to come behind turns about a line."""
        starts, begins_about = self.shorthand.first_run, self.shorthand.line
        return [
            (starts(each.row) if each.row and begins_about(each.row[0]) == line else "", each)
            for each in solutions
        ]

    def _meeting(self, state: State, ends: Row) -> Sequence[Rest]:
        """The shortest solution of a state, then all whose beginning meets turns that end so."""
        line = self.shorthand.line(ends[0])
        if (state, line) not in self._met:
            rests = self._rests(self._solutions(state).values(), line)
            shortest = min(rests, key=lambda rest: rest[1].length)
            about = (rest for rest in rests if rest[0] and rest is not shortest)
            self._met[state, line] = [shortest, *about]
        return self._met[state, line]

    def _best_meeting(self, state: State, ends: Row) -> Sequence[Rest]:
        """Those of them that may be best behind turns by whose beginning alone all are told apart.

        Then all begin alike, and the shortest are best; but how long it becomes is not known where nothing
        is left of what meets. The first stays too, so that what begins first comes first.
        """
        if (state, ends) not in self._best:
            rests = self._meeting(state, ends)
            lengths = [self._length_behind(ends, rest) for rest in rests]
            known = [length for length in lengths if length is not None]
            kept = (None, min(known)) if known else (None,)
            first = lengths.index(known[0]) if known else 0
            self._best[state, ends] = [
                rest for number, rest in enumerate(rests) if lengths[number] in kept or number == first
            ]
        return self._best[state, ends]

    def _length_behind(self, ends: Row, rest: Rest) -> int | None:
        """How much longer a solution makes turns that end so; None where nothing is left of what meets."""
        starts, solution = rest
        if not starts:
            return solution.length
        left, saved = self.shorthand.seam(ends, starts)
        return solution.length - saved if left else None

    def _note(self, made: Made, first: Application, ends: Row, rests: Iterable[Rest]) -> None:
        """An application before solutions: of all that begin alike the shortest and easiest is kept."""
        shorthand = self.shorthand
        ahead = first.row[: -len(ends)]
        for starts, rest in rests:
            length = first.length + rest.length
            if not starts:
                row = first.row + rest.row
            elif (seam := shorthand.seam(ends, starts)).row:
                row = ahead + seam.row + rest.row[len(starts) :]
                length -= seam.saved
            else:
                row = shorthand.join(first.row, rest.row)
                length = shorthand.length(row)
            begins = row[: self.told_apart]
            known = made.get(begins)
            if known is None or length < known[0] or (length == known[0] and self._easier(row, known[1])):
                made[begins] = length, row, first, rest

    def _easier(self, row: Row, known: Row) -> bool:
        """Whether one of two rows of one length is easier than the other."""
        return ease_of_row(row, self.shorthand) < ease_of_row(known, self.shorthand)

    def _joined(self, made: Made, used: int) -> Beginnings:
        """What was kept, as solutions with so many applications more."""
        return {
            begins: Solution(self.puzzle, row, length, (first, *rest.applications), rest.used + used)
            if first
            else rest
            for begins, (length, row, first, rest) in made.items()
        }


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
        self.shorthand = shorthand_of(puzzle)

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

    def _simplest(self, state: State) -> Solution | None:
        whole = self._taken_up(state)
        found, turns = self.solver.solve(_after(state, whole)), self.wholes[whole]
        if found is None or not turns:
            return found
        first = application(write_all(turns, self.puzzle), self.shorthand.row(turns), whole, self.puzzle)
        return replace(found, applications=(first, *found.applications), row=first.row + found.row)


def _after(state: State, done: Permutation) -> State:
    """The state that another becomes when something is done."""
    return perm.compose(perm.inverse(done), state)


@dataclass(frozen=True)
class Meeting:
    """Where turns from a case and turns back from the goal lead to the same."""

    middles: set[Short]
    ahead: Levels
    """From the case, as far as the middles or those before them."""
    turns_ahead: int
    """How many turns lead from the case to the middles, and how many from there to the goal."""
    turns_behind: int


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
        self.behind: Levels = [{self._short(goal)}]
        """From the goal."""
        self.met: dict[State, Meeting] = {}
        """For each case how it and the goal are met."""
        self._meet(cases, longest)
        if len(self.met) <= FEW_CASES:
            for case in self.met:
                self.solve(case)
            self.met, self.behind = {}, []  # which take much memory, and are not needed any more

    def _meet(self, cases: Mapping[State, State], longest: int) -> None:
        """From the side where there is less to do, until every case is met or no more turns are allowed.

        Of the states that show one case it is enough to meet one. The states of one more turn are kept only
        if there is still something to meet behind them: mostly there is not, and they are the most by far.
        """
        starts = {state: set(self._held(state)) for state, case in cases.items() if case != cases[self.goal]}
        left = {state: [start] for state, start in starts.items() if start}
        met: Mapping[State, Meeting] = {
            state: Meeting(levels[0] & self.behind[0], levels, 0, 0) for state, levels in left.items()
        }
        known, backwards = 0, False
        for done in range(longest + 1):
            self.met.update((state, each) for state, each in met.items() if each.middles)
            done_with = {cases[state] for state, each in met.items() if each.middles}
            left = {state: levels for state, levels in left.items() if cases[state] not in done_with}
            if not left or done == longest:
                break
            if done:
                self._keep_next(left, backwards)
            sides = len(self.behind[-1]), sum(len(levels[-1]) for levels in left.values())
            known += min(sides) * len(self.turns.listed)
            if known > self.most:
                what = (
                    f"between its {len(set(cases.values())):,} cases and its goal there are more than "
                    f"{self.most:,} positions to look at by {done + 1} turns"
                )
                raise TooMany(what, f"allow fewer turns, or turns of fewer faces; or {FEWER_PIECES}")
            backwards = sides[0] <= sides[1]
            met = self._one_turn_more(left, backwards)

    def _keep_next(self, left: Mapping[State, Levels], backwards: bool) -> None:
        """One level more, behind or ahead of each case."""
        for levels in [self.behind] if backwards else left.values():
            fresh = perm.products(self._tables, self._whole(levels[-1]))
            levels.append(fresh.difference(*levels[-2:]))  # every turn can also be undone by one

    def _one_turn_more(self, left: Mapping[State, Levels], backwards: bool) -> Mapping[State, Meeting]:
        """How each case meets the goal by one turn more than are kept, behind or ahead."""
        if backwards:
            ends: set[Short] = set().union(*(levels[-1] for levels in left.values()))
            found = perm.products_among(self._tables, self._whole(self.behind[-1]), ends)
            middles = {state: levels[-1] & found for state, levels in left.items()}
        else:
            goal = self.behind[-1]
            middles = {
                state: perm.products_among(self._tables, self._whole(levels[-1]), goal)
                for state, levels in left.items()
            }
        behind = len(self.behind) - (not backwards)
        return {
            state: Meeting(middles[state], levels, len(levels) - backwards, behind)
            for state, levels in left.items()
        }

    def _short(self, state: State) -> Short:
        return state[: len(self.turns.puzzle.stickers)]

    def _whole(self, shorts: Iterable[Short]) -> list[State]:
        return all_padded(shorts, self.turns.puzzle)

    def _held(self, case: State) -> dict[Short, tuple[Turn, ...]]:
        """What a case is when held otherwise, where all that no turn moves is as the goal has it."""
        starts = ((perm.compose(back, case), spelled) for back, spelled in reversed(self.holds.items()))
        still = self._still
        resting = still(self.goal)
        return {self._short(there): spelled for there, spelled in starts if still(there) == resting}

    @cached_property
    def _still(self) -> Callable[[State], object]:
        """What is in the slots whose stickers no turn moves."""
        tables = self.turns.permutations
        slots = [slot for slot in range(len(self.goal)) if all(table[slot] == slot for table in tables)]
        return itemgetter(*slots) if slots else itemgetter(slice(0))

    def measure(self, state: State) -> Measure | None:
        if state == self.goal:
            return 0, 0
        if state not in self.met or max(self.turns.lengths) > 1:
            solution = self.solve(state)
            return (1, solution.length) if solution else None
        return 1, self.met[state].turns_ahead + self.met[state].turns_behind

    def _simplest(self, state: State) -> Solution | None:
        turns, puzzle = self.turns, self.turns.puzzle
        if state == self.goal:
            return Solution(puzzle, "", 0, (), 0)
        if state not in self.met:
            return None

        def effort(way: tuple[tuple[Turn, ...], Word]) -> tuple[int, tuple[int, ...], int, Word]:
            hold, word = way
            spelled = turns.spelled(word)
            return obtm(spelled, puzzle), ease(spelled, puzzle), len(hold), word

        hold, word = min(((hold, turns.ordered(word)) for hold, word in self._shortest(state)), key=effort)
        spelled = (*hold, *simplify(turns.spelled(word), puzzle))
        done = permutation_of(spelled, puzzle)
        whole = application(write_all(spelled, puzzle), shorthand_of(puzzle).row(spelled), done, puzzle)
        return Solution(puzzle, whole.row, whole.length, (whole,), 1)

    def _shortest(self, case: State) -> Iterator[tuple[tuple[Turn, ...], Word]]:
        """Every hold and word of the fewest turns, through each state in which both sides meet."""
        met, starts = self.met[case], self._held(case)
        for middle in met.middles:
            back = [
                (starts[start], self._undone(word))
                for word, start in self._down(middle, met.ahead, met.turns_ahead)
            ]
            for word, _ in self._down(middle, self.behind, met.turns_behind):
                yield from ((hold, start + word) for hold, start in back)

    def _down(self, state: Short, levels: Levels, count: int) -> Iterator[tuple[Word, Short]]:
        """The words of so many turns that lead from a state to one of the first level, a level with each."""
        if not count:
            yield (), state
            return
        whole, level = padded(state, self.turns.puzzle), levels[count - 1]
        for turn, back in enumerate(self._backs):
            there = perm.compose(back, whole)
            if there in level:
                for word, end in self._down(there, levels, count - 1):
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
