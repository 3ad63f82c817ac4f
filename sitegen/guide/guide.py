"""A Guide: what has been read of a folder, page by page and block by block, and every problem on the way."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import Any

from sitegen.blocks.method.method import Method
from sitegen.blocks.moves.sequence import Book, Sequence
from sitegen.blocks.practice.practice import Practice
from sitegen.effects.layers import isolating
from sitegen.guide.links import Targets
from sitegen.pages.config import Config
from sitegen.pages.markdown import Fence, Prose, html_texts
from sitegen.pages.page import Page
from sitegen.pages.raw_html import ids
from sitegen.problems import Findings, Passage, Problem

MADE = frozenset(["effects.html", "isolating.html"])
"""Pages that the site makes by itself."""


@dataclass
class Block:
    """One block of a page on its way from text to something checked."""

    kind: str
    name: str
    page: Page
    fence: Fence
    parsed: Any = None
    checked: Any = None
    findings: Findings = field(default_factory=Findings)


@dataclass(frozen=True)
class Stated:
    """Claims in prose that hold, and what they are about as it is written."""

    about: str
    claims: int


@dataclass(frozen=True)
class Guide:
    folder: Path
    config: Config
    pages: tuple[Page, ...]
    blocks: Mapping[str, tuple[Block, ...]]
    """The blocks of each page, by the page's name."""
    sequences: Mapping[str, Sequence]
    """All named sequences, in reading order."""
    methods: Mapping[str, Method]
    books: Mapping[str, Book]
    files: tuple[str, ...]
    """Other files below content/, published as they are."""
    unread: frozenset[str] = frozenset()
    """The names of pages that cannot be read, so that nobody knows what is on them."""
    stated: Mapping[int, Stated] = field(default_factory=dict)
    """The claims in prose that hold, by the identity of their tokens."""
    problems: tuple[Problem, ...] = ()
    notes: tuple[Problem, ...] = ()
    """What an author may want to know, though nothing is wrong with it."""

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
            for page in self.pages
        }

    def practice(self, page: Page) -> list[Practice]:
        """The blocks of a page that have exercises."""
        checked = (block.checked for block in self.blocks[page.name])
        return [block for block in checked if isinstance(block, Practice)]

    @cached_property
    def targets(self) -> Targets:
        pages = {page.name: page for page in self.pages}
        isolates = any(isolating(sequence.effect) for sequence in self.sequences.values())
        blocks = [block for blocks in self.blocks.values() for block in blocks]
        answers = {
            block.page.answers_url for block in blocks if block.kind == Practice.KIND and block.page.answers
        }
        made = (MADE if isolates else MADE - {"isolating.html"}) | answers
        ids = {page: tuple(name for name, _ in found) for page, found in self.ids.items()}
        return Targets(pages, self.sequences, self.methods, frozenset(self.files), made, ids)
