"""Where sequences are mentioned: the pages that link to them, or use them in blocks that define none."""

from __future__ import annotations

from collections.abc import Iterator

from sitegen.blocks.moves.sequence import Sequence
from sitegen.guide.guide import Guide
from sitegen.guide.inline import mentioned
from sitegen.pages.markdown import inline_tokens, target_of
from sitegen.pages.page import Page


def mentions(guide: Guide) -> dict[str, list[Page]]:
    """For each sequence the pages that mention it, in reading order, but for the one where it stands."""
    found: dict[str, list[Page]] = {name: [] for name in guide.sequences}
    for page in guide.pages:
        for name in dict.fromkeys(named_on(page, guide)):
            if name in found and guide.sequences[name].page != page.name:
                found[name].append(page)
    return found


def named_on(page: Page, guide: Guide) -> Iterator[str]:
    """The names in a page's texts, pocket reference, and blocks that define no sequence."""
    for prose in guide.texts(page):
        for token, _ in inline_tokens(prose):
            if token.type == "link_open":
                scheme, _, name = target_of(token).partition(":")
                yield from [name] if scheme == Sequence.LINK else []
            yield from mentioned(token)
    if page.sheet:
        yield from (name.text for name in page.sheet.cards)
    for block in guide.blocks[page.name]:
        if block.checked is not None and block.checked.sequence is None:
            yield from block.checked.refers_to
