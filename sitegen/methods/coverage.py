"""Which cases of each step its means solve, and how: counted, and listed for whoever is to learn them.

Knows plans; knows nothing of pages.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from sitegen.effects.likeness import seen
from sitegen.effects.words import in_a_row
from sitegen.methods.goals import State, only_place
from sitegen.methods.packed import packed, unpacked
from sitegen.methods.plan import Plan, Step
from sitegen.methods.same_solution import LikeCases, kinds
from sitegen.methods.solving import Solution
from sitegen.moves.notation import write_all
from sitegen.progress import Progress, quiet
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Puzzle

MOST_DRAWN = 60
"""So many cases of a step are drawn, those that take least, and"""
MOST_TOLD = 2_000
"""so many more are told in words. Of a step with still more there is a full list."""
MOST_UNSOLVED = 12
"""Of those that nothing solves, so many are drawn."""


@dataclass(frozen=True)
class Case:
    """One case, and those that the same solves with the puzzle held otherwise."""

    position: tuple[int, ...]
    """Where the sticker of each slot is, in some position that is such a case; empty where none is drawn."""
    shown: tuple[int, ...]
    """The slots whose stickers matter."""
    words: str
    held: tuple[str, ...]
    """The turns of the whole puzzle after which the same solves as many others, each of them one more."""
    applications: tuple[str, ...] = ()
    """What solves it, one after another; nothing for a case that is not covered."""
    turns: str = ""
    length: int = 0
    """In OBTM."""

    @property
    def stands_for(self) -> int:
        """How many cases it stands for, itself among them."""
        return 1 + len(self.held)


@dataclass(frozen=True)
class CaseList:
    """Some cases of a step: the first of them are drawn, more are told in words, the rest only listed."""

    drawn: tuple[Case, ...]
    told: tuple[Case, ...]
    left_out: int
    """How many cases are neither, and stand in the full list of the step alone."""
    kinds: int
    """How many cases there are that none of the others stands for: for each a solution, if any solves it."""

    @property
    def listed(self) -> tuple[Case, ...]:
        """The cases that a sheet has room for."""
        return (*self.drawn, *self.told)

    @property
    def number(self) -> int:
        """How many cases there are, drawn or not."""
        return self.left_out + sum(case.stands_for for case in self.listed)


@dataclass(frozen=True)
class Coverage:
    """What the means of one step solve: numbers over all its cases, and lists of these."""

    stage: int
    name: str
    cases: int
    covered: int
    applications: Mapping[int, int]
    """For each number of applications how many cases take so many."""
    turns: Mapping[int, int]
    """For each number of turns (OBTM) how many cases take so many."""
    holds: int
    """In how many ways the puzzle can be held in each case without making another case of it."""
    sheet: CaseList
    """All that are solved, but for the one with nothing to do."""
    uncovered: CaseList
    packed: str
    """The full list, packed."""

    @property
    def drawn(self) -> tuple[Case, ...]:
        """The cases that are drawn, solved or not."""
        return (*self.sheet.drawn, *self.uncovered.drawn)

    @property
    def full_list(self) -> str:
        """All cases but the one with nothing to do, a line each; empty where the two lists leave none out."""
        return unpacked(self.packed)

    @property
    def mean_applications(self) -> float:
        """Over all the cases that are covered."""
        return _mean(self.applications)

    @property
    def most_applications(self) -> int:
        return max(self.applications)

    @property
    def mean_turns(self) -> float:
        """In OBTM, over all the cases that are covered."""
        return _mean(self.turns)

    @property
    def most_turns(self) -> int:
        return max(self.turns)


def _mean(counts: Mapping[int, int]) -> float:
    """The mean of numbers that each come up so many times; the case with nothing to do is among them."""
    return sum(number * many for number, many in counts.items()) / sum(counts.values())


def coverage(plan: Plan, progress: Progress = quiet) -> tuple[Coverage, ...]:
    """What each step of a plan solves, in order. Raises TooMany, with the stage."""
    steps = progress(plan.steps, len(plan.steps), "Going through all cases")
    return tuple(_coverage(step, plan.stages.index(step.stage)) for step in steps)


def _coverage(step: Step, stage: int) -> Coverage:
    solver = step.solver
    measured = {state: solver.measure(state) for state in step.cases.once}
    found = [takes for takes in measured.values() if takes]
    nothing = step.cases.distinct[step.reached]
    to_do = {state: takes for state, takes in measured.items() if state != nothing}
    together = list(kinds(step, to_do))
    solved = [kind for kind in together if solver.measure(kind.state)]
    sheet = _cases(solved, MOST_DRAWN, step)
    uncovered = _cases(together[len(solved) :], MOST_UNSOLVED, step)
    some_left_out = sheet.left_out or uncovered.left_out
    return Coverage(
        stage=stage,
        name=step.name,
        cases=len(measured),
        covered=len(found),
        applications=_counted(used for used, _ in found),
        turns=_counted(length for _, length in found),
        holds=len(step.cases.wholes),
        sheet=sheet,
        uncovered=uncovered,
        packed=packed(_lines(together, step) if some_left_out else ()),
    )


def _counted(numbers: Iterable[int]) -> dict[int, int]:
    return dict(sorted(Counter(numbers).items()))


def _cases(found: Sequence[LikeCases], most: int, step: Step) -> CaseList:
    drawn = tuple(_case(kind, step) for kind in found[:most])
    told = (_case(kind, step) for kind in found[most : most + MOST_TOLD])
    in_words = tuple(replace(case, position=(), shown=()) for case in told)
    left_out = sum(1 + len(kind.held) for kind in found[most + MOST_TOLD :])
    return CaseList(drawn, in_words, left_out, len(found))


def _lines(found: Iterable[LikeCases], step: Step) -> Iterator[str]:
    """Each case as in `UF is at UL and UR at UF: held by y: R U R' then @corners-round (10)`.

    Where its pieces are, how the puzzle is to be held, what solves it then, in how many turns (OBTM). Of a
    case that nothing solves the words alone.
    """
    puzzle = step.laws.puzzle
    for kind in found:
        position, solution = _solved(kind, step)
        for whole, turns in ((puzzle.identity, ()), *((way.whole, way.turns) for way in kind.held)):
            there = perm.compose(perm.compose(whole, position), perm.inverse(whole))
            words, held = astray(there, step.reached, puzzle), f"held by {write_all(turns, puzzle)}: "
            if solution is None:
                yield words
                continue
            done = " then ".join(each.text for each in solution.applications)
            yield f"{words}: {held if turns else ''}{done} ({solution.length})"


def _solved(kind: LikeCases, step: Step) -> tuple[Permutation, Solution | None]:
    """A position that is such a case, and the solution of it, if there is one."""
    solution = step.solver.solve(kind.state)
    position = perm.inverse(solution.permutation) if solution else step.cases.position(kind.state)
    assert position is not None  # it is a case
    return position, solution


def _case(kind: LikeCases, step: Step) -> Case:
    (position, solution), puzzle = _solved(kind, step), step.laws.puzzle
    case = Case(
        position=tuple(position)[: len(puzzle.stickers)],
        shown=_shown(kind.state),
        words=astray(position, step.reached, puzzle),
        held=tuple(write_all(way.turns, puzzle) for way in kind.held),
    )
    if solution is None:
        return case
    return replace(
        case,
        applications=tuple(each.text for each in solution.applications),
        turns=write_all(solution.turns, puzzle),
        length=solution.length,
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
        if only_place(piece, reached):
            parts.append((piece.name, puzzle.piece_at(there).name))
        else:
            parts.append((puzzle.stickers[asked[0]].name, puzzle.stickers[there].name))
    return in_a_row(parts, "is", "at") if parts else "nothing is to be done"
