"""A page as it was written: front matter, Markdown, headings, and the blocks that stand in it."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import PurePosixPath

from sitegen.guide.config import Config
from sitegen.guide.markdown import Prose, page_prose, plain_text, slug
from sitegen.guide.settings import Setting, read_settings
from sitegen.problems import Source
from sitegen.puzzles import catalogue
from sitegen.puzzles.puzzle import Puzzle

KEYS = ("title", "summary", "kind", "puzzle", "tags")
KINDS = ("page",)
FRONT = re.compile(r"\A---[ \t]*\n(?P<yaml>.*?)^---[ \t]*(?:\n|\Z)", re.DOTALL | re.MULTILINE)


@dataclass(frozen=True)
class Heading:
    level: int
    anchor: str
    text: str


@dataclass(frozen=True)
class Page:
    """`name` is the file's path below content/, without its ending."""

    name: str
    title: str
    summary: str
    tags: tuple[str, ...]
    puzzle: Puzzle
    prose: Prose
    headings: tuple[Heading, ...] = field(default=())

    @property
    def url(self) -> str:
        """The path of the published page below output/."""
        return f"{self.name}.html"

    @property
    def folder(self) -> str:
        return str(PurePosixPath(self.name).parent)


def read_page(name: str, source: Source, config: Config) -> Page:
    """Raises Problem."""
    front = FRONT.match(source.text)
    settings = read_settings(source.passage(*front.span("yaml")), KEYS) if front else {}
    prose = page_prose(source.passage(front.end() if front else 0), config.html)
    if "kind" in settings:
        settings["kind"].as_choice(KINDS)
    puzzle = settings["puzzle"].as_choice(catalogue.names()) if "puzzle" in settings else config.puzzle
    title = _title(settings, prose, name)
    return Page(
        name=name,
        title=title,
        summary=settings["summary"].as_text() if "summary" in settings else "",
        tags=settings["tags"].as_texts() if "tags" in settings else (),
        puzzle=catalogue.puzzle(puzzle),
        prose=prose,
        headings=tuple(_headings(prose)),
    )


def _title(settings: Mapping[str, Setting], prose: Prose, name: str) -> str:
    """From the front matter, or else the first heading, which is then not set again below the title."""
    if "title" in settings:
        return settings["title"].as_text()
    tokens = prose.tokens
    if tokens and tokens[0].type == "heading_open" and tokens[0].tag == "h1":
        title = plain_text(tokens[1])
        del tokens[:3]
        return title
    return PurePosixPath(name).name.replace("-", " ").capitalize()


def _headings(prose: Prose) -> Iterable[Heading]:
    """Gives each heading an anchor of its own."""
    seen: Counter[str] = Counter()
    for opening, inline in zip(prose.tokens, prose.tokens[1:], strict=False):
        if opening.type != "heading_open":
            continue
        text = plain_text(inline)
        anchor = str(opening.attrGet("id") or slug(text))
        seen[anchor] += 1
        if seen[anchor] > 1:
            anchor = f"{anchor}-{seen[anchor]}"
        opening.attrSet("id", anchor)
        yield Heading(int(opening.tag[1:]), anchor, text)
