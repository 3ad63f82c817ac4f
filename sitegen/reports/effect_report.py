"""An effect as plain data, for programs to read."""

from __future__ import annotations

from typing import Any

from sitegen.effects.effect import Effect
from sitegen.effects.words import slot_names


def effect_data(effect: Effect) -> dict[str, Any]:
    """Stickers that are not home, from where to where, and what follows from that, all by name."""
    moved = ((s.index, effect.seen[s.index]) for s in effect.puzzle.stickers)
    return {
        "stickers": {effect.name(a): effect.name(b) for a, b in moved if a != b},
        "cycles": [slot_names(cycle, effect) for cycle in effect.cycles],
        "flips": [piece.name for piece in effect.flips],
        "twists": {effect.puzzle.pieces[twist.piece].name: twist.sense for twist in effect.twists},
        "parity": effect.parity,
        "keeps": list(effect.keeps),
    }
