"""What patterns promise: a copy in grey tells colours apart, and they stay where they belong."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import combinations
from math import hypot, sqrt
from operator import mul
from xml.etree import ElementTree

import pytest
from contrast import contrast
from playwright.sync_api import Browser
from reading_paths import outlines
from sample_pictures import busy, solved
from sample_rendering import CHROMIUM, needs, on_screen

from sitegen.figures.draw import draw
from sitegen.figures.path_text import path_text
from sitegen.figures.patterns import PATTERNS, pale, strokes, width
from sitegen.figures.picture import Picture
from sitegen.figures.plane import Point, Shape, within
from sitegen.figures.style import COLOURS, LIGHT, css
from sitegen.figures.views import VIEWS, layout
from sitegen.puzzles import catalogue
from sitegen.puzzles.build import build
from sitegen.puzzles.definition import Definition, FaceDefinition
from sitegen.puzzles.puzzle import Puzzle
from sitegen.puzzles.solids import NORMALS

SQUARE: Shape = ((0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0))


def ends(text: str) -> list[tuple[Point, Point]]:
    """Both ends of each stroke; nothing but strokes on whole numbers may be written."""
    found = []
    for stroke in outlines(text):
        start, end = stroke.corners
        assert not stroke.closed
        assert all(n == round(n) for n in (*start, *end))
        found.append((start, end))
    return found


def drawn(shape: Shape, unit: float, colour: str) -> list[tuple[Point, Point]]:
    return ends(path_text(strokes(shape, unit, colour)))


def depth(shape: Shape, point: Point) -> float:
    """How far a point is within a convex shape: the least distance from the line through a side."""
    heights = []
    for i, (x, y) in enumerate(shape):
        bx, by = shape[i - 1]
        heights.append(((x - bx) * (point[1] - by) - (y - by) * (point[0] - bx)) / hypot(x - bx, y - by))
    turning = sum(shape[i - 1][0] * y - shape[i - 1][1] * x for i, (x, y) in enumerate(shape))
    return min(heights) if turning > 0 else min(-height for height in heights)


def twelve() -> Puzzle:
    """A dodecahedron cut below each face, which has all twelve colours."""
    faces = tuple(
        FaceDefinition(name, towards, colour)
        for name, towards, colour in zip("FRUDLBACEGHI", NORMALS["dodecahedron"], COLOURS, strict=True)
    )
    axes = {face.name: face.towards for face in faces}
    return build(Definition("twelve colours", "dodecahedron", faces, axes, (0.7,), 72, ""))


def hatches(figure: str) -> list[ElementTree.Element]:
    return [
        path
        for group in ElementTree.fromstring(figure).iter("g")
        if group.get("class") == "hatches"
        for path in group
    ]


def test_the_part_of_a_line_within_a_shape() -> None:
    # Drawn by hand: a square, whichever way round its corners are named.
    for shape in (SQUARE, SQUARE[::-1]):
        assert within(shape, (-50, 40), (150, 40)) == ((0, 40), (100, 40))
        assert within(shape, (30, 50), (30, 250)) == ((30, 50), (30, 100))
        assert within(shape, (-50, 0), (50, 100)) == ((0, 50), (50, 100))
        assert within(shape, (10, 10), (20, 20)) == ((10, 10), (20, 20))
        assert within(shape, (-60, 50), (50, 160)) is None, "past a corner"
        assert within(shape, (0, 101), (100, 101)) is None
        assert within(shape, (50, 50), (50, 50)) == ((50, 50), (50, 50))


def test_every_colour_has_a_pattern_and_no_two_are_alike() -> None:
    assert PATTERNS.keys() == COLOURS.keys()
    strokes_of = {colour: frozenset(drawn(SQUARE, 110, colour)) for colour in COLOURS}
    assert not strokes_of.pop("white")
    assert all(strokes_of.values())
    assert len(set(strokes_of.values())) == len(strokes_of)


def test_stickers_of_one_colour_look_alike_wherever_they_are() -> None:
    moved = tuple((x + 318, y + 42) for x, y in SQUARE)
    for colour in COLOURS:
        here, there = (drawn(shape, 110, colour) for shape in (SQUARE, moved))
        assert [tuple((x + 318, y + 42) for x, y in stroke) for stroke in here] == there


@pytest.mark.parametrize("name", ["cube-2", "cube-3", "cube-7"])
@pytest.mark.parametrize("view", VIEWS)
def test_strokes_stay_within_their_sticker_and_off_its_border(name: str, view: str) -> None:
    plan = layout(catalogue.puzzle(name), view)
    for colour, pattern in PATTERNS.items():
        half = pattern.weight * width(plan.unit) / 2
        for shape in plan.shapes.values():
            for point in (point for stroke in drawn(shape, plan.unit, colour) for point in stroke):
                # A sticker reaches beyond its core by its rounding; a whole number is 0.71 off at most.
                deep = depth(shape, point)
                assert deep + plan.rounding > half
                assert deep > -0.71


def test_a_stroke_s_ink_stands_out_from_its_colour() -> None:
    assert pale("blue")
    assert not pale("yellow")
    for colour in COLOURS.keys() - {"white"}:
        # WCAG 2.2, 1.4.11: at least 3 to 1.
        ink = LIGHT["figure-hatch-pale" if pale(colour) else "figure-hatch"]
        assert contrast(COLOURS[colour], ink) >= 3


@pytest.mark.parametrize("colour", COLOURS)
def test_of_both_inks_the_one_is_taken_that_stands_out_more(colour: str) -> None:
    # WCAG 2.2: contrast ratio.
    light, dark = (contrast(COLOURS[colour], LIGHT[of]) for of in ("figure-hatch-pale", "figure-hatch"))
    assert pale(colour) == (light > dark)


def test_colours_are_hatched_as_engravers_of_arms_do() -> None:
    """Azure level, gules upright, vert falling to the right, purpure rising, or dotted (from memory).

    So have engravers done since the 17th century, after S. Petra Sancta.
    """

    def ways(colour: str) -> set[tuple[bool, bool, bool]]:
        found = [(b[0] - a[0], b[1] - a[1]) for a, b in drawn(SQUARE, 110, colour)]
        return {(dx != 0, dy != 0, dx * dy > 0) for dx, dy in found}  # y grows downwards

    assert ways("blue") == {(True, False, False)}
    assert ways("red") == {(False, True, False)}
    assert ways("green") == {(True, True, True)}
    assert ways("purple") == {(True, True, False)}
    assert ways("yellow") == {(False, False, False)}
    assert ways("white") == set()


@pytest.mark.parametrize("colour", [each for each in COLOURS if each != "white"])
def test_a_pattern_covers_all_of_a_sticker(colour: str) -> None:
    """Strokes are centred on it and reach near to every side, by a pitch of the widest pattern at most."""
    shape: Shape = tuple((4 * x, 4 * y) for x, y in SQUARE)
    points = [point for stroke in drawn(shape, 440, colour) for point in stroke]
    for along in zip(*points, strict=True):
        assert sum(along) / len(along) == pytest.approx(200, abs=2)
        assert min(along) < 0.22 * 440
        assert max(along) > 400 - 0.22 * 440


def test_a_figure_has_one_path_for_each_colour_that_is_not_plain(cube3: Puzzle) -> None:
    found = hatches(draw(solved(cube3, patterned=True), "net"))
    assert len(found) == 5, "of a cube's six colours white is plain"
    assert sorted(path.get("class", "") for path in found) == ["hatch"] * 3 + ["hatch pale"] * 2


def test_without_patterns_a_figure_is_the_same_but_for_the_strokes(cube3: Puzzle) -> None:
    plain, patterned = (draw(solved(cube3, patterned=on), "corner") for on in (False, True))
    assert "hatch" not in plain
    assert re.sub(r'<g class="hatches".*?</g>', "", patterned) == plain != patterned


def test_strokes_lie_on_the_stickers_and_below_all_else(cube3: Puzzle) -> None:
    picture = solved(cube3, patterned=True, outlined=frozenset({cube3.slots["FU"]}), marks=busy(cube3).marks)
    classes = [child.get("class") for child in ElementTree.fromstring(draw(picture, "net"))]
    assert classes == [
        None,
        None,
        "body",
        "stickers",
        "hatches",
        "guard under",
        "guard",
        "marks",
        "letters",
        "marks",
    ]


def test_muted_stickers_have_no_strokes(cube3: Puzzle) -> None:
    everything = frozenset(range(54))
    assert not hatches(draw(solved(cube3, patterned=True, muted=everything), "net"))
    shown = cube3.slots["FU"]
    (path,) = hatches(draw(solved(cube3, patterned=True, muted=everything - {shown}), "net"))
    shape = layout(cube3, "net").shapes[shown]
    assert all(depth(shape, point) > 0 for stroke in ends(path.get("d", "")) for point in stroke)


@pytest.mark.parametrize(("kind", "share"), [("outlined", 0.2), ("away", 0.2), ("disturbed", 0.12)])
def test_the_groove_of_a_guarded_sticker_is_clear_of_strokes(cube3: Puzzle, kind: str, share: float) -> None:
    slot = cube3.slots["FU"]
    others = frozenset(range(54)) - {slot}
    picture = solved(cube3, patterned=True, muted=others, **{kind: frozenset({slot})})
    (path,) = hatches(draw(picture, "corner"))
    plan = layout(cube3, "corner")
    shape = plan.shapes[slot]
    # The share of the way to the middle at which a groove's line runs, 8 wide; 0.71 is lost to rounding.
    line = share * depth(shape, plan.centres[slot]) + 4
    for point in (point for stroke in ends(path.get("d", "")) for point in stroke):
        assert depth(shape, point) > line + width(plan.unit) / 2 - 0.71


@pytest.mark.parametrize("view", VIEWS)
def test_a_patterned_figure_has_no_ids(cube3: Puzzle, view: str) -> None:
    figure = draw(solved(cube3, patterned=True), view)
    assert hatches(figure)
    assert not any("id" in element.attrib for element in ElementTree.fromstring(figure).iter())


FINE = 2
"""Pixels for a unit of a figure."""


def middles(browser: Browser, picture: Picture, share: float) -> dict[int, bytes]:
    """The middle of each sticker of a net in grey; `share` is half its width, in stickers."""
    plan = layout(picture.puzzle, "net")
    grey = on_screen(browser, draw(picture, "net"), css(), FINE * plan.width)
    reach = round(FINE * share * plan.unit)
    return {
        slot: grey.crop(x - reach, y - reach, x + reach, y + reach)
        for slot, (x, y) in (
            (slot, (round(FINE * x), round(FINE * y))) for slot, (x, y) in plan.centres.items()
        )
    }


def swing(crop: bytes) -> float:
    """The standard deviation of lightness, which is from 0 to 255."""
    mean = sum(crop) / len(crop)
    return sqrt(sum((value - mean) ** 2 for value in crop) / len(crop))


def normal(crop: bytes) -> list[float]:
    """Lightness with its mean and its swing taken away, so that nothing but the pattern is left."""
    mean, size = sum(crop) / len(crop), swing(crop) * sqrt(len(crop))
    return [(value - mean) / size for value in crop]


def told(browser: Browser, puzzle: Puzzle, share: float) -> tuple[dict[int, list[float]], tuple[str, ...]]:
    """The pattern of each sticker that is not plain, once it is seen that white ones, and no others, are."""
    picture = replace(solved(puzzle, patterned=True), letters=())
    crops = middles(browser, picture, share)
    plain = {slot for slot, crop in crops.items() if swing(crop) < 5}
    assert plain == {slot for slot in crops if picture.colours[slot] == "white"}
    return {slot: normal(crop) for slot, crop in crops.items() if slot not in plain}, picture.colours


def alike(one: list[float], other: list[float]) -> float:
    """The correlation of two patterns."""
    return sum(map(mul, one, other))


@needs(chromium=CHROMIUM)
def test_in_grey_and_without_letters_the_patterns_of_a_cube_tell_its_colours(
    browser: Browser, cube3: Puzzle
) -> None:
    patterns, colours = told(browser, cube3, 0.33)
    for a, b in combinations(patterns, 2):
        # Measured: 0.92 at least in one colour, 0.26 at most in two.
        correlation = alike(patterns[a], patterns[b])
        assert correlation > 0.8 if colours[a] == colours[b] else abs(correlation) < 0.4


@needs(chromium=CHROMIUM)
def test_in_grey_a_sticker_s_pattern_is_most_like_those_of_its_own_of_twelve_colours(
    browser: Browser,
) -> None:
    # Here stickers of one colour differ in shape, so that rims differ; a reader compares, and so does this.
    patterns, colours = told(browser, twelve(), 0.25)
    for slot, pattern in patterns.items():
        likeness: dict[str, list[float]] = {}
        for other in patterns.keys() - {slot}:
            likeness.setdefault(colours[other], []).append(alike(pattern, patterns[other]))
        means = {colour: abs(sum(values) / len(values)) for colour, values in likeness.items()}
        assert max(means, key=means.__getitem__) == colours[slot]
        # Measured: 0.56 at least with its own colour.
        assert means[colours[slot]] > 0.5


@needs(chromium=CHROMIUM)
def test_a_grey_copy_shows_hatched_stickers_alike_in_one_colour_and_unlike_in_two(
    browser: Browser, cube3: Puzzle
) -> None:
    picture = replace(solved(cube3, patterned=True), letters=())
    crops = middles(browser, picture, 0.33)
    for a, b in combinations(crops, 2):
        # Of 255 steps of grey; measured: 4 at most in one colour, 70 at least in two.
        apart = sum(abs(x - y) for x, y in zip(crops[a], crops[b], strict=True)) / len(crops[a])
        assert apart < 20 if picture.colours[a] == picture.colours[b] else apart > 40
