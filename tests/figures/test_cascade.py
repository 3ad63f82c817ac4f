"""What sheets say of an element is what a browser makes of them."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest
from cssselect2 import ElementWrapper
from playwright.sync_api import Browser
from sample_rendering import CHROMIUM, needs

from sitegen.figures.cascade import PRINT, SCREEN, Cascade, Style, applies, paint
from sitegen.figures.style import COLOURS, css

PAGE = (
    '<html><head></head><body class="sheet"><div class="card" style="--pink: #0a0b0c">'
    '<svg class="puzzle" viewBox="0 0 9 9"><g class="stickers" stroke-width="3">'
    '<path d="M0 0h9v9z" class="red" id="it"/></g></svg></div></body></html>'
)
SHEETS = {
    "nothing of one's own": "",
    "a shade": ":root{--red:#010203}",
    "a shade on paper": "@media print{:root{--red:#010203}}",
    "a shade on screen": "@media screen{:root{--red:#010203}}",
    "a shade by another name": ":root{--mine:#010203;--red:var(--mine)}",
    "a shade with a fallback": ":root{--red:var(--nobody, var(--nowhere, #010203))}",
    "a shade that is nothing": ":root{--red:var(--nobody)}",
    "a shade that is said by itself": ":root{--red:var(--red)}",
    "two shades said by each other": ":root{--red:var(--blue);--blue:var(--red)}",
    "a shade on a card": ".card{--red:#010203}",
    "a shade said on the element above": ".card{--red:var(--pink)}",
    "a weaker selector later": "html{--red:#010203}",
    "an important one before": ":root{--red:#010203!important}:root{--red:#040506}",
    "a word": ":root{--red:RebeccaPurple}",
    "by hue": ":root{--red:hsl(200 50% 40%)}",
    "by parts": ":root{--red:rgb(10% 20% 30%)}",
    "half seen through": ":root{--red:rgb(1 2 3 / 50%)}",
    "not seen": ":root{--red:transparent}",
    "the colour of the text": "body{color:#010203}:root{--red:currentColor}",
    "a rule": ".puzzle .red{fill:#010203}",
    "a rule that is weaker": ".red{fill:#010203}",
    "a rule with an id": "#it{fill:#010203}",
    "a rule by where it stands": ".card > .puzzle path:first-child{fill:#010203}",
    "a rule of which half is unknown": ".puzzle .red, :no-such-thing{fill:#010203}",
    "rules within a rule": ".puzzle{.red{fill:#010203} @media print{& .red{stroke:#040506}}}",
    "media in media": "@media screen, print{@media print{.puzzle .red{fill:#010203}}}",
    "not on paper": "@media not print{.puzzle .red{fill:#010203}}",
    "only on paper": "@media only print{.puzzle .red{fill:#010203}}",
    "on a dark page": "@media (prefers-color-scheme: dark){.puzzle .red{fill:#010203}}",
    "on a light page": "@media all and (prefers-color-scheme:light){.puzzle .red{fill:#010203}}",
    "where it is known": "@supports (fill: red){.puzzle .red{fill:#010203}}",
    "where it is not known": "@supports not (fill: red){.puzzle .red{fill:#010203}}",
    "what it is in": ".puzzle .red{fill:inherit}.stickers{fill:#010203}",
    "a mistake before it": ".puzzle .red{fill:} p{color red} .puzzle .red{fill:#010203}",
    "a comment": "/* .puzzle */ .puzzle /* . */ .red{/* no */fill:/* */#010203}",
    "a width": ".puzzle .red{stroke-width:5px}",
    "what a picture says": ".stickers{stroke-width:7}",
}


def own_style(page: str, sheets: list[str], medium: str) -> Style:
    """What holds for the element called `it`."""
    root = ElementWrapper.from_html_root(ElementTree.fromstring(page))
    cascade = Cascade(sheets, medium)
    found = next(element for element in root.iter_subtree() if element.id == "it")
    style: Style = {}
    for element in [*_above(found), found]:
        style = cascade.style(element, style)
    return style


def _above(element: ElementWrapper) -> list[ElementWrapper]:
    return [] if element.parent is None else [*_above(element.parent), element.parent]


def channels(colour: str, opaque: float) -> tuple[float, ...]:
    """As a browser writes `rgb(1, 2, 3)` and `rgba(1, 2, 3, 0.5)`."""
    return (*(int(colour[i : i + 2], 16) for i in (1, 3, 5)), opaque)


@needs(chromium=CHROMIUM)
@pytest.mark.parametrize("medium", [SCREEN, PRINT])
@pytest.mark.parametrize("name", SHEETS)
def test_paints_and_lines_are_those_that_a_browser_computes(browser: Browser, name: str, medium: str) -> None:
    page = browser.new_page()
    page.emulate_media(media=medium, color_scheme="light")
    styles = f"<style>{css()}</style><style>{SHEETS[name]}</style>"
    page.set_content("<!doctype html>" + PAGE.replace("<head>", f"<head>{styles}"))
    asked = "e => { const s = getComputedStyle(e); return [s.fill, s.stroke, s.strokeWidth] }"
    fill, stroke, width = page.eval_on_selector("#it", asked)
    page.close()
    own = own_style(PAGE, [css(), SHEETS[name]], medium)
    for property_, usual, computed in (("fill", "black", fill), ("stroke", "none", stroke)):
        colour, opaque = paint(own.get(property_, usual), own)
        numbers = [float(number) for number in re.findall(r"[\d.]+", computed)]
        if colour == "none":
            assert computed == "none" or numbers[3] == 0
        else:
            assert channels(colour, opaque) == pytest.approx((*numbers, 1.0)[:4], abs=0.01)
    assert own["stroke-width"].removesuffix("px") == width.removesuffix("px")


def test_a_control_the_sheets_of_this_test_say_different_things() -> None:
    said = {
        (style.get("fill"), style.get("stroke"), style.get("stroke-width"))
        for sheet in SHEETS.values()
        for medium in (SCREEN, PRINT)
        for style in [own_style(PAGE, [css(), sheet], medium)]
    }
    assert len(said) > 8
    assert own_style(PAGE, [css()], SCREEN)["fill"] == COLOURS["red"]


@pytest.mark.parametrize(
    ("media", "screen", "paper"),
    [
        ("", True, True),
        ("all", True, True),
        ("SCREEN", True, False),
        ("tv, print", False, True),
        ("not screen", False, True),
        ("only screen and (prefers-color-scheme: light)", True, False),
        ("(prefers-color-scheme: dark)", False, False),
        ("not (prefers-color-scheme: dark)", True, True),
        # How wide a page is, is not known where a figure is drawn once for all.
        ("screen and (min-width: 44rem)", False, False),
    ],
)
def test_media_are_asked_for_by_the_words_of_media_queries(media: str, screen: bool, paper: bool) -> None:
    assert (applies(media, SCREEN), applies(media, PRINT)) == (screen, paper)


def test_a_paint_that_cannot_be_written_by_number_is_left_as_it_is() -> None:
    assert paint("oklch(60% .1 30)", {}) == ("oklch(60% .1 30)", 1.0)
