"""What looks like a block, or like marked code, where none is read: it would be shown and never checked.

Knows where Markdown reads nothing; which kinds of block there are it is told.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator

from markdown_it.token import Token

from sitegen.pages.markdown import EXAMPLE, Prose, stretch_of
from sitegen.problems import Passage, Problem

FENCED = re.compile(r"(?m)^[ \t]*(?:`{3,}|~{3,})[ \t]*(?P<kind>[A-Za-z]+).*$")
MARKED = re.compile(r"`[^`\n]+`\{\.[^}\n]*\}")


def unread_problems(prose: Prose, kinds: Collection[str]) -> Iterator[Problem]:
    """A problem for each, in the text of a page."""
    for token in prose.tokens:
        stretch = stretch_of(prose, token)
        if token.type == "code_block":
            message = "this block is set in so far that it is shown as code, and is not checked"
            hint = "set it out; to show it as it stands, put a fence of four backticks round it"
            yield from (Problem(message, place, hint) for place in _blocks(stretch, kinds))
        elif token.type == "html_block":
            hint = "put an empty line between it and the HTML"
            for place in [*_blocks(stretch, kinds), *_marks(stretch)]:
                yield Problem("within HTML this is not read, and not checked", place, hint)
        elif token.type == "fence":
            yield from _nearly_example(token, stretch)


def _blocks(stretch: Passage, kinds: Collection[str]) -> Iterator[Passage]:
    """The lines that would begin a block."""
    for found in FENCED.finditer(stretch.text):
        if found["kind"].lower() in kinds:
            yield stretch.part(*found.span()).stripped()


def _marks(stretch: Passage) -> Iterator[Passage]:
    return (stretch.part(*found.span()) for found in MARKED.finditer(stretch.text))


def _nearly_example(token: Token, stretch: Passage) -> Iterator[Problem]:
    if token.info.strip() != EXAMPLE and token.info.lower().split()[:1] == [EXAMPLE]:
        place = stretch.part(0, len(stretch.text.partition("\n")[0])).stripped()
        hint = f"write {token.markup}{EXAMPLE} and no more"
        yield Problem("so this is no example, and nothing in it is checked", place, hint)
