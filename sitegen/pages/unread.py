"""What would go unread: blocks and marks where none is read, definitions that no link takes, cells too many.

Knows where Markdown reads nothing; which kinds of block there are it is told.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator
from itertools import pairwise

from markdown_it.token import Token

from sitegen.pages.definition_lists import MEANING
from sitegen.pages.footnotes import AGAIN, EMPTY, REFERENCE, UNUSED, WITHIN
from sitegen.pages.markdown import BARE, EXAMPLE, Prose, html_texts, inline_tokens, parser, stretch_of
from sitegen.pages.raw_html import unbalanced
from sitegen.pages.remarks import BEGINS, ENDS, OPEN, is_remark
from sitegen.problems import Passage, Problem, shortened
from sitegen.settings import set_off

FENCED = re.compile(r"(?m)^[ \t>]*(?P<fence>`{3,}|~{3,})[ \t]*(?P<kind>[A-Za-z]+).*$")
CELL = re.compile(r"\A\|?|(?<!\\)\|")
"""What a cell of a table begins behind."""
WALLED = re.compile(r"[ \t>]*(?:(?:[-+*:]|\d+[.)]|\[\^\S+\]:)[ \t]+)?\|")
"""The head of a table whose rows all begin with a sign."""
FOOTNOTES = {
    WITHIN: (
        "this footnote stands within another one, and would be lost",
        "set it out, as far as the text that refers to it",
    ),
    AGAIN: (
        "there is a footnote that is called so already",
        "write another word in [^{}], or take it away; one may be referred to more than once",
    ),
    UNUSED: (
        "nothing refers to this footnote, and it is not shown",
        "write [^{}] where it belongs, or take it away",
    ),
    EMPTY: ("this footnote says nothing", "write what it says behind [^{}]:"),
}
"""What is wrong with a footnote, and what to do."""
NEARLY_FENCE = re.compile(r"[ \t>]*(?P<signs>[`´'‘’\"“”]{2,})[ \t]*(?P<kind>[A-Za-z]+)(?:[ \t]+\S|[ \t]*\n)")
"""What three backticks are taken for, and a block that begins and ends in one line."""
SET_IN = re.compile(r"(?:[^\S\n]*\n)* {1,3}(?P<line>(?:[^\s>+*#|~`:[-]|`{3}|~{3})[^\n]*)")
"""A line of text, or of a block, set in less far than what belongs to a footnote, behind empty lines."""
NO_TITLE = re.compile(r"\{[^{}]*\}|:{3,}")
"""What may be meant for more than what a box is called, behind its kind."""
HOLDING_BLOCKS = ("list_item_open", "blockquote_open", MEANING)
EMPTY_HEADING = re.compile(r"[ \t>]*(?:(?:[-+*]|\d+[.)])[ \t]+)*#{1,6}[\s#]*")
BRACES = re.compile(r"(?P<braces>\{[^{}]*\})\s*\Z")
MARKED = re.compile(r"`[^`\n]+`\{\.[^}\n]*\}")


class OpenFence(Problem):
    """A fence without its end; `inside` is all that it has taken in."""

    def __init__(self, message: str, passage: Passage, hint: str, inside: Passage) -> None:
        super().__init__(message, passage, hint)
        self.inside = inside


class Swallowed(Problem):
    """A block that a fence above it has taken in."""


def unread_problems(prose: Prose, kinds: Collection[str]) -> Iterator[Problem]:
    """A problem for each, in the text of a page."""
    for definition in prose.unused:
        if definition.text.startswith("[^"):
            continue  # told of below, with those that are taken
        hint = "write [text][label] where the link is to be, or take it away; of two, links take the first"
        if definition.text.startswith(("[//]", "[comment]")):
            hint = f"a remark for authors stands between {BEGINS} and {ENDS}"
        yield Problem("no link takes this definition", definition, hint)
    yield from _footnotes(prose)
    yield from _cut_off(prose)
    yield from _renumbered(prose)
    for token in prose.tokens:
        stretch = stretch_of(prose, token)
        if token.type in HOLDING_BLOCKS and token.level + 1 == parser().options["maxNesting"]:
            first_line = stretch.part(0, len(stretch.text.partition("\n")[0])).stripped()
            yield Problem("this is set in so deep that Markdown does not read it", first_line, "set it out")
        if token.type == "code_block":
            message = "this is set in so far that it is shown as code, and is not checked"
            hint = "set it out; to show it as it stands, put a fence of four backticks round it"
            for place in [*_blocks(stretch, kinds), *_marks(stretch)]:
                yield Problem(message, place, hint)
        elif token.type == "paragraph_open":
            yield from _nearly_block(stretch, kinds)
        elif (
            token.type == "html_block"
            and stretch.text.lstrip(" \t>").startswith(BEGINS)
            and ENDS not in stretch.text
        ):
            yield _open_remark(stretch)
        elif token.type == "html_block" and not is_remark(token.content):
            hint = "put an empty line between it and the HTML"
            for place in [*_blocks(stretch, kinds), *_marks(stretch)]:
                yield Problem("within HTML this is not read, and not checked", place, hint)
        elif token.type == "heading_open" and EMPTY_HEADING.fullmatch(stretch.text):
            hint = "write what it is called, or \\# for a sign that is to be seen"
            yield Problem("this heading says nothing", stretch.stripped(), hint)
        elif token.type == OPEN or (token.type == "inline" and BEGINS in token.meta.get(BARE, "")):
            yield _open_remark(stretch)
        elif token.type.startswith("container_") and token.nesting > 0:
            yield from [*_unclosed(prose, token), *_titled(stretch)]
        elif token.type == MEANING and stretch.text.lstrip(" \t>").startswith("~"):
            hint = "write :, or \\~ for a ~ that is to be seen"
            yield Problem("what explains a term begins with a colon", stretch.stripped().part(0, 1), hint)
        elif token.type == "fence":
            yield from _nearly_example(token, stretch)
            yield from _marked_code(token, stretch, kinds)
            yield from _swallowed(prose, token, kinds)


def unbalanced_problems(prose: Prose) -> Iterator[Problem]:
    """A problem for each tag of an author's that goes with no other, in a text that lets HTML through."""
    texts = html_texts(prose)
    for number, tag in unbalanced(text for text, _ in texts):
        _, place = texts[number]
        at = place.text.lower().find(tag.lower())
        where = place.stripped() if at < 0 else place.part(at, at + len(tag))
        if tag.startswith("</"):
            yield Problem(f"{shortened(tag)} ends nothing", where, "take it away, or write what begins there")
        else:
            hint = "write where it ends, in the same text"
            yield Problem(f"nothing ends this {shortened(tag)}", where, hint)


