"""CommonMark with tables and attributes; fenced blocks and marked inline code are set by whoever knows them.

Knows Markdown and nothing of puzzles.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from copy import copy
from dataclasses import dataclass
from functools import cache, cached_property
from itertools import chain
from typing import Any
from urllib.parse import unquote

from markdown_it import MarkdownIt
from markdown_it.common.utils import escapeHtml
from markdown_it.renderer import RendererHTML
from markdown_it.rules_inline import StateInline
from markdown_it.token import Token
from mdit_py_plugins.attrs import attrs_plugin

from sitegen.pages.raw_html import readdressed
from sitegen.problems import Passage, Source

MARK = re.compile(r"\{[^{}\n]*\}")
EXAMPLE = "example"
"""A fence of this kind holds Markdown, which is shown as source and as result."""


@cache
def parser(html: bool = False) -> MarkdownIt:
    """CommonMark 0.31.2, tables, a mark in braces behind inline code, `{.class}` behind links and images."""
    markdown = MarkdownIt("commonmark", {"html": html}, renderer_cls=Renderer)
    markdown.enable("table").use(attrs_plugin, after=("image", "link_close"), allowed=["class"])
    markdown.inline.ruler.push("mark", _mark)
    return markdown


def _mark(state: StateInline, silent: bool) -> bool:
    """Whatever stands in braces right behind inline code is its mark, to be read by whoever knows marks."""
    found = None if state.pending or not state.tokens else MARK.match(state.src, state.pos)
    if not found or state.tokens[-1].type != "code_inline":
        return False
    if not silent:
        before = state.tokens[-1].meta.get("mark", "")
        state.tokens[-1].meta["mark"] = before + found.group()
    state.pos = found.end()
    return True


def mark(token: Token) -> str:
    """What stands behind inline code to say what it is, with its braces; empty where nothing does."""
    return str(token.meta.get("mark", ""))


@dataclass(frozen=True)
class Surroundings:
    """What a text needs to know of the place where it is set.

    `fence` gives a block's HTML, or None for code; `code` does so for marked inline code, which may stand in
    a link; `link` gives for a target its address and the text for a link that has none.
    """

    fence: Callable[[Token], str | None]
    code: Callable[[Token, bool], str | None]
    link: Callable[[str], tuple[str, str]]


class Renderer(RendererHTML):
    """CommonMark's output, but for what the surroundings, where there are any, say."""

    def fence(self, tokens: Sequence[Token], idx: int, options: Any, env: Any) -> str:
        around: Surroundings | None = env.get("around")
        ready = around.fence(tokens[idx]) if around else None
        return super().fence(tokens, idx, options, env) if ready is None else ready

    def code_inline(self, tokens: Sequence[Token], idx: int, options: Any, env: Any) -> str:
        around: Surroundings | None = env.get("around")
        ready = around.code(tokens[idx], _linked(tokens[:idx])) if around and mark(tokens[idx]) else None
        return super().code_inline(tokens, idx, options, env) if ready is None else ready

    def link_open(self, tokens: Sequence[Token], idx: int, options: Any, env: Any) -> str:
        around: Surroundings | None = env.get("around")
        if around is None:
            return self.renderToken(tokens, idx, options, env)
        address, text = around.link(str(tokens[idx].attrGet("href") or ""))
        opening = copy(tokens[idx])
        opening.attrs = {**tokens[idx].attrs, "href": address}
        empty = tokens[idx + 1].type == "link_close"
        return self.renderToken([opening], 0, options, env) + (escapeHtml(text) if empty else "")

    def text(self, tokens: Sequence[Token], idx: int, options: Any, env: Any) -> str:
        """A link that is written as its address alone has the text that belongs to what it leads to."""
        around: Surroundings | None = env.get("around")
        if around and idx and tokens[idx - 1].type == "link_open" and tokens[idx - 1].info == "auto":
            target = str(tokens[idx - 1].attrGet("href") or "")
            _, title = around.link(target)
            if title != target:
                return escapeHtml(title)
        return super().text(tokens, idx, options, env)

    def image(self, tokens: Sequence[Token], idx: int, options: Any, env: Any) -> str:
        around: Surroundings | None = env.get("around")
        if around is None:
            return super().image(tokens, idx, options, env)
        picture = copy(tokens[idx])
        picture.attrs = {**tokens[idx].attrs, "src": around.link(str(tokens[idx].attrGet("src") or ""))[0]}
        return super().image([picture], 0, options, env)

    def html_block(self, tokens: Sequence[Token], idx: int, options: Any, env: Any) -> str:
        around: Surroundings | None = env.get("around")
        html = tokens[idx].content
        return readdressed(html, lambda target: around.link(target)[0]) if around else html

    html_inline = html_block


def _linked(before: Sequence[Token]) -> bool:
    """Whether what stands behind these tokens stands in a link."""
    ends = [token.type for token in before if token.type in ("link_open", "link_close")]
    return ends[-1:] == ["link_open"]


@dataclass(frozen=True)
class Prose:
    """Markdown that was parsed, and where it was written."""

    passage: Passage
    tokens: list[Token]

    @cached_property
    def line_starts(self) -> list[int]:
        """Where each line begins, and the end. Only a line feed ends a line, as in CommonMark."""
        text = self.passage.text
        return [0, *(found.end() for found in re.finditer("\n", text)), len(text)]


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
    tokens = parser(html).parseInline(passage.text)
    tokens[0].map = None
    return Prose(passage, tokens)


