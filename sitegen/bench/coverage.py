"""Which cases of each step its means solve, and how: counted, and listed for whoever is to learn them.

Knows plans; knows nothing of pages.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from sitegen.bench.alike import alike
from sitegen.bench.goals import State
from sitegen.bench.plan import Plan, Step
from sitegen.effects.likeness import seen
from sitegen.effects.words import listed
from sitegen.moves.notation import write_all
from sitegen.progress import Progress, quiet
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Puzzle

MOST_LISTED = 60
"""So many cases of a step are listed, those that take least."""
MOST_UNCOVERED = 12


@dataclass(frozen=True)
class Case:
    """One case, standing for all that are like it."""

    position: tuple[int, ...]
    """Where the sticker of each slot is, in some position that is such a case; empty where none is known."""
    shown: tuple[int, ...]
    """The slots whose stickers matter."""
    words: str
    like_it: int
    """How many cases it stands for, itself among them."""
    applications: tuple[str, ...] = ()
    """What solves it, one after another; nothing for a case that is not covered."""
    turns: str = ""
    length: int = 0
    """In OBTM."""


@dataclass(frozen=True)
class Coverage:
    """Of one step."""

    stage: int
    name: str
    cases: int
    covered: int
    applications: Mapping[int, int]
    """How many cases take so many applications."""
    turns: Mapping[int, int]
    """How many cases take so many turns (OBTM)."""
    kinds: int
    """How many cases are different when none is told from those alike."""
    unlisted: int
    """How many of these are solved, and not on the sheet for want of room."""
    sheet: tuple[Case, ...]
    uncovered: tuple[Case, ...]

    @property
    def mean_applications(self) -> float:
        return _mean(self.applications)

    @property
    def most_applications(self) -> int:
        return max(self.applications)

    @property
    def mean_turns(self) -> float:
        return _mean(self.turns)

    @property
    def most_turns(self) -> int:
        return max(self.turns)


def _mean(counts: Mapping[int, int]) -> float:
    """Of numbers that come up so many times; the case with nothing to do is always among them."""
    return sum(number * many for number, many in counts.items()) / sum(counts.values())


def coverage(plan: Plan, progress: Progress = quiet) -> tuple[Coverage, ...]:
    """Of all steps in order. Raises TooMany."""
    steps = progress(plan.steps, len(plan.steps), "Going through all cases")
    return tuple(_coverage(step, plan.stages.index(step.stage)) for step in steps)


def _coverage(step: Step, stage: int) -> Coverage:
    solver = step.solver
    measured = {state: solver.measure(state) for state in step.cases.states}
    found = {state: takes for state, takes in measured.items() if takes}
    kinds = list(alike(step))
    # Of cases that are alike some may be covered and some not: a tool need not have its mirror image.
    covered = [kind for states in kinds if (kind := [state for state in states if state in found])]
    missing = [kind for states in kinds if (kind := [state for state in states if state not in found])]
    first = {id(kind): min(kind, key=found.__getitem__) for kind in covered}
    covered.sort(key=lambda kind: found[first[id(kind)]])
    to_learn = [kind for kind in covered if first[id(kind)] != step.reached]
    return Coverage(
        stage=stage,
        name=step.name,
        cases=len(measured),
        covered=len(found),
        applications=_counted(used for used, _ in found.values()),
        turns=_counted(length for _, length in found.values()),
        kinds=len(kinds),
        unlisted=max(0, len(to_learn) - MOST_LISTED),
        sheet=tuple(_solved(first[id(kind)], len(kind), step) for kind in to_learn[:MOST_LISTED]),
        uncovered=tuple(_unsolved(kind[0], len(kind), step) for kind in missing[:MOST_UNCOVERED]),
    )


def _counted(numbers: Iterable[int]) -> dict[int, int]:
    return dict(sorted(Counter(numbers).items()))


def _solved(state: State, like_it: int, step: Step) -> Case:
    solution, puzzle = step.solver.solve(state), step.laws.puzzle
    assert solution is not None  # it was measured
    return Case(
        position=tuple(perm.inverse(solution.permutation))[: len(puzzle.stickers)],
        shown=_shown(state),
        words=astray(perm.inverse(solution.permutation), step.reached, puzzle),
        like_it=like_it,
        applications=tuple(each.text for each in solution.applications),
        turns=write_all(solution.turns, puzzle),
        length=solution.length,
    )


def _unsolved(state: State, like_it: int, step: Step) -> Case:
    position, puzzle = step.cases.position(state), step.laws.puzzle
    assert position is not None  # it is a case
    return Case(
        position=tuple(position)[: len(puzzle.stickers)],
        shown=_shown(state),
        words=astray(position, step.reached, puzzle),
        like_it=like_it,
    )


def _shown(state: State) -> tuple[int, ...]:
    return tuple(slot for slot, label in enumerate(state) if label)


def astray(position: Permutation, reached: State, puzzle: Puzzle) -> str:
    """Where the pieces are that are not as a goal asks: `FR is at UF and UF at RF`.

    Pieces of which only the place matters are named without regard to their first sticker. A piece where one
    belongs that looks like it is as good as that one.
    """
    position, parts = seen(puzzle, position), []
    for piece in puzzle.pieces:
        asked = [slot for slot in piece.stickers if reached[slot]]
        if all(reached[position[slot]] == reached[slot] for slot in asked):
            continue
        there = position[asked[0]]
        only_place = len({reached[slot] for slot in piece.stickers}) == 1 < len(piece.stickers)
        place = puzzle.piece_at(there).name if only_place else puzzle.stickers[there].name
        parts.append((piece.name if only_place else puzzle.stickers[asked[0]].name, place))
    if not parts:
        return "nothing is to be done"
    first, *others = (f"{name} is at {place}" for name, place in parts)
    return listed([first, *(text.replace(" is at ", " at ") for text in others)])
