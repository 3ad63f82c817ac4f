"""The style sheets of a page, as a browser reads them: links, styles and imports, in their order.

Knows HTML and where the files of a site are; what sheets say is `figures/cascade.py`'s to know.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from html.parser import HTMLParser
from itertools import combinations
from typing import Any
from urllib.parse import unquote, urljoin
from xml.etree.ElementTree import Element

from cssselect2 import ElementWrapper
from tinycss2 import parse_stylesheet, serialize

from sitegen.figures.cascade import Cascade, Style, paint
from sitegen.figures.difference import LEAST, difference
from sitegen.figures.style import COLOURS, LIGHT

PLAIN = re.compile(r"none|#[0-9a-f]{6}")


def file_name(url: str, base: str) -> str:
    """The path below output/ of what stands at an address of the site; empty for what is elsewhere."""
    return unquote(url.removeprefix(base).partition("#")[0].partition("?")[0]) if url.startswith(base) else ""


def cascade_of(page: str, url: str, base: str, files: Mapping[str, bytes], medium: str) -> Cascade:
    """What the sheets of a page say, which stands at a path below the address `base`."""
    reader = _Links()
    reader.feed(page)
    reader.close()
    found: list[str] = []
    for media, text, href in reader.found:
        at = _joined(base + url, href)
        text = files.get(file_name(at, base), b"").decode("utf-8-sig", "replace") if href else text
        found += (_for(media, sheet) for sheet in _with_imports(text, at, base, files, ()))
    return Cascade(found, medium)


def _joined(base: str, href: str) -> str:
    """The address that a link means; nowhere for one that is none."""
    try:
        return urljoin(base, href)
    except ValueError:
        return ""


def shades(cascade: Cascade) -> dict[str, str]:
    """The shades of figures by their names, as they are written."""
    style = _root(cascade)
    return {name: style.get(f"--{name}", "none") for name in (*COLOURS, *LIGHT)}


def _root(cascade: Cascade) -> Style:
    return cascade.style(ElementWrapper.from_html_root(Element("html")), {})


def _painted(cascade: Cascade) -> dict[str, str]:
    """The shades by number, and as they are written where that cannot be done."""
    style = _root(cascade)
    return {name: paint(value, style)[0] for name, value in shades(cascade).items()}


def unprintable(cascade: Cascade) -> dict[str, str]:
    """The shades, with their values, that cannot be written as plain colours."""
    painted = _painted(cascade)
    return {name: value for name, value in shades(cascade).items() if not PLAIN.fullmatch(painted[name])}


def too_near(names: Iterable[str], cascade: Cascade) -> Iterator[tuple[str, str]]:
    """Of some colours those pairs whose shades nobody tells apart."""
    painted = _painted(cascade)
    known = [name for name in names if painted[name].startswith("#")]
    for one, other in combinations(known, 2):
        if difference(painted[one], painted[other]) < LEAST:
            yield one, other


class _Links(HTMLParser):
    """Of each sheet the media that it is for, its text, and the address of one that stands elsewhere."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[tuple[str, str, str]] = []
        self._media: str | None = None

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        named = {name: value or "" for name, value in attrs}
        kinds = named.get("rel", "").lower().split()
        if tag == "link" and "stylesheet" in kinds and "alternate" not in kinds and named.get("href"):
            self.found.append((named.get("media", ""), "", named["href"]))
        self._media = named.get("media", "") if tag == "style" else None

    def handle_data(self, data: str) -> None:
        if self._media is not None:
            self.found.append((self._media, data, ""))

    def handle_endtag(self, tag: str) -> None:
        self._media = None


def _for(media: str, sheet: str) -> str:
    return f"@media {media}{{{sheet}}}" if media.strip() else sheet


def _with_imports(
    text: str, at: str, base: str, files: Mapping[str, bytes], above: tuple[str, ...]
) -> Iterator[str]:
    """A sheet, behind those that it imports."""
    for rule in parse_stylesheet(text, skip_comments=True, skip_whitespace=True):
        if rule.type != "at-rule" or rule.lower_at_keyword not in ("import", "charset", "layer"):
            break
        href, media = _imported(rule)
        there = _joined(at, href)
        if href and there not in above and file_name(there, base) in files:
            inside = files[file_name(there, base)].decode("utf-8-sig", "replace")
            for sheet in _with_imports(inside, there, base, files, (*above, at, there)):
                yield _for(media, sheet)
    yield text


def _imported(rule: Any) -> tuple[str, str]:
    """The address that an import names, and for which media."""
    parts = [part for part in rule.prelude if part.type not in ("whitespace", "comment")]
    if rule.lower_at_keyword != "import" or not parts:
        return "", ""
    first = parts[0]
    inside = first.arguments if first.type == "function" else [first]
    href = next((part.value for part in inside if part.type in ("string", "url")), "")
    return href, serialize(rule.prelude[rule.prelude.index(first) + 1 :]).strip()
