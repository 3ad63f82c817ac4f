"""What is done in a stage, in a sentence made of its goals: for readers whose author has written none.

Knows goals and what is reached when a stage ends; knows nothing of how that is brought about.
"""

from __future__ import annotations

from collections.abc import Sequence

from sitegen.effects.words import listed
from sitegen.methods.goals import HOME, PLACED, Gained, Goal
from sitegen.moves.notation import layer_names
from sitegen.puzzles.puzzle import Puzzle


def task_of(goals: Sequence[tuple[str, Goal]], reached: Gained, steps: int, puzzle: Puzzle) -> str:
    """`Bring the edges of U to their places, whichever way round, in 4 steps.`

    Each goal stands behind the text that names its pieces.
    """
    done = "; ".join(_done(_called(named, puzzle), goal, reached, puzzle) for named, goal in goals)
    in_steps = f", in {steps} steps" if steps > 1 else ""
    return f"{done[0].upper()}{done[1:]}{in_steps}."


def _done(pieces: str, goal: Goal, reached: Gained, puzzle: Puzzle) -> str:
    slots = frozenset(slot for index in goal.pieces for slot in puzzle.pieces[index].stickers)
    if goal.state == HOME:
        return f"bring {pieces} home"
    if goal.state == PLACED:
        places = "its place" if len(goal.pieces) == 1 else "their places"
        return f"bring {pieces} to {places}{', whichever way round' if slots & reached.placed else ''}"
    if slots <= reached.own:
        return f"turn {pieces} the right way round"
    by = listed(goal.by, "or")
    return f"bring {pieces} to any of their places, with their stickers of {by} lying right"


def _called(named: str, puzzle: Puzzle) -> str:
    """`the edges of U`, `the U layer`, `everything except U`; places by their names alone."""
    first, _, rest = named.partition(" ")
    if first == "all":
        return f"everything {rest}".rstrip()
    if named in layer_names(puzzle):
        return f"the {named} layer"
    return f"the {named}" if first in (*puzzle.kinds, "face") else named
