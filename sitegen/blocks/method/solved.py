"""What becomes of a method when it is gone through and tried: computed once, kept, and read back.

Knows plans and what is kept; knows nothing of how methods are written or drawn.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass, fields, replace
from typing import Any

from sitegen.blocks.cache import Cache, puzzle_inputs
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
    found = cache.recall(follows_from, lambda: asdict(_computed(plan, count, seed)))
    read = zip(map(_coverage, found["coverage"]), plan.steps, strict=True)
    # Steps are called as they are now: a name changes nothing else.
    named = tuple(replace(each, name=step.name) for each, step in read)
    return Solved(named, _trial(found["trial"]), found["left"])


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


def _coverage(data: Mapping[str, Any]) -> Coverage:
    counts = {key: _numbered(data[key]) for key in ("applications", "turns")}
    lists = {key: _cases(data[key]) for key in ("sheet", "uncovered")}
    return Coverage(**{**data, **counts, **lists})


def _cases(data: Mapping[str, Any]) -> CaseList:
    drawn, told = (tuple(map(_case, data[key])) for key in ("drawn", "told"))
    return CaseList(drawn, told, data["left_out"], data["kinds"])


def _case(data: Mapping[str, Any]) -> Case:
    listed = {key: tuple(data[key]) for key in ("position", "shown", "held", "applications")}
    return Case(**{**data, **listed})


def _trial(data: Mapping[str, Any]) -> Trial:
    stages = tuple(StageTrial(**{**stage, "length": _lengths(stage["length"])}) for stage in data["stages"])
    counts = _numbered(data["counts"])
    return Trial(**{**data, "stages": stages, "length": _lengths(data["length"]), "counts": counts})


def _lengths(data: Mapping[str, Any] | None) -> Lengths | None:
    return Lengths(**data) if data else None


def _numbered(counts: Mapping[Any, int]) -> dict[int, int]:
    """With numbers again for keys, which JSON makes texts of."""
    return {int(key): count for key, count in counts.items()}
