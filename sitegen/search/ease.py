"""How easy a sequence is for a hand: which of several of one length comes first.

The rule: fewer different layers turned; then fewer turns of the faces that a hand reaches last, on a cube B
and D; then fewer half turns; and last, by where their turns stand in the puzzle's order of turns.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cache

from sitegen.moves.notation import notation_of
from sitegen.puzzles.puzzle import Puzzle, Turn


def ease(turns: Sequence[Turn], puzzle: Puzzle) -> tuple[int, int, int]:
    """Less is easier; to be compared for sequences of one length."""
    told = [*map(_told_in(puzzle), turns)]
    return (
        len({layer for layer, _, _ in told}),
        sum(away for _, away, _ in told),
        sum(half for *_, half in told),
    )


@cache
def _told_in(puzzle: Puzzle) -> Callable[[Turn], tuple[tuple[str, int, int], bool, bool]]:
    """What counts of a turn: its layers, whether a hand reaches them last, whether it is a half turn."""
    far = notation_of(puzzle).away

    @cache
    def told(turn: Turn) -> tuple[tuple[str, int, int], bool, bool]:
        away = turn.first == 1 and turn.axis in far
        return (turn.axis, turn.first, turn.last), away, 2 * turn.amount % puzzle.full_turn == 0

    return told
