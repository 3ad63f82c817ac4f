"""What is wrong with a guide as a whole: links, inline moves, clashing files; and what only follows."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from sitegen.guide.guide import MADE, Block, Guide
from sitegen.guide.links import link_problems
from sitegen.guide.markdown import inline_tokens, is_moves
from sitegen.guide.sequence import Book
from sitegen.moves.parse import parse as parse_moves
from sitegen.moves.references import UnknownSequence, resolve_one
from sitegen.problems import Problem, Source

KEPT = ("sequences/", "static/")
"""Folders that the site keeps to itself."""


def clashes(guide: Guide) -> Iterator[Problem]:
    """Pages and files that would be published where something else goes."""
    taken = {page.url for page in guide.pages}
    paths = [(f"{page.name}.md", page.url) for page in guide.pages] + [(name, name) for name in guide.files]
    for name, path in paths:
        nowhere = Source(f"content/{name}", "").passage()
        if path in MADE or path.startswith(KEPT):
            yield Problem(f"the site makes {path} by itself", nowhere, "choose another name")
        elif name == path and path in taken:
            yield Problem(f"a page is published as {path}", nowhere, "choose another name")


def prose_problems(guide: Guide) -> Iterator[Problem]:
    """Links that lead nowhere and inline moves that cannot be read."""
    blocks = [block for found in guide.blocks.values() for block in found]
    said = [(block.page, block.checked.say) for block in blocks if block.checked and block.checked.say]
    for page, prose in [*((page, page.prose) for page in guide.pages), *said]:
        book = guide.books.get(page.puzzle.name) or Book(page.puzzle, {}, {})
        yield from link_problems(prose, page.name, guide.targets)
        for token, passage in inline_tokens(prose):
            if is_moves(token):
                try:
                    resolve_one(parse_moves(passage, page.puzzle), book.trees)
                except Problem as problem:
                    yield problem


def roots(found: Iterable[Problem], blocks: Iterable[Block]) -> list[Problem]:
    """The problems without those that only follow from a sequence's having one of its own."""
    failed = {block.name for block in blocks if block.checked is None}
    return [
        problem for problem in found if not (isinstance(problem, UnknownSequence) and problem.name in failed)
    ]