def _open_remark(stretch: Passage) -> Problem:
    """A remark that does not end with the text, the item or the page in which it begins."""
    at = stretch.text.rfind(BEGINS)
    hint = f"write {ENDS} behind it; if it has empty lines or blocks in it, begin it in a line of its own"
    place = stretch.part(at, at + len(stretch.text[at:].partition("\n")[0])).stripped()
    return Problem("this remark does not end", place, hint)


def _unclosed(prose: Prose, token: Token) -> Iterator[Problem]:
    """A box that Markdown ends with the list, the quote or the page in which it stands."""
    first, end = token.map or (0, 0)
    if not re.fullmatch(r"[ \t>]*:{3,}\s*", prose.lines(end, end + 1).text):
        hint = f"put a line {token.markup} below it, set in as this one is"
        line = prose.lines(first, first + 1)
        begins = line.part(line.text.find(token.markup), len(line.text)).stripped()
        yield Problem("this box is not closed", begins, hint)


def _titled(box: Passage) -> Iterator[Problem]:
    """Signs in what a box is called, behind its kind."""
    first_line = box.part(0, len(box.text.partition("\n")[0]))
    title = re.sub(r"\A[ \t>]*(?:(?:[-+*]|\d+[.)])[ \t]+)*:{3,}[ \t]*\w+", "", first_line.text)
    said = first_line.part(len(first_line.text) - len(title), len(first_line.text))
    if wrong := set_off(said, "what a box is called"):
        yield wrong
    elif found := NO_TITLE.search(said.text):
        hint = "take it away; what a box is called is a text, and a line of colons of its own ends it"
        message = "this is no part of what a box is called, and would be seen as it is written"
        yield Problem(message, said.part(*found.span()), hint)


