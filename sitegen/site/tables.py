"""The rows of the effect table: what every sequence does, in a few words each, and what others are to it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from sitegen.blocks.moves.sequence import Sequence
from sitegen.effects import words
from sitegen.effects.effect import Cycle, Effect
from sitegen.effects.relations import (
    MOST_LISTED,
    WORDS,
    HowRelated,
    Relation,
    RelationGroup,
    relations,
)
from sitegen.guide.guide import Guide

MOST_NAMED = 8
"""With more pieces on the move than this, the table counts them instead of naming them."""


@dataclass(frozen=True)
class Row:
    """What stands in a row, in words; empty for what does not happen."""

    sequence: Sequence
    flips: str
    twists: str
    cycles: str
    keeps: str
    order: int
    parity: str

    @property
    def effect(self) -> str:
        """All that it does, in one cell: `flips UF, UR; cycles UFR > URB > UBL`."""
        told = {"flips": self.flips, "twists": self.twists, _round(self.sequence.effect): self.cycles}
        return "; ".join(f"{verb} {what}" for verb, what in told.items() if what) or "nothing"


BUILT = "built"
PART = "part"
_WORDS_OF = {**WORDS, BUILT: ("Built from", "built from"), PART: ("Part of", "part of")}
HEADINGS_OF = {kind: heading for kind, (heading, _) in _WORDS_OF.items()}
BRIEFLY_OF = {kind: briefly for kind, (_, briefly) in _WORDS_OF.items()}
"""What sequences are to each other by the way they are written, beside what they are by their effects."""


def related_sequences(guide: Guide) -> dict[str, tuple[RelationGroup, ...]]:
    """For each sequence what it is to others of its puzzle, by its effect and by the moves it is made of."""
    found: dict[str, tuple[RelationGroup, ...]] = {}
    for scope in guide.scopes.values():
        here = [s for s in guide.sequences.values() if s.puzzle is scope.puzzle]
        effects = {s.name: s.effect.permutation for s in here}
        found |= relations(effects, scope.puzzle)
        if marked := [s.name for s in here if s.effect.marked]:
            truly = relations(effects, scope.puzzle, marked=True)
            found |= {name: truly[name] for name in marked}
    used = used_in(guide)
    return {
        name: (
            *found[name],
            *_written(BUILT, [other for other in sequence.refers_to if other in guide.sequences]),
            *_written(PART, [other.name for other in used[name]]),
        )
        for name, sequence in guide.sequences.items()
    }


def beside(groups: Iterable[RelationGroup]) -> list[RelationGroup]:
    """What a sequence is to others, but for those that it is built from: its moves name these already."""
    return [group for group in groups if group.kind != BUILT]


def _written(kind: str, names: list[str]) -> list[RelationGroup]:
    listed = tuple(Relation(name, HowRelated(kind)) for name in names[:MOST_LISTED])
    return [RelationGroup(kind, len(names), listed)] if names else []


def used_in(guide: Guide) -> dict[str, list[Sequence]]:
    """For each sequence those that refer to it."""
    found: dict[str, list[Sequence]] = {name: [] for name in guide.sequences}
    for sequence in guide.sequences.values():
        for name in sequence.refers_to:
            if name in found:
                found[name].append(sequence)
    return found


def row(sequence: Sequence) -> Row:
    """The row of a sequence."""
    effect = sequence.effect
    return Row(
        sequence=sequence,
        flips=", ".join(piece.name for piece in effect.flips),
        twists=", ".join(f"{t.piece.name} {t.sense}" for t in effect.twists),
        cycles=cycles_in_words(effect),
        keeps=", ".join(effect.keeps) if effect.changed else "everything",
        order=effect.order,
        parity=parity(effect),
    )


def done_to(effect: Effect) -> Iterator[tuple[str, str]]:
    """What is done to which kinds of pieces, with the verbs of claims; of a kind also to which sort of it."""
    turned = [*(("flips", p) for p in effect.flips), *(("twists", t.piece) for t in effect.twists)]
    moved = [
        (verb_of(cycle), effect.puzzle.piece_at(slot)) for cycle in effect.cycles for slot in cycle.slots
    ]
    for verb, piece in [*turned, *moved]:
        yield from ((verb, name) for name in dict.fromkeys((piece.kind, piece.sort)) if name)


def verb_of(cycle: Cycle) -> str:
    """How claims call what it does: two that change places are swapped."""
    return "swaps" if len(cycle.slots) == 2 and cycle.plain else "cycles"


def _round(effect: Effect) -> str:
    """Likewise of all its cycles: `cycles and swaps` where there are both."""
    return " and ".join(sorted({verb_of(cycle) for cycle in effect.cycles}))


def cycles_in_words(effect: Effect) -> str:
    """`UF > UL > UB`, or where there are many how many pieces of a kind: `8 edges, 2 × 3 corners`."""
    if sum(len(cycle.slots) for cycle in effect.cycles) <= MOST_NAMED:
        return "; ".join(" > ".join(words.slot_names(cycle, effect)) for cycle in effect.cycles)
    return ", ".join(words.cycles_counted(effect))


def parity(effect: Effect) -> str:
    """`even` or `odd` where all kinds agree; each kind by itself where they do not."""
    values = set(effect.parity.values())
    if len(values) == 1:
        return values.pop()
    return ", ".join(f"{kind}s {value}" for kind, value in effect.parity.items())
