"""What the colours of figures promise: a grey copy, a dark page and paper can be read like the screen."""

from __future__ import annotations

from itertools import pairwise

import pytest

from sitegen.figures.style import COLOURS, LIGHT, PRINT, css

MAIN = ("white", "yellow", "orange", "green", "red", "blue")
"""The colours of the cubes that ship."""


def channels(shade: str) -> tuple[int, int, int]:
    return int(shade[1:3], 16), int(shade[3:5], 16), int(shade[5:7], 16)


def luma(shade: str) -> float:
    """How light a grey copy is, from 0 to 255: ITU-R Rec. 601."""
    red, green, blue = channels(shade)
    return 0.299 * red + 0.587 * green + 0.114 * blue


def contrast(one: str, other: str) -> float:
    """WCAG 2.2: contrast ratio by relative luminance."""

    def linear(value: int) -> float:
        v = value / 255
        return v / 12.92 if v <= 0.04045 else ((v + 0.055) / 1.055) ** 2.4

    lights = []
    for shade in (one, other):
        red, green, blue = map(linear, channels(shade))
        lights.append(0.2126 * red + 0.7152 * green + 0.0722 * blue + 0.05)
    return max(lights) / min(lights)


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


def test_what_is_out_of_focus_is_light_on_paper_with_a_line_that_can_be_seen() -> None:
    assert luma(PRINT["figure-muted"]) > 220
    assert contrast(PRINT["figure-muted"], PRINT["figure-muted-line"]) >= 3
    assert f"--figure-muted:{PRINT['figure-muted']}" in css().partition("@media print")[2]
