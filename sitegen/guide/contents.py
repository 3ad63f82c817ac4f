"""The contents of a guide: its pages in parts and chapters, and what of them a page lists beside its text.

A part has a title of the author's; a chapter is a folder with an index page. A page lists its own part and
chapter, where the others begin, and of a long list what is about it; so it does not grow with the guide. One
page lists all.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import groupby
from typing import TypeVar

from sitegen.pages.page import Page

T = TypeVar("T")
MOST = 40
"""How many pages a page lists of one level; of more than that only those about its own."""
ABOUT = 8
"""How many of them on either side."""


@dataclass(frozen=True)
class ContentsEntry:
    """A page in the list of contents, and those in its chapter."""

    page: Page
    inside: tuple[Page, ...]


@dataclass(frozen=True)
class ContentsPart:
    """Pages below a title, or below none; without entries it is only told where it begins."""

    title: str
    first: Page
    entries: tuple[ContentsEntry, ...]


@dataclass(frozen=True)
class Listed:
    """What a page lists of the contents, and whether that is all of them."""

    parts: tuple[ContentsPart, ...]
    whole: bool


@dataclass(frozen=True)
class Contents:
    pages: tuple[Page, ...]
    """In reading order."""
    titles: Mapping[str, str]
    """The title of the part that a page is in, by its name; none for one that is in none."""

    @cached_property
    def parts(self) -> tuple[ContentsPart, ...]:
        """All pages in their parts, those of a chapter inside of its index page."""
        chapters: dict[str, list[Page]] = {}
        for page in self.pages:
            chapters.setdefault(self._top(page).name, []).append(page)
        entries = [
            ContentsEntry(page, tuple(each for each in chapters[page.name] if each is not page))
            for page in self.pages
            if self._top(page) is page
        ]
        grouped = groupby(entries, lambda entry: self.titles.get(entry.page.name, ""))
        parts = [(title, tuple(inside)) for title, inside in grouped]
        return tuple(ContentsPart(title, inside[0].page, inside) for title, inside in parts)

    @cached_property
    def cut(self) -> bool:
        """Whether there is more than every page lists."""
        entries = [entry for part in self.parts for entry in part.entries]
        titled = any(part.title for part in self.parts)
        return titled or len(entries) > MOST or any(entry.inside for entry in entries)

    def listed(self, page: Page | None) -> Listed:
        """What a page lists, or one that belongs to it; what belongs to none lists the beginning."""
        top = self._top(page or self.pages[0])
        own = self._part_of[top.name]
        return Listed(tuple(self._part(part, part is own, top, page) for part in self.parts), not self.cut)

    def _part(self, part: ContentsPart, own: bool, top: Page, page: Page | None) -> ContentsPart:
        """What is listed of a part: of one that has a title and is another nothing."""
        if part.title and not own:
            return replace(part, entries=())
        shown = (
            ContentsEntry(entry.page, self._inside(entry, page) if page and entry.page is top else ())
            for entry in _about(part.entries, self._places[top.name] if own else 0)
        )
        return replace(part, entries=tuple(shown))

    def _inside(self, entry: ContentsEntry, page: Page) -> tuple[Page, ...]:
        """What is listed of a page's own chapter."""
        return tuple(_about(entry.inside, self._places[page.name] if page is not entry.page else 0))

    @cached_property
    def _places(self) -> dict[str, int]:
        """The number of each page in the list that it stands in, by its name."""
        entries = [entry for part in self.parts for entry in part.entries]
        lists = (
            *([entry.page for entry in part.entries] for part in self.parts),
            *(entry.inside for entry in entries),
        )
        return {page.name: number for pages in lists for number, page in enumerate(pages)}

    @cached_property
    def _part_of(self) -> dict[str, ContentsPart]:
        """The part of each page that is listed in one by itself, by its name."""
        return {entry.page.name: part for part in self.parts for entry in part.entries}

    def _top(self, page: Page) -> Page:
        """The index page of a page's chapter, or the page itself where it is in none."""
        return self._chapters.get(page.folder, page)

    @cached_property
    def _chapters(self) -> dict[str, Page]:
        """The index page of each chapter, by its folder."""
        return {page.folder: page for page in self.pages if page.name.endswith("/index")}


def _about(items: Sequence[T], at: int) -> Sequence[T]:
    """Some items, of many only those about one."""
    return items if len(items) <= MOST else items[max(at - ABOUT, 0) : at + ABOUT + 1]
