"""The rows of the effect table: what every sequence does, in a few words each."""

from __future__ import annotations

from dataclasses import dataclass

from sitegen.effects import words
from sitegen.effects.effect import Effect
from sitegen.guide.guide import Guide
from sitegen.guide.sequence import Sequence

SHORT = 4
"""With more cycles or longer ones than this, the table gives their number and length alone."""


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
    effect = sequence.report.seen
    return Row(
        sequence=sequence,
        flips=", ".join(piece.name for piece in effect.flips),
        twists=", ".join(f"{effect.puzzle.pieces[t.piece].name} {t.sense}" for t in effect.twists),
        cycles=cycles(effect),
        keeps=", ".join(effect.keeps),
        order=sequence.report.turned.order,
        parity=parity(effect),
    )


def cycles(effect: Effect) -> str:
    """`UF > UL > UB`, or for long ones `8 edges round`."""
    if sum(len(cycle.slots) for cycle in effect.cycles) <= 2 * SHORT:
        return "; ".join(" > ".join(words.slot_names(cycle, effect)) for cycle in effect.cycles)
    kinds = [f"{len(c.slots)} {effect.puzzle.piece_at(c.slots[0]).kind}s" for c in effect.cycles]
    return words.listed(kinds) + " round"


def parity(effect: Effect) -> str:
    """`even` or `odd` where all kinds agree; each kind by itself where they do not."""
    values = set(effect.parity.values())
    if len(values) == 1:
        return values.pop()
    return ", ".join(f"{kind}s {value}" for kind, value in effect.parity.items())
