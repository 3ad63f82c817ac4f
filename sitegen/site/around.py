"""What stands around pages and sequences in a guide: before and after them, above them, related to them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from sitegen.blocks.moves.sequence import Sequence as MoveSequence
from sitegen.effects.layers import isolating
from sitegen.effects.relations import RelationGroup
from sitegen.guide.guide import EFFECTS, ISOLATING, Guide
from sitegen.guide.mentions import mentions
from sitegen.pages.page import Page
from sitegen.site.list_parts import WholeList, in_parts
from sitegen.site.tables import related_sequences, used_in

MOST_ROWS, MOST_ENTRIES = 250, 100
"""So many sequences stand on a page of the effect table, and on one of those that isolate pieces."""


@dataclass(frozen=True)
class Neighbours:
    """The pages before and after a page, in reading order."""

    before: Page | MoveSequence | None = None
    after: Page | MoveSequence | None = None


@dataclass(frozen=True)
class Around:
    guide: Guide

    @cached_property
    def neighbours(self) -> Mapping[Page | MoveSequence, Neighbours]:
        """Of each page of an author, and of each sequence, those before and after it."""
        return {**_neighbours_in(self.guide.pages), **_neighbours_in([*self.guide.sequences.values()])}

    @cached_property
    def used_in(self) -> Mapping[str, list[MoveSequence]]:
        """For each sequence those that refer to it."""
        return used_in(self.guide)

    @cached_property
    def related(self) -> Mapping[str, tuple[RelationGroup, ...]]:
        """For each sequence what it is to others."""
        return related_sequences(self.guide)

    @cached_property
    def mentioned_in(self) -> Mapping[str, list[Page]]:
        """For each sequence the pages that mention it."""
        return mentions(self.guide)

    @cached_property
    def effect_table(self) -> WholeList:
        """All sequences, on the pages of the effect table."""
        return in_parts([*self.guide.sequences.values()], EFFECTS, MOST_ROWS)

    @cached_property
    def isolating(self) -> WholeList:
        """Those that isolate pieces in a layer, on their pages: first those that isolate one, then two."""
        found = [(each, isolating(each.effect)) for each in self.guide.sequences.values()]
        ordered = sorted(found, key=lambda entry: not any(layer.alone for layer in entry[1]))
        return in_parts([sequence for sequence, layers in ordered if layers], ISOLATING, MOST_ENTRIES)

    @cached_property
    def isolating_at(self) -> Mapping[str, str]:
        """The path of the page on which each of these stands, by its name."""
        return {each.name: part.path for part in self.isolating.parts for each in part.sequences}

    def above(self, page: Page) -> list[Page]:
        """The pages above a page, from the first."""
        pages = self.guide.targets.pages
        above = [pages.get("index"), pages.get(f"{page.folder}/index")]
        return [step for step in above if step is not None and step is not page]


def _neighbours_in(pages: Sequence[Page | MoveSequence]) -> dict[Page | MoveSequence, Neighbours]:
    around = zip([None, *pages], pages, [*pages[1:], None], strict=False)
    return {page: Neighbours(before, after) for before, page, after in around}
