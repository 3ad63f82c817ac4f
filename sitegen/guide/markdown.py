"""CommonMark with tables and attributes; fenced blocks and inline moves are set by whoever knows them.

Knows Markdown and nothing of puzzles.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from copy import copy
from dataclasses import dataclass
from typing import Any

from markdown_it import MarkdownIt
from markdown_it.common.utils import escapeHtml
from markdown_it.renderer import RendererHTML
from markdown_it.token import Token
from mdit_py_plugins.attrs import attrs_plugin

from sitegen.problems import Passage, Source

EXAMPLE = "example"
"""A fence of this kind holds Markdown, which is shown as source and as result."""


def parser(html: bool = False) -> MarkdownIt:
    """CommonMark 0.31.2, tables, and `{.class}` behind inline code, links and images."""
    markdown = MarkdownIt("commonmark", {"html": html}, renderer_cls=Renderer)
    return markdown.enable("table").use(attrs_plugin)


@dataclass(frozen=True)
class Surroundings:
    """What a text needs to know of the place where it is set.

    `fence` gives a block's HTML, or None for code; `moves` gives that of inline moves; `link` gives for a
    target its address and the text for a link that has none.
    """

    fence: Callable[[Token], str | None]
    moves: Callable[[str], str]
    link: Callable[[str], tuple[str, str]]


class Renderer(RendererHTML):
    """CommonMark's output, but for what the surroundings, where there are any, say."""

    def fence(self, tokens: Sequence[Token], idx: int, options: Any, env: Any) -> str:
        around: Surroundings | None = env.get("around")
        ready = around.fence(tokens[idx]) if around else None
        return super().fence(tokens, idx, options, env) if ready is None else ready

    def code_inline(self, tokens: Sequence[Token], idx: int, options: Any, env: Any) -> str:
        around: Surroundings | None = env.get("around")
        if around and is_moves(tokens[idx]):
            return around.moves(tokens[idx].content)
        return super().code_inline(tokens, idx, options, env)

    def link_open(self, tokens: Sequence[Token], idx: int, options: Any, env: Any) -> str:
        around: Surroundings | None = env.get("around")
        if around is None:
            return self.renderToken(tokens, idx, options, env)
        address, text = around.link(str(tokens[idx].attrGet("href") or ""))
        opening = copy(tokens[idx])
        opening.attrs = {**tokens[idx].attrs, "href": address}
        empty = tokens[idx + 1].type == "link_close"
        return self.renderToken([opening], 0, options, env) + (escapeHtml(text) if empty else "")

    def image(self, tokens: Sequence[Token], idx: int, options: Any, env: Any) -> str:
        around: Surroundings | None = env.get("around")
        if around is None:
            return super().image(tokens, idx, options, env)
        picture = copy(tokens[idx])
        picture.attrs = {**tokens[idx].attrs, "src": around.link(str(tokens[idx].attrGet("src") or ""))[0]}
        return super().image([picture], 0, options, env)


def is_moves(token: Token) -> bool:
    """Whether inline code is marked `{.moves}`."""
    return token.type == "code_inline" and "moves" in str(token.attrGet("class") or "").split()


@dataclass(frozen=True)
class Prose:
    """Markdown that was parsed, and where it was written."""

    passage: Passage
    tokens: list[Token]


def page_prose(passage: Passage, html: bool) -> Prose:
    markdown = parser(html)
    tokens: list[Token] = []
    for token in markdown.parse(passage.text):
        tokens += (
            _example(token, markdown) if token.type == "fence" and token.info.strip() == EXAMPLE else [token]
        )
    return Prose(passage, tokens)


def _example(fence: Token, markdown: MarkdownIt) -> list[Token]:
    """An example of what can be written: as it is written, and then as it is set."""
    shown = markdown.parse(fence.content)
    first = fence.map[0] + 1 if fence.map else 0
    for token in shown:
        if token.map:
            token.map = [line + first for line in token.map]
    opening = Token("example_open", "div", 1, attrs={"class": EXAMPLE}, block=True)
    source = copy(fence)
    source.info = "markdown"
    return [opening, source, *shown, Token("example_close", "div", -1, block=True)]


def inline_prose(passage: Passage, html: bool) -> Prose:
    """A text for inside a paragraph."""
    return Prose(passage, parser(html).parseInline(passage.text))


def render(prose: Prose, around: Surroundings) -> str:
    markdown = parser()
    return str(markdown.renderer.render(prose.tokens, markdown.options, {"around": around}))


def inline_tokens(prose: Prose) -> Iterator[tuple[Token, Passage]]:
    """Every token inside paragraphs and headings, with the place where its text was written."""
    for token in prose.tokens:
        if token.type == "inline":
            stretch = _stretch(prose, token)
            searched = 0
            for child in token.children or []:
                place, searched = _find(child, stretch, searched)
                yield child, place


def _stretch(prose: Prose, token: Token) -> Passage:
    """The lines of a block of text."""
    first, last = token.map or [0, prose.passage.text.count("\n") + 1]
    lines = prose.passage.text.splitlines(keepends=True)
    return prose.passage.part(sum(map(len, lines[:first])), sum(map(len, lines[:last])))


def _find(token: Token, stretch: Passage, searched: int) -> tuple[Passage, int]:
    """Where a token's own text stands in a stretch; the stretch's first line where it cannot be told."""
    text = {
        "code_inline": token.content,
        "link_open": str(token.attrGet("href") or ""),
        "image": str(token.attrGet("src") or ""),
    }.get(token.type, "")
    at = stretch.text.find(text, searched) if text else -1
    if at < 0:
        first = stretch.text.split("\n", 1)[0]
        return stretch.part(0, len(first)), searched
    return stretch.part(at, at + len(text)), at + len(text)


@dataclass(frozen=True)
class Fence:
    """A fenced code block: the words of its first line, and its body."""

    token: Token
    words: tuple[str, ...]
    info: Passage
    body: Passage


def fences(prose: Prose) -> Iterator[Fence]:
    """The fenced blocks of a page; each body is a source of its own, free of the signs of lists."""
    lines = prose.passage.text.splitlines()
    offset = prose.passage.line
    for token in prose.tokens:
        if token.type != "fence" or token.map is None:
            continue
        first = token.map[0]
        opening = lines[first]
        at = opening.find(token.markup) + len(token.markup)
        start = sum(len(line) + 1 for line in lines[:first]) + at
        info = prose.passage.part(start, start + len(opening) - at).stripped()
        body = Source(
            prose.passage.source.name,
            token.content,
            first_line=offset + first + 1,
            indent=_indent(lines[first + 1] if first + 1 < len(lines) else "", token.content),
        )
        yield Fence(token, tuple(token.info.split()), info, body.passage())


def _indent(line: str, content: str) -> int:
    """How many characters of a line stand before the content of the block."""
    return max(0, len(line) - len(content.split("\n", 1)[0]))


def plain_text(token: Token) -> str:
    """What an inline token says, without its marks."""
    parts = [
        child.content for child in token.children or [] if child.type in ("text", "code_inline", "softbreak")
    ]
    return " ".join("".join(part or " " for part in parts).split())


def slug(text: str) -> str:
    """A heading's text as the name of an anchor."""
    return re.sub(r"[^\w]+", "-", text.lower()).strip("-") or "part"
