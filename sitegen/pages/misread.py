"""Lines that Markdown takes for something else than they look like: lists, tables and headings.

Knows Markdown, and how lines look to an author; whatever has another good reading is left alone.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from markdown_it.token import Token

from sitegen.pages.literal import code_blanked
from sitegen.pages.markdown import Prose, stretch_of
from sitegen.problems import Passage, Problem

UNREAD_BLANKS = "\u00a0\u1680\u2000-\u200d\u202f\u205f\u2060\u3000\ufeff"
"""Blanks, and characters without a width, that are no blanks in Markdown."""
BLANK = re.compile(
    rf"[{UNREAD_BLANKS}]+(?=[-*+#>`~|][^\S\n]|#+[ ]|```|~~~|\d+[.)][ ])|(?:[-*+]|#{{1,6}})[{UNREAD_BLANKS}]+"
)
MARKER = re.compile(r"(?:(?:[-+*:]|\d{1,9}[.)]|\[\^\S+\]:)[ \t]+)?")
"""What Markdown may have read as the begin of an item, of what a term is, or of a footnote."""
ITEM = re.compile(
    r"(?:(?P<sign>[-+•◦▪‣·–—](?=\s|[^\s\d+–—-])|\*(?=\w)(?!.*\*))"
    r"|(?P<number>\d{1,9})[.)](?=\D)|(?P<letter>[a-z])[.)](?=\s))"
)
"""What a line begins with that looks like an item of a list."""
BROKEN = re.compile(r"(?:\\|  )$")
"""The end of a line behind which the next one begins anew."""
RULE = re.compile(r"(?=.*\|)(?=\|.*\||.*(?:--|–|—))(?=.*[-–—])[-–—|:\s]+")
"""What stands below the head of a table."""
ROW = re.compile(r"\|.*\|")
SPACED_ROW = re.compile(r"\|\s.*\s\|\s.*\s\|")
INTERRUPTING = {
    "bullet_list_open": re.compile(r"[ \t>]*(?P<sign>\+)\s"),
    "blockquote_open": re.compile(r"[ \t]*(?P<sign>>)\s+\d"),
}
"""What may be a plus, or a comparison, right below text."""
LISTS, ENDS = ("bullet_list_open", "ordered_list_open"), ("bullet_list_close", "ordered_list_close")
SET_IN = ("paragraph_open", "fence", "blockquote_open", "heading_open", "table_open")
"""What may belong to the item of a list, if it is set in far enough."""
SENTENCE_ENDS = (".", "!", ":", ";", ",", "…")
"""What a heading does not end with."""
UNDERLINE = 3
"""So many signs at least, below a text of one line, are meant to make a heading of it."""


class Underlined(Problem):
    """A text that becomes a heading by the line below it."""


def misread_problems(prose: Prose) -> Iterator[Problem]:
    """A problem for each, in the text of a page."""
    for one, next_ in pairwise(prose.tokens):
        if one.type == "paragraph_open":
            lines = _lines(stretch_of(prose, one))
            yield from [*_blanks(lines)] or [*_run_on(lines), *_no_table(lines)]
        elif one.type == "heading_open" and one.markup in ("-", "="):
            yield from _underlined(one, stretch_of(prose, one))
        if one.type == "paragraph_close" and next_.type in INTERRUPTING:
            yield from _interrupted(prose, next_)
        if next_.type == "inline":
            yield from _multiplied(next_, stretch_of(prose, next_))
    yield from _beside(prose)


@dataclass(frozen=True)
class TextLine:
    """A line without what sets it in, in which code stands for nothing, and its place."""

    text: str
    place: Passage

    @property
    def unmarked(self) -> TextLine:
        """Without the sign or the number of an item, where it is the first of one."""
        found = MARKER.match(self.text)
        at = found.end() if found else 0
        return TextLine(self.text[at:], self.place.part(at, len(self.text)))


def _lines(stretch: Passage) -> list[TextLine]:
    found = re.finditer(r"(?m)^[ \t>]*(.*)$", code_blanked(stretch).rstrip("\n"))
    return [TextLine(line[1], stretch.part(*line.span(1))) for line in found]


def _blanks(lines: list[TextLine]) -> Iterator[Problem]:
    for line in lines:
        if found := BLANK.match(line.text):
            hint = "put a common blank in its place, or none where the line begins"
            message = "a blank that Markdown does not read stands here"
            yield Problem(message, line.place.part(*found.span()), hint)


def _run_on(lines: list[TextLine]) -> Iterator[Problem]:
    """The first line that looks like an item of a list below another or a colon, and is set as one text."""
    for one, next_ in pairwise(lines):
        item = ITEM.match(next_.text)
        befores = [ITEM.match(one.text), ITEM.match(one.unmarked.text)]
        follows = item and any(before and _follows(before, item) for before in befores)
        # A list that begins with 1 is read right below a text, and no other is.
        counted = bool(item and item["number"] and len(item["number"]) < 3) and one.text.endswith(":")
        if (follows or counted) and not BROKEN.search(one.place.text):
            hint = "a list has an empty line above it, and in each line “- ” or a number such as “1. ”"
            yield Problem("these lines run on as one text", next_.place.stripped(), hint)
            return


def _follows(one: re.Match[str], next_: re.Match[str]) -> bool:
    """Whether a second line goes on counting, or begins with the sign of the first."""
    if one["sign"]:
        return one["sign"] == next_["sign"]
    if one["number"]:
        return bool(next_["number"]) and int(next_["number"]) == int(one["number"]) + 1
    return bool(next_["letter"]) and ord(next_["letter"]) == ord(one["letter"]) + 1


def _no_table(lines: list[TextLine]) -> Iterator[Problem]:
    message = "this is no table: it is shown as it is written"
    places = [line.unmarked.place.stripped() for line in lines]
    rows = [line.unmarked.text.strip() for line in lines]
    if rule := next((place for place, row in zip(places, rows, strict=True) if RULE.fullmatch(row)), None):
        hint = "write it of | and hyphens, right below the head of the table, with as many cells as that has"
        yield Problem(message, rule, hint)
    elif len(rows) > 1 and all(map(ROW.fullmatch, rows[:2])):
        hint = "below the head of a table stands a line such as | --- | --- |, with a cell for each"
        yield Problem(message, places[0], hint)
    elif len(rows) == 1 and rows[0].endswith("|") and SPACED_ROW.fullmatch(rows[0]):
        hint = "a table has no empty line within, and below its head a line such as | --- | --- |"
        yield Problem(message, places[0], hint)


def _underlined(heading: Token, stretch: Passage) -> Iterator[Problem]:
    """A heading that is rather a paragraph, with a line below it."""
    *text, line = stretch.text.rstrip("\n").split("\n")
    sentence = heading.markup == "-" and text[-1].rstrip().endswith(SENTENCE_ENDS)
    if len(text) > 1 or len(line.strip("> \t")) < UNDERLINE or sentence:
        end = len(stretch.text.rstrip("\n"))
        place = stretch.part(end - len(line.lstrip("> \t")), end).stripped()
        level = "#" if heading.markup == "=" else "##"
        hint = f"put an empty line above it, or write “{level} ” before a heading"
        yield Underlined("the text above would become a heading", place, hint)


@dataclass
class OpenList:
    """The first and the latest item of a list, and whether its first line is that of another one's item."""

    first: Token
    last: Token
    within: bool


