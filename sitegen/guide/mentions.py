"""Where sequences are mentioned: the pages that link to them, or use them in blocks that define none."""

from __future__ import annotations

from collections.abc import Iterator

from sitegen.guide.guide import Guide
from sitegen.guide.links import SEQUENCE
from sitegen.guide.markdown import inline_tokens, is_moves
from sitegen.guide.page import Page
from sitegen.moves.references import REFERENCE


def mentions(guide: Guide) -> dict[str, list[Page]]:
    """For each sequence the pages that mention it, in reading order, but for the one where it stands."""
    found: dict[str, list[Page]] = {name: [] for name in guide.sequences}
    for page in guide.pages:
        for name in dict.fromkeys(_named(page, guide)):
            if name in found and guide.sequences[name].page != page.name:
                found[name].append(page)
    return found


def _named(page: Page, guide: Guide) -> Iterator[str]:
    """The names in a page's links, inline moves, pocket reference, and blocks that define no sequence."""
    blocks = [block for block in guide.blocks[page.name] if block.checked is not None]
    for prose in [page.prose, *(prose for block in blocks for prose in block.checked.prose)]:
        for token, _ in inline_tokens(prose):
            if token.type == "link_open":
                yield str(token.attrGet("href")).removeprefix(SEQUENCE)
            elif is_moves(token):
                yield from REFERENCE.findall(token.content)
    if page.sheet:
        yield from (name.text for name in page.sheet.cards)
    for block in blocks:
        if block.checked.sequence is None:
            yield from block.checked.refers_to
