"""A method as it is laid out: stages in order, each a goal or a row of them, and what may be used for it.

What earlier stages reached is left as it is, or put back, by everything that a later stage uses.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import groupby
from operator import attrgetter

from sitegen.effects.effect import held_by
from sitegen.effects.laws import Laws, laws_of
from sitegen.effects.piece_sets import Pieces
from sitegen.methods.cases import Cases, TooMany
from sitegen.methods.goals import HOME, Goal, State, labels
from sitegen.methods.solving import FEW_CASES, FEW_STATES, ByAnyTurns, ByTools, Solver, TakenUp
from sitegen.methods.tools import Application, Tool, Toolbox
from sitegen.moves.shorthand import Shorthand, shorthand_of
from sitegen.puzzles.puzzle import Piece, Puzzle, Turn
from sitegen.search.ease import ease
from sitegen.search.turns import Turns


@dataclass(frozen=True, eq=False)
class AnyTurns:
    """Any turns that are allowed, up to so many for a step."""

    turns: Turns
    longest: int
    hold: tuple[Turn, ...] = ()
    """Turns of the whole puzzle, of which some may be done first: where no centres say how it is held."""


Means = AnyTurns | Toolbox

MOST_LEFT = 70_000
"""More ways than this in which a puzzle can be are not counted."""
ALIKE = 12
"""So many applications that do the same are looked at, at most."""


@dataclass(frozen=True, eq=False)
class Stage:
    """`one_by_one` are the pieces of its steps by name; without any, the stage is one step."""

    title: str
    goals: tuple[Goal, ...]
    one_by_one: tuple[tuple[str, Pieces], ...]
    means: Means

    @property
    def tools(self) -> tuple[Tool, ...]:
        """The named sequences that it uses, if it uses any."""
        return self.means.tools if isinstance(self.means, Toolbox) else ()

    @property
    def steps(self) -> Iterator[tuple[str, tuple[Goal, ...]]]:
        """Each step by name, with what is wanted beside all before it."""
        if not self.one_by_one:
            yield "", self.goals
        for name, pieces in self.one_by_one:
            yield name, tuple(goal.only(pieces) for goal in self.goals)


@dataclass(frozen=True, eq=False)
class Step:
    """`before` is the state in which all earlier goals are reached, `reached` that with its own as well."""

    stage: Stage
    name: str
    before: State
    reached: State
    laws: Laws

    @cached_property
    def cases(self) -> Cases:
        """All that may stand before this step."""
        return Cases(self.laws, self.before, self.reached)

    @cached_property
    def free(self) -> list[Application]:
        """Turns of a layer alone that may be done at any time."""
        means = self.stage.means
        return means.free(self.before) if isinstance(means, Toolbox) else []

    @cached_property
    def solver(self) -> Solver:
        """What finds the solution of each case of this step. Raises TooMany, with the stage."""
        try:
            return self._solver()
        except TooMany as error:
            error.stage = self.stage
            raise

    def _solver(self) -> Solver:
        means, wholes = self.stage.means, self.cases.wholes
        solver = self._by_any_turns(means) if isinstance(means, AnyTurns) else self._by_tools(means)
        return TakenUp(solver, wholes, self.laws.puzzle) if len(wholes) > 1 else solver

    def _by_tools(self, box: Toolbox) -> Solver:
        cases = self.cases.states
        few = len(cases) <= FEW_CASES
        alike, told_apart = (ALIKE, box.longest + 2) if few else (1, 0)
        applications = box.applications(self.before, self._matter, alike)
        return ByTools(self.reached, cases, applications, self.free, told_apart, self.laws.puzzle)

    def _by_any_turns(self, means: AnyTurns) -> Solver:
        """Where all turns are too many to look at, those are as good that leave one piece as it is."""
        cases, longest = self.cases.distinct, means.longest
        hold = () if held_by(means.hold, self.laws.puzzle).keys() <= self.cases.wholes.keys() else means.hold
        if fewer := self._leaving_one_piece(means.turns):
            try:
                return ByAnyTurns(self.reached, cases, means.turns, longest, hold, FEW_STATES)
            except TooMany:
                return ByAnyTurns(self.reached, cases, fewer, longest)
        return ByAnyTurns(self.reached, cases, means.turns, longest, hold)

    def _leaving_one_piece(self, turns: Turns) -> Turns | None:
        """The easiest of those; none where centres are fixed, or no piece is known to be home."""
        puzzle = self.laws.puzzle
        pieces = [] if puzzle.fixed_centres else [piece for piece in puzzle.pieces if self._held_by(piece)]
        found = [fewer for piece in pieces if (fewer := turns.leaving(piece))]
        return min(found, key=lambda fewer: ease(fewer.listed, puzzle), default=None)

    def _held_by(self, piece: Piece) -> bool:
        """Whether a piece is home when the step begins, or however it lies the puzzle may be taken up so."""

        def told(state: State) -> bool:
            return all(state[slot] and state.count(state[slot]) == 1 for slot in piece.stickers)

        first, reach = piece.stickers[0], self.laws.reach
        places = {slot for slot, orbit in enumerate(reach) if orbit == reach[first]}
        anywhere = {whole[first] for whole in self.cases.wholes} == places
        return told(self.before) or (anywhere and told(self.reached))

    @property
    def _matter(self) -> list[int]:
        """The slots to which stickers come that goals ask about."""
        reach = self.laws.reach
        asked = {reach[slot] for slot, label in enumerate(self.reached) if label}
        return [sticker.index for sticker in self.laws.puzzle.stickers if reach[sticker.index] in asked]


@dataclass(frozen=True, eq=False)
class Plan:
    """A method for a puzzle: what is common to all its cases, and its steps, each knowing those before it."""

    puzzle: Puzzle
    stages: tuple[Stage, ...]

    @property
    def shorthand(self) -> Shorthand:
        """Of the puzzle's turns."""
        return shorthand_of(self.puzzle)

    @cached_property
    def laws(self) -> Laws:
        """The puzzle's laws, every sticker told from every other."""
        return laws_of(self.puzzle, False)

    @cached_property
    def steps(self) -> tuple[Step, ...]:
        """The steps of all stages in a row."""
        found: list[Step] = []
        goals: tuple[Goal, ...] = ()
        for stage in self.stages:
            for name, wanted in stage.steps:
                before = found[-1].reached if found else labels(self.puzzle, ())
                goals += wanted
                found.append(Step(stage, name, before, labels(self.puzzle, goals), self.laws))
        return tuple(found)

    @cached_property
    def by_stage(self) -> tuple[tuple[Stage, tuple[Step, ...]], ...]:
        """Each stage with its steps."""
        return tuple((stage, tuple(steps)) for stage, steps in groupby(self.steps, attrgetter("stage")))

    @cached_property
    def left(self) -> int | None:
        """In how many ways the puzzle can be when all goals are reached; None for too many to count."""
        home = Goal(frozenset(range(len(self.puzzle.pieces))), HOME)
        goals = [goal for stage in self.stages for goal in stage.goals]
        solved = labels(self.puzzle, (*goals, home))
        try:
            return len(Cases(self.laws, self.steps[-1].reached, solved, MOST_LEFT).once)
        except TooMany:
            return None
