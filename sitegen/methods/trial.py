"""A method tried on random positions: each solved by its means alone, and turned to see that it is solved.

A position is any that turning leads to, each as likely as any other: a factor is chosen from each level of
the chain by which the group of the puzzle's turns is known (see `effects/membership.py`), so that every
position is one product in just one way. Turns at random would not do: they favour what is near.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import islice
from math import ceil
from operator import attrgetter
from random import Random
from typing import NamedTuple

from sitegen.methods.goals import is_reached
from sitegen.methods.plan import Plan, Stage, Step
from sitegen.methods.solving import Solution
from sitegen.moves.notation import write_all
from sitegen.moves.shorthand import InShorthand, Row
from sitegen.progress import Progress, quiet
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.permutation import Permutation


@dataclass(frozen=True, eq=False)
class Part(InShorthand):
    """A stage gone through: the steps in which there was something to do, and all their turns together."""

    stage: Stage
    steps: tuple[tuple[Step, Solution], ...]


@dataclass(frozen=True, eq=False)
class Run(InShorthand):
    """One position, and how the method takes it through its stages, as far as it goes."""

    number: int
    position: Permutation
    parts: tuple[Part, ...]
    stuck: Step | None
    """The step that has no solution for it."""
    solved: bool
    """Whether all goals are reached, found by turning."""


def solve(plan: Plan, position: Permutation, number: int = 0) -> Run:
    """Step by step, each by its own simplest solution. Raises TooMany."""
    puzzle, shorthand = plan.puzzle, plan.shorthand
    back, stuck = perm.inverse(position), None
    parts: list[Part] = []
    whole: Row = ""
    for stage, steps in plan.by_stage:
        taken: list[tuple[Step, Solution]] = []
        row: Row = ""
        for step in steps:
            solution = step.solver.solve(perm.compose(back, step.reached))
            if solution is None:
                stuck = step
                break
            if solution.applications:
                taken.append((step, solution))
                row = shorthand.join(row, solution.row)
                back = perm.compose(solution.back, back)
        whole = shorthand.join(whole, row)
        if stuck:
            break
        parts.append(Part(puzzle, row, shorthand.length(row), stage, tuple(taken)))
    turned = shorthand.turned(position[: len(puzzle.stickers)], whole)
    solved = is_reached(turned, plan.steps[-1].reached)
    return Run(puzzle, whole, shorthand.length(whole), number, position, tuple(parts), stuck, solved)


def runs(plan: Plan, count: int, seed: int, progress: Progress = quiet) -> Iterator[Run]:
    """`count` random positions, each solved; the same for the same seed. Raises TooMany, with the stage."""
    for step in progress(plan.steps, len(plan.steps), "Going through all cases"):
        step.solver.measure(step.reached)
    for number, position in enumerate(progress(positions(plan, count, seed), count, "Solving"), 1):
        yield solve(plan, position, number)


def position_of(plan: Plan, number: int, seed: int) -> Permutation:
    """One of the random positions, counted from 1."""
    return next(islice(positions(plan, number, seed), number - 1, None))


def positions(plan: Plan, count: int, seed: int) -> Iterator[Permutation]:
    """`count` random positions, the same for the same seed."""
    random, group = Random(seed), plan.laws.group
    return (group.any(random) for _ in range(count))


@dataclass(frozen=True)
class Lengths:
    """In OBTM: the mean, and the length that half, and 95 in 100, do not exceed."""

    mean: float
    p50: int
    p95: int
    max: int


def lengths(found: Sequence[int]) -> Lengths:
    """What there is to say of one length or more; a share of them is rounded up to a whole number."""
    listed = sorted(found)
    half, most = (listed[ceil(len(listed) * share / 100) - 1] for share in (50, 95))
    return Lengths(round(sum(listed) / len(listed), 2), half, most, listed[-1])


@dataclass(frozen=True)
class StageTrial:
    """`tried` positions came to the stage, and `solved` through it."""

    tried: int
    solved: int
    length: Lengths | None


@dataclass(frozen=True)
class Trial:
    """What came of trying a method on random positions; lengths are in OBTM."""

    seed: int
    tried: int
    solved: int
    length: Lengths | None
    """Of the solutions of those that were solved; None where there is none."""
    stages: tuple[StageTrial, ...]
    counts: dict[int, int]
    """How many of those solved took so many turns."""
    longest: int
    """The number of the first position that took most turns; 0 where none is solved."""
    longest_turns: str
    """What solves it."""
    first_stuck: int
    """The number of the first position that was not solved; 0 for none."""


class Tried(NamedTuple):
    """What is counted of a position; lengths are in OBTM."""

    number: int
    parts: tuple[int, ...]
    """The lengths of the stages gone through."""
    solved: bool
    row: Row
    length: int


def tries(plan: Plan, count: int, seed: int, progress: Progress = quiet) -> Iterator[Tried]:
    """What there is to count of each of `count` random positions. Raises TooMany, with the stage."""
    for run in runs(plan, count, seed, progress):
        yield Tried(run.number, tuple([part.length for part in run.parts]), run.solved, run.row, run.length)


def trial(plan: Plan, count: int, seed: int, progress: Progress = quiet) -> Trial:
    """Raises TooMany, with the stage."""
    return summed(plan, seed, list(tries(plan, count, seed, progress)))


def summed(plan: Plan, seed: int, tried: Sequence[Tried]) -> Trial:
    """What comes of the positions that were tried."""
    solved = [each for each in tried if each.solved]
    totals = [each.length for each in solved]
    longest = max(solved, key=attrgetter("length"), default=None)
    return Trial(
        seed=seed,
        tried=len(tried),
        solved=len(solved),
        length=lengths(totals) if totals else None,
        stages=tuple(_stage(number, tried) for number in range(len(plan.stages))),
        counts=dict(sorted(Counter(totals).items())),
        longest=longest.number if longest else 0,
        longest_turns=write_all(plan.shorthand.turns(longest.row), plan.puzzle) if longest else "",
        first_stuck=next((each.number for each in tried if not each.solved), 0),
    )


def _stage(number: int, tried: Sequence[Tried]) -> StageTrial:
    taken = [each.parts[number] for each in tried if len(each.parts) > number]
    came = sum(len(each.parts) >= number for each in tried)
    return StageTrial(came, len(taken), lengths(taken) if taken else None)
