"""A picture of a page for where others link to it: its title, and a figure, as an SVG that needs no fonts.

Knows a title, a figure and shades; knows nothing of pages.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from html import escape

from sitegen.figures.draw import SVG
from sitegen.figures.line_text import LEADING, STROKE, as_drawn, in_lines, line_text, longest
from sitegen.figures.path_text import path_text
from sitegen.problems import Passage
from sitegen.site.shades import declarations

WIDTH, HEIGHT = 1200, 630
"""Pixels: what the Open Graph protocol's readers show whole, about 1.91 to 1."""
EDGE, FIGURE = 60, 510
TITLE_HEIGHTS = (54, 48, 42, 36, 30, 25, 21)
SMALL = 22
"""How high the letters of a title may be, and those of what stands below it."""
FOLDER = "files/cards"
"""Where these pictures are."""


def card_path(url: str) -> str:
    """The path of the picture of the page at a path."""
    return f"{FOLDER}/{url.removesuffix('.html')}.png"


@dataclass(frozen=True)
class CardShades:
    """What a card is painted in, by number."""

    ground: str = "#ffffff"
    ink: str = "#1c1c1c"
    soft: str = "#5c5c5c"


def card_shades(sheets: Iterable[Passage]) -> CardShades:
    """Those of a theme's pages on light screens, as its sheets give them."""
    usual = CardShades()
    shades = {"paper": usual.ground, "ink": usual.ink, "soft": usual.soft}
    for said in (said for sheet in sheets for said in declarations(sheet)):
        if said.name in shades and said.selector == ":root" and "light" in said.seen:
            shades[said.name] = said.shade or shades[said.name]
    return CardShades(shades["paper"], shades["ink"], shades["soft"])


def picture_card(title: str, below: str, guide: str, figure: str, shades: CardShades) -> str:
    """The picture; `below` stands under the title, `guide` at the foot, where letters are known."""
    width = WIDTH - FIGURE - 3 * EDGE
    drawn, at = [], float(EDGE)
    if as_drawn(title):
        height, lines = _fitting(title, width)
        drawn.append(_written(tuple(lines), at, height, shades.ink))
        at += len(lines) * LEADING * height + SMALL
    lines = in_lines(below, width, SMALL)
    if (
        lines
        and longest(lines, SMALL) <= width
        and at + len(lines) * LEADING * SMALL < HEIGHT - 2 * EDGE - SMALL
    ):
        drawn.append(_written(tuple(lines), at, SMALL, shades.soft))
    foot = in_lines(guide, width, SMALL)
    if len(foot) == 1 and longest(foot, SMALL) <= width:
        drawn.append(_written(tuple(foot), HEIGHT - EDGE - SMALL, SMALL, shades.soft))
    placed = f'<svg x="{WIDTH - EDGE - FIGURE}" y="{EDGE}" width="{FIGURE}" height="{FIGURE}" '
    return (
        f'<svg xmlns="{SVG}" width="{WIDTH}" height="{HEIGHT}" viewBox="0 0 {WIDTH} {HEIGHT}">'
        f"<title>{escape(title)}</title>"
        f'<rect width="{WIDTH}" height="{HEIGHT}" fill="{shades.ground}"/>'
        f"{''.join(drawn)}{figure.replace('<svg ', placed, 1)}</svg>"
    )


def _fitting(title: str, width: float) -> tuple[int, Sequence[str]]:
    """How high the letters of a title are and how it is broken; what is still too long is cut."""
    for height in TITLE_HEIGHTS:
        lines = in_lines(title, width, height)
        most = int((HEIGHT - 3 * EDGE - SMALL) / (LEADING * height))
        if longest(lines, height) <= width and len(lines) <= most:
            break
    return height, [each for each in lines[:most] if longest([each], height) <= width]


@lru_cache(maxsize=256)
def _written(lines: tuple[str, ...], top: float, height: int, shade: str) -> str:
    text = path_text(line_text([*lines], EDGE, top, height))
    return (
        f'<path d="{text}" fill="none" stroke="{shade}" stroke-width="{STROKE * height / 6:.3g}"'
        ' stroke-linecap="round" stroke-linejoin="round"/>'
    )
