"""The numbers of figures: of the blocks on a page that have a caption, where its author wants numbers.

Knows what blocks say; nothing need be turned to know how many there are.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from itertools import count

from sitegen.blocks.kind import Block
from sitegen.blocks.kinds import KINDS
from sitegen.pages.page import Page


def figure_numbers(page: Page, blocks: Iterable[Block]) -> dict[int, int]:
    """The number of each block of a page that has one, by the identity of its token."""
    if not page.figure_numbers:
        return {}
    captioned = (block for block in blocks if block.parsed and block.parsed.shown.caption)
    return {id(block.fence.token): number for block, number in zip(captioned, count(1), strict=False)}


def numbered_places(page: Page, blocks: Iterable[Block]) -> Mapping[str, int]:
    """The numbers of those that links can lead to, by their places on the page."""
    blocks = [*blocks]
    numbers = figure_numbers(page, blocks)
    named = (block for block in blocks if block.name and id(block.fence.token) in numbers)
    return {KINDS[each.kind].gives.anchor_of(each.name): numbers[id(each.fence.token)] for each in named}
