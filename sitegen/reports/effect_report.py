"""An effect told line by line, and as data for programs."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from sitegen.effects.effect import Effect
from sitegen.effects.words import likeness, say, slot_names
from sitegen.moves.metrics import Length
from sitegen.moves.notation import write_all


def effect_in_words(moves: str, effect: Effect, length: Length) -> Iterator[str]:
    """Line by line what moves do, what they keep, and how long they are."""
    yield moves
    yield f"  does      {say(effect)}"
    if back := effect.turning_back:
        yield f"  centres   moved; {write_all(back, effect.puzzle)} at the end brings them home"
        yield f"            Then: {say(effect.turned_back)}"
    if told := likeness(effect):
        yield f"  note      {told}"
    yield f"  keeps     {', '.join(effect.keeps) or 'no whole layer'}"
    yield f"  order     {effect.order}"
    yield f"  parity    {', '.join(f'{kind}s {parity}' for kind, parity in effect.parity.items())}"
    yield f"  length    {length}"


def effect_as_data(moves: str, effect: Effect, length: Length) -> dict[str, Any]:
    """What `effect_in_words` tells, for programs; `centres home` only where moves leave them elsewhere."""
    told: dict[str, Any] = {
        "puzzle": effect.puzzle.name,
        "moves": moves,
        "order": effect.order,
        "length": length._asdict(),
        **effect_data(effect),
    }
    if back := effect.turning_back:
        turned = write_all(back, effect.puzzle)
        told["centres home"] = {"turned": turned, **effect_data(effect.turned_back)}
    return told


def effect_data(effect: Effect) -> dict[str, Any]:
    """Stickers that are not home, from where to where, and what follows from that, all by name."""
    moved = ((s.index, effect.seen[s.index]) for s in effect.puzzle.stickers)
    return {
        "stickers": {effect.name(a): effect.name(b) for a, b in moved if a != b},
        "cycles": [slot_names(cycle, effect) for cycle in effect.cycles],
        "flips": [piece.name for piece in effect.flips],
        "twists": {twist.piece.name: twist.sense for twist in effect.twists},
        "parity": effect.parity,
        "keeps": list(effect.keeps),
    }