def _beside(prose: Prose) -> Iterator[Problem]:
    """Texts, blocks, lists and their items that are set in and yet not within the item above them."""
    opened: list[OpenList] = []
    ended: OpenList | None = None  # the list right above
    for before, token in pairwise(prose.tokens):
        if token.type == "list_item_open" and before.type in LISTS:
            if ended and _deeper(prose, token, ended.first):
                yield _set_in(prose, token, ended.last)
            opened.append(OpenList(token, token, bool(opened) and _line(opened[-1].last) == _line(token)))
            ended = None
        elif token.type == "list_item_open":
            here = opened[-1]
            # Numbers of two digits may stand below those of one as they do in a sum.
            if not here.within and _deeper(prose, token, here.first, bool(token.info)):
                yield _set_in(prose, token, here.last)
            here.last = token
        elif ended and not ended.within and token.type in SET_IN and _deeper(prose, token, ended.first):
            yield _set_in(prose, token, ended.last)
        if token.type in ENDS:
            ended = opened.pop()
        elif token.type not in (*LISTS, "list_item_open"):
            ended = None


def _line(token: Token) -> int:
    return token.map[0] if token.map else 0


def _deeper(prose: Prose, token: Token, than: Token, by: int = 0) -> bool:
    """Whether something is set in further than another in the same quote, by more than so many columns."""
    line, other = (stretch_of(prose, each).text.partition("\n")[0].expandtabs(4) for each in (token, than))
    signs = _before(other, len(other)).count(">")
    return len(_before(line, signs)) > len(_before(other, signs)) + by


def _before(line: str, signs: int) -> str:
    """The blanks that a line begins with, and among them so many signs of quotes at most."""
    found = re.match(rf" *(?:> *){{0,{signs}}}", line)
    return found.group() if found else ""


def _set_in(prose: Prose, item: Token, above: Token) -> Problem:
    stretch = stretch_of(prose, item)
    line = stretch.text.partition("\n")[0]
    place = stretch.part(len(line) - len(line.lstrip("> \t")), len(line)).stripped()
    within = len(above.info) + 2
    hint = f"set it in by {within}, so that it is within the item above it, or as far as that one"
    return Problem("this is set in, and yet not within the item above it", place, hint)


def _interrupted(prose: Prose, begins: Token) -> Iterator[Problem]:
    """A sign at the begin of a line, right below text, which would not be seen and may well belong to it."""
    first = begins.map[0] if begins.map else 0
    line = prose.lines(first, first + 1)
    found = INTERRUPTING[begins.type].match(line.text)
    if found and first and prose.lines(first - 1, first).text.strip("> \t\n"):
        place = line.part(*found.span("sign"))
        hint = f"put an empty line above it if it is meant, or write \\{found['sign']} for the sign"
        yield Problem("this sign would not be seen, and begins something of its own", place, hint)


def _multiplied(token: Token, stretch: Passage) -> Iterator[Problem]:
    """Stars between numbers, which would vanish and make the numbers slant."""
    inside = token.children or []
    for one, opens, between, other in zip(inside, inside[1:], inside[2:], inside[4:], strict=False):
        numbers = one.content[-1:], between.content, other.content[:1]
        if opens.type in ("em_open", "strong_open") and all(text.isdigit() for text in numbers):
            written = opens.markup.join(numbers)
            at = stretch.text.find(written)
            place = stretch.part(at, at + len(written)) if at >= 0 else stretch.stripped()
            message = "these signs would not be seen: they set off the number that stands between them"
            yield Problem(message, place, "write × or \\* for each")
