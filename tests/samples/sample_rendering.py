"""Figures as a renderer shows them, in grey, for tests that look at the picture.

Knows Chromium, a printer of HTML to PDF and poppler; without them such tests are skipped, but not on a build
server.
"""

from __future__ import annotations

import importlib.util
import io
import os
import shutil
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

BROWSER = shutil.which("chromium") or shutil.which("chromium-browser")
"""Chromium as readers have it."""
CHROMIUM = shutil.which("chromium-headless-shell") or BROWSER
"""The same without windows, where that is there: tests take half the time."""
PRINTER = importlib.util.find_spec("weasyprint")
PDFTOPPM = shutil.which("pdftoppm")


def needs(**programs: object) -> pytest.MarkDecorator:
    """Skips a test where something is not on this system."""
    missing = [name for name, found in programs.items() if not found]
    return pytest.mark.skipif(
        bool(missing) and not os.environ.get("CI"), reason=f"no {' and no '.join(missing)} on this system"
    )


OPTIONS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-software-rasterizer",
    "--in-process-gpu",
    "--disable-background-networking",
    "--no-first-run",
    # Letters are as wide as they were drawn, which without windows they are not else.
    "--font-render-hinting=none",
)


@contextmanager
def chromium(program: str | None = CHROMIUM) -> Iterator[Browser]:
    assert program, "a build server must have chromium"
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=program, args=[*OPTIONS])
        yield browser
        browser.close()


@contextmanager
def without_faults(browser: Browser, place: Path | str, **context: Any) -> Iterator[Page]:
    """A page as its reader opens it from the file system, or by its address; no script may fail on it."""
    page = browser.new_context(offline=isinstance(place, Path), **context).new_page()
    faults: list[str] = []
    page.on("pageerror", lambda error: faults.append(str(error)))
    page.goto(place.as_uri() if isinstance(place, Path) else place)
    yield page
    page.context.close()
    assert faults == []


WITHOUT_BUTTONS = """() => {
  const main = document.querySelector("main").cloneNode(true);
  main.querySelectorAll(".turn-it, .saving, .filters").forEach(button => button.remove());
  return main.textContent;
}"""
"""A script that gives the text of a page without what is pressed to play turns, or to look for rows."""

LIGHT_FROM = 64
"""Lighter than the body of a puzzle and the ink of marks, darker than every colour."""


class Grey:
    """A picture in grey: rows of lightness from 0 to 255."""

    def __init__(self, png: bytes) -> None:
        image = pytest.importorskip("PIL.Image")
        # Pillow's grey is ITU-R Rec. 601, as in a copy.
        self.image = image.open(io.BytesIO(png)).convert("RGB").convert("L")
        self.width, self.height = self.image.size

    def crop(self, left: int, top: int, right: int, bottom: int) -> bytes:
        return self.image.crop((left, top, right, bottom)).tobytes()

    def light(self, beyond: Grey | None = None) -> int:
        """How many pixels are light, but for those within 3 of what is light in another picture."""
        own = self.image.point(lambda value: 255 if value > LIGHT_FROM else 0)
        if beyond:
            image = pytest.importorskip("PIL.ImageFilter")
            other = beyond.image.point(lambda value: 0 if value > LIGHT_FROM else 255)
            own.paste(0, mask=other.filter(image.MinFilter(7)).point(lambda value: 255 - value))
        return int(own.histogram()[255])

    def all(self) -> bytes:
        return self.image.tobytes()


def difference(one: Grey, other: Grey) -> float:
    """The mean of how far the pixels of two pictures are apart."""
    a, b = one.all(), other.all()
    assert len(a) == len(b)
    return sum(abs(x - y) for x, y in zip(a, b, strict=True)) / len(a)


def on_screen(
    browser: Browser, figure: str, css: str, width: int, media: str = "screen", color_scheme: str = "light"
) -> Grey:
    """A figure on a page so many pixels wide, on screen; or as it is for other media, put on the screen."""
    page = _page_of(browser)
    page.set_viewport_size({"width": width, "height": width})
    page.emulate_media(media=media, color_scheme=color_scheme)
    page.set_content(f"<style>{css} body{{margin:0}} svg{{display:block;width:{width}px}}</style>{figure}")
    return Grey(page.screenshot())


def _page_of(browser: Browser) -> Page:
    """A page that a browser has open, for one figure after another."""
    contexts = browser.contexts
    return contexts[0].pages[0] if contexts else browser.new_page()


MILLIMETRES, MARGIN, DPI = 100, 10, 150


def _sheet(figure: str, css: str) -> str:
    """A figure in a square of 10 cm, with 1 cm of paper round it."""
    side = MILLIMETRES + 2 * MARGIN
    rules = f"@page{{size:{side}mm {side}mm;margin:{MARGIN}mm}} body{{margin:0}}"
    return (
        f"<!doctype html><html><head><meta charset='utf-8'><style>{rules} {css} "
        f"svg{{display:block;width:{MILLIMETRES}mm;height:{MILLIMETRES}mm}}</style></head><body>{figure}</body></html>"
    )


def by_chromium(browser: Browser, figure: str, css: str, folder: Path) -> Grey:
    """A figure as Chromium prints it."""
    page = _page_of(browser)
    page.emulate_media(media="null", color_scheme="null")
    page.set_content(_sheet(figure, css))
    return _raster(page.pdf(prefer_css_page_size=True, print_background=True), folder)


def by_printer(figure: str, css: str, folder: Path) -> Grey:
    """A figure as a renderer prints it that knows less of style sheets."""
    from weasyprint import HTML

    return _raster(HTML(string=_sheet(figure, css)).write_pdf(), folder)


def _raster(pdf: bytes, folder: Path) -> Grey:
    source = folder / "figure.pdf"
    source.write_bytes(pdf)
    assert PDFTOPPM, "a build server must have poppler's pdftoppm"
    done = subprocess.run(
        [PDFTOPPM, "-r", str(DPI), "-png", "-singlefile", str(source)], capture_output=True, check=True
    )
    return Grey(done.stdout)
