"""Titles of pages and headings on them, which may hold links that are called as what they lead to.

Knows what was read of pages and blocks; nothing need be turned to know what it is called.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import chain, pairwise

from sitegen.blocks.kind import Block
from sitegen.blocks.kinds import KINDS, anchors
from sitegen.blocks.moves.sequence import Sequence as MoveSequence
from sitegen.guide.figure_numbers import numbered_places
from sitegen.guide.links import Titles
from sitegen.pages.footnotes import REFERENCE
from sitegen.pages.markdown import inline_tokens, plain_text, target_of
from sitegen.pages.page import Heading, Page, headings
from sitegen.problems import Findings, Problem


def headed(
    pages: Sequence[Page],
    blocks: Mapping[str, Sequence[Block]],
    findings: Findings,
    others: Mapping[str, str] = {},
    figures: Mapping[str, Mapping[str, int]] = {},
    places: Mapping[str, Mapping[str, str]] = {},
) -> tuple[tuple[Page, ...], Titles]:
    """The pages with their titles and headings, and all titles; `blocks` are those of each page.

    `others` are the titles of pages that are not among these, `figures` the numbered places on them and
    `places` what others are called.
    """
    linked = _titles(chain.from_iterable(blocks.values()))
    named = {**others, **{page.name: page.title or _title(page, linked) for page in pages}}
    numbered = {**figures, **{page.name: numbered_places(page, blocks[page.name]) for page in pages}}
    titles = Titles(linked, named, numbered)
    for page in pages:
        findings.problems += _of_pages(page, titles)
    done = [replace(p, title=named[p.name], headings=_headings(p, blocks[p.name], titles)) for p in pages]
    called = {page.name: _called(page, blocks[page.name]) for page in done}
    return tuple(done), replace(titles, places={**places, **called})


def _called(page: Page, blocks: Iterable[Block]) -> Mapping[str, str]:
    """What can be linked to on a page says, or is called, by its place there."""
    titles: dict[str, str] = {}
    for block in (block for block in blocks if block.parsed):
        if block.parsed.defines:
            titles[MoveSequence.anchor_of(block.parsed.defines)] = block.parsed.sequence_title
        if block.name:
            titles[KINDS[block.kind].gives.anchor_of(block.name)] = block.parsed.title
    return {**titles, **{heading.anchor: heading.text for heading in page.headings}}


def _titles(blocks: Iterable[Block]) -> Mapping[str, Mapping[str, str]]:
    """What the blocks are called to which links lead, by the scheme of these and the names of those."""
    found: dict[str, dict[str, str]] = {kind.gives.LINK: {} for kind in KINDS.values() if kind.gives.LINK}
    for block in blocks:
        scheme = KINDS[block.kind].gives.LINK
        if block.parsed and block.parsed.defines:
            found[MoveSequence.LINK][block.parsed.defines] = block.parsed.sequence_title
        if block.parsed and block.name and scheme:
            found[scheme][block.name] = block.parsed.title
    return found


def _title(page: Page, linked: Mapping[str, Mapping[str, str]]) -> str:
    """What the heading of a page says, with titles of blocks; those of pages may have to wait for it."""
    assert page.heading is not None  # a page without one has a title
    return plain_text(page.heading.tokens[0], lambda target: Titles(linked, {}).of(target, page.name))


def _of_pages(page: Page, titles: Titles) -> Iterator[Problem]:
    """What the title of a page cannot hold: footnotes, and links that say the title of another page."""
    inside = [*inline_tokens(page.heading)] if page.heading else []
    for token, place in inside:
        if token.type == REFERENCE:
            hint = "take it away, and write it in the text below"
            yield Problem("the title of a page refers to no footnote", place, hint)
    for (token, place), (behind, _) in pairwise(inside):
        if token.type == "link_open" and behind.type == "link_close":
            target = target_of(token)
            if Titles({}, titles.pages).of(target, page.name):
                hint = f"write a text between the square brackets, as in [this]({target})"
                yield Problem("the title of a page takes no title of another page", place, hint)


def _headings(page: Page, blocks: Iterable[Block], titles: Titles) -> tuple[Heading, ...]:
    taken = (anchor for block in blocks for anchor in anchors(block.name))
    return tuple(headings(page.prose, taken, lambda target: titles.of(target, page.name)))
