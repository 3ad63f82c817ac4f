"""What a site says to machines about all of its pages: a map of them, a feed, and where the map is.

The formats are those of sitemaps.org, RFC 4287 and RFC 9309. All dates are those that authors have written.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from urllib.parse import quote, urlsplit
from xml.sax.saxutils import escape, quoteattr

from sitegen.guide.guide import FEED, SITEMAP
from sitegen.pages.page import Page

ROBOTS, NOT_FOUND = "robots.txt", "404.html"
MOST_MAPPED = 50_000
"""So many pages a map has at most (sitemaps.org)."""
DECLARED = '<?xml version="1.0" encoding="UTF-8"?>\n'


@dataclass(frozen=True)
class Mapped:
    """A page in the map: its path, and when an author says to have changed it."""

    path: str
    changed: str = ""


def sitemap(pages: Sequence[Mapped], address: str) -> str:
    """The map of a site."""
    entries = "".join(
        f"<url><loc>{escape(address + quote(page.path))}</loc>"
        + (f"<lastmod>{page.changed}</lastmod>" if page.changed else "")
        + "</url>\n"
        for page in pages[:MOST_MAPPED]
    )
    return f'{DECLARED}<urlset xmlns="http://www.sitemaps.org/schemas/sitemap/0.9">\n{entries}</urlset>\n'


def robots(address: str) -> str:
    """What robots are asked: nothing is kept from them, and here is the map."""
    return f"User-agent: *\nAllow: /\n\nSitemap: {address}{SITEMAP}\n"


def at_root(address: str) -> bool:
    """Whether a site is all of its host's, as where robots look for what they are asked."""
    return urlsplit(address).path == "/"


def dated(pages: Iterable[Page]) -> list[Page]:
    """Those with a date, what was changed last first; of one day in reading order."""
    return sorted((page for page in pages if page.date), key=lambda page: page.changed, reverse=True)


def feed(pages: Sequence[Page], title: str, language: str, author: str, address: str) -> str:
    """The feed of the pages that have a date, of which there is one."""
    entries = "".join(_entry(page, address) for page in pages)
    return (
        f'{DECLARED}<feed xmlns="http://www.w3.org/2005/Atom" xml:lang={quoteattr(language)}>\n'
        f"<id>{escape(address)}</id>\n<title>{escape(title)}</title>\n<updated>{_moment(pages[0].changed)}</updated>\n"
        f"<author><name>{escape(author)}</name></author>\n"
        f'<link rel="self" type="application/atom+xml" href={quoteattr(address + FEED)}/>\n'
        f'<link rel="alternate" type="text/html" href={quoteattr(address)}/>\n{entries}</feed>\n'
    )


def _entry(page: Page, address: str) -> str:
    at = address + quote(page.url)
    tags = "".join(f"<category term={quoteattr(tag)}/>" for tag in page.tags)
    summary = f"<summary>{escape(page.summary)}</summary>" if page.summary else ""
    return (
        f"<entry><id>{escape(at)}</id><title>{escape(page.title)}</title>"
        f'<link rel="alternate" type="text/html" href={quoteattr(at)}/>'
        f"<published>{_moment(page.date)}</published><updated>{_moment(page.changed)}</updated>"
        f"{tags}{summary}</entry>\n"
    )


def _moment(date: str) -> str:
    """The beginning of a day, as RFC 3339 writes it: authors say no hour."""
    return f"{date}T00:00:00Z"
