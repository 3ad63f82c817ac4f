"""Layers by letters, a for the outermost: `Ua` is U, `Ub2` the next by two turns, `Uabc` all three."""

from __future__ import annotations

from sitegen.moves.notations.base import Notation, NotationError, amount_text
from sitegen.puzzles.definition import Definition
from sitegen.puzzles.puzzle import Puzzle, Turn

EXAMPLES = "Ua for the outermost layer, Ub for the next, Uab for both"


def read(text: str, puzzle: Puzzle) -> Turn:
    first, last = (ord(letter) - ord("a") + 1 for letter in (text[1], text[-1]))
    meant = Turn(text[0], first, last, 1)
    if last > puzzle.layer_count or write(meant, puzzle) != text:
        raise NotationError(f"{puzzle.name} has no layers {text}", f"turns are {EXAMPLES}")
    return meant


def write(turn: Turn, puzzle: Puzzle) -> str:
    letters = "abcdefghij"[turn.first - 1 : turn.last]
    return turn.axis + letters + amount_text(turn.amount, puzzle.full_turn)


def _only_for(definition: Definition) -> str:
    single = all(len(axis) == 1 for axis in definition.axes)
    return "" if single and len(definition.depths) < 10 else "puzzles whose axes are single letters"


LETTERED = Notation("[A-Z][a-j]{1,10}", read, write, lambda puzzle: EXAMPLES, only_for=_only_for)
