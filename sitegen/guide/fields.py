"""The body of a block: `key: text` line by line, lists with `- `, everything else taken as it stands.

Like YAML to write, but nothing needs quoting: moves may begin with `[`, `@` or `(`. Knows no keys.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from difflib import get_close_matches

from sitegen.problems import Findings, Passage, Problem

KEY = re.compile(r"(?P<key>[a-z][a-z ]*):(?=\s|$)")
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
        """The values of a list; a value that is no list is a list of one."""
        lines = [(at, text) for at, text in _lines(self.value) if text.strip()]
        if not lines or not lines[0][1].lstrip().startswith("- "):
            return [self.value] if lines else []
        starts = [
            at
            for at, text in lines
            if text.lstrip().startswith("- ") and _column(self.value, at) <= _column(self.value, lines[0][0])
        ]
        ends = [*starts[1:], len(self.value.text)]
        return [
            self.value.part(start + self.value.text[start:end].index("-") + 1, end).stripped()
            for start, end in zip(starts, ends, strict=True)
        ]


def uncommented(body: Passage) -> Passage:
    """The body with blanks in the place of comment lines, so that everything else stands where it stood."""
    text = re.sub(r"(?m)^[ \t]*#.*$", lambda found: " " * len(found.group()), body.source.text)
    return replace(body, source=replace(body.source, text=text))


def has_fields(body: Passage) -> bool:
    """Whether a body begins with a key, or is a text of its own."""
    return KEY.match(uncommented(body).text.lstrip()) is not None


def read_fields(body: Passage, keys: tuple[str, ...]) -> dict[str, Field]:
    """The fields of a body by key. Raises Problem or Problems for keys that are unknown or stand twice."""
    findings = Findings()
    fields: dict[str, Field] = {}
    for key, value in _split(uncommented(body), keys):
        if key.text not in keys:
            near = get_close_matches(key.text, keys, n=1)
            hint = f"is it {near[0]}?" if near else "keys are " + ", ".join(keys)
            findings.add(Problem(f"there is no key “{key.text}” here", key, hint))
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
        if at not in starts and _column(body, at) <= base and not text.lstrip().startswith("- "):
            begin = at + len(text) - len(text.lstrip())
            raise Problem(
                "expected a key and a colon, as in “title: …”",
                body.part(begin, begin + len(text.strip())),
                "set a line that goes on from the one above further in",
            )
    _refuse_set_in_keys(body, lines, starts, keys)
    for (at, found), end in zip(heads, [*starts[1:], len(body.text)], strict=True):
        begin = at + len(body.text[at:end]) - len(body.text[at:end].lstrip())
        yield body.part(begin, begin + len(found["key"])), body.part(begin + found.end(), end).stripped()


def _refuse_set_in_keys(
    body: Passage, lines: list[tuple[int, str]], starts: list[int], keys: tuple[str, ...]
) -> None:
    """A key that is set in would become part of the text above it; but in a list it may belong to an item."""
    listing = False
    for at, text in lines:
        found = KEY.match(text.lstrip())
        if at in starts:
            listing = False
        elif text.lstrip().startswith("- "):
            listing = True
        elif found and found["key"] in keys and not listing:
            begin = at + len(text) - len(text.lstrip())
            raise Problem(
                f"the key “{found['key']}” is set in",
                body.part(begin, begin + len(found["key"])),
                "begin it below the first key",
            )


def _lines(passage: Passage) -> Iterator[tuple[int, str]]:
    """Each line and the offset at which it begins."""
    for found in LINE.finditer(passage.text):
        if found.group():
            yield found.start(), found.group()


def _column(passage: Passage, at: int) -> int:
    """How far in the first letter stands, of the line that begins at an offset."""
    text = passage.text[at:]
    return passage.part(at + len(text) - len(text.lstrip()), at).column