def _nearly_block(stretch: Passage, kinds: Collection[str]) -> Iterator[Problem]:
    """A paragraph that begins as a block would, but for its signs, or for the line that they end in."""
    found = NEARLY_FENCE.match(stretch.text)
    if found and found["kind"].lower() in kinds:
        place = stretch.part(found.start("signs"), found.end("kind"))
        begins = f"```{found['kind'].lower()}"
        hint = f"write {begins} and a name in a line of its own, and below the block a line ```"
        yield Problem("so this begins no block, and is not checked", place, hint)


def _footnotes(prose: Prose) -> Iterator[Problem]:
    """Those that are not shown, or are not what they look like, and signs for them where none can be."""
    for each, place in prose.footnotes:
        if each.fault:
            message, hint = FOOTNOTES[each.fault]
            first_line = place.part(0, len(place.text.partition("\n")[0]))
            yield Problem(message, first_line, hint.format(each.label))
        else:
            behind = prose.lines(each.lines[1], len(prose.line_starts))
            if found := SET_IN.match(behind.text):
                message = "this is set in, and yet not within the footnote above it"
                yield Problem(message, behind.part(*found.span("line")), "set it in by four, or not at all")
    for place in _called_by_words(prose):
        yield Problem("this is no footnote: those are called by one word", place, "write one word in [^…]")
    for token, place in inline_tokens(prose):
        if token.type == "image" and any(each.type == REFERENCE for each in token.children or ()):
            yield Problem("a picture's description has no footnotes", place, "write [^…] behind the picture")


def _called_by_words(prose: Prose) -> Iterator[Passage]:
    """What is taken for definitions of links, by their blanks, and meant for footnotes."""
    yield from (definition for definition in prose.unused if definition.text.startswith("[^"))
    for token in prose.tokens:
        for child in token.children or []:
            if child.type != REFERENCE and child.meta.get("label", "").startswith("^"):
                yield stretch_of(prose, child).stripped()


def _renumbered(prose: Prose) -> Iterator[Problem]:
    """The numbers in ordered lists that are shown as others: of a list only the first one counts."""
    lists: list[list[Token]] = []
    for token in prose.tokens:
        if token.type in ("ordered_list_open", "bullet_list_open"):
            lists.append([])
        elif token.type == "list_item_open" and token.info:
            lists[-1].append(token)
        elif token.type in ("ordered_list_close", "bullet_list_close"):
            items = lists.pop()
            numbers = [int(item.info) for item in items]
            shown = [number + numbers[0] for number in range(len(numbers))]
            wrong = [at for at, number in enumerate(numbers) if number != shown[at]]
            if wrong and len(set(numbers)) > 1:
                item, number = items[wrong[0]], shown[wrong[0]]
                stretch = stretch_of(prose, item)
                found = re.search(rf"(?<!\d){item.info}(?={re.escape(item.markup)})", stretch.text)
                place = stretch.part(*found.span()) if found else stretch.part(0, 1)
                hint = f"write {number}, or \\{item.markup} behind a number that begins no item"
                yield Problem(f"{item.info} would be shown as {number}", place, hint)


def _cut_off(prose: Prose) -> Iterator[Problem]:
    """The cells of tables that Markdown leaves out, their rows having more than the head."""
    columns, walled = 0, False
    for token, inside in pairwise(prose.tokens):
        if token.type == "thead_open":
            columns, walled = 0, bool(WALLED.match(stretch_of(prose, token).text))
        columns += token.type == "th_open"
        if token.type == "tr_open" and inside.type == "td_open":
            row = stretch_of(prose, token)
            signs = len(row.text) - len(row.text.lstrip(" \t>"))  # those of quotes that it stands in
            row = row.part(signs, len(row.text)).stripped()
            starts = [found.end() for found in CELL.finditer(row.text) if found.end() < len(row.text)]
            left_out = row.part(starts[columns], len(row.text)) if len(starts) > columns else None
            if walled and columns > 1 and "|" not in row.text:
                hint = "put an empty line before it, or | between its cells"
                yield Problem("this would become a row of the table above", row, hint)
            if left_out and left_out.text.strip("| "):
                hint = "give the head a cell for each, or write \\| for a | within a cell"
                yield Problem("this row has more cells than the head of its table", left_out.stripped(), hint)


