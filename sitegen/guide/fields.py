"""The body of a block: `key: text` line by line, lists with `- `, everything else taken as it stands.

Like YAML to write, but nothing needs quoting: moves may begin with `[`, `@` or `(`. Knows no keys, but
that a body without any is moves.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from difflib import get_close_matches
from itertools import pairwise

from sitegen.problems import Findings, Passage, Problem, shortened

KEY = re.compile(r"(?P<key>[a-z]+(?:(?: +|-)[a-z]+)*):(?=\s|$)")
SLIP = re.compile(r"(?P<key>[A-Za-z]{3,})(?P<gap>[ \t]*):(?P<tight>(?=\S))?")
"""What is meant for a key, with capitals, or with a space on the wrong side of the colon."""
ITEM = re.compile(r"-(?=\s|$)")
SIGN = re.compile(r"[-*+•‐‑‒–—−]")
"""What some put before an item in place of a dash and a space."""
TURN_LETTERS = frozenset("udfblrmesxyzw")
"""Those of a cube, in small letters. Other puzzles' turns stand in capitals, and hardly so before a colon."""
LINE = re.compile(r"[^\n]*\n?")


@dataclass(frozen=True)
class Field:
    """One key and what was written for it."""

    key: Passage
    value: Passage

    @property
    def text(self) -> str:
        """The value on one line, without the quotation marks that some are used to putting round it."""
        text = " ".join(self.value.text.split())
        quoted = len(text) > 1 and text[0] == text[-1] == '"'
        return text[1:-1] if quoted else text

    @property
    def items(self) -> list[Passage]:
        """The values of a list; a value that is no list is a list of one. Raises Problem or Problems."""
        lines = [(at, text.lstrip()) for at, text in _lines(self.value) if text.strip()]
        base = _column(self.value, lines[0][0]) if lines else 0
        outer = [(at, text) for at, text in lines if _column(self.value, at) <= base]
        findings = Findings()
        for at, text in outer:
            if SIGN.match(text) and not ITEM.match(text):
                findings.add(_no_item(_begun(self.value, at)))
        starts = [at for at, text in outer if ITEM.match(text)]
        items = [self._item(start, end, findings) for start, end in pairwise([*starts, len(self.value.text)])]
        findings.settle()
        if not lines or lines[0][0] not in starts:
            return [self.value] if lines else []
        return items

    def _item(self, start: int, end: int, findings: Findings) -> Passage:
        """What stands behind the dash of the line that begins at an offset."""
        dash = start + self.value.text[start:end].index("-")
        item = self.value.part(dash + 1, end).stripped()
        if not item.text:
            hint = "write a text behind the dash, or take it away"
            findings.add(Problem("this item is empty", self.value.part(dash, dash + 1), hint))
        return item


def uncommented(body: Passage) -> Passage:
    """The body with blanks in the place of comment lines, so that everything else stands where it stood."""
    text = re.sub(r"(?m)^[ \t]*#.*$", lambda found: " " * len(found.group()), body.source.text)
    return replace(body, source=replace(body.source, text=text))


def has_fields(body: Passage) -> bool:
    """Whether a body has keys, if only by a slip, or is moves and nothing else."""
    text = uncommented(body).text
    lines = (SLIP.match(line.lstrip()) for line in text.split("\n"))
    return KEY.match(text.lstrip()) is not None or any(found and _is_word(found["key"]) for found in lines)


def _is_word(text: str) -> bool:
    """Whether letters before a colon are more than turns, which may stand so inside a bracket."""
    return not TURN_LETTERS.issuperset(text.lower())


def read_fields(body: Passage, keys: tuple[str, ...]) -> dict[str, Field]:
    """The fields of a body by key. Raises Problem or Problems for keys that are unknown or stand twice."""
    findings = Findings()
    fields: dict[str, Field] = {}
    for key, value in _split(uncommented(body), keys):
        if key.text not in keys:
            findings.add(_unknown(key, keys))
        elif key.text in fields:
            findings.add(Problem(f"the key “{key.text}” stands here twice", key, "write it once"))
        else:
            fields[key.text] = Field(key, value)
    findings.settle()
    return fields


