"""What becomes of a method when it is gone through and tried: computed once, kept, and read back.

Knows plans and what is kept; knows nothing of how methods are written or drawn.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass, fields, replace
from typing import Any

from sitegen.blocks.cache import Cache, puzzle_inputs, rebuilt
from sitegen.methods.coverage import Case, CaseList, Coverage, coverage
from sitegen.methods.plan import AnyTurns, Means, Plan
from sitegen.methods.trial import Lengths, StageTrial, Trial, trial
from sitegen.moves.notation import write_all
from sitegen.puzzles.puzzle import Puzzle

FORMAT = 6
"""Of what is kept; another whenever something else may be found, or chosen."""
KEPT = (Case, CaseList, Coverage, Trial, StageTrial, Lengths)
SHAPE = [[field.name for field in fields(each)] for each in KEPT]


@dataclass(frozen=True)
class Solved:
    """`left` is in how many ways the puzzle can be when all goals are reached; None for very many."""

    coverage: tuple[Coverage, ...]
    trial: Trial
    left: int | None


def solved(plan: Plan, count: int, seed: int, cache: Cache) -> Solved:
    """What becomes of a method: its cases, and a trial of `count` positions of a seed. Raises TooMany."""
    follows_from = {**method_inputs(plan), "count": count, "seed": seed}
    kept = cache.recall(follows_from, lambda: asdict(_computed(plan, count, seed)))
    found: Solved = rebuilt(Solved, kept)
    # Steps are called as they are now: a name changes nothing else.
    named = (replace(each, name=step.name) for each, step in zip(found.coverage, plan.steps, strict=True))
    return replace(found, coverage=tuple(named))


def _computed(plan: Plan, count: int, seed: int) -> Solved:
    return Solved(coverage(plan), trial(plan, count, seed), plan.left)


def method_inputs(plan: Plan) -> dict[str, Any]:
    """All that a method's solutions follow from."""
    return {
        "method": [FORMAT, SHAPE],
        **puzzle_inputs(plan.puzzle),
        "steps": [[list(step.before), list(step.reached)] for step in plan.steps],
        "stages": [[len(list(stage.steps)), _means(stage.means, plan.puzzle)] for stage in plan.stages],
    }


def _means(means: Means, puzzle: Puzzle) -> list[Any]:
    if isinstance(means, AnyTurns):
        return [write_all(means.turns.listed, puzzle), means.longest, write_all(means.hold, puzzle)]
    return [
        [[tool.text, write_all(tool.turns, puzzle)] for tool in means.tools],
        [write_all(means.lead_in.listed, puzzle), means.longest],
        write_all([means.layer] if means.layer else [], puzzle),
        write_all(means.hold, puzzle),
    ]
