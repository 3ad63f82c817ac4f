"""Of a guide the pages that have changed, read anew, where all others are known to be as they were.

What these pages show of others is known (`KnownPage`), or is read with them: blocks that they name, and what
those are made from.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import replace
from itertools import chain
from pathlib import Path

from sitegen.blocks.kind import Block
from sitegen.blocks.kinds import KINDS
from sitegen.cache import Cache
from sitegen.effects.layers import isolating
from sitegen.guide.checking import check_by_what_is_known
from sitegen.guide.guide import Guide
from sitegen.guide.headings import headed
from sitegen.guide.known_page import KnownBlock, KnownPage
from sitegen.guide.load import blocks_of, proofread, scopes_of
from sitegen.guide.mentions import named_on
from sitegen.pages.config import Config, settled
from sitegen.pages.files import other_files, page_called
from sitegen.pages.markdown import Prose, html_texts, page_prose
from sitegen.pages.page import PAGE, Page, read_page
from sitegen.problems import Findings, Source
from sitegen.settings import Setting


class OthersConcerned(Exception):
    """What a page says to others has changed, so that nothing is known of these."""


def known_pages(guide: Guide) -> dict[str, KnownPage]:
    """What is known of the pages that were read of a guide in which everything holds, in reading order."""
    noted = {place.source.name for note in guide.notes for place in note.places}
    return {page.name: _known(page, guide, f"content/{page.name}.md" in noted) for page in guide.read}


def _known(page: Page, guide: Guide, noted: bool) -> KnownPage:
    blocks = guide.blocks[page.name]
    sequences = [block.checked.sequence for block in blocks if block.checked.sequence]
    html = [text for prose in guide.texts(page) for text, _ in html_texts(prose)] if guide.config.html else ()
    return KnownPage(
        head=_head(page),
        title=page.title,
        puzzle=page.puzzle.name,
        places=(
            *(heading.anchor for heading in page.headings),
            *(name for name, _ in guide.ids[page.name]),
            *sorted(guide.targets.anchors[page.name]),
        ),
        figures=guide.titles.figures[page.name],
        called=guide.titles.places[page.name],
        headings=tuple(f"{heading.level} {heading.text}" for heading in page.headings),
        tags=tuple(guide.tags_on(page)),
        asks=guide.asks(page),
        answers=guide.published_answers(page),
        mentions=tuple(sorted(set(named_on(page, guide)))),
        html=tuple(html),
        blocks=_known_blocks(blocks),
        puzzles=tuple(sorted({block.head.puzzle.name for block in blocks})),
        turned=guide.turned_on(page),
        isolates=any(isolating(sequence.effect) for sequence in sequences),
        dated=bool(page.date),
        noted=noted,
    )


def _head(page: Page) -> str:
    """Its settings, as they are written."""
    return page.prose.passage.source.text[: page.prose.passage.start]


def _known_blocks(blocks: Iterable[Block]) -> tuple[KnownBlock, ...]:
    """Those that have a name, or give one."""
    return tuple(_known_block(each) for each in blocks if each.parsed and (each.name or each.parsed.defines))


def _known_block(block: Block) -> KnownBlock:
    fence = block.fence
    return KnownBlock(
        name=block.name,
        defines=block.parsed.defines,
        kind=block.kind,
        puzzle=block.head.puzzle.name,
        text=f"{fence.token.markup}{fence.token.info}\n{fence.token.content}{fence.token.markup}\n",
    )


def read_anew(folder: Path, changed: Collection[str], known: Mapping[str, KnownPage]) -> Guide:
    """The guide in a folder, of which some pages have changed since all that is known of them was found.

    What it says of these is so where the same is known of them still (`known_pages`). Raises OthersConcerned
    where that is seen at once not to be so; NotKnown where a result is missing, Problem or Problems; these,
    and those of the guide, may only follow from how little of it was read.
    """
    config, findings = settled(folder), Findings()
    others = {name: page for name, page in known.items() if name not in changed}
    read = [page_called(folder, name, config, findings) for name in known if name in changed]
    own = {page.name: tuple(blocks_of(page, config)) for page in read}
    if any(
        (_head(page), _known_blocks(own[page.name])) != (known[page.name].head, known[page.name].blocks)
        for page in read
    ):
        raise OthersConcerned
    needed = _needed(read, own.values(), known)
    beside = {name: tuple(_borrowed(name, page, needed, config)) for name, page in others.items()}
    titles_of_others = {name: page.title for name, page in others.items()}
    figures = {name: page.figures for name, page in others.items()}
    places = {name: page.called for name, page in others.items()}
    headed_pages, titles = headed(read, own | beside, findings, titles_of_others, figures, places)
    by_name = {page.name: page for page in headed_pages}
    pages = [by_name.get(name) or _as_known(name, page, config) for name, page in known.items()]
    blocks = [block for name in known for block in (own | beside)[name]]
    cache = Cache()
    scopes = scopes_of(blocks, cache, config, _by_name(known))
    check_by_what_is_known([*own.values()], chain(*beside.values()), scopes, cache)
    guide = Guide(
        folder=folder,
        config=config,
        pages=tuple(pages),
        blocks=dict.fromkeys(known, ()) | own,
        sequences={s.name: s for b in blocks if b.checked and (s := b.checked.sequence)},
        scopes=scopes,
        files=tuple(other_files(folder)),
        titles=titles,
        known=others,
        beside=tuple(chain(*beside.values())),
    )
    return proofread(guide, findings.problems)


def _needed(
    pages: Iterable[Page], blocks: Iterable[Iterable[Block]], known: Mapping[str, KnownPage]
) -> set[str]:
    """The names of all blocks that pages with these blocks may follow from.

    These are whatever names stand on them, or in what these lead to, and where a block looks about all of its
    puzzle.
    """
    named = _by_name(known)
    needed: set[str] = set()
    left = [word for page in pages for word in _words(page.prose.passage.source.text)]
    looking = {b.head.puzzle.name for each in blocks for b in each if KINDS[b.kind].looks_about}
    left += _of_puzzles(looking, named)
    while left:
        name = left.pop()
        if name in needed or name not in named:
            continue
        needed.add(name)
        block = named[name]
        left += _words(block.text)
        if KINDS[block.kind].looks_about and block.puzzle not in looking:
            looking.add(block.puzzle)
            left += _of_puzzles({block.puzzle}, named)
    return needed


def _of_puzzles(puzzles: Collection[str], named: Mapping[str, KnownBlock]) -> list[str]:
    return [name for name, block in named.items() if block.puzzle in puzzles]


def _by_name(known: Mapping[str, KnownPage]) -> dict[str, KnownBlock]:
    """All blocks that have a name, by each that leads to them."""
    blocks = (block for page in known.values() for block in page.blocks)
    return {name: block for block in blocks for name in (block.name, block.defines) if name}


def _words(text: str) -> list[str]:
    """Whatever may be a name."""
    return re.findall(r"[\w-]+", text)


def _borrowed(name: str, page: KnownPage, needed: Collection[str], config: Config) -> Iterator[Block]:
    """Of the blocks of a page those with a name that is needed, parsed as they stand there."""
    for block in page.blocks:
        if block.name in needed or block.defines in needed:
            alone = replace(_as_known(name, page, config), prose=_prose(name, block.text, config))
            yield from blocks_of(alone, config)


def _as_known(name: str, page: KnownPage, config: Config) -> Page:
    """A page of which nothing is read."""
    return Page(
        name=name,
        title=page.title,
        heading=None,
        summary="",
        tags=(),
        kind=PAGE,
        sheet=None,
        puzzle=config.puzzles.puzzle(page.puzzle),
        prose=_prose(name, "", config),
        blocks=_for_blocks(name, page, config),
    )


def _for_blocks(name: str, page: KnownPage, config: Config) -> Mapping[str, Setting]:
    """What the head of a page says for its blocks."""
    if "blocks" not in page.head:
        return {}
    return read_page(name, Source(f"content/{name}.md", page.head), config, Findings()).blocks


def _prose(name: str, text: str, config: Config) -> Prose:
    return page_prose(Source(f"content/{name}.md", text).passage(), config.html)
