"""Where what stands on a page of the site was written: the file and the line of each block.

Knows a checked guide; what it gives is small and plain, to be sent from process to process.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from sitegen.blocks.kind import Block
from sitegen.guide.guide import Guide
from sitegen.pages.page import Page


@dataclass(frozen=True)
class BlockPlace:
    """A block as it opens, `moves lift-edge`, and where in the guide's folder that is."""

    opening: str
    file: str
    line: int
    anchor: str = ""
    """What it is called on its page; empty for a block without a name."""


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


def page_places(guide: Guide) -> dict[str, PagePlaces]:
    """By the path of each page below output/ that is an author's page or the page of one of its blocks."""
    found: dict[str, PagePlaces] = {}
    for page in guide.pages:
        file = f"content/{page.name}.md"
        blocks = [block for block in guide.blocks[page.name] if block.checked is not None]
        places = [_place(block) for block in blocks]
        found[page.url] = PagePlaces(file, tuple(places))
        for block, place in zip(blocks, places, strict=True):
            for url in _own_pages(block):
                found[url] = PagePlaces(file, (place,))
        if answers := _answers(guide, page):
            found[answers] = PagePlaces(file, tuple(_place(block) for block in guide.asking(page)))
    return found


def sequence_links(guide: Guide) -> dict[str, SequenceLink]:
    """The pages of all named sequences, by their names."""
    return {name: SequenceLink(each.title, each.url) for name, each in guide.sequences.items()}


def _place(block: Block) -> BlockPlace:
    opening = block.fence.info
    anchor = block.checked.anchor if block.checked.name else ""
    return BlockPlace(block.label, opening.source.name, opening.line, anchor)


def _own_pages(block: Block) -> Iterator[str]:
    """The pages of a block and of the sequence that it defines, where it has any."""
    for each in (block.checked, block.checked.sequence):
        if each is not None and each.name and each.url:
            yield each.url


def _answers(guide: Guide, page: Page) -> str:
    return page.answers_url if page.answers and guide.asking(page) else ""
