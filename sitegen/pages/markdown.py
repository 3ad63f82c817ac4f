"""CommonMark with tables and attributes; fenced blocks and marked inline code are set by whoever knows them.

Knows Markdown and nothing of puzzles.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from copy import copy
from dataclasses import dataclass, replace
from functools import cache, cached_property, partial
from html import escape
from itertools import chain, groupby, pairwise
from typing import Any, NamedTuple
from urllib.parse import unquote

from markdown_it import MarkdownIt
from markdown_it.rules_core import StateCore
from markdown_it.rules_inline import StateInline
from markdown_it.token import Token
from mdit_py_plugins.attrs import attrs_plugin
from mdit_py_plugins.container import container_plugin

from sitegen.pages.config import OURS
from sitegen.pages.definition_lists import MEANING, TERM, with_definition_lists
from sitegen.pages.footnotes import REFERENCE, WRITTEN, Footnote, give_places, with_footnotes
from sitegen.pages.pictures import Number, set_apart
from sitegen.pages.raw_html import readdressed
from sitegen.pages.remarks import REMARK, is_remark, with_remarks
from sitegen.problems import Passage, Source

MARK = re.compile(r"\{[^{}\n]*\}")
BARE = "bare"
"""Under this an inline token keeps the letters of its text in which Markdown has read no sign."""
OTHER = "\N{OBJECT REPLACEMENT CHARACTER}"
"""Stands in these for all else: code, HTML, what is escaped, where links and emphasis begin and end."""
LEADING = {"link_open": "href", "image": "src"}
"""The tokens that lead somewhere, and the attribute that says where."""
BEFORE_BOXES = ["paragraph", "reference", "blockquote", "list"]
"""What a box ends where it begins, as the rule for boxes has it."""
BOXES = {"note": "Note", "warning": "Watch out", "idea": "An idea"}
"""The kinds of boxes, as they stand behind the colons that begin one, and what each is usually called."""
ANCHOR = re.compile(r"[ \t]+\{#(?P<name>[a-z][a-z0-9-]*)\}\s*$")
"""What names a heading, behind it."""
EXAMPLE = "example"
"""A fence of this kind holds Markdown, which is shown as source and as result."""


@cache
def parser(html: bool = False) -> MarkdownIt:
    """CommonMark 0.31.2, tables, footnotes, definition lists, boxes, remarks, marks behind inline code.

    Behind links and images there may be a `{.class}`.
    """
    markdown = MarkdownIt("commonmark", {"html": html, "store_labels": True})
    markdown.enable("table").use(attrs_plugin, after=("image", "link_close"), allowed=["class"])
    with_footnotes(markdown)
    with_definition_lists(markdown)
    if not html:
        with_remarks(markdown)
    for box in BOXES:
        markdown.use(container_plugin, box, validate=partial(_begins_box, box), render=_box)
        rule = f"container_{box}"
        begins = next(each.fn for each in markdown.block.ruler.__rules__ if each.name == rule)
        markdown.block.ruler.at(rule, begins, {"alt": BEFORE_BOXES})
    markdown.inline.ruler.push("mark", _mark)
    markdown.core.ruler.before("text_join", "anchors", _take_anchors)
    markdown.core.ruler.before("text_join", "bare", _keep_bare)
    # Else each makes its list of rules when it is first asked, and another thread may meet half of it.
    for ruler in (markdown.core.ruler, markdown.block.ruler, markdown.inline.ruler, markdown.inline.ruler2):
        ruler.getRules()
    return markdown


def _begins_box(box: str, behind: str, signs: str) -> bool:
    """Whether this is the first word behind the colons; others are what the box is called."""
    return behind.split()[:1] == [box]


def _box(renderer: Any, tokens: Sequence[Token], at: int, options: Any, env: Any) -> str:
    """What a box begins with, and what it ends with."""
    if tokens[at].nesting < 0:
        return "</div>\n"
    box, *title = tokens[at].info.split(maxsplit=1)
    name = f">{escape(title[0].strip())}" if title else f' lang="{OURS}">{BOXES[box]}'
    return f'<div class="box {box}" role="note">\n<p class="box-name"{name}</p>\n'


def _take_anchors(state: StateCore) -> None:
    """Takes what stands in braces at the end of a heading for its anchor; the title of a page has none."""
    for number, (opening, inline) in enumerate(pairwise(state.tokens)):
        last = inline.children[-1] if opening.type == "heading_open" and inline.children else None
        found = ANCHOR.search(last.content) if last and last.type == "text" else None
        if last and found and (number or opening.tag != "h1"):
            last.content = last.content[: found.start()]
            opening.meta["anchor"] = found["name"]


def _keep_bare(state: StateCore) -> None:
    """Keeps of each text what was read as letters alone, before nobody can tell what was escaped."""
    for token in state.tokens:
        if token.type == "inline":
            token.meta[BARE] = "".join(map(_bare, token.children or []))


def _bare(child: Token) -> str:
    # A backslash before a letter escapes nothing.
    if child.type == "text" or (child.type == "text_special" and child.content == child.markup):
        return child.content
    return {"softbreak": "\n", "hardbreak": "\n", REMARK: ""}.get(child.type, OTHER)


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


Placed = tuple[Token, Passage]
"""A token inside a paragraph, and the place where its text was written."""
BEGINS = ("paragraph_open", "heading_open", "tr_open", TERM)
"""A new train of thought begins with these: the cells of a row go together, and a term and what it is."""


CELLS = ("td_open", "th_open")


@dataclass(frozen=True)
class Prose:
    """Markdown that was parsed, and where it was written."""

    passage: Passage
    tokens: list[Token]
    unused: tuple[Passage, ...] = ()
    """The definitions of links, as in `[label]: page.md`, that no link takes: none of them is shown."""
    labels: frozenset[str] = frozenset()
    """What links are called that these and others define, in the one spelling that Markdown compares."""
    footnotes: tuple[tuple[Footnote, Passage], ...] = ()
    """The footnotes as they are written, each with its place."""

    @property
    def cells(self) -> Iterator[Token]:
        """What stands in the cells of tables."""
        for before, token in pairwise(self.tokens):
            if before.type in CELLS:
                yield from token.children or ()

    @property
    def within_block(self) -> bool:
        """Whether it stands inside a paragraph of its own, such as what a block says."""
        return [token.map for token in self.tokens] == [None]

    @cached_property
    def line_starts(self) -> list[int]:
        """Where each line begins, and the end. Only a line feed ends a line, as in CommonMark."""
        text = self.passage.text
        return [0, *(found.end() for found in re.finditer("\n", text)), len(text)]

    @cached_property
    def paragraphs(self) -> list[list[Placed]]:
        """What stands in each paragraph, heading, row of a table, and in a term with what it is."""
        found: list[list[Placed]] = [[]]
        before, lines = "", None
        for token in self.tokens:
            if token.type == "inline":
                # The cells of a row stand in one line, each behind those before it.
                if lines is None or token.map != lines:
                    lines, searched = token.map, dict[str, int]()
                found[-1] += _inside(self, token, searched)
            elif token.type in BEGINS and before != MEANING:
                found.append([])
            before = token.type
        return [paragraph for paragraph in found if paragraph]

    def lines(self, first: int, end: int) -> Passage:
        """The lines from one up to another, counted from 0."""
        starts = self.line_starts
        return self.passage.part(starts[first], starts[min(end, len(starts) - 1)])


def page_prose(passage: Passage, html: bool) -> Prose:
    """The Markdown of a page, parsed; `html` lets HTML through."""
    markdown = parser(html)
    env: dict[str, Any] = {}
    parsed, unused = _parsed(passage.text, markdown, env)
    footnotes: list[Footnote] = [*env.get(WRITTEN, ())]
    give_places(parsed)
    example = 1
    tokens: list[Token] = []
    for token in parsed:
        if token.type == "fence" and token.info.strip() == EXAMPLE:
            shown, written = _example(token, markdown)
            example += give_places(shown, example)
            footnotes += written
            tokens += shown
        else:
            tokens.append(token)
    prose = Prose(passage, tokens)
    return replace(
        prose,
        unused=tuple(prose.lines(*lines).stripped() for lines in unused),
        labels=frozenset(env.get("references", ())),
        footnotes=tuple((each, prose.lines(*each.lines).stripped()) for each in footnotes),
    )


def _parsed(
    text: str, markdown: MarkdownIt, env: dict[str, Any], first: int = 0
) -> tuple[list[Token], list[tuple[int, int]]]:
    """The tokens of a text that begins at a line, and the lines of the definitions that no link takes.

    A link that takes one has its lines in its `map`. All definitions come to stand in `env`.
    """
    # Boxes look at the letter behind each line.
    tokens = markdown.parse(text if text.endswith("\n") else f"{text}\n", env)
    lines = {label: tuple(each["map"]) for label, each in env.get("references", {}).items()}
    links = [each for token in tokens for each in token.children or [] if _takes_definition(each)]
    for link in links:
        link.map = [*lines[link.meta["label"]]]
    for token in (*tokens, *links):
        token.map = token.map and [line + first for line in token.map]
    taken = {link.meta["label"] for link in links}
    unused = [where for label, where in lines.items() if label not in taken]
    return tokens, unused + [tuple(each["map"]) for each in env.get("duplicate_refs", ())]


def _takes_definition(token: Token) -> bool:
    return "label" in token.meta and token.type in LEADING


def _example(fence: Token, markdown: MarkdownIt) -> tuple[list[Token], list[Footnote]]:
    """An example of what can be written: as it is written, and then as it is set; with its footnotes."""
    env: dict[str, Any] = {}
    first = fence.map[0] + 1 if fence.map else 0
    shown, _ = _parsed(fence.content, markdown, env, first)
    opening = Token("example_open", "div", 1, attrs={"class": EXAMPLE}, block=True)
    source = copy(fence)
    source.info = "markdown"
    tokens = [opening, source, *shown, Token("example_close", "div", -1, block=True)]
    lines = ((each, (each.lines[0] + first, each.lines[1] + first)) for each in env.get(WRITTEN, ()))
    return tokens, [replace(each, lines=where) for each, where in lines]


def inline_prose(passage: Passage, html: bool) -> Prose:
    """The Markdown of a text that stands inside a paragraph, such as what a block says."""
    tokens = parser(html).parseInline(passage.text)
    tokens[0].map = None
    return Prose(passage, tokens)


@dataclass(frozen=True)
class Surroundings:
    """What a text needs to know of the place where it is set.

    `fence` gives a block's HTML, or None for code; `told` that of inline code and of words, which may stand
    in a link, or None where they are only themselves; of what a target leads to, `address` is where that is,
    knowing whether the page loads it, and `title` what it is called, if anything; `number` is that of a
    picture as a figure.
    """

    fence: Callable[[Token], str | None]
    told: Callable[[Token, bool], str | None]
    address: Callable[[str, bool], str]
    title: Callable[[str], str]
    number: Number


def titled(inside: Iterable[Token], title: Callable[[str], str]) -> Iterator[Token]:
    """The tokens of a paragraph, with a text in each link that has none, only blanks, or only its address."""
    begun: Token | None = None
    blanks: list[Token] = []
    for token in inside:
        if begun and begun.info == "auto" and token.type == "text":
            token = token.copy(content=title(target_of(begun)) or token.content)
        elif begun and _is_blank(token):
            blanks.append(token)
            continue
        elif begun and token.type == "link_close":
            blanks = [Token("text", "", 0, content=title(target_of(begun)) or target_of(begun))]
        yield from blanks
        blanks = []
        begun = token if token.type == "link_open" else None
        yield token


def _is_blank(token: Token) -> bool:
    return token.type == "softbreak" or (token.type == "text" and not token.content.strip())


def target_of(token: Token) -> str:
    """What a token leads to, as it is written."""
    return str(token.attrGet(LEADING[token.type]) or "")


def render(prose: Prose, around: Surroundings, apart: Callable[[Token], bool]) -> list[tuple[str, bool]]:
    """The HTML of a text, with its links, marks and blocks as its surroundings say, in parts that follow each
    other: what stands apart, and what is between; and of each whether it stands apart.
    """
    # The tokens are changed, and not the way of writing them: a renderer would ask its surroundings at each.
    markdown = parser()
    return [
        (str(markdown.renderer.render(_all_set(run, around), markdown.options, {})), alone)
        for alone, run in groupby(prose.tokens, key=apart)
    ]


def _all_set(run: Iterable[Token], around: Surroundings) -> list[Token]:
    return [_set(token, around) for token in set_apart([*run], around.number)]


def _set(token: Token, around: Surroundings) -> Token:
    """A token as it is where it is set, so that nothing is left to know but HTML."""
    if token.type == "fence" and (block := around.fence(token)) is not None:
        return Token("html_block", "", 0, content=block)
    if token.type in ("html_block", "html_inline"):
        shown = "" if is_remark(token.content) else readdressed(token.content, around.address)
        return token.copy(content=shown)
    if token.type in LEADING:
        address = around.address(target_of(token), token.type == "image")
        return token.copy(attrs={**token.attrs, LEADING[token.type]: address})
    if token.type in ("th_open", "td_open") and "style" in token.attrs:
        side = str(token.attrs["style"]).removeprefix("text-align:")
        return token.copy(attrs={"class": f"to-{side}"})
    if token.type == "inline":
        return token.copy(children=list(_set_inside(token.children or [], around)))
    return token


def _set_inside(inside: Iterable[Token], around: Surroundings) -> Iterator[Token]:
    linked = False
    for token in titled(inside, around.title):
        if token.type in ("link_open", "link_close"):
            linked = token.type == "link_open"
        told = around.told(token, linked) if token.type in ("code_inline", "text") else None
        yield _set(token, around) if told is None else Token("html_inline", "", 0, content=told)


def _inside(prose: Prose, token: Token, searched: dict[str, int]) -> Iterator[Placed]:
    """What stands in a token with its place; `searched` is up to where each text was found in its lines."""
    stretch = stretch_of(prose, token)
    text = stretch.text
    first_line = stretch.part(0, len(text.split("\n", 1)[0]))
    for child in token.children or []:
        yield child, _place(child, stretch, text, searched) or first_line


def inline_tokens(prose: Prose) -> Iterator[Placed]:
    """Every token inside paragraphs and headings."""
    return chain.from_iterable(prose.paragraphs)


def html_texts(prose: Prose) -> list[tuple[str, Passage]]:
    """Every stretch of HTML, with the place where it was written, in the order in which they stand."""
    blocks = [
        (token.content, stretch_of(prose, token)) for token in prose.tokens if token.type == "html_block"
    ]
    inside = [(token.content, place) for token, place in inline_tokens(prose) if token.type == "html_inline"]
    return sorted([*blocks, *inside], key=lambda found: found[1].start)


def may_show_html(prose: Prose) -> bool:
    """Whether HTML may stand in a text that lets none through, and so shows it to the reader."""
    texts = (child for token in prose.tokens for child in token.children or [] if child.type == "text")
    return any(re.search(r"<[A-Za-z/!?]", text.content) for text in texts)


def html_shown(prose: Prose) -> list[Passage]:
    """Where HTML stands in such a text, with all of what it was made from."""
    again = (inline_prose if prose.within_block else page_prose)(prose.passage, html=True)
    return [place for text, place in html_texts(again) if not is_remark(text)]


def tables(prose: Prose) -> Iterator[list[Token]]:
    """All tables that stand in nothing else, each with all its tokens."""
    found: list[Token] | None = None
    for token in prose.tokens:
        if token.type == "table_open" and token.level == 0:
            found = []
        if found is not None:
            found.append(token)
        if found and token.type == "table_close" and token.level == 0:
            yield found
            found = None


def stretch_of(prose: Prose, token: Token) -> Passage:
    """The lines of a block of text; the whole, where it does not say which."""
    return prose.passage if token.map is None else prose.lines(*token.map)


def target_place(prose: Prose, token: Token, place: Passage) -> Passage:
    """Where that stands to which a token leads: in its definition, if it takes one, or else in its place."""
    if token.map is None:
        return place
    definition = stretch_of(prose, token)
    found = re.search(rf":\s*<?({_spellings(target_of(token))})(?=[\s>]|\Z)", definition.text)
    return definition.part(*found.span(1)) if found else definition.stripped()


def _place(token: Token, stretch: Passage, text: str, searched: dict[str, int]) -> Passage | None:
    """Where a token's own text stands in a stretch of this text; None where it cannot be told."""
    if token.type in ("text", "html_inline") and token.content.strip():
        start = text.find(token.content, searched.get(token.content, 0))
        if start >= 0:
            searched[token.content] = start + len(token.content)
            return stretch.part(start, searched[token.content])
    written = _written(token)
    if written is None:
        return None
    start = searched.get(written.pattern, 0)
    found = written.plainly(text, start) or written.otherwise(text, start)
    if found is None:
        return None
    first, end, searched[written.pattern] = found
    place = stretch.part(first, end)
    return place if token.type != "code_inline" else _unquoted(place, token.content)


