"""Effects as an author would claim them."""

from __future__ import annotations

from sitegen.effects.effect import Effect
from sitegen.effects.piece_names import name_alone
from sitegen.effects.words import listed, slot_names

MOST_CLAIMED = 12
"""Of more pieces than this nothing is claimed: it would be too much to be read."""


def claims_of(effect: Effect) -> list[str]:
    """All of an effect as claims; none where it is nothing, or too much."""
    if not effect.changed or len(effect.changed) > MOST_CLAIMED:
        return []
    flips = listed([piece.name for piece in effect.flips])
    told = [twist for twist in effect.twists if twist.steps]
    twists = listed([f"{twist.piece.name} {twist.sense}" for twist in told])
    swaps = [cycle for cycle in effect.cycles if len(cycle.slots) == 2 and cycle.plain]
    changed = [name_alone(piece, effect.puzzle) for piece in effect.changed]
    closed = all(changed) and len(changed) < len(effect.puzzle.pieces)  # else nothing is left to be kept
    return [
        *([f"flips {flips}"] if flips else []),
        *([f"twists {twists}"] if twists else []),
        *(f"swaps {' with '.join(slot_names(swap, effect))}" for swap in swaps),
        *(f"cycles {' > '.join(slot_names(cycle, effect))}" for cycle in effect.cycles if cycle not in swaps),
        *([f"changes only {listed(changed)}"] if closed else []),
    ]
