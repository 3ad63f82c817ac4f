"""What figures promise of every puzzle that ships, in every view that it has."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator

import pytest

from sitegen.figures import plane as page
from sitegen.figures.camera import camera
from sitegen.figures.capitals import CAP_HEIGHT, HEIGHT, WIDTH
from sitegen.figures.draw import draw
from sitegen.figures.layout import Layout
from sitegen.figures.of_position import palette, picture
from sitegen.figures.picture import FlipMark, Mark, Picture, TwistMark
from sitegen.figures.plane import Point, Shape, apart, box
from sitegen.figures.views import available, layout
from sitegen.puzzles import catalogue
from sitegen.puzzles.puzzle import Puzzle, Turn

NAMES = catalogue.names()
VIEWS = [(name, view) for name in NAMES for view in available(catalogue.puzzle(name))]
EVERY_VIEW = pytest.mark.parametrize(("name", "view"), VIEWS)
SMALL = 480
"""Pixels: how wide a figure is on a page that has room for it."""


def solved(puzzle: Puzzle, *marks: Mark, copies: bool = False) -> Picture:
    colours = palette(puzzle, for_copies=copies)
    return picture(puzzle, puzzle.identity, colours, "A title", "What it shows.", marks=marks)


def stickers(plan: Layout) -> dict[int, Shape]:
    """Each sticker as it is drawn, with the line round it that rounds its corners."""
    return {slot: page.inset(shape, -plan.rounding) for slot, shape in plan.shapes.items()}


def beside(one: Shape, other: Shape) -> bool:
    """Whether the upright boxes round two shapes are apart, which is told fast."""
    (left, top), (right, bottom) = box(one)
    (other_left, other_top), (other_right, other_bottom) = box(other)
    return right < other_left or other_right < left or bottom < other_top or other_bottom < top


def within(shape: Shape, point: Point, room: float = 0.0) -> bool:
    """Whether a point lies in a convex shape that is so much larger on every side."""
    grown = page.inset(shape, -room) if room else shape
    return page.within(grown, point, point) is not None


# Stickers -------------------------------------------------------------------------------------------------


def test_every_puzzle_is_drawn_in_space_and_unfolded() -> None:
    assert {(name, view) for name in NAMES for view in ("corner", "net")} <= set(VIEWS)


@EVERY_VIEW
def test_no_two_stickers_overlap(name: str, view: str) -> None:
    shapes = list(stickers(layout(catalogue.puzzle(name), view)).values())
    near = [(a, b) for at, a in enumerate(shapes) for b in shapes[:at] if not beside(a, b)]
    assert all(apart(a, b) for a, b in near)


@EVERY_VIEW
def test_every_sticker_of_a_face_in_sight_is_in_the_figure(name: str, view: str) -> None:
    puzzle = catalogue.puzzle(name)
    plan = layout(puzzle, view)
    eye = camera(puzzle)
    seen = {
        "corner": {face.name for face in puzzle.faces if eye.sees(face.towards)},
        "top": {puzzle.faces[0].name},
    }.get(view, {face.name for face in puzzle.faces})
    assert {s.index for s in puzzle.stickers if s.face in seen} <= plan.shapes.keys()
    assert view == "top" or {puzzle.stickers[slot].face for slot in plan.shapes} == seen
    for shape in stickers(plan).values():
        (left, top), (right, bottom) = box(shape)
        assert left > 0
        assert top > 0
        assert right < plan.width
        assert bottom < plan.height


@EVERY_VIEW
def test_every_sticker_lies_on_the_body(name: str, view: str) -> None:
    plan = layout(catalogue.puzzle(name), view)
    for shape in stickers(plan).values():
        assert any(all(within(body, corner) for corner in shape) for body in plan.bodies)


@EVERY_VIEW
def test_every_figure_says_what_it_shows(name: str, view: str) -> None:
    root = ET.fromstring(draw(solved(catalogue.puzzle(name)), view))
    words = [(child.tag, child.text) for child in root][:2]
    assert words == [("title", "A title"), ("desc", "What it shows.")]


@pytest.mark.parametrize(("name", "front"), [("cube-7", "F"), ("megaminx", "F")])
def test_no_sticker_is_too_small_to_be_seen(name: str, front: str) -> None:
    """In the corner view at 480 pixels: the circle that fits in has a radius of 5 in front, else of 3."""
    puzzle = catalogue.puzzle(name)
    plan = layout(puzzle, "corner")
    for slot, shape in stickers(plan).items():
        least = 5 if puzzle.stickers[slot].face == front else 3
        assert page.inner_radius(shape) * SMALL / plan.width >= least, puzzle.stickers[slot].name


# Letters --------------------------------------------------------------------------------------------------


def lettered(figure: str) -> Iterator[tuple[str, Point, float]]:
    """Each word of letters, the middle of its base line, and its font size."""
    groups = [each for each in ET.fromstring(figure).iter("g") if "letters" in each.get("class", "")]
    for group in groups:
        for text in group.iter("text"):
            size = float(text.get("font-size") or group.get("font-size") or 0)
            places = list(zip(text.get("x", "").split(), text.get("y", "").split(), strict=True))
            words = text.text if len(places) > 1 else [text.text]
            for word, (x, y) in zip(words or "", places, strict=True):
                yield word or "", (float(x), float(y)), size


def capitals_box(word: str, base: Point, size: float) -> list[Point]:
    """The corners of the box that a word's capitals are drawn in, where they are lines; see `lettering`."""
    scale = CAP_HEIGHT * size / HEIGHT
    half = (1.5 * WIDTH * (len(word) - 1) + WIDTH) * scale / 2
    x, y = base
    return [(x + side * half, y - up * HEIGHT * scale) for side in (-1, 1) for up in (0, 1)]


