"""YAML to nodes, or a problem in the text; what YAML would drop in silence is refused.

Knows PyYAML; knows no keys, and not what the values are for.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import pairwise

import yaml

from sitegen.problems import Passage, Problem

NOT_CLOSED = "see that brackets and quotation marks are closed; a text with # in it stands in quotation marks"
MISSED = "could not find expected ':'"
HINTS = {
    MISSED: "set a line that goes on from the one above further in, or write “: ” behind a key",
    "mapping values": "a text with a colon in it stands in quotation marks; a key begins a line of its own",
    "'\\t'": "YAML is set in with spaces: put spaces in place of the tab",
    "expected ',' or": NOT_CLOSED,
    "end of stream": NOT_CLOSED,
    "<stream end>": NOT_CLOSED,
    "'@'": "leave the @ out, or put quotation marks round the whole text",
    "document separator": NOT_CLOSED,
    "another document": "take the line --- away",
    "<block end>, but found '<scalar>'": "put quotation marks round the whole text, which do not stand in it",
    "<block end>": "see that brackets are closed once, and begin each key below the first",
    "<document start>": "begin each key below the first, and take a line ... away",
    "an anchor": "take it away; a text that begins with & stands in quotation marks",
    "the tag": "write the text alone; a text that begins with ! stands in quotation marks",
    "an alias": "write what it stands for; a text that begins with * stands in quotation marks",
    "escape": "write \\\\ for a backslash, or put the text in single quotation marks",
    "": "a text with signs such as : # @ % * [ { in it stands in quotation marks",
}
"""What to do by words of PyYAML's; the first that are found in its message count."""

ITEM = re.compile(r"-(?=\s|$)")
"""What an item of a list begins with."""
COMMENT = re.compile(r"(?m)^[ \t]*#+(?:[ \t\xa0].*)?$")
"""A comment is a line of its own."""
HASH = re.compile(r"(?<!\S)#")
"""What may begin a comment or be a part of a text."""


NOT_SHOWN = re.compile(r"[\x00-\x08\x0b-\x1f\x7f\ud800-\udfff\ufffe\uffff]")
"""What may be escaped in YAML and has no place in HTML (HTML Living Standard, section 13.1.4)."""


class _Loader(yaml.BaseLoader):
    """Reads no aliases, with which a few lines would stand for millions, and no tags, which say nothing."""

    def compose_node(self, parent: yaml.Node | None, index: int) -> yaml.Node | None:
        event = self.peek_event()  # type: ignore[no-untyped-call]
        refused = ""
        if isinstance(event, yaml.AliasEvent):
            refused = "an alias"
        elif event.anchor is not None:
            refused = "an anchor means nothing here"
        elif event.tag is not None:
            refused = f"the tag {event.tag} means nothing here"
        if refused:
            raise yaml.composer.ComposerError(None, None, refused, event.start_mark)
        return super().compose_node(parent, index)


def _refuse_what_is_no_text(value: str, place: Passage) -> None:
    """Raises Problem where an escape stands for what no page can show."""
    if found := NOT_SHOWN.search(value):
        message = f"U+{ord(found[0]):04X} is no character of a text"
        raise Problem(message, place, "take the escape away that stands for it")


def node_of(passage: Passage) -> yaml.Node | None:
    """The node that a text is. Raises Problem where it is no YAML, or may mean something else."""
    try:
        node = yaml.compose(passage.text, Loader=_Loader)
        tokens = list(yaml.scan(passage.text, Loader=_Loader))
    except yaml.MarkedYAMLError as error:
        raise _problem(error, passage) from None
    except yaml.reader.ReaderError as error:
        place = passage.part(error.position, error.position + 1)
        raise Problem(f"YAML: {error.reason}", place, "take the character away") from None
    except RecursionError:
        raise Problem("YAML: lists stand in lists too deep", passage, "write plain keys and values") from None
    for place in _between(tokens, passage):
        refuse_stray(place)
    for token in tokens:
        if isinstance(token, yaml.ScalarToken):
            _refuse_what_is_no_text(token.value, passage.part(token.start_mark.index, token.end_mark.index))
            _refuse_items(passage.part(token.start_mark.index, token.end_mark.index))
    return node


def unquoted(passage: Passage) -> str:
    """What a text in quotation marks says. Raises Problem."""
    node = node_of(passage)
    assert isinstance(node, yaml.ScalarNode)  # it begins and ends with the same mark
    return str(node.value)


def _between(tokens: list[yaml.Token], passage: Passage) -> Iterator[Passage]:
    """What stands between the tokens: blanks, and the comments that YAML leaves out."""
    for one, next_ in pairwise(tokens):
        start = one.end_mark.index
        if isinstance(one, yaml.ScalarToken) and one.style in ("|", ">"):
            yield passage.part(one.start_mark.index, passage.text.find("\n", one.start_mark.index))
        yield passage.part(start, next_.start_mark.index)


def refuse_stray(passage: Passage) -> None:
    """Raises Problem for a # behind a blank, or at the begin of a line, that begins no line of comment."""
    text = passage.source.text
    for found in HASH.finditer(passage.text):
        begin = text.rfind("\n", 0, passage.start + found.start()) + 1
        if not COMMENT.match(text, begin):
            raise stray_hash(passage.part(*found.span()))


def stray_hash(place: Passage) -> Problem:
    hint = "a comment is a line that begins with “# ”; a text with # in it stands in quotation marks"
    return Problem("this # may begin a comment or be a part of the text", place, hint)


def _refuse_items(text: Passage) -> None:
    """Raises Problem for items of a list that would become words of the text above them."""
    for found in re.finditer(r"(?m)^[ ]*(-(?=\s|$).*)$", text.text):
        if found.start():
            raise item_behind_text(text.part(*found.span(1)))


LIST_HINT = "write the key of its list above it: a list begins below a key with nothing behind it"


def item_behind_text(line: Passage, hint: str = LIST_HINT) -> Problem:
    return Problem("an item of a list stands here in the midst of a text", line, hint)


def _problem(error: yaml.MarkedYAMLError, passage: Passage) -> Problem:
    words = error.problem or "this is not YAML"
    hint = next(hint for part, hint in HINTS.items() if part in words)
    at = error.problem_mark.index if error.problem_mark else 0
    if MISSED in words and error.context_mark:
        # A line without a colon is only missed one where the next begins.
        start = error.context_mark.index
        line = passage.part(start, (passage.text + "\n").index("\n", start)).stripped()
        return Problem("YAML: this line is no key, and goes on with no text", line, hint)
    if hint is NOT_CLOSED:
        at = _opened(error, passage.text, at)
    message = words.removeprefix("but ").replace("character '\\t'", "a tab")
    return Problem(f"YAML: {message}", passage.part(at, at + 1), hint)


def _opened(error: yaml.MarkedYAMLError, text: str, at: int) -> int:
    """Where the bracket or quotation mark opened that an error met the end of."""
    begun = error.context_mark.index if error.context_mark else at
    last = max(text.rfind("[", 0, begun), text.rfind("{", 0, begun))
    return begun if text[begun:].strip() or last < 0 else last
