"""The kinds of block, by the words with which one opens. A new kind is a module, and a line here."""

from __future__ import annotations

from collections.abc import Mapping

from sitegen.blocks import derive_block, find_block, position_block, worked_block
from sitegen.blocks.derivation import derivation_block
from sitegen.blocks.kind import Kind
from sitegen.blocks.method import method_block
from sitegen.blocks.moves import moves_block
from sitegen.blocks.practice import practice_block

KINDS: Mapping[str, Kind] = {
    "moves": moves_block.KIND,
    "derivation": derivation_block.KIND,
    "position": position_block.KIND,
    "find": find_block.KIND,
    "derive": derive_block.KIND,
    "method": method_block.KIND,
    "worked example": worked_block.KIND,
    "practice": practice_block.KIND,
}


def anchors(name: str) -> frozenset[str]:
    """The places on a page that a block of a name may be called by."""
    return frozenset(kind.gives.anchor_of(name) for kind in KINDS.values())


ASKING = {words: kind.answers for words, kind in KINDS.items() if kind.answers}
"""The kinds that ask the reader something, and what gives the answers."""
