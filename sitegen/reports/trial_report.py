"""A trial, and one position of it with what solves it, told line by line and as data."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict
from typing import Any

from sitegen.effects.effect import Effect
from sitegen.methods.coverage import astray
from sitegen.methods.goals import HOME, Goal, labels
from sitegen.methods.plan import Plan, Step
from sitegen.methods.trial import Lengths, Run, Trial
from sitegen.moves.metrics import obtm
from sitegen.moves.notation import write_all
from sitegen.moves.turning import inverse_turns, permutation_of
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Puzzle
from sitegen.reports.effect_report import effect_data

COLUMNS = f"{'came to it':>12}{'solved':>10}{'mean':>8}{'half in':>9}{'95 of 100 in':>14}{'longest':>9}"


def trial_in_words(title: str, plan: Plan, trial: Trial) -> Iterator[str]:
    """How many were solved, and the turns that they took, stage by stage and in all."""
    if not trial.tried:
        yield f"{title}: no position was tried"
        return
    titles = [stage.title for stage in plan.stages]
    wide = max(map(len, [*titles, "in all"]))
    yield f"{title}: {trial.solved:,} of {trial.tried:,} random positions solved, seed {trial.seed}"
    yield f"  {'turns (OBTM)':{wide}}{COLUMNS}"
    for name, stage in zip(titles, trial.stages, strict=True):
        yield f"  {name:{wide}}{_row(stage.tried, stage.solved, stage.length)}"
    yield f"  {'in all':{wide}}{_row(trial.tried, trial.solved, trial.length)}"
    if trial.length:
        yield f"  the longest, position {trial.longest}, takes {trial.length.max} turns:"
        yield f"    {trial.longest_turns}"
    if trial.first_stuck:
        yield f"  the first that is not solved is position {trial.first_stuck}"


def _row(tried: int, solved: int, found: Lengths | None) -> str:
    numbers = f"{found.mean:8.1f}{found.p50:9}{found.p95:14}{found.max:9}" if found else ""
    return f"{tried:12,}{solved:10,}{numbers}"


def trial_as_data(name: str, plan: Plan, trial: Trial) -> dict[str, Any]:
    """What `trial_in_words` tells, for programs; lengths are null where nothing was solved."""
    return {
        "method": name,
        "seed": trial.seed,
        "tried": trial.tried,
        "solved": trial.solved,
        "length": _lengths(trial.length),
        "stages": [
            {
                "stage": stage.title,
                "tried": found.tried,
                "solved": found.solved,
                "length": _lengths(found.length),
            }
            for stage, found in zip(plan.stages, trial.stages, strict=True)
        ],
        "longest": {"position": trial.longest, "moves": trial.longest_turns} if trial.longest else None,
        "unsolved": trial.first_stuck or None,
    }


def _lengths(found: Lengths | None) -> dict[str, Any] | None:
    return asdict(found) if found else None


def example_in_words(title: str, run: Run, plan: Plan) -> Iterator[str]:
    """How a position is solved, step by step."""
    data = example_as_data(run, plan)
    yield f"{title}, position {run.number}"
    if data["set up by"]:
        yield f"  set it up by  {data['set up by']}"
    elif data["pieces"]:
        yield f"  the position  {data['pieces']}"
    for number, stage in enumerate(data["stages"], 1):
        yield f"{number}. {stage['stage']}: {stage['length']} OBTM"
        for step in stage["steps"]:
            yield f"  {step['step'] + '  ' if step['step'] else ''}{' then '.join(step['moves'])}"
    if data["stuck"]:
        yield f"so far: {data['moves'] or 'nothing'}"
        yield f"not solved by {stuck_in_words(**data['stuck'])}"
    else:
        yield f"in full, after cancelling: {data['moves'] or 'nothing'}"
        yield f"{data['length']} OBTM; solved, which was checked by turning"


def example_as_data(run: Run, plan: Plan) -> dict[str, Any]:
    """How a position is solved, for programs and for a page.

    Moves that set it up are known where all is home in the end.

    `stickers` are those of the position that are not home, from where to where; `pieces` says it in words.
    """
    puzzle = plan.puzzle
    end = perm.compose(run.position, permutation_of(run.turns, puzzle))
    home = not Effect(puzzle, end).changed
    return {
        "position": run.number,
        "stickers": effect_data(Effect(puzzle, run.position))["stickers"],
        "pieces": pieces_in_words(run.position, puzzle),
        "set up by": write_all(inverse_turns(run.turns), puzzle) if home else "",
        "solved": run.solved,
        "home": home,
        "moves": write_all(run.turns, puzzle),
        "length": obtm(run.turns, puzzle),
        "stuck": _stuck(run.stuck, end, puzzle) if run.stuck else None,
        "stages": list(_stages(run, puzzle)),
    }


def _stages(run: Run, puzzle: Puzzle) -> Iterator[dict[str, Any]]:
    """Each stage with its steps: the case that is met, and what solves it."""
    at = run.position
    for part in run.parts:
        steps = []
        for step, solution in part.steps:
            moves = [each.text for each in solution.applications]
            case = astray(at, step.reached, puzzle)
            turns = write_all(solution.turns, puzzle)
            steps.append({"step": step.name, "case": case, "moves": moves, "turns": turns})
            at = perm.compose(at, solution.permutation)
        turns = write_all(part.turns, puzzle)
        yield {"stage": part.stage.title, "length": part.length, "turns": turns, "steps": steps}


def pieces_in_words(position: Permutation, puzzle: Puzzle) -> str:
    """Where every piece is that is not home: “UF is at UL and UL at UF”; empty where all are."""
    home = labels(puzzle, [Goal(frozenset(range(len(puzzle.pieces))), HOME)])
    return astray(position, home, puzzle) if Effect(puzzle, position).changed else ""


def _stuck(step: Step, position: Permutation, puzzle: Puzzle) -> dict[str, str]:
    """Where a method has nothing for a case, and the case."""
    return {"stage": step.stage.title, "step": step.name, "case": astray(position, step.reached, puzzle)}


def stuck_in_words(stage: str, step: str, case: str) -> str:
    """`Corners, UFR: UFR is at UBL`."""
    return f"{stage}, {step}: {case}" if step else f"{stage}: {case}"