def render(prose: Prose, around: Surroundings) -> str:
    markdown = parser()
    return str(markdown.renderer.render(prose.tokens, markdown.options, {"around": around}))


Placed = tuple[Token, Passage]
"""A token inside a paragraph, and the place where its text was written."""
BEGINS = ("paragraph_open", "heading_open", "tr_open")
"""The tokens that a new train of thought begins with: the cells of a row go together."""


def paragraphs(prose: Prose) -> Iterator[list[Placed]]:
    """What stands in each paragraph, heading and row of a table."""
    held: list[Placed] = []
    for token in prose.tokens:
        if token.type == "inline":
            held += _inside(prose, token)
        elif token.type in BEGINS and held:
            yield held
            held = []
    if held:
        yield held


def _inside(prose: Prose, token: Token) -> Iterator[Placed]:
    if token.type == "inline":
        stretch = stretch_of(prose, token)
        searched: dict[str, int] = {}
        for child in token.children or []:
            yield child, _place(child, stretch, searched)


def inline_tokens(prose: Prose) -> Iterator[Placed]:
    """Every token inside paragraphs and headings."""
    return chain.from_iterable(paragraphs(prose))


def html_texts(prose: Prose) -> Iterator[tuple[str, Passage]]:
    """Every stretch of HTML, with the place where it was written."""
    for token in prose.tokens:
        if token.type == "html_block":
            yield token.content, stretch_of(prose, token)
        inside = _inside(prose, token)
        yield from ((child.content, place) for child, place in inside if child.type == "html_inline")


def html_shown(prose: Prose) -> list[Passage]:
    """Where HTML stands in a text that lets none through, and so shows it to the reader."""
    if not re.search(r"<[A-Za-z/!?]", prose.passage.text):
        return []
    inline = [token.map for token in prose.tokens] == [None]
    again = (inline_prose if inline else page_prose)(prose.passage, html=True)
    return [place for _, place in html_texts(again)]


def stretch_of(prose: Prose, token: Token) -> Passage:
    """The lines of a block of text; the whole, where it does not say which."""
    if token.map is None:
        return prose.passage
    starts = prose.line_starts
    return prose.passage.part(starts[token.map[0]], starts[min(token.map[1], len(starts) - 1)])


def _place(token: Token, stretch: Passage, searched: dict[str, int]) -> Passage:
    """Where a token's own text stands in a stretch; the stretch's first line where it cannot be told."""
    for pattern in _patterns(token):
        found = re.compile(pattern).search(stretch.text, searched.get(pattern, 0))
        if found:
            searched[pattern] = found.end()
            place = stretch.part(*found.span(1))
            return place if token.type != "code_inline" else _unquoted(place, token.content)
    first = stretch.text.split("\n", 1)[0]
    return stretch.part(0, len(first))


def _patterns(token: Token) -> list[str]:
    """How a token's text may have been written: as it is, code between backticks, an address as a whole."""
    if token.type == "text":
        return [f"({re.escape(token.content)})"] if token.content.strip() else []
    if token.type == "code_inline":
        words = r"\s+(?:>\s*)*".join(map(re.escape, token.content.split()))
        return [rf"`\s?({words})\s?`"]
    if token.type == "html_inline":
        return [rf"({re.escape(token.content)})"]
    address = str(token.attrGet("href") or token.attrGet("src") or "")
    spellings = dict.fromkeys([address, unquote(address)])
    before = "<" if token.info == "auto" else r"\]\(\s*<?"
    return [rf"{before}({re.escape(spelling)})(?=[\s)>])" for spelling in spellings] if address else []


def _unquoted(place: Passage, content: str) -> Passage:
    """The place, or where a quote's signs stand between its words the words alone."""
    if place.text.split() == content.split():
        return place
    return Source(place.source.name, content, place.line, place.column - 1).passage()


@dataclass(frozen=True)
class Fence:
    """A fenced code block: the words of its first line, and its body."""

    token: Token
    words: tuple[str, ...]
    info: Passage
    body: Passage


def fences(prose: Prose) -> Iterator[Fence]:
    """The fenced blocks of a page; each body is a source of its own, free of the signs of lists."""
    starts, lines = prose.line_starts, prose.passage.text.split("\n")
    for token in prose.tokens:
        if token.type != "fence" or token.map is None:
            continue
        first = token.map[0]
        at = lines[first].find(token.markup) + len(token.markup)
        info = prose.passage.part(starts[first] + at, starts[first] + len(lines[first])).stripped()
        body = Source(
            prose.passage.source.name,
            token.content,
            first_line=prose.passage.line + first + 1,
            indent=_indent(lines[first + 1 :], token.content.split("\n")),
        )
        yield Fence(token, tuple(token.info.split()), info, body.passage())


def _indent(lines: list[str], content: list[str]) -> int:
    """How many characters stand before the content of a block, seen on its first line that is not empty."""
    pairs = zip(lines, content, strict=False)
    return next((max(0, len(line) - len(text)) for line, text in pairs if text.strip()), 0)


SAID = ("text", "code_inline", "softbreak", "image")
"""The inline tokens that say something; an image says its description."""


def plain_text(token: Token) -> str:
    """What an inline token says, without its marks."""
    parts = [child.content for child in token.children or [] if child.type in SAID]
    return " ".join("".join(part or " " for part in parts).split())


def slug(text: str) -> str:
    """A heading's text as the name of an anchor."""
    return re.sub(r"[^\w]+", "-", text.lower()).strip("-") or "part"