def _marked_code(token: Token, stretch: Passage, kinds: Collection[str]) -> Iterator[Problem]:
    """What stands in braces where code begins that is only shown, of which nothing is said by them."""
    first_line = stretch.part(0, len(stretch.text.partition("\n")[0]))
    found = BRACES.search(first_line.text)
    if found and token.info.split()[0] not in kinds:
        place = first_line.part(*found.span("braces"))
        yield Problem(f"{shortened(place.text)} says nothing of this code", place, "take it away")


def _swallowed(prose: Prose, token: Token, kinds: Collection[str]) -> Iterator[Problem]:
    """What a fence has taken in that was left open, or that was to end another one.

    Markdown ends a fence that is left open with the list, the quote or the page in which it stands; what was
    to end it then begins another, and the next block is code within that one.
    """
    stretch = stretch_of(prose, token)
    begins = stretch.part(0, len(stretch.text.partition("\n")[0]))
    inside = stretch.part(len(begins.text), len(stretch.text))
    is_open = not _is_closed(token)
    if end := _nearly_end(token, inside, kinds, is_open):
        hint = f"write {token.markup}, and nothing else in its line; above it, if something else begins here"
        message = f"this does not end what begins in line {stretch.line}"
        yield OpenFence(message, end, hint, stretch)
        return
    if is_open:
        _, last = token.map or (0, 0)
        behind = prose.lines(last, last + 1)
        hint = f"put a line {token.markup} below it, set in as this one is"
        if behind.text.strip() and _set_in(behind) < _set_in(begins):
            hint = f"line {behind.line} is set in less, which ends it: set that in as this one is"
        yield OpenFence("this fence is not closed", begins.stripped(), hint, stretch)
    for place in _blocks(inside, kinds, token.markup):
        message = f"this begins no block: it stands within the fence of line {stretch.line}"
        hint = "see that the fence above begins and ends as it should; one around blocks has four backticks"
        yield Swallowed(message, place, hint)


def _nearly_end(token: Token, inside: Passage, kinds: Collection[str], is_open: bool) -> Passage | None:
    """The line that was to end a fence: it has fewer signs, or other words behind them than begin a block."""
    sign = re.escape(token.markup[0])
    for found in re.finditer(rf"(?m)^[ \t>]*(?P<signs>{sign}{{3,}})(?P<behind>[^\n]*)", inside.text):
        words = found["behind"].lower().split()
        as_many = found["signs"].startswith(token.markup)
        if (as_many and words and words[0] not in kinds) or (is_open and not as_many and not words):
            return inside.part(found.start("signs"), found.end()).stripped()
    return None


def _set_in(line: Passage) -> int:
    """How far the text of a line is set in."""
    return len(line.text) - len(line.text.lstrip(" \t"))


def _is_closed(token: Token) -> bool:
    """Whether one more line belongs to a fence than its first and those within it."""
    first, end = token.map or (0, 0)
    within = token.content.count("\n") + (not token.content.endswith("\n") and bool(token.content))
    return end - first > within + 1


def _blocks(stretch: Passage, kinds: Collection[str], around: str = "") -> Iterator[Passage]:
    """The lines that would begin a block, but for those that a longer fence `around` them can show."""
    for found in FENCED.finditer(stretch.text):
        shown = around and not found["fence"].startswith(around)
        if found["kind"].lower() in kinds and not shown:
            yield stretch.part(found.start("fence"), found.end()).stripped()


def _marks(stretch: Passage) -> Iterator[Passage]:
    return (stretch.part(*found.span()) for found in MARKED.finditer(stretch.text))


def _nearly_example(token: Token, stretch: Passage) -> Iterator[Problem]:
    if token.info.strip() != EXAMPLE and token.info.lower().split()[:1] == [EXAMPLE]:
        place = stretch.part(0, len(stretch.text.partition("\n")[0])).stripped()
        hint = f"write {token.markup}{EXAMPLE} and no more"
        yield Problem("so this is no example, and nothing in it is checked", place, hint)
