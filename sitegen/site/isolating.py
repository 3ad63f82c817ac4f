"""The page of isolating sequences: what each becomes when a layer is turned and it is undone, ready to paste.

Knows sequences, layers and how blocks are written; knows nothing of HTML.
"""

from __future__ import annotations

from collections.abc import Container
from dataclasses import dataclass

from sitegen.blocks.moves.sequence import Sequence
from sitegen.blocks.source import free, moves_source, with_turn
from sitegen.effects.claims.claims_of_effect import claims_of
from sitegen.effects.layers import Layer, isolating
from sitegen.guide.guide import Guide
from sitegen.search.commutators import LayerCommutator, commutators


@dataclass(frozen=True)
class Isolated:
    """A layer in which a sequence isolates pieces; each commutator with a block, empty if it does nothing."""

    layer: Layer
    commutators: tuple[tuple[LayerCommutator, str], ...]


@dataclass(frozen=True)
class Entry:
    """A sequence with the layers in which it isolates pieces."""

    sequence: Sequence
    layers: tuple[Isolated, ...]


def entries(guide: Guide) -> list[Entry]:
    """The sequences that isolate one piece, and then those that isolate two, with their commutators."""
    found = [(sequence, isolating(sequence.effect)) for sequence in guide.sequences.values()]
    taken = next(iter(guide.scopes.values())).taken if guide.scopes else frozenset()
    ordered = sorted(found, key=lambda entry: not any(layer.alone for layer in entry[1]))
    return [
        Entry(sequence, tuple(_isolated(sequence, layer, taken) for layer in layers))
        for sequence, layers in ordered
        if layers
    ]


def _isolated(sequence: Sequence, layer: Layer, taken: Container[str]) -> Isolated:
    found = commutators(f"@{sequence.name}", sequence.effect, layer.turn)
    return Isolated(layer, tuple((each, _block(sequence, each, taken)) for each in found))


def _block(sequence: Sequence, commutator: LayerCommutator, taken: Container[str]) -> str:
    """A block that says of its moves all that they do; empty where that is nothing."""
    if not commutator.effect.changed:
        return ""
    name = free(with_turn(sequence.name, commutator.turn), taken)
    title = f"{sequence.title} with {commutator.turn}"
    return moves_source(name, title, commutator.moves, claims_of(commutator.effect))
