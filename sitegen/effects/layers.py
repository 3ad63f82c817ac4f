"""Kept and disturbed: how many pieces of each layer are home afterwards, and where all but one or two are.

Knows effects and layer names; knows nothing of pages.
"""

from __future__ import annotations

from dataclasses import dataclass

from sitegen.effects.effect import Effect, keepable
from sitegen.moves.notation import layer_names
from sitegen.puzzles.puzzle import Piece, Turn

MOST_ISOLATED = 2
"""A layer in which this many pieces changed, or fewer, is one in which they are isolated."""


@dataclass(frozen=True)
class Layer:
    """One layer after a sequence. `turn` turns it by the smallest amount."""

    name: str
    turn: Turn
    total: int
    changed: tuple[Piece, ...]

    @property
    def home(self) -> int:
        """How many of its pieces did not change."""
        return self.total - len(self.changed)

    @property
    def isolated(self) -> bool:
        """Whether one or two of its pieces changed, and others did not."""
        return 1 <= len(self.changed) <= MOST_ISOLATED and self.home > 0

    @property
    def alone(self) -> bool:
        """Whether just one of its pieces changed, and others did not."""
        return self.isolated and len(self.changed) == 1


def layers(effect: Effect) -> tuple[Layer, ...]:
    """Every layer of the puzzle, outermost first."""
    pieces = keepable(effect.puzzle)
    return tuple(
        Layer(name, turn, len(pieces[name]), tuple(p for p in effect.changed if p.index in pieces[name]))
        for name, turn in layer_names(effect.puzzle).items()
    )


def isolating(effect: Effect) -> tuple[Layer, ...]:
    """The layers in which only one or two pieces changed, those with one first."""
    found = [layer for layer in layers(effect) if layer.isolated]
    return tuple(sorted(found, key=lambda layer: len(layer.changed)))