def _split(body: Passage, keys: tuple[str, ...]) -> Iterator[tuple[Passage, Passage]]:
    """Each key and its value: the rest of the line and the lines that are set in or listed below."""
    lines = [(at, text) for at, text in _lines(body) if text.strip()]
    if not lines:
        return
    base = _column(body, lines[0][0])
    heads = [
        (at, found)
        for at, text in lines
        if _column(body, at) <= base and (found := KEY.match(text.lstrip())) is not None
    ]
    starts = [at for at, _ in heads]
    for at, text in lines:
        listed = bool(starts) and at > starts[0] and ITEM.match(text.lstrip())
        if at not in starts and _column(body, at) <= base and not listed:
            raise _no_key(_begun(body, at), at == lines[0][0], keys)
    _refuse_set_in_keys(body, lines, starts, keys)
    for (at, found), end in zip(heads, [*starts[1:], len(body.text)], strict=True):
        begin = at + len(body.text[at:end]) - len(body.text[at:end].lstrip())
        yield body.part(begin, begin + len(found["key"])), body.part(begin + found.end(), end).stripped()


def _no_key(line: Passage, first: bool, keys: tuple[str, ...]) -> Problem:
    """Why a line that should begin with a key or a dash does not."""
    found = SLIP.match(line.text)
    if found and found["key"].lower() in keys:
        return _slip(line.part(0, found.end()), found)
    if found and _is_word(found["key"]) and (found["tight"] is None or _near(found["key"], keys)):
        return _unknown(line.part(0, found.end("key")), keys)
    if ITEM.match(line.text):
        return Problem("this list has no key", line, "write its key and a colon on the line above")
    if not first and SIGN.match(line.text):
        return _no_item(line)
    hint = "set a line that goes on from the one above further in"
    if first:
        hint = "write “moves: …” before the moves" if "moves" in keys else "begin with a key"
    return Problem("expected a key and a colon, as in “title: …”", line, hint)


def _slip(place: Passage, found: re.Match[str]) -> Problem:
    """What is wrong with the way a key is written."""
    key = found["key"].lower()
    if found["key"] != key:
        return Problem("keys are written in small letters", place, f"write {key}:")
    if found["gap"]:
        return Problem("a colon stands right behind its key", place, f"write {key}:")
    return Problem(f"the text runs into the key “{key}”", place, "put a space behind the colon")


def _unknown(key: Passage, keys: tuple[str, ...]) -> Problem:
    near = _near(key.text, keys)
    hint = f"is it {near}?" if near else "keys are " + ", ".join(keys)
    return Problem(f"there is no key “{key.text}” here", key, hint)


def _near(word: str, keys: tuple[str, ...]) -> str:
    """The key that a word seems to be meant for; empty where none is near."""
    return next(iter(get_close_matches(word.lower(), keys, n=1)), "")


def _no_item(line: Passage) -> Problem:
    """A line that begins with the sign of some list, and not with a dash and a space."""
    item = " ".join(line.text[1:].split())
    return Problem("a list item begins with “- ”", line.part(0, 1), f"write “- {shortened(item) or '…'}”")


def _refuse_set_in_keys(
    body: Passage, lines: list[tuple[int, str]], starts: list[int], keys: tuple[str, ...]
) -> None:
    """A key that is set in would become part of the text above it; but in a list it may belong to an item."""
    listing = False
    for at, text in lines:
        found = KEY.match(text.lstrip())
        if at in starts:
            listing = False
        elif ITEM.match(text.lstrip()):
            listing = True
        elif found and found["key"] in keys and not listing:
            place = _begun(body, at).part(0, len(found["key"]))
            raise Problem(f"the key “{found['key']}” is set in", place, "begin it below the first key")


def _lines(passage: Passage) -> Iterator[tuple[int, str]]:
    """Each line and the offset at which it begins."""
    for found in LINE.finditer(passage.text):
        if found.group():
            yield found.start(), found.group()


def _begun(passage: Passage, at: int) -> Passage:
    """The line that begins at an offset, from its first letter to its last."""
    end = passage.text.find("\n", at)
    return passage.part(at, len(passage.text) if end < 0 else end).stripped()


def _column(passage: Passage, at: int) -> int:
    """How far in the first letter stands, of the line that begins at an offset."""
    return _begun(passage, at).column
