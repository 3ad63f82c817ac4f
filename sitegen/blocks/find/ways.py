"""What a search on a page has found: ways to do what was asked for, each a sequence that was checked."""

from __future__ import annotations

from dataclasses import dataclass

from sitegen.blocks.block import CheckedBlock
from sitegen.blocks.moves.sequence import Sequence
from sitegen.search.commutators import LayerCommutator


@dataclass(frozen=True, eq=False)
class Way:
    """A sequence, with what it becomes together with turns of a layer, and its source to paste."""

    sequence: Sequence
    commutators: tuple[LayerCommutator, ...]
    name: str
    """What it is called in the source to paste: a name that nothing in the guide has."""
    source: str


@dataclass(frozen=True, eq=False, kw_only=True)
class Ways(CheckedBlock):
    ANCHOR = "find"

    claims: tuple[str, ...]
    """What was asked for, in the author's words."""
    turns: str
    """The turns that were allowed, in words."""
    metric: str
    muted: bool
    """Whether pieces that were not asked about are muted in the figures."""
    account: str
    """How many there are, and how far that is certain."""
    ways: tuple[Way, ...]

    @property
    def claims_held(self) -> int:
        return len(self.claims)
