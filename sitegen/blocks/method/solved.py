"""What becomes of a method when it is gone through and tried: computed once, kept, and read back.

Knows plans and what is kept; knows nothing of how methods are written or drawn.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from sitegen.blocks.inputs import puzzle_inputs
from sitegen.cache import Cache
from sitegen.methods.coverage import Coverage, coverage
from sitegen.methods.plan import AnyTurns, Means, Plan
from sitegen.methods.trial import Trial, trial
from sitegen.moves.notation import write_all
from sitegen.moves.simplify import simplify
from sitegen.puzzles.puzzle import Puzzle


@dataclass(frozen=True)
class Solved:
    """`left` is in how many ways the puzzle can be when all goals are reached; None for very many."""

    coverage: tuple[Coverage, ...]
    trial: Trial
    left: int | None


def solved(plan: Plan, count: int, seed: int, cache: Cache) -> Solved:
    """What becomes of a method: its cases, and a trial of `count` positions of a seed. Raises TooMany."""
    follows_from = {**method_inputs(plan), "count": count, "seed": seed}
    found = cache.recall(follows_from, Solved, lambda: _computed(plan, count, seed))
    # Steps are called as they are now: a name changes nothing else.
    named = (replace(each, name=step.name) for each, step in zip(found.coverage, plan.steps, strict=True))
    return replace(found, coverage=tuple(named))


def _computed(plan: Plan, count: int, seed: int) -> Solved:
    return Solved(coverage(plan), trial(plan, count, seed), plan.left)


def method_inputs(plan: Plan) -> dict[str, Any]:
    """All that a method's solutions follow from."""
    return {
        **puzzle_inputs(plan.puzzle),
        "steps": [[list(step.before), list(step.reached)] for step in plan.steps],
        "stages": [[len(list(stage.steps)), _means(stage.means, plan.puzzle)] for stage in plan.stages],
    }


def _means(means: Means, puzzle: Puzzle) -> list[Any]:
    if isinstance(means, AnyTurns):
        return [write_all(means.turns.listed, puzzle), means.longest, write_all(means.hold, puzzle)]
    return [
        # Turns that may come in any order are the same in whatever order.
        [[tool.text, write_all(simplify(tool.turns, puzzle), puzzle)] for tool in means.tools],
        [write_all(means.lead_in.listed, puzzle), means.longest],
        write_all([means.layer] if means.layer else [], puzzle),
        write_all(means.hold, puzzle),
    ]
