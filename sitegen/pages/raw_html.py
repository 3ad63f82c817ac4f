"""HTML in Markdown: where its links and pictures lead, and what can be linked to in it.

Knows tags and attributes; knows nothing of guides.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from html import escape
from html.parser import HTMLParser

Attributes = list[tuple[str, str | None]]

LINKS = {"a": ("href", "xlink:href"), "area": ("href",)}
"""The attributes that say where something leads to, by the tag."""
PICTURES = {"img": ("src", "srcset"), "source": ("srcset",), "image": ("href", "xlink:href")}
"""Those that say what picture is shown."""
FILES = {
    "source": ("src",),
    "video": ("src", "poster"),
    "audio": ("src",),
    "track": ("src",),
    "iframe": ("src",),
    "embed": ("src",),
    "object": ("data",),
    "input": ("src",),
    "script": ("src",),
    "link": ("href",),
    "use": ("href", "xlink:href"),
}
"""Those that say what else is loaded."""
CANDIDATE = re.compile(r"(?P<url>[^\s,](?:\S*[^\s,])?)(?P<rest>,+(?=\s|\Z)|[^,]*)")
"""A picture in a `srcset`, and for which widths or screens it is: HTML standard, 4.8.4.2.1."""


VOID = frozenset(
    ["area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr"]
)
"""Elements that have no end (HTML Living Standard, 13.1.2)."""
ENDED_BY_OTHERS = frozenset(
    [
        "p",
        "li",
        "dt",
        "dd",
        "tr",
        "td",
        "th",
        "thead",
        "tbody",
        "tfoot",
        "option",
        "optgroup",
        "colgroup",
        "caption",
        "rt",
        "rp",
        "html",
        "head",
        "body",
    ]
)
"""Those of which the end may be left out (the same, 13.1.2.4)."""
FOREIGN = ("svg", "math")
"""Within these an element may close itself, and ends with them at the latest."""


@dataclass(frozen=True)
class Target:
    """Where a tag leads; what is loaded is shown with the page, as a picture or otherwise."""

    url: str
    loaded: bool
    picture: bool


def targets(html: str) -> Iterator[Target]:
    """All that the tags of a text lead to, in their order."""
    for tag in _Tags.read(html):
        for name, value in tag.attributes:
            kinds = [kind for kind in (LINKS, PICTURES, FILES) if name in kind.get(tag.name, ())]
            if kinds and value is not None:
                for url in _urls(name, value):
                    yield Target(url, kinds[0] is not LINKS, kinds[0] is PICTURES)


def unbalanced(texts: Iterable[str]) -> list[tuple[int, str]]:
    """Of texts that stand in a row the tags that go with no other, each with the number of its text.

    What is open swallows, or hides, whatever stands below it on a page.
    """
    reader = _Nesting()
    for number, text in enumerate(texts):
        reader.number = number
        reader.feed(text)
    reader.close()
    return sorted([*reader.stray, *((number, tag) for number, _, tag in reader.open)])


def ids(html: str) -> Iterator[str]:
    """What can be linked to, behind a #."""
    for tag in _Tags.read(html):
        for name, value in tag.attributes:
            if value and (name == "id" or (name, tag.name) == ("name", "a")):
                yield value


def readdressed(html: str, address: Callable[[str, bool], str]) -> str:
    """A text whose tags lead to the addresses of what they led to; all else stands as it was written.

    `address` is told whether that is loaded with the page.
    """
    parts, at = [], 0
    for tag in _Tags.read(html):
        attributes = [(name, _readdressed(tag.name, name, value, address)) for name, value in tag.attributes]
        if attributes != tag.attributes:
            parts += [html[at : tag.start], _written(tag, attributes)]
            at = tag.end
    return "".join([*parts, html[at:]])


def _readdressed(tag: str, name: str, value: str | None, address: Callable[[str, bool], str]) -> str | None:
    loaded = name not in LINKS.get(tag, ())
    if value is None or not any(name in kind.get(tag, ()) for kind in (LINKS, PICTURES, FILES)):
        return value
    if name != "srcset":
        return address(value.strip(), loaded)
    return ", ".join(
        address(found["url"], loaded) + found["rest"].rstrip(", ") for found in CANDIDATE.finditer(value)
    )


def _urls(name: str, value: str) -> list[str]:
    return [found["url"] for found in CANDIDATE.finditer(value)] if name == "srcset" else [value.strip()]


@dataclass(frozen=True)
class Tag:
    """An opening tag, and where it stands in its text."""

    name: str
    attributes: Attributes
    start: int
    end: int
    closed: bool
    """Whether it closes itself, as in SVG."""


def _written(tag: Tag, attributes: Attributes) -> str:
    said = "".join(
        f" {name}" + ("" if value is None else f'="{escape(value)}"') for name, value in attributes
    )
    return f"<{tag.name}{said}{'/' if tag.closed else ''}>"


class _Reader(HTMLParser):
    """Reads a text that may have very many comments which do not end: their end is looked for once."""

    _endless_from = -1

    def feed(self, data: str) -> None:
        self._endless_from = -1
        super().feed(data)

    def close(self) -> None:
        self._endless_from = -1
        super().close()

    def parse_comment(self, i: int, report: bool = True) -> int:
        if 0 <= self._endless_from <= i:
            return -1
        end = super().parse_comment(i, report)
        if end < 0:
            self._endless_from = i
        return end


class _Nesting(_Reader):
    """Which elements are open, and ends that end nothing."""

    def __init__(self) -> None:
        super().__init__()
        self.number = 0
        self.open: list[tuple[int, str, str]] = []
        """Each with the number of its text and its tag."""
        self._names = Counter[str]()
        self.stray: list[tuple[int, str]] = []

    def handle_starttag(self, tag: str, attrs: Attributes) -> None:
        if tag not in VOID:
            self.open.append((self.number, tag, self.get_starttag_text() or f"<{tag}>"))
            self._names[tag] += 1

    def handle_startendtag(self, tag: str, attrs: Attributes) -> None:
        if not any(self._names[name] for name in FOREIGN):
            self.handle_starttag(tag, attrs)

    def handle_endtag(self, tag: str) -> None:
        if not self._names[tag]:
            self.stray += [] if tag in VOID or tag in ENDED_BY_OTHERS else [(self.number, f"</{tag}>")]
            return
        name = ""
        while name != tag:
            number, name, text = self.open.pop()
            self._names[name] -= 1
            if name != tag and tag not in FOREIGN and name not in ENDED_BY_OTHERS:
                self.stray.append((number, text))

    def close(self) -> None:
        super().close()
        self.open = [each for each in self.open if each[1] not in ENDED_BY_OTHERS]


class _Tags(_Reader):
    """Gathers the opening tags of a text, which may be a part of what belongs together."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.tags: list[Tag] = []
        self._lines = [0, *(found.end() for found in re.finditer("\n", html))]

    @classmethod
    def read(cls, html: str) -> list[Tag]:
        reader = cls(html)
        reader.feed(html)
        reader.close()
        return reader.tags

    def handle_starttag(self, tag: str, attrs: Attributes) -> None:
        self._add(tag, attrs, closed=False)

    def handle_startendtag(self, tag: str, attrs: Attributes) -> None:
        self._add(tag, attrs, closed=True)

    def _add(self, tag: str, attributes: Attributes, closed: bool) -> None:
        line, column = self.getpos()
        start = self._lines[line - 1] + column
        self.tags.append(Tag(tag, attributes, start, start + len(self.get_starttag_text() or ""), closed))
