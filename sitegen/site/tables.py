"""The rows of the effect table: what every sequence does, in a few words each."""

from __future__ import annotations

from dataclasses import dataclass

from sitegen.effects import words
from sitegen.effects.effect import Effect
from sitegen.guide.guide import Guide
from sitegen.guide.sequence import Sequence

MOST_NAMED = 8
"""With more pieces on the move than this, the table counts them instead of naming them."""


@dataclass(frozen=True)
class Row:
    sequence: Sequence
    flips: str
    twists: str
    cycles: str
    keeps: str
    order: int
    parity: str


def effect_rows(guide: Guide) -> list[Row]:
    return [row(sequence) for sequence in guide.sequences.values()]


def row(sequence: Sequence) -> Row:
    effect = sequence.effect
    return Row(
        sequence=sequence,
        flips=", ".join(piece.name for piece in effect.flips),
        twists=", ".join(f"{effect.puzzle.pieces[t.piece].name} {t.sense}" for t in effect.twists),
        cycles=cycles(effect),
        keeps=", ".join(effect.keeps) if effect.changed else "everything",
        order=sequence.report.turned.order,
        parity=parity(effect),
    )


def cycles(effect: Effect) -> str:
    """`UF > UL > UB`, or where there are many how many pieces of a kind: `8 edges, 2 × 3 corners`."""
    if sum(len(cycle.slots) for cycle in effect.cycles) <= MOST_NAMED:
        return "; ".join(" > ".join(words.slot_names(cycle, effect)) for cycle in effect.cycles)
    return ", ".join(words.counted(effect))


def parity(effect: Effect) -> str:
    """`even` or `odd` where all kinds agree; each kind by itself where they do not."""
    values = set(effect.parity.values())
    if len(values) == 1:
        return values.pop()
    return ", ".join(f"{kind}s {value}" for kind, value in effect.parity.items())
