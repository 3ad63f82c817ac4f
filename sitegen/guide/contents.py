"""The contents of a guide: its pages in chapters, and what of them a page lists beside its text.

A chapter is a folder with an index page. A page lists its own chapter and the index pages of others, and of a
long list the part that it stands in; so it does not grow with the guide. One page lists all.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
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
class Listed:
    """What a page lists of the contents, and whether that is all of them."""

    entries: tuple[ContentsEntry, ...]
    whole: bool


@dataclass(frozen=True)
class Contents:
    pages: tuple[Page, ...]
    """In reading order."""

    @cached_property
    def entries(self) -> tuple[ContentsEntry, ...]:
        """All pages, those of a chapter inside of its index page."""
        chapters: dict[str, list[Page]] = {}
        for page in self.pages:
            chapters.setdefault(self._top(page).name, []).append(page)
        return tuple(
            ContentsEntry(page, tuple(each for each in chapters[page.name] if each is not page))
            for page in self.pages
            if self._top(page) is page
        )

    @cached_property
    def cut(self) -> bool:
        """Whether there is more than every page lists."""
        return len(self.entries) > MOST or any(entry.inside for entry in self.entries)

    def listed(self, page: Page | None) -> Listed:
        """What a page lists, or one that belongs to it; what belongs to none lists the beginning."""
        top = self._top(page) if page else None
        shown = (
            ContentsEntry(entry.page, self._inside(entry, page) if page and entry.page is top else ())
            for entry in _about(self.entries, self._places[top.name] if top else 0)
        )
        return Listed(tuple(shown), not self.cut)

    def _inside(self, entry: ContentsEntry, page: Page) -> tuple[Page, ...]:
        """What is listed of a page's own chapter."""
        return tuple(_about(entry.inside, self._places[page.name] if page is not entry.page else 0))

    @cached_property
    def _places(self) -> dict[str, int]:
        """The number of each page in the list that it stands in, by its name."""
        lists = ([entry.page for entry in self.entries], *(entry.inside for entry in self.entries))
        return {page.name: number for pages in lists for number, page in enumerate(pages)}

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