@EVERY_VIEW
def test_the_letters_stay_within_their_stickers(name: str, view: str) -> None:
    puzzle = catalogue.puzzle(name)
    plan = layout(puzzle, view)
    shapes = stickers(plan)
    found = list(lettered(draw(solved(puzzle, copies=True), view)))
    assert len(found) == len(shapes)
    out = set()
    for word, base, size in found:
        at = min(plan.centres, key=lambda slot: page.distance(plan.centres[slot], base))
        assert word == puzzle.stickers[at].face.upper()
        if not all(within(shapes[at], corner) for corner in capitals_box(word, base, size)):
            out.add(puzzle.stickers[at].name)
    assert not out


# Marks ----------------------------------------------------------------------------------------------------


def drawn_marks(figure: str) -> str:
    found = re.search(r'<g class="marks".*?</g>', figure, re.DOTALL)
    return found[0] if found else ""


@EVERY_VIEW
def test_turned_pieces_and_the_next_turn_are_marked(name: str, view: str) -> None:
    puzzle = catalogue.puzzle(name)
    plan = layout(puzzle, view)
    marks: list[Mark] = []
    for piece in puzzle.pieces:
        if any(slot in plan.shapes for slot in piece.stickers):
            if len(piece.stickers) == 2:
                marks.append(FlipMark((piece.stickers[0], piece.stickers[1])))
            elif len(piece.stickers) > 2:
                many = len(piece.stickers)
                marks += [TwistMark(piece.stickers, 1, many), TwistMark(piece.stickers, many - 1, many)]
    assert marks
    for mark in marks:
        assert "<path" in drawn_marks(draw(solved(puzzle, mark), view)), mark
    turned = [drawn_marks(draw(solved(puzzle, Turn(axis, 1, 1, 1)), view)) for axis in puzzle.axes]
    assert any('class="turning"' in figure for figure in turned)


@EVERY_VIEW
def test_a_guarded_piece_is_outlined(name: str, view: str) -> None:
    puzzle = catalogue.puzzle(name)
    slot = next(iter(layout(puzzle, view).shapes))
    plain = solved(puzzle)
    for kind in ("outlined", "away", "disturbed"):
        guarded = Picture(**{**vars(plain), kind: frozenset([slot])})
        assert draw(guarded, view).count('class="guard"') == 1, kind
