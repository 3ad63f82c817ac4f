"""What stands around pages and sequences in a guide: before and after them, above them, related to them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from sitegen.blocks.moves.sequence import Sequence as MoveSequence
from sitegen.effects.relations import RelationGroup
from sitegen.guide.guide import Guide
from sitegen.guide.mentions import mentions
from sitegen.pages.page import Page
from sitegen.site.tables import related_sequences, used_in


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

    def above(self, page: Page) -> list[Page]:
        """The pages above a page, from the first."""
        pages = self.guide.targets.pages
        above = [pages.get("index"), pages.get(f"{page.folder}/index")]
        return [step for step in above if step is not None and step is not page]


def _neighbours_in(pages: Sequence[Page | MoveSequence]) -> dict[Page | MoveSequence, Neighbours]:
    around = zip([None, *pages], pages, [*pages[1:], None], strict=False)
    return {page: Neighbours(before, after) for before, page, after in around}
