"""The shades and fonts of pages: the manual names all of them, and its example leaves every text readable."""

from __future__ import annotations

import re
from itertools import product
from pathlib import Path

import pytest
from contrast import contrast
from playwright.sync_api import Browser
from sample_rendering import CHROMIUM, needs

from sitegen.site.theme import shipped

SHEET = (shipped() / "folio/files/folio.css").read_text(encoding="utf-8")
BOARD = (shipped() / "board/files/board.css").read_text(encoding="utf-8")
MANUAL = (Path(__file__).parents[2] / "content/writing/themes.md").read_text(encoding="utf-8")
(PART,) = re.findall(r"(?ms)^## The shades and fonts of pages$(.*?)^## ", MANUAL)
(EXAMPLE,) = re.findall(r"(?s)```css\n(.*?)```", PART)
GROUNDS, TEXTS = ("--paper", "--card", "--wash"), ("--ink", "--soft", "--accent", "--alarm")
MEDIA = {"light": ("screen", "light"), "dark": ("screen", "dark"), "print": ("print", "dark")}
"""The medium and the scheme; who has dark screens prints on white paper too."""


def test_the_manual_names_all_that_the_sheet_gives_and_nothing_else() -> None:
    first_column = re.findall(r"(?m)^\| (`.*?) \|", PART)
    named = [name for row in first_column for name in re.findall(r"`(--[\w-]+)`", row)]
    assert sorted(named) == sorted(set(re.findall(r"(--[\w-]+):", SHEET)))


def shades(browser: Browser, sheet: str, medium: str) -> dict[str, str]:
    """What a browser makes of the shades by a sheet, as `#rrggbb`."""
    media, scheme = MEDIA[medium]
    page = browser.new_page()
    page.emulate_media(media=media, color_scheme=scheme)  # type: ignore[arg-type]
    page.set_content(f"<style>{sheet}</style>")
    found = {}
    for name in re.findall(r"(--[\w-]+): #", SHEET):
        asking = f"getComputedStyle(document.documentElement).getPropertyValue('{name}')"
        short = str(page.evaluate(asking)).strip().removeprefix("#")
        found[name] = "#" + (short if len(short) == 6 else "".join(2 * digit for digit in short))
    page.close()
    return found


@needs(chromium=CHROMIUM)
@pytest.mark.parametrize("medium", MEDIA)
@pytest.mark.parametrize(
    "sheet", [SHEET, SHEET + BOARD, SHEET + EXAMPLE], ids=["folio", "board", "the example"]
)
def test_every_text_stands_out_from_every_ground(browser: Browser, sheet: str, medium: str) -> None:
    found = shades(browser, sheet, medium)
    pairs = ((text, ground) for text, ground in product(TEXTS, GROUNDS))
    # WCAG 2.2, 1.4.3 (AA): at least 4.5 to 1.
    assert [pair for pair in pairs if contrast(*(found[name] for name in pair)) < 4.5] == []


@needs(chromium=CHROMIUM)
def test_the_example_does_what_the_manual_says_of_it(browser: Browser) -> None:
    """Another ground on both screens; in print the ground of code alone."""
    changed = {}
    for medium in MEDIA:
        before, after = (shades(browser, sheet, medium) for sheet in (SHEET, SHEET + EXAMPLE))
        changed[medium] = {name for name in before if before[name] != after[name]}
    on_screen = {"--paper", "--card", "--wash", "--hair"}
    assert changed == {"light": on_screen, "dark": on_screen, "print": {"--wash"}}


@needs(chromium=CHROMIUM)
def test_each_shade_is_another_on_dark_screens_and_on_paper(browser: Browser) -> None:
    light, dark, paper = (shades(browser, SHEET, medium) for medium in MEDIA)
    assert len(light) == 8
    assert {name for name in light if light[name] == dark[name]} == set()
    assert {name for name in light if light[name] == paper[name]} <= {"--card"}
