"""The page of isolating sequences: what each becomes when a layer is turned and it is undone, ready to paste.

Knows sequences, layers and how blocks are written; knows nothing of HTML.
"""

from __future__ import annotations

from collections.abc import Container, Iterable, Iterator, Mapping
from dataclasses import dataclass

from sitegen.blocks.moves.sequence import Sequence
from sitegen.blocks.source import free, moves_source, with_turn
from sitegen.effects.claims.claims_of_effect import claims_of
from sitegen.effects.layers import Layer, isolating
from sitegen.moves.notation import layer_names
from sitegen.puzzles.puzzle import Puzzle
from sitegen.search.commutators import LayerCommutator, commutators
from sitegen.site.list_parts import ListPart, OfPuzzle


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


@dataclass(frozen=True)
class OfLayer:
    """A layer, with the pieces that change alone in it or two together, each with the sequences."""

    name: str
    alone: Mapping[str, tuple[Sequence, ...]]
    together: Mapping[str, tuple[Sequence, ...]]

    @property
    def pieces(self) -> Mapping[str, tuple[Sequence, ...]]:
        """All of them."""
        return {**self.alone, **self.together}


@dataclass(frozen=True)
class OfOnePuzzle:
    """The entries of a puzzle, and an overview of them by layer and piece."""

    puzzle: Puzzle
    entries: tuple[Entry, ...]
    overview: tuple[OfLayer, ...]


def isolated_in(part: ListPart, taken: Container[str]) -> list[OfOnePuzzle]:
    """What stands on a page of isolating sequences, with the commutators of each; `taken` are other names."""
    return [_of_puzzle(group, taken) for group in part.groups]


def _of_puzzle(group: OfPuzzle, taken: Container[str]) -> OfOnePuzzle:
    found = [(sequence, isolating(sequence.effect)) for sequence in group.sequences]
    entries = (
        Entry(each, tuple(_isolated(each, layer, taken) for layer in layers)) for each, layers in found
    )
    return OfOnePuzzle(group.puzzle, tuple(entries), tuple(_overview(group.puzzle, found)))


def _overview(puzzle: Puzzle, found: Iterable[tuple[Sequence, Iterable[Layer]]]) -> Iterator[OfLayer]:
    """The layers in the order of the puzzle, and in each the pieces, those that change alone first."""
    of_layer: dict[str, dict[tuple[int, ...], list[Sequence]]] = {}
    for sequence, layers in found:
        for layer in layers:
            changed = tuple(piece.index for piece in layer.changed)
            of_layer.setdefault(layer.name, {}).setdefault(changed, []).append(sequence)
    for name in layer_names(puzzle):
        if found_here := of_layer.get(name):
            told = {
                changed: (_names(changed, puzzle), tuple(found_here[changed]))
                for changed in sorted(found_here)
            }
            alone = dict(named for changed, named in told.items() if len(changed) == 1)
            yield OfLayer(name, alone, dict(named for changed, named in told.items() if len(changed) > 1))


def _names(changed: Iterable[int], puzzle: Puzzle) -> str:
    """`UF and UR`, of pieces by their numbers."""
    return " and ".join(puzzle.pieces[index].name for index in changed)


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
