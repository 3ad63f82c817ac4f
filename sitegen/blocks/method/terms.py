"""What may be done in a stage, and which way is taken, in sentences for readers.

Knows what a stage may use; knows nothing of goals, and names no sequence: that is left to links.
"""

from __future__ import annotations

from collections.abc import Iterator

from sitegen.effects.words import listed
from sitegen.methods.plan import AnyTurns, Means
from sitegen.methods.tools import Toolbox
from sitegen.moves.notation import write
from sitegen.puzzles.puzzle import Puzzle, Turn
from sitegen.search.turns import Turns


def terms_told(means: Means, puzzle: Puzzle) -> tuple[str, ...]:
    """`Before a sequence up to 2 turns of R and F may be done, and are undone after it.`"""
    return tuple(_any_turns(means, puzzle) if isinstance(means, AnyTurns) else _sequences(means, puzzle))


def _any_turns(means: AnyTurns, puzzle: Puzzle) -> Iterator[str]:
    if means.hold:
        yield f"The whole puzzle may first be turned by {_turns(means.hold, puzzle)}."
    yield f"Any turns{_of(means.turns)} may be done, {means.longest} at most: here are as few as can be."


def _sequences(box: Toolbox, puzzle: Puzzle) -> Iterator[str]:
    yield "Here are as few of these as can be, and of such ways one in few turns."
    if box.longest:
        several = box.longest > 1
        turns = f"up to {box.longest} turns" if several else "one turn"
        are = "are" if several else "is"
        yield f"Before each {turns}{_of(box.lead_in)} may be done, and {are} undone after it."
    if box.layer:
        yield f"{write(box.layer, puzzle)} may be turned before that and after it."
    if box.hold:
        leads = "leads" if len(box.hold) == 1 else "lead"
        yield f"The puzzle may be held as {_turns(box.hold, puzzle)} {leads} to, and is then held as before."


def _of(turns: Turns) -> str:
    return f" of {listed(turns.allowed.faces)}" if turns.allowed.faces else ""


def _turns(turns: tuple[Turn, ...], puzzle: Puzzle) -> str:
    return listed([write(turn, puzzle) for turn in turns])
