"""Sheets as PDF, by WeasyPrint, from the pages and print styles that a browser prints.

Needs the extra `pdf`, and the library of the system that WeasyPrint sets text with.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import suppress
from functools import lru_cache, partial
from hashlib import sha256
from html import escape
from io import BytesIO
from mimetypes import guess_type
from pathlib import Path, PurePosixPath
from typing import Any
from urllib.parse import quote, unquote
from xml.etree.ElementTree import Element, SubElement

from sitegen.figures.draw import SVG
from sitegen.folders import content_of
from sitegen.guide.printed import Printed
from sitegen.parallel import on_all_cores
from sitegen.site.render import Site, told_by_template

FORMAT = 4
"""Of what is made; another whenever the same page may give another PDF."""
AGAIN = "the same from another side"
"""What is said of a figure that a page keeps silent."""
NOWHERE = "https://guide.invalid/"
"""Where pages stand that have no public address (RFC 2606 keeps that name free)."""
NEARBY = re.compile(r"(?!#|//|[a-z][a-z0-9+.-]*:)", re.IGNORECASE)
"""The address of another page of the guide."""
MADE_FROM = re.compile(rb"turnfolio-(?P<digest>[0-9a-f]{64})-(?P<pages>[0-9]+)")
"""The identifier within a PDF: a digest of all that it follows from, and how many pages it has."""
WOFF2 = b"wOF2"
"""What a compressed font begins with (W3C, WOFF File Format 2.0, section 4)."""
INSTALL = "install it with pip install 'weasyprint>=68', or the extra “pdf” of Turnfolio"
SYSTEM = (
    "it needs the library Pango: on Debian apt install libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0, "
    "on macOS brew install pango, on Windows see WeasyPrint's page on first steps"
)


class NoPdfRenderer(Exception):
    """Why PDFs cannot be made, and what to install."""


class PdfRenderer:
    """WeasyPrint, at hand. Raises NoPdfRenderer where it is not."""

    def __init__(self) -> None:
        try:
            import weasyprint
            from weasyprint import urls

            self._fetcher = _fetcher_class(urls)
        except (ImportError, AttributeError):
            message = f"PDFs are made by WeasyPrint, which is not installed, or too old: {INSTALL}"
            raise NoPdfRenderer(message) from None
        except OSError as error:
            cause = str(error).split("\n")[0]
            raise NoPdfRenderer(f"WeasyPrint cannot be loaded ({cause}): {SYSTEM}") from None
        self._html: Any = weasyprint.HTML

    def pdfs(self, site: Site, sheets: Sequence[Printed]) -> Iterator[tuple[str, bytes]]:
        """The PDF of each sheet by its path in the guide's folder, in any order."""
        return on_all_cores(partial(self._placed, site), sheets, few=2)

    def _placed(self, site: Site, sheet: Printed) -> tuple[str, bytes]:
        return sheet.file, self.pdf(site, sheet)

    def pdf(self, site: Site, sheet: Printed) -> bytes:
        """Tagged, with title and bookmarks, all fonts embedded; the same bytes from the same page."""
        html = page_of(site, sheet)
        base = site.guide.config.address or NOWHERE
        fetcher = self._fetcher(site.resources, base)
        document = self._html(string=html, base_url=base + sheet.url, url_fetcher=fetcher)
        _describe(document.etree_element)
        if not site.guide.config.address:
            _unlink(document.etree_element)
        rendered = document.render(pdf_tags=True)
        identifier = f"turnfolio-{_digest(html, site)}-{len(rendered.pages)}".encode()
        return bytes(rendered.write_pdf(pdf_tags=True, pdf_identifier=identifier))


def _describe(page: Element) -> None:
    """Puts what figures are described by into their titles, since WeasyPrint passes on these alone.

    It lets no figure be silent: of one that shows again what another does that is said.
    """
    for figure in page.iter(f"{{{SVG}}}svg"):
        title, described = (figure.find(f"{{{SVG}}}{tag}") for tag in ("title", "desc"))
        if title is None:
            SubElement(figure, f"{{{SVG}}}title").text = AGAIN
        elif described is not None:
            title.text = f"{title.text}. {described.text}"


def _unlink(page: Element) -> None:
    """Takes away where links to other pages of the guide lead, which has no public address."""
    for link in page.iter("a"):
        if NEARBY.match(link.get("href", "#")):
            del link.attrib["href"]


def _file_name(url: str, base: str) -> str:
    """The path below output/ of what stands at an address of the site; empty for what is elsewhere."""
    return unquote(url.removeprefix(base).partition("#")[0].partition("?")[0]) if url.startswith(base) else ""


def _fetcher_class(urls: Any) -> Any:
    """What WeasyPrint loads things by: out of the files of the site, and nothing from elsewhere."""

    class Fetcher(urls.URLFetcher):  # type: ignore[misc]
        def __init__(self, files: Mapping[str, bytes], base: str) -> None:
            super().__init__(allowed_protocols=["data"])
            self.files = files
            self.base = base

        def fetch(self, url: str, headers: Any = None) -> Any:
            name = _file_name(url, self.base)
            if name in self.files:
                kind = guess_type(name)[0] or "application/octet-stream"
                content = as_plain_font(self.files[name])
                return urls.URLFetcherResponse(url, content, {"Content-Type": kind})
            return super().fetch(url, headers)

    return Fetcher


@lru_cache(maxsize=32)
def as_plain_font(content: bytes) -> bytes:
    """A font unpacked, as WeasyPrint would for each sheet anew, which takes as long as a page.

    What a broken one raises is passed over there, as the font is then.
    """
    if not content.startswith(WOFF2):
        return content
    from fontTools.ttLib import woff2

    found = BytesIO()
    woff2.decompress(BytesIO(content), found)
    return found.getvalue()


def page_of(site: Site, sheet: Printed) -> str:
    """The page from which a sheet is printed, and nothing that changes with other pages. Raises Problems."""
    plain = site.on_paper(sheet.variant)
    with told_by_template(site.theme):
        return plain.text(plain.answers(sheet.page) if sheet.answers else plain.page(sheet.page))


def unchanged(sheets: Iterable[Printed], site: Site, folder: Path) -> dict[str, bytes]:
    """Of the PDFs in the folder of a guide those that are of just what is published now."""
    found = {}
    for sheet in sheets:
        made = MADE_FROM.search(pdf := content_of(folder, sheet.file))
        if made and made["digest"].decode() == _digest(page_of(site, sheet), site):
            found[sheet.file] = pdf
    return found


def made_here(folder: Path, name: str) -> bool:
    """Whether a file below a folder is a PDF that was made here, and not one that someone else put there."""
    with suppress(OSError):
        return MADE_FROM.search(content_of(folder, name)) is not None
    return False


def page_count(pdf: bytes) -> int:
    """Of a PDF made here."""
    made = MADE_FROM.search(pdf)
    assert made is not None
    return int(made["pages"])


def _digest(html: str, site: Site) -> str:
    """Of all that a PDF follows from, but for the fonts and the version of what sets it.

    Of the author's own files these are the ones whose names stand on the page, or in what else may load them.
    """
    own, texts = site.guide.files, (html, site.loading)
    follows_from = sha256(f"{FORMAT}\n{html}\n".encode())
    for name, digest in sorted(site.digests.items()):
        if name not in own or any(_named(name, text) for text in texts):
            follows_from.update(f"{name} {digest}\n".encode())
    return follows_from.hexdigest()


def _named(file: str, text: str) -> bool:
    """Whether a file may be meant in a text."""
    name = PurePosixPath(file).name
    return name in text or quote(name) in text or escape(name) in text
