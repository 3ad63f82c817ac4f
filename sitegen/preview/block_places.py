"""Where what stands on a page of the site is written: the file and the line of each block.

Goes by blocks as they are written, whether they hold or not: where one is wrong, its place is asked for most.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import groupby

from sitegen.blocks.kind import Block
from sitegen.blocks.kinds import ASKING, KINDS
from sitegen.blocks.moves.sequence import Sequence
from sitegen.pages.page import Page


@dataclass(frozen=True)
class BlockPlace:
    """A block as it opens, `moves lift-edge`, and where in the guide's folder that is."""

    opening: str
    file: str
    line: int
    anchor: str = ""
    """What it is called on its page; empty for a block without a name."""
    names: str = ""
    """The sequence that it names, by which moves refer to it."""


@dataclass(frozen=True)
class PagePlaces:
    """The file of a page of the site, and its blocks in the order in which they stand there."""

    file: str
    blocks: tuple[BlockPlace, ...]


@dataclass(frozen=True)
class SequenceLink:
    """What a sequence is called, and the path of its page below output/."""

    title: str
    url: str


def page_places(pages: Iterable[Page], blocks: Iterable[Block]) -> dict[str, PagePlaces]:
    """By the path of each page below output/ that is an author's page or the page of one of its blocks.

    `blocks` are in reading order.
    """
    on_page = {name: list(found) for name, found in groupby(blocks, lambda block: block.head.page)}
    found: dict[str, PagePlaces] = {}
    for page in pages:
        here = on_page.get(page.name, [])
        file = page.prose.passage.source.name
        found[page.url] = PagePlaces(file, tuple(map(_place, here)))
        if asking := [block for block in here if block.kind in ASKING]:
            found[page.answers_url] = PagePlaces(file, tuple(map(_place, asking)))
        for block in here:
            for url in _own_pages(block):
                found[url] = PagePlaces(file, (_place(block),))
    return found


def sequence_links(blocks: Iterable[Block]) -> dict[str, SequenceLink]:
    """The pages of all named sequences, by their names."""
    named = [block.parsed for block in blocks if block.parsed and block.parsed.defines]
    return {each.defines: SequenceLink(each.sequence_title, Sequence.page_of(each.defines)) for each in named}


def _place(block: Block) -> BlockPlace:
    opening = block.fence.info
    anchor = KINDS[block.kind].gives.anchor_of(block.name) if block.name else ""
    names = block.parsed.defines if block.parsed else ""
    return BlockPlace(block.label, opening.source.name, opening.line, anchor, names)


def _own_pages(block: Block) -> Iterator[str]:
    """The pages of a block and of the sequence that it names, where it has any."""
    if block.name and (own := KINDS[block.kind].gives.page_of(block.name)):
        yield own
    if block.parsed and block.parsed.defines:
        yield Sequence.page_of(block.parsed.defines)
