"""The numbers of figures: of blocks and pictures with a caption, on a page whose author wants them.

Knows what blocks say; nothing need be turned to know how many there are.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from itertools import count

from sitegen.blocks.kind import Block
from sitegen.blocks.kinds import KINDS
from sitegen.pages.page import Page
from sitegen.pages.pictures import captioned


def figure_numbers(page: Page, blocks: Iterable[Block]) -> dict[int, int]:
    """The number of each block and picture of a page that has one, by the identity of its token."""
    if not page.figure_numbers:
        return {}
    figures = {id(block.fence.token) for block in blocks if block.parsed and block.parsed.shown.caption}
    figures.update(map(id, captioned(page.prose.tokens)))
    tokens = (each for token in page.prose.tokens for each in (token, *(token.children or ())))
    return {id(token): number for token, number in zip((t for t in tokens if id(t) in figures), count(1))}


def numbered_places(page: Page, blocks: Iterable[Block]) -> Mapping[str, int]:
    """The numbers of those that links can lead to, by their places on the page."""
    blocks = [*blocks]
    numbers = figure_numbers(page, blocks)
    named = (block for block in blocks if block.name and id(block.fence.token) in numbers)
    return {KINDS[each.kind].gives.anchor_of(each.name): numbers[id(each.fence.token)] for each in named}
