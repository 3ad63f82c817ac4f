"""The page of isolating sequences: what each becomes when a layer is turned and it is undone, ready to paste.

Knows sequences, layers and how claims are written; knows nothing of HTML.
"""

from __future__ import annotations

from collections.abc import Container
from dataclasses import dataclass, replace
from functools import reduce
from itertools import count

from sitegen.effects.effect import Effect, report
from sitegen.effects.layers import Layer, isolating
from sitegen.effects.relations import amounts
from sitegen.effects.words import listed, slot_names
from sitegen.guide.guide import Guide
from sitegen.guide.sequence import Sequence
from sitegen.moves.notation import write
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.puzzle import Turn

MOST_CLAIMED = 12
"""Of more pieces than this a block to paste claims nothing."""


@dataclass(frozen=True)
class Commutator:
    """What comes of a sequence, a turn of the layer in which it isolates, and both undone."""

    moves: str
    effect: Effect
    block: str
    """Source text of a block; empty where nothing has changed."""


@dataclass(frozen=True)
class Isolated:
    layer: Layer
    commutators: tuple[Commutator, ...]


@dataclass(frozen=True)
class Entry:
    sequence: Sequence
    layers: tuple[Isolated, ...]


def any_isolating(guide: Guide) -> bool:
    return any(isolating(sequence.effect) for sequence in guide.sequences.values())


def entries(guide: Guide) -> list[Entry]:
    """The sequences that isolate one piece, and then those that isolate two, with their commutators."""
    found = [(sequence, isolating(sequence.effect)) for sequence in guide.sequences.values()]
    ordered = sorted(found, key=lambda entry: not any(layer.alone for layer in entry[1]))
    return [
        Entry(sequence, tuple(_isolated(sequence, layer, guide.sequences) for layer in layers))
        for sequence, layers in ordered
        if layers
    ]


def _isolated(sequence: Sequence, layer: Layer, taken: Container[str]) -> Isolated:
    turns = [replace(layer.turn, amount=amount) for amount in amounts(sequence.puzzle)]
    return Isolated(layer, tuple(_commutator(sequence, turn, taken) for turn in turns))


def _commutator(sequence: Sequence, turn: Turn, taken: Container[str]) -> Commutator:
    """[A, T] = A T A' T', with A as it is read: if it takes a turning of the whole puzzle, with that."""
    puzzle, text = sequence.puzzle, write(turn, sequence.puzzle)
    a, t = sequence.effect.permutation, puzzle.permutation(turn)
    effect = report(puzzle, reduce(perm.compose, [a, t, perm.inverse(a), perm.inverse(t)])).shorter
    first = f"@{sequence.name} {sequence.turned_back}".strip()
    moves = f"[{first}, {text}]"
    name = _free(f"{sequence.name}-{text.lower()}".replace("'", "-prime"), taken)
    return Commutator(moves, effect, _block(name, f"{sequence.title} with {text}", moves, effect))


def _free(name: str, taken: Container[str]) -> str:
    """The name, or where a sequence has it already the name with a number."""
    numbered = (f"{name}-{number}" for number in count(2))
    return name if name not in taken else next(other for other in numbered if other not in taken)


def _block(name: str, title: str, moves: str, effect: Effect) -> str:
    """A block that says of its moves all that they do; empty where that is nothing."""
    if not effect.changed:
        return ""
    lines = [f"```moves {name}", f"title: {title}", f"moves: {moves}"]
    if said := claims(effect):
        lines += ["claims:", *(f"- {claim}" for claim in said)]
    return "\n".join([*lines, "```"])


def claims(effect: Effect) -> list[str]:
    """All of an effect as an author would claim it; nothing where it is too much to be read."""
    if not effect.changed or len(effect.changed) > MOST_CLAIMED:
        return []
    flips = listed([piece.name for piece in effect.flips])
    twists = listed(
        [
            f"{effect.puzzle.pieces[twist.piece].name} {twist.sense}"
            for twist in effect.twists
            if twist.sense != "halfway"
        ]
    )
    swaps = [cycle for cycle in effect.cycles if len(cycle.slots) == 2 and cycle.plain]
    return [
        *([f"flips {flips}"] if flips else []),
        *([f"twists {twists}"] if twists else []),
        *(f"swaps {' with '.join(slot_names(swap, effect))}" for swap in swaps),
        *(f"cycles {' > '.join(slot_names(cycle, effect))}" for cycle in effect.cycles if cycle not in swaps),
        f"changes only {listed([piece.name for piece in effect.changed])}",
    ]
