"""How easy a sequence is for a hand: which of several of one length comes first.

The rule: fewer different layers turned; then fewer turns of the faces that a hand reaches last, on a cube B
and D; then fewer half turns; and last, by where their turns stand in the puzzle's order of turns.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cache
from typing import NamedTuple

from sitegen.moves.notation import notation_of
from sitegen.puzzles.puzzle import Puzzle, Turn

Layers = tuple[str, int, int]
"""An axis, and the first and the last layer of a block on it."""
Ease = tuple[int, int, int]
"""Less is easier; to be compared for sequences of one length."""


class Effort(NamedTuple):
    """What the turns of a sequence, or of a part of one, ask of a hand: what `ease` counts."""

    layers: frozenset[Layers]
    away: int
    halves: int


def effort(turns: Sequence[Turn], puzzle: Puzzle) -> Effort:
    """What some turns ask of a hand."""
    layers, away, half = zip(*map(_told_in(puzzle), turns), strict=True) if turns else ((), (), ())
    return Effort(frozenset(layers), sum(away), sum(half))


def ease(turns: Sequence[Turn], puzzle: Puzzle) -> Ease:
    """How easy some turns are."""
    return ease_of(effort(turns, puzzle))


def ease_of(*parts: Effort) -> Ease:
    """How easy a sequence is that is made of parts."""
    layers, away, halves = zip(*parts, strict=True)
    return len(frozenset().union(*layers)), sum(away), sum(halves)


@cache
def _told_in(puzzle: Puzzle) -> Callable[[Turn], tuple[Layers, bool, bool]]:
    """What counts of a turn: its layers, whether a hand reaches them last, whether it is a half turn."""
    far = notation_of(puzzle).away

    @cache
    def told(turn: Turn) -> tuple[Layers, bool, bool]:
        away = turn.first == 1 and turn.axis in far
        return (turn.axis, turn.first, turn.last), away, 2 * turn.amount % puzzle.full_turn == 0

    return told
