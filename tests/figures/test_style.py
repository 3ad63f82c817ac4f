"""What the colours of figures promise: a grey copy, a dark page and paper can be read like the screen."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from collections.abc import Mapping
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest
from contrast import channels, contrast
from playwright.sync_api import Browser
from sample_rendering import CHROMIUM, needs

from sitegen.figures.difference import LEAST, difference
from sitegen.figures.draw import draw
from sitegen.figures.of_position import palette, picture
from sitegen.figures.style import COLOURS, LIGHT, USUAL, css, look_of_part
from sitegen.puzzles import catalogue

SHEET = Path(__file__).parents[2] / "themes/folio/files/folio.css"

MAIN = ("white", "yellow", "orange", "green", "red", "blue")
"""The colours of the cubes that ship."""


def luma(shade: str) -> float:
    """How light a grey copy is, from 0 to 255: ITU-R Rec. 601."""
    red, green, blue = channels(shade)
    return 0.299 * red + 0.587 * green + 0.114 * blue


def test_a_grey_copy_tells_the_main_colours_apart() -> None:
    greys = sorted(luma(COLOURS[name]) for name in MAIN)
    # A tenth of the way from black to white is about 25; the eye parts greys that lie side by side by less.
    assert all(b - a >= 24 for a, b in pairwise(greys))
    assert greys[0] - luma(LIGHT["figure-body"]) >= 24, "and the darkest from the body"


def test_a_letter_and_a_mark_stand_out_from_their_halo_whatever_lies_below() -> None:
    for ink in ("figure-mark", "figure-corner"):
        assert contrast(LIGHT[ink], LIGHT["figure-halo"]) >= 7  # WCAG 2.2, 1.4.6 (AAA)


@pytest.mark.parametrize("name", COLOURS)
def test_a_letter_or_its_halo_stands_out_from_every_colour(name: str) -> None:
    # WCAG 2.2, 1.4.11: at least 3 to 1 for what is needed to understand a graphic.
    assert max(contrast(COLOURS[name], LIGHT[of]) for of in ("figure-mark", "figure-halo")) >= 3


@pytest.mark.parametrize("name", catalogue.names())
def test_every_line_and_mark_stands_out_from_the_stickers_that_it_lies_on(name: str) -> None:
    """Read from the figure: what is painted right below a line in its shape, if it is wider, is its halo."""
    puzzle = catalogue.puzzle(name)
    slots, turned = frozenset(range(len(puzzle.stickers))), puzzle.permutation(next(iter(puzzle.turns())))
    sight = picture(puzzle, puzzle.identity, palette(puzzle), "", "", moves=turned, most_marked=None)
    for kind in ("outlined", "away", "disturbed", "ringed", "marks"):
        shown = replace(sight, marks=sight.marks if kind == "marks" else ())
        shown = shown if kind == "marks" else replace(shown, **{kind: slots})
        root = ET.fromstring(draw(shown, "net"))
        of = "marks" if kind == "marks" else "ring" if kind == "ringed" else "guard"
        parts = [part for part in root.iter() if of in (part.get("class") or "").split()]
        looks = [look_of_part("puzzle", part.get("class") or "", on_paper=False) for part in parts]
        inks = {
            shade
            for look in looks
            for paint in ("fill", "stroke")
            if (shade := look.get(paint, "none")) != "none"
        }
        assert inks
        for colour in {face.colour for face in puzzle.faces}:
            # WCAG 2.2, 1.4.11.
            assert max(contrast(COLOURS[colour], LIGHT[ink]) for ink in inks) >= 3, (kind, colour)


def pages() -> dict[str, tuple[str, Mapping[str, str]]]:
    """The shade of a page in the theme that ships, in each light, with what figures on it look like."""
    light, dark, paper = re.findall(r"--paper: (#\w+)", SHEET.read_text())[:3]
    white = "#" + "".join(2 * digit for digit in paper[1:])
    return {
        "light": (light, USUAL.light),
        "dark": (dark, USUAL.dark),
        "paper": (white, USUAL.paper),
    }


@pytest.mark.parametrize("page", pages())
def test_what_is_out_of_focus_is_nearer_to_the_page_than_any_colour(page: str) -> None:
    shade, look = pages()[page]
    near = difference(look["figure-muted"], shade)
    # White is the page's own shade where that is light; there the line tells it from what is out of focus.
    others = COLOURS.keys() - ({"white"} if page != "dark" else set())
    assert all(near < difference(COLOURS[name], shade) for name in others)


@pytest.mark.parametrize("page", pages())
def test_what_is_out_of_focus_is_told_from_all_colours_and_from_its_line(page: str) -> None:
    _, look = pages()[page]
    assert all(difference(look["figure-muted"], shade) >= LEAST for shade in COLOURS.values())
    assert contrast(look["figure-muted"], look["figure-muted-line"]) >= 3  # WCAG 2.2, 1.4.11


@pytest.mark.parametrize("page", pages())
def test_a_mark_or_its_halo_stands_out_from_what_is_out_of_focus(page: str) -> None:
    _, look = pages()[page]
    for ink in ("figure-mark", "figure-corner"):
        assert max(contrast(look["figure-muted"], look[of]) for of in (ink, "figure-halo")) >= 3


@needs(chromium=CHROMIUM)
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_paper_is_a_light_page_whatever_the_screen_is(browser: Browser, scheme: str) -> None:
    page = browser.new_page()
    page.set_content(f"<style>{css()}</style>")
    for media, shades in (
        ("print", USUAL.paper),
        ("screen", USUAL.dark if scheme == "dark" else USUAL.light),
    ):
        page.emulate_media(media=media, color_scheme=scheme)
        asked = (
            "names => names.map(name => getComputedStyle(document.documentElement).getPropertyValue(name))"
        )
        assert page.evaluate(asked, [f"--{name}" for name in shades]) == list(shades.values())
    page.close()
