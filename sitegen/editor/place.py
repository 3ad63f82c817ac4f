"""A place in a file that is being written, and what stands there. Knows pages and blocks, and no protocol."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from markdown_it.token import Token

from sitegen.blocks.kind import Block
from sitegen.guide.enclosing import Enclosing
from sitegen.moves.references import NAME, REFERENCE
from sitegen.pages.markdown import Prose, inline_tokens, target_of
from sitegen.pages.page import Page
from sitegen.problems import Passage, Problems, Source

NAMED = re.compile(rf"{REFERENCE.pattern}|\bof=(?P<of>{NAME})")
"""A sequence that a text refers to, or that a claim in it says that it is about."""


@dataclass(frozen=True)
class Place:
    """A place in a file of a guide: line and column as problems count them, from 1 and in characters."""

    around: Enclosing
    file: str
    """Its path in the guide's folder."""
    text: str
    line: int
    column: int

    @cached_property
    def lines(self) -> list[str]:
        """All lines of the file."""
        return self.text.split("\n")

    @property
    def written(self) -> str:
        """The whole line."""
        return self.lines[self.line - 1] if self.line <= len(self.lines) else ""

    @property
    def before(self) -> str:
        """The line up to here."""
        return self.written[: self.column - 1]

    @cached_property
    def page(self) -> Page | None:
        """The page that is written in the file; None where it is none, or the guide cannot be read."""
        try:
            pages = self.around.outline.pages
        except Problems:
            return None
        return next((page for page in pages if f"content/{page.name}.md" == self.file), None)

    @cached_property
    def block(self) -> Block | None:
        """The block in whose body this is."""
        blocks = self.around.outline.blocks if self.page else []
        return next((block for block in blocks if self._is_of_page(block) and self._is_in(block)), None)

    def _is_of_page(self, block: Block) -> bool:
        return self.page is not None and block.head.page == self.page.name

    def _is_in(self, block: Block) -> bool:
        """Whether the line is one of the body; the one that closes a fence is none."""
        body, markup = block.fence.body.source, block.fence.token.markup
        closes = self.written.strip(" \t>").startswith(markup)
        return 0 <= self.line - body.first_line <= body.text.count("\n") and not closes

    def is_in(self, passage: Passage) -> bool:
        """Whether this is within a passage of the file, or right behind it."""
        begin, end = passage, passage.after
        return (begin.line, begin.column) <= (self.line, self.column) <= (end.line, end.column)

    def passage(self, start: int, end: int) -> Passage:
        """A stretch of the line, between two offsets in it."""
        return Source(self.file, self.written, first_line=self.line).passage(start, end)

    @property
    def reference(self) -> tuple[str, Passage] | None:
        """The name of the sequence that is referred to here, and where."""
        for found in NAMED.finditer(self.written):
            if found.start() < self.column <= found.end() + 1:
                return found[1] or found["of"], self.passage(*found.span())
        return None

    @property
    def code(self) -> tuple[Token, Passage] | None:
        """The code in a sentence in which this is."""
        every = (each for prose in self._texts() for each in inline_tokens(prose))
        return next(((t, p) for t, p in every if t.type == "code_inline" and self.is_in(p)), None)

    @property
    def link(self) -> str:
        """What the link leads to in which this is, as it is written; empty where none is here."""
        for prose in self._texts():
            target = ""
            for token, passage in inline_tokens(prose):
                if token.type == "link_open":
                    target = target_of(token)
                if target and self.is_in(passage):
                    return target
                if token.type == "link_close":
                    target = ""
        return ""

    def _texts(self) -> Iterator[Prose]:
        """What the author says in sentences: on the page, and in its blocks."""
        if self.page:
            yield from filter(None, [self.page.heading, self.page.prose])
            blocks = (block for block in self.around.outline.blocks if self._is_of_page(block))
            yield from (block.parsed.say for block in blocks if block.parsed and block.parsed.say)
