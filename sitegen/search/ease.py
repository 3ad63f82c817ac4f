"""How easy a sequence is for a hand: which of several of one length comes first.

The rule: fewer different layers turned; then fewer turns of the faces that a hand reaches last, on a cube B
and D; then fewer half turns; and last, by where their turns stand in the puzzle's order of turns.
"""

from __future__ import annotations

from collections.abc import Sequence

from sitegen.moves.notation import notation_of
from sitegen.puzzles.puzzle import Puzzle, Turn


def ease(turns: Sequence[Turn], puzzle: Puzzle) -> tuple[int, int, int]:
    """Less is easier; to be compared for sequences of one length."""
    layers = {(turn.axis, turn.first, turn.last) for turn in turns}
    far = notation_of(puzzle).away
    away = sum(turn.first == 1 and turn.axis in far for turn in turns)
    halves = sum(2 * turn.amount % puzzle.full_turn == 0 for turn in turns)
    return len(layers), away, halves
