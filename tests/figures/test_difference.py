"""How far shades are apart: Oklab as CSS Color Module Level 4 defines it, and the shades that ship."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations
from math import cbrt

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tinycss2.color4 import parse_color

from sitegen.figures.difference import LEAST, difference, oklab
from sitegen.figures.of_position import faces_coloured
from sitegen.figures.style import COLOURS
from sitegen.puzzles import catalogue
from sitegen.puzzles.puzzle import Puzzle

SHADE = st.from_regex(r"#[0-9a-f]{6}", fullmatch=True)
LINEAR_TO_XYZ = (
    (506752 / 1228815, 87881 / 245763, 12673 / 70218),
    (87098 / 409605, 175762 / 245763, 12673 / 175545),
    (7918 / 409605, 87881 / 737289, 1001167 / 1053270),
)
"""CSS Color Module Level 4, section 19, sample code (from memory)."""


def xyz_of(shade: str) -> list[float]:
    channels = [int(shade[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    light = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return [sum(a * b for a, b in zip(row, light, strict=True)) for row in LINEAR_TO_XYZ]


@given(SHADE)
def test_a_shade_in_oklab_is_the_same_light_to_a_css_library(shade: str) -> None:
    light, a, b = oklab(shade)
    found = parse_color(f"oklab({light:.9f} {a:.9f} {b:.9f})").to("xyz-d65")
    assert list(found.coordinates) == pytest.approx(xyz_of(shade), abs=2e-4)


def test_red_is_where_the_standard_has_it() -> None:
    """CSS Color Module Level 4 gives #ff0000 as oklab(0.62796 0.22486 0.12585) (from memory)."""
    assert oklab("#ff0000") == pytest.approx((0.62796, 0.22486, 0.12585), abs=5e-5)


@pytest.mark.parametrize("value", [0, 1, 5, 10, 11, 128, 255])
def test_a_grey_is_as_light_as_the_cube_root_of_its_light(value: int) -> None:
    # IEC 61966-2-1: up to 0.04045, which is 10 of 255, light grows with the channel by 1 / 12.92.
    channel = value / 255
    light = channel / 12.92 if value <= 10 else ((channel + 0.055) / 1.055) ** 2.4
    assert oklab("#" + 3 * f"{value:02x}") == pytest.approx((cbrt(light), 0, 0), abs=1e-6)


@given(SHADE, SHADE, SHADE)
def test_it_is_a_distance(one: str, other: str, third: str) -> None:
    assert difference(one, one) == 0
    assert difference(one, other) == pytest.approx(difference(other, one))
    assert difference(one, third) <= difference(one, other) + difference(other, third) + 1e-9


def test_all_shades_that_ship_are_twice_as_far_apart_as_they_must_be() -> None:
    assert min(difference(*pair) for pair in combinations(COLOURS.values(), 2)) > 2 * LEAST


@pytest.mark.parametrize(
    ("one", "other", "alike"),
    [
        ("#ffffff", "#fbfaf4", True),  # two whites
        ("#ff0000", "#fa0505", True),
        ("#b02030", "#d03a42", False),  # a dark red and a light one
        ("#ff0000", "#ff8000", False),
        ("#ffff00", "#ffffff", False),
    ],
)
def test_shades_by_eye(one: str, other: str, alike: bool) -> None:
    assert (difference(one, other) < LEAST) == alike


# How colours look to whoever lacks one kind of cone: matrices on linear sRGB at severity 1.0, from
# G. M. Machado, M. M. Oliveira and L. A. F. Fernandes, A Physiologically-based Model for Simulation of Color
# Vision Deficiency, IEEE Transactions on Visualization and Computer Graphics 15 (2009), table 1; the numbers
# are from memory.
LACKING = {
    "red": (
        (0.152286, 1.052583, -0.204868),
        (0.114503, 0.786281, 0.099216),
        (-0.003882, -0.048116, 1.051998),
    ),
    "green": (
        (0.367322, 0.860646, -0.227968),
        (0.280085, 0.672501, 0.047413),
        (-0.011820, 0.042940, 0.968881),
    ),
    "blue": (
        (1.255528, -0.076749, -0.178779),
        (-0.078411, 0.930809, 0.147602),
        (0.004733, 0.691367, 0.303900),
    ),
}
ON_CUBES = ("white", "yellow", "orange", "green", "red", "blue")


def as_seen(shade: str, rows: Sequence[Sequence[float]]) -> str:
    """The shade that looks to others as this one looks to whoever lacks a kind of cone."""
    parts = [int(shade[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    light = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    seen = [min(1.0, max(0.0, sum(a * b for a, b in zip(row, light, strict=True)))) for row in rows]
    coded = [12.92 * s if s <= 0.0031308 else 1.055 * s ** (1 / 2.4) - 0.055 for s in seen]
    return "#" + "".join(f"{round(255 * c):02x}" for c in coded)


@pytest.mark.parametrize("cones", LACKING)
def test_the_colours_of_cubes_stay_apart_for_whoever_lacks_a_kind_of_cone(cones: str) -> None:
    """Twice as far as shades must be that ship: none of the six is then taken for another."""
    seen = [as_seen(COLOURS[name], LACKING[cones]) for name in ON_CUBES]
    assert min(difference(*pair) for pair in combinations(seen, 2)) > 2 * LEAST


def of_faces_that_meet(puzzle: Puzzle) -> set[tuple[str, str]]:
    """The colours of faces on which one piece lies."""
    faces = faces_coloured(puzzle, {})
    of_pieces = [{faces[puzzle.stickers[slot].face] for slot in piece.stickers} for piece in puzzle.pieces]
    return {pair for colours in of_pieces for pair in combinations(sorted(colours), 2)}


@pytest.mark.parametrize("name", catalogue.names())
def test_colours_of_faces_that_meet_stay_apart_whatever_is_lacking(name: str) -> None:
    pairs = of_faces_that_meet(catalogue.puzzle(name))
    assert pairs
    for one, other in pairs:
        shades = COLOURS[one], COLOURS[other]
        apart = min(difference(*(as_seen(shade, rows) for shade in shades)) for rows in LACKING.values())
        assert apart > 1.85 * LEAST, (one, other)
        light = [oklab(shade)[0] for shade in shades]
        assert abs(light[0] - light[1]) > 0.9 * LEAST, (one, other)