class Written(NamedTuple):
    """How what is not written as it reads may have been, and how it mostly is: `before`, itself, `behind`.

    Where it stands is told as where it begins and ends, and up to where that was read.
    """

    pattern: str
    before: str = ""
    itself: str = ""
    behind: str = ""

    def plainly(self, text: str, start: int) -> tuple[int, int, int] | None:
        """Where it stands as it mostly does. None where something that comes before may be it too."""
        found = text.find(f"{self.before}{self.itself}{self.behind}", start)
        at, begins = found + len(self.before), self.itself.split(" ", 1)[0]
        if found < 0 or not begins or text.find(begins, start) != at:
            return None
        end = at + len(self.itself)
        return at, end, end + len(self.behind)

    def otherwise(self, text: str, start: int) -> tuple[int, int, int] | None:
        """Where it stands, however it was written. Each has a pattern of its own, which takes longer."""
        found = re.compile(self.pattern).search(text, start)
        return (*found.span(1), found.end()) if found else None


def _written(token: Token) -> Written | None:
    """Code stands between backticks, an address as a whole."""
    if token.type == "code_inline":
        words = r"\s+(?:>\s*)*".join(map(re.escape, token.content.split()))
        return Written(rf"`\s?({words})\s?`", "`", token.content.rstrip(), "`")
    if token.type == REFERENCE:
        return Written(rf"(\[\^{re.escape(token.meta['label'])}\])")
    if label := token.meta.get("label"):
        words = r"\s+".join(map(re.escape, label.split()))
        return Written(rf"(?i)\[({words})\]")
    address = target_of(token) if token.type in LEADING else ""
    if not address:
        return None
    spellings = rf"({_spellings(address)})(?=[\s)>])"
    if token.info == "auto":
        return Written(rf"<{spellings}")
    return Written(rf"\]\(\s*<?{spellings}", "](", address if address == unquote(address) else "", ")")


def _spellings(address: str) -> str:
    """A pattern for the ways in which an address may have been written."""
    return "|".join(map(re.escape, dict.fromkeys([address, unquote(address)])))


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


def plain_text(token: Token, title: Callable[[str], str] = str) -> str:
    """What an inline token says, without its marks; `title` is what a link is called without a text."""
    parts = [child.content for child in titled(token.children or [], title) if child.type in SAID]
    return " ".join("".join(part or " " for part in parts).split())


def slug(text: str) -> str:
    """A heading's text as the name of an anchor: `Two words` as `two-words`."""
    return re.sub(r"[^\w]+", "-", text.lower()).strip("-") or "part"
