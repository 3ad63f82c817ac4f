"""What the text of a path promises: it draws what was meant, in no more letters than it needs."""

from __future__ import annotations

import re
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from reading_paths import HalfRound, Outline, Step, outlines

from sitegen.figures.path_text import Command, circle, line, path_text, polygon
from sitegen.figures.plane import Point

WHOLE = st.integers(-1200, 1200)
HALF = WHOLE.map(lambda twice: twice / 2)
POINT = st.tuples(WHOLE, WHOLE)
SHAPES = st.lists(st.lists(POINT, min_size=3, max_size=6, unique=True), min_size=1, max_size=4)


def drawn(*commands: Command) -> list[Outline]:
    return outlines(path_text(commands))


# By hand --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("corners", "text"),
    [
        # Each corner from the one before, the first of all from the origin.
        ([(3.2, -4.1), (10, 2), (10.4, 9.8), (-105, 70)], "m3-4 7 6v8l-115 60z"),
        # From far away to the edge of the page it is shorter to say where than how far.
        ([(900, 900), (5, 7), (905, 6)], "m900 900L5 7l900-1z"),
        ([(900, 100), (5, 100), (5, 900)], "m900 100H5v800z"),
    ],
)
def test_an_outline_is_written_from_corner_to_corner(corners: list[Point], text: str) -> None:
    assert path_text(polygon(corners)) == text


def test_what_follows_begins_where_the_outline_before_it_began() -> None:
    squares = [polygon([(x, 50), (x + 9, 50), (x + 9, 59), (x, 59)]) for x in (100, 110)]
    assert path_text(command for square in squares for command in square) == "m100 50h9v9h-9zm10 0h9v9h-9z"
    # One that is written by itself, when it is known where the pen is.
    assert path_text(squares[1], (100, 50)) == "m10 0h9v9h-9z"


def test_a_smooth_curve_goes_on_without_its_controls() -> None:
    smooth = path_text([("M", ((0, 0),)), ("Q", ((10, 0), (20, 5))), ("Q", ((30, 10), (30, 20.5)))])
    assert smooth == "m0 0q10 0 20 5t10 15.5"
    corner = path_text([("M", ((0, 0),)), ("Q", ((10, 0), (20, 5))), ("Q", ((30, 11), (30, 20.5)))])
    assert corner == "m0 0q10 0 20 5 10 6 10 15.5"


def test_halves_have_no_zero_before_their_point() -> None:
    assert path_text([("M", ((0, 0),)), ("L", ((0.5, -0.5),)), ("L", ((11, 10),))]) == "m0 0 .5-.5L11 10"


def test_a_stroke_of_no_length_is_still_a_stroke() -> None:
    # With round ends it is seen as a dot.
    assert path_text(line([(5, 6), (5, 6)])) == "m5 6h0"


# Whatever is drawn ----------------------------------------------------------------------------------------


@given(SHAPES)
def test_outlines_are_read_back_as_they_were_meant(shapes: list[list[Point]]) -> None:
    found = drawn(*(command for corners in shapes for command in polygon(corners)))
    assert [outline.corners for outline in found] == [tuple(corners) for corners in shapes]
    assert all(outline.closed for outline in found)


@given(SHAPES)
def test_lines_are_read_back_as_they_were_meant(shapes: list[list[Point]]) -> None:
    found = drawn(*(command for corners in shapes for command in line(corners)))
    assert [outline.corners for outline in found] == [tuple(corners) for corners in shapes]
    assert not any(outline.closed for outline in found)


@given(POINT, st.lists(st.tuples(POINT, POINT, st.booleans()), min_size=1, max_size=8))
def test_curves_are_read_back_as_they_were_meant(
    start: Point, curves: list[tuple[Point, Point, bool]]
) -> None:
    commands: list[Command] = [("M", (start,))]
    wanted: list[Step] = []
    for control, end, smooth in curves:
        if smooth and wanted:
            # The next control in line with the last one and the joint, as those of ribbons are.
            (before, joint), at = wanted[-1], commands[-1][1][-1]
            control = (2 * joint[0] - before[0], 2 * joint[1] - before[1])
            assert at == joint
        commands.append(("Q", (control, end)))
        wanted.append((control, end))
    (found,) = drawn(*commands)
    assert (found.start, found.steps) == (start, wanted)


@given(st.lists(st.tuples(HALF, HALF), min_size=2, max_size=12))
def test_halves_are_read_back_as_they_were_meant(points: list[Point]) -> None:
    first, *others = points
    (found,) = drawn(("M", (first,)), *(("L", (point,)) for point in others))
    assert found.corners == tuple(points)


@given(POINT, st.integers(1, 99), st.booleans(), POINT)
def test_a_circle_is_two_halves_of_a_round_about_its_middle(
    centre: Point, radius: int, clockwise: bool, corner: Point
) -> None:
    (x, y), (ox, oy) = centre, corner
    beside = polygon([corner, (ox + 3, oy), (ox, oy + 3)])
    _, found, after = drawn(*beside, *circle(centre, radius, clockwise), *beside)
    halves = [HalfRound(radius, clockwise, (x + radius, y)), HalfRound(radius, clockwise, (x - radius, y))]
    assert (found.start, found.steps, found.closed) == ((x - radius, y), halves, True)
    assert after.corners[0] == corner


@given(SHAPES)
def test_no_simpler_way_to_write_outlines_is_shorter(shapes: list[list[Point]]) -> None:
    """All in absolute numbers, or all in relative ones but for the first, as they are often written."""

    def numbers(points: list[Point]) -> str:
        return " ".join(str(n) for point in points for n in point).replace(" -", "-")

    absolute = "".join(f"M{numbers(corners)}z" for corners in shapes)
    steps = [[(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(c)] for c in shapes]
    relative = "".join(f"M{numbers(c[:1])}l{numbers(step)}z" for c, step in zip(shapes, steps, strict=True))
    text = path_text(command for corners in shapes for command in polygon(corners))
    assert len(text) <= min(len(absolute), len(relative))


@given(SHAPES)
def test_nothing_is_parted_by_more_than_it_needs(shapes: list[list[Point]]) -> None:
    text = path_text(command for corners in shapes for command in polygon(corners))
    assert not re.search(r" -|  |[a-zA-Z] | [a-zA-Z]|-0\b|,", text)
