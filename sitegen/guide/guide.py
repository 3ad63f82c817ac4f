"""A Guide: what has been read of a folder, page by page and block by block, and every problem on the way."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import TypeVar

from sitegen.blocks.block import CheckedBlock, Turned
from sitegen.blocks.cell_figures import CellFigure
from sitegen.blocks.kind import Block
from sitegen.blocks.kinds import ASKING, KINDS
from sitegen.blocks.moves.sequence import Sequence
from sitegen.blocks.played import Played
from sitegen.blocks.scope import Scope
from sitegen.effects.layers import isolating
from sitegen.guide.contents import Contents
from sitegen.guide.known_page import KnownPage
from sitegen.guide.links import Targets, Titles
from sitegen.guide.tags import TAGS, tag_paths
from sitegen.pages.config import Config
from sitegen.pages.files import part_titles
from sitegen.pages.markdown import Prose, html_texts, inline_tokens
from sitegen.pages.page import Page
from sitegen.pages.raw_html import ids
from sitegen.problems import Note, Passage, Problem

EFFECTS, ISOLATING, CONTENTS = "effects.html", "isolating.html", "contents.html"
FEED, SITEMAP = "feed.xml", "sitemap.xml"
MADE = frozenset([EFFECTS, "effects.csv", "effects.json", ISOLATING, CONTENTS, TAGS])
"""Pages that the site makes by itself, and the effect table as data."""
FILES = "files"
"""The folder, of a theme and of the site, of what pages load."""
EMBED = "embed"
"""The folder of the site in which blocks are that stand in pages elsewhere."""
B = TypeVar("B", bound=CheckedBlock)


@dataclass(frozen=True)
class Stated:
    """Claims in prose that hold, and what they are about as it is written."""

    about: str
    claims: int


@dataclass(frozen=True)
class Guide:
    """All that was read and checked of a folder; what is wrong with it is in `problems`."""

    folder: Path
    config: Config
    pages: tuple[Page, ...]
    blocks: Mapping[str, tuple[Block, ...]]
    """The blocks of each page, by the page's name."""
    sequences: Mapping[str, Sequence]
    """All named sequences, in reading order."""
    scopes: Mapping[str, Scope]
    files: tuple[str, ...]
    """Other files below content/, published as they are."""
    titles: Titles = field(default_factory=lambda: Titles({}, {}))
    unread: frozenset[str] = frozenset()
    """The names of pages that cannot be read, so that nobody knows what is on them."""
    left_out: tuple[Page, ...] = ()
    """Drafts, which are not published."""
    on_drafts: Mapping[str, str] = field(default_factory=dict)
    """The names that blocks have on these, each with the page."""
    stated: Mapping[int, Stated] = field(default_factory=dict)
    """The claims in prose that hold, by the identity of their tokens."""
    played: Mapping[int, Played] = field(default_factory=dict)
    """The moves in prose that pages play, likewise."""
    drawn: Mapping[int, CellFigure] = field(default_factory=dict)
    """What is drawn in the cells of tables, likewise."""
    problems: tuple[Problem, ...] = ()
    notes: tuple[Note, ...] = ()
    """What an author may want to know, though nothing is wrong with it."""
    known: Mapping[str, KnownPage] = field(default_factory=dict)
    """The pages that were not read, since they are as they were, by name. No text of theirs is here."""
    beside: tuple[Block, ...] = ()
    """The blocks on them to which pages lead that were read."""

    @property
    def read(self) -> list[Page]:
        """The pages that were read."""
        return [page for page in self.pages if page.name not in self.known]

    def texts(self, page: Page) -> list[Prose]:
        """All that an author has written on a page: heading, text, and the sentences in its blocks."""
        checked = [block.checked for block in self.blocks[page.name] if block.checked is not None]
        within = (prose for block in checked for prose in block.prose)
        return [*filter(None, [page.heading]), page.prose, *within]

    @cached_property
    def ids(self) -> Mapping[str, tuple[tuple[str, Passage], ...]]:
        """What can be linked to in the HTML of each page, and where it stands."""
        return {
            page.name: tuple(
                (name, passage)
                for prose in self.texts(page)
                for html, passage in html_texts(prose)
                for name in ids(html)
            )
            for page in self.read
        }

    @cached_property
    def contents(self) -> Contents:
        return Contents(self.pages, part_titles(self.config))

    @property
    def checked(self) -> list[CheckedBlock]:
        """All blocks that were found true, in reading order."""
        blocks = (block for page in self.read for block in self.blocks[page.name])
        return [block.checked for block in (*blocks, *self.beside) if block.checked is not None]

    @property
    def turned(self) -> Turned:
        """What of it was found true by turning: the one count that its pages and commands tell."""
        on_pages = (self.turned_on(page) for page in self.read)
        return sum((*on_pages, *(each.turned for each in self.known.values())), Turned())

    def turned_on(self, page: Page) -> Turned:
        """What of a page that was read was found true by turning."""
        tokens = (token for prose in self.texts(page) for token, _ in inline_tokens(prose))
        in_prose = sum(self.stated[id(token)].claims for token in tokens if id(token) in self.stated)
        checked = [block.checked for block in self.blocks[page.name] if block.checked is not None]
        named = sum(each.sequence is not None for each in checked)
        return sum((each.turned for each in checked), Turned(claims=in_prose, sequences=named))

    def named(self, gives: type[B]) -> dict[str, B]:
        """The blocks that have a name and are such a thing, in reading order."""
        return {each.name: each for each in self.checked if isinstance(each, gives) and each.name}

    def asks(self, page: Page) -> bool:
        """Whether a page asks the reader something, or would if its blocks were found true."""
        return any(block.kind in ASKING for block in self.blocks[page.name])

    def published_answers(self, page: Page) -> str:
        """The path of the answers to its exercises; empty where none are published."""
        return page.answers_url if page.answers and self.asks(page) else ""

    def asking(self, page: Page) -> list[Block]:
        """The blocks of a page that have answers on a page of their own."""
        return [b for b in self.blocks[page.name] if b.kind in ASKING and b.checked is not None]

    @cached_property
    def targets(self) -> Targets:
        """All that a link in the guide can lead to."""
        linked: dict[str, dict[str, CheckedBlock]] = {
            kind.gives.LINK: {} for kind in KINDS.values() if kind.gives.LINK
        }
        anchors: dict[str, set[str]] = {page.name: set() for page in self.pages}
        for block in (block for page in self.read for block in self.blocks[page.name] if block.name):
            # With problems too: a link to it is right as soon as they are mended.
            anchors[block.head.page].add(KINDS[block.kind].gives.anchor_of(block.name))
        for each in (*self.checked, *self.sequences.values()):
            if each.name:
                anchors[each.page].add(each.anchor)
                if each.LINK:
                    linked[each.LINK][each.name] = each
        return Targets(
            titles=self.titles,
            pages={page.name: page for page in self.pages},
            linked=linked,
            anchors=anchors,
            files=frozenset(self.files),
            made=self._made,
            drafts=frozenset(page.name for page in (*self.pages, *self.left_out) if page.draft),
            on_drafts=self.on_drafts,
            ids={
                **{name: page.places for name, page in self.known.items()},
                **{page: tuple(name for name, _ in found) for page, found in self.ids.items()},
            },
        )

    @cached_property
    def isolates(self) -> bool:
        """Whether a sequence isolates pieces in a layer, so that there is a page of those that do."""
        known = any(page.isolates for page in self.known.values())
        return known or any(isolating(sequence.effect) for sequence in self.sequences.values())

    @cached_property
    def tags(self) -> Mapping[str, str]:
        """The paths of the pages of all tags."""
        known = (tag for page in self.known.values() for tag in page.tags)
        return tag_paths([*known, *(tag for page in self.read for tag in self.tags_on(page))])

    def tags_on(self, page: Page) -> list[str]:
        """The tags of a page that was read, and of the sequences on it."""
        checked = [block.checked.sequence for block in self.blocks[page.name] if block.checked is not None]
        named = [self.sequences[each.name] for each in checked if each and each.name in self.sequences]
        return [*page.tags, *(tag for sequence in named for tag in sequence.tags)]

    @property
    def feeds(self) -> bool:
        """Whether there is a feed: of pages with a date, by an author, with addresses."""
        dated = any(page.date for page in self.read) or any(page.dated for page in self.known.values())
        return bool(dated and self.config.author and self.config.address)

    @property
    def puzzles(self) -> frozenset[str]:
        """The names of those that its blocks turn."""
        return frozenset(self.scopes).union(*(page.puzzles for page in self.known.values()))

    @property
    def _made(self) -> frozenset[str]:
        """The paths of pages that no file in content/ stands for."""
        answers = {url for page in self.read if (url := self.published_answers(page))}
        answers |= {page.answers for page in self.known.values() if page.answers}
        answers |= {path for path, there in {FEED: self.feeds, SITEMAP: self.config.address}.items() if there}
        optional = {ISOLATING: self.isolates, CONTENTS: self.contents.cut, TAGS: bool(self.tags)}
        there = MADE - {name for name, there in optional.items() if not there}
        return there | answers | {*self.tags.values()}
