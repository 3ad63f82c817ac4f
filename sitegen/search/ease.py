"""How easy a sequence is for a hand: which of several of one length comes first.

The rule: fewer different layers turned; then fewer turns of the faces that a hand reaches last, on a cube B
and D; then fewer half turns; and last, by where their turns stand in the puzzle's order of turns.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache

from sitegen.moves.notation import notation_of
from sitegen.moves.shorthand import ByLetter, Row, Shorthand, shorthand_of
from sitegen.puzzles.puzzle import Puzzle, Turn

Ease = tuple[int, int, int]
"""Less is easier; to be compared for sequences of one length."""


def ease(turns: Iterable[Turn], puzzle: Puzzle) -> Ease:
    """How easy some turns are."""
    shorthand = shorthand_of(puzzle)
    return ease_of_row(shorthand.row(turns), shorthand)


def ease_of_row(row: Row, shorthand: Shorthand) -> Ease:
    """How easy the turns of a row are."""
    layers, away, halves = _told_by(shorthand)
    return (
        len(set(map(layers.__getitem__, row))),
        sum(map(away.__getitem__, row)),
        sum(map(halves.__getitem__, row)),
    )


@cache
def _told_by(
    shorthand: Shorthand,
) -> tuple[ByLetter[tuple[str, int, int]], ByLetter[bool], ByLetter[bool]]:
    """What counts of a turn: its layers, whether a hand reaches them last, whether it is a half turn."""
    puzzle = shorthand.puzzle
    far = notation_of(puzzle).away
    return (
        shorthand.by_letter(lambda turn: (turn.axis, turn.first, turn.last)),
        shorthand.by_letter(lambda turn: turn.first == 1 and turn.axis in far),
        shorthand.by_letter(lambda turn: 2 * turn.amount % puzzle.full_turn == 0),
    )
