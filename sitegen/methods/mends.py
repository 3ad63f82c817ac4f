"""What would solve more cases of a step: each mend is tried before it is told.

Knows plans; knows nothing of pages.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from sitegen.methods.cases import TooMany
from sitegen.methods.plan import AnyTurns, Step
from sitegen.methods.tools import MOST_LEAD_IN, Toolbox
from sitegen.moves.notation import layers_of, write
from sitegen.puzzles.puzzle import Puzzle, Turn

MOST_CASES, MOST_COMBINATIONS, MOST_TURNS = 1_000, 10_000, 8
"""Steps with more cases, and mends with more to try, are left to the author."""
FURTHER = 2
"""So many turns more of a lead-in are tried at most."""


@dataclass(frozen=True)
class Mend:
    """What to write, as in “layer turns: U”, and how many cases of the step are then solved."""

    text: str
    solved: int


def mend(step: Step) -> Mend | None:
    """The first that solves all cases, or else the one that solves most of them; None where nothing helps."""
    cases = step.cases.once
    if len(cases) > MOST_CASES:
        return None
    best = Mend("", sum(step.solver.measure(case) is not None for case in cases))
    for text, means in _mends(step):
        mended = replace(step, stage=replace(step.stage, means=means))
        try:
            solved = sum(mended.solver.measure(case) is not None for case in cases)
        except TooMany:
            continue
        best = max(best, Mend(text, solved), key=lambda each: each.solved)
        if best.solved == len(cases):
            break
    return best if best.text else None


def _mends(step: Step) -> Iterator[tuple[str, AnyTurns | Toolbox]]:
    """What may be used, a little extended, by the line that says so."""
    means, puzzle = step.stage.means, step.laws.puzzle
    if isinstance(means, AnyTurns):
        if not means.hold and not puzzle.fixed_centres:
            yield from ((text, replace(means, hold=hold)) for text, hold in _holds(puzzle))
        faces = f" of {', '.join(means.turns.allowed.faces)}" if means.turns.allowed.faces else ""
        for longest in range(means.longest + 1, MOST_TURNS + 1):
            yield f"using: any turns{faces} up to {longest}", replace(means, longest=longest)
        return
    if not means.hold:
        yield from ((text, replace(means, hold=hold)) for text, hold in _holds(puzzle))
    if not means.layer:
        for axis in puzzle.axes:
            yield f"layer turns: {axis}", replace(means, layer=layers_of(axis, puzzle))
    named = means.lead_in.allowed.faces
    for longest in range(means.longest + 1, min(means.longest + FURTHER, MOST_LEAD_IN) + 1):
        longer = replace(means, longest=longest)
        if longer.combinations <= MOST_COMBINATIONS:
            of = f" of {', '.join(named)}" if named else ""
            yield f"lead-in: {longest} turn{'s' if longest > 1 else ''}{of}", longer


def _holds(puzzle: Puzzle) -> Iterator[tuple[str, tuple[Turn, ...]]]:
    """Held otherwise about one axis, and about two that are no opposites."""
    first, *others = puzzle.axes
    second = next((axis for axis in others if axis != puzzle.opposite.get(first)), first)
    one, two = (Turn(axis, 1, puzzle.layer_count, 1) for axis in (first, second))
    yield f"hold: {write(one, puzzle)}", (one,)
    yield f"hold: {write(one, puzzle)} and {write(two, puzzle)}", (one, two)
