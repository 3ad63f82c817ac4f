"""A puzzle in the middle of a turn, as pictures for a film: one for each moment, all of one size.

Draws as the script that turns puzzles on pages: layers between two cuts are convex, so that the further ones
are painted first. Knows stickers and the camera; knows nothing of files.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import chain
from math import inf, radians, sqrt

from sitegen.figures import plane as page
from sitegen.figures.camera import Camera, camera
from sitegen.figures.draw import SVG, usual_size
from sitegen.figures.layout import gapped
from sitegen.figures.of_position import Palette
from sitegen.figures.parts import BELOW, PUZZLE, Figure, Part, PartGroup, Path, Text
from sitegen.figures.path_text import path_text, polygon
from sitegen.figures.plane import Point, Shape
from sitegen.figures.self_contained import self_contained
from sitegen.figures.views import layout
from sitegen.puzzles.geometry import Polygon, Vector, clip, dot, multiply, norm, rotation, scale
from sitegen.puzzles.permutation import Permutation, compose, inverse
from sitegen.puzzles.puzzle import Puzzle, Turn
from sitegen.puzzles.solids import NORMALS, face_polygon, vertices

VIEW = "corner"
FLAT = 0.2
"""Sine of the angle under which a face is seen from its edge: its stickers have no round corners then."""
INSIDE, BROAD = 1.5, 0.75
"""A letter's height, at most, by the radius of the circle within its sticker; its breadth by its height."""


@dataclass(frozen=True)
class Moment:
    """A position, and how much is done of a turn that begins in it; no turn while nothing is turned."""

    position: Permutation
    turn: Turn | None = None
    share: float = 0.0


@dataclass(frozen=True)
class _Slab:
    """What lies between two heights along an axis, and whether it turns."""

    low: float
    high: float
    first: int
    last: int
    turns: bool


def moments(puzzle: Puzzle, start: Permutation, turns: Sequence[Turn], of_each: int) -> Iterator[Moment]:
    """The start, and of each turn so many moments, of which the last is its end."""
    yield Moment(start)
    position = start
    for turn in turns:
        for number in range(1, of_each):
            done = number / of_each
            # Slowly at both ends, as the script turns.
            yield Moment(position, turn, done * done * (3 - 2 * done))
        position = compose(position, puzzle.permutation(turn))
        yield Moment(position)


def frame_svg(puzzle: Puzzle, moment: Moment, colours: Palette, letters: bool, width: int, title: str) -> str:
    """A moment as an .svg file that stands alone, as high as wide; the palette has paints."""
    assert colours.paints is not None
    reach = reach_of(puzzle)
    eye = camera(puzzle)
    parts = [
        part
        for slab in _slabs(puzzle, moment.turn, eye)
        for part in _painted(puzzle, slab, moment, colours, letters, eye, reach)
    ]
    figure = Figure(PUZZLE, title, "", 2 * reach, 2 * reach, parts)
    return self_contained(figure, colours.paints, xmlns=SVG, width=width, height=width)


def reach_of(puzzle: Puzzle) -> int:
    """How far from the middle anything comes, however it is turned, in units of a figure."""
    plan, eye = layout(puzzle, VIEW), camera(puzzle)
    radius = max(map(norm, vertices(NORMALS[puzzle.solid])))
    return page.whole_number(plan.scale * eye.far * radius / sqrt(eye.far**2 - radius**2) + 2 * plan.rounding)


def _slabs(puzzle: Puzzle, turn: Turn | None, eye: Camera) -> list[_Slab]:
    """The parts that a turn divides a puzzle into, those further away first."""
    count = puzzle.layer_count
    if turn is None:
        return [_Slab(-inf, inf, 1, count, False)]
    heights = [inf, *puzzle.depths, -inf]
    ranges = [(1, turn.first - 1, False), (turn.first, turn.last, True), (turn.last + 1, count, False)]
    parts = [
        _Slab(heights[last], heights[first - 1], first, last, turns)
        for first, last, turns in ranges
        if first <= last
    ]
    at = dot(puzzle.axes[turn.axis], eye.eye)
    return sorted(parts, key=lambda part: max(part.low - at, at - part.high, 0.0), reverse=True)


def _painted(
    puzzle: Puzzle,
    slab: _Slab,
    moment: Moment,
    colours: Palette,
    letters: bool,
    eye: Camera,
    reach: int,
) -> Iterator[Part]:
    """What is painted of a slab, from the lowest up."""
    turn, plan = moment.turn, layout(puzzle, VIEW)
    if slab.turns and turn:
        angle = radians(-turn.amount * moment.share * puzzle.angle)
        eye = Camera(multiply(eye.rows, rotation(puzzle.axes[turn.axis], angle)), eye.far)

    def seen(point: Vector) -> Point:
        x, y = eye.project(point)
        return (x * plan.scale + reach, y * plan.scale + reach)

    axis = turn.axis if turn else ""
    yield Path(path_text(polygon(page.hull(map(seen, _outline(puzzle, slab, axis))))), "body")
    has = inverse(moment.position)
    shapes: dict[str, dict[int, Shape]] = {}
    slants = {face.name: _slant(face.towards, eye) for face in puzzle.faces}
    for sticker in puzzle.stickers:
        layer = puzzle.piece_at(sticker.index).layers[axis] if axis else 1
        if slants[sticker.face] > 0 and slab.first <= layer <= slab.last:
            flat = slants[sticker.face] < FLAT
            shape = tuple(map(seen, _corners(puzzle, sticker.index)))
            kind = f"{colours.stickers[has[sticker.index]]}{' flat' * flat}"
            inner = shape if flat else page.inset(shape, plan.rounding)
            shapes.setdefault(kind, {})[sticker.index] = inner
    paths = [
        Path(
            path_text(chain.from_iterable(map(polygon, each.values()))),
            kind.removesuffix(" flat"),
            0 if kind.endswith(" flat") else None,
        )
        for kind, each in shapes.items()
    ]
    yield PartGroup("stickers", paths, width=page.whole_number(2 * plan.rounding))
    if letters:
        every = {slot: shape for each in shapes.values() for slot, shape in each.items()}
        drawn = [_letter(puzzle.letters[has[slot]], shape, usual_size(plan)) for slot, shape in every.items()]
        yield PartGroup("letters shown", drawn, size=usual_size(plan))


def _letter(word: str, shape: Shape, usual: int) -> Text:
    x, y = page.middle(shape)
    size = min(usual, INSIDE * page.inner_radius(shape) / max(1.0, BROAD * len(word)))
    high = max(1, page.whole_number(size))
    return Text(word, (page.whole_number(x),), (page.whole_number(y + BELOW * high),), high)


def _slant(towards: Vector, eye: Camera) -> float:
    """The sine of the angle under which a face is seen; below zero from behind."""
    ahead = eye.far * dot(eye.rows[2], towards)
    return (ahead - 1) / sqrt(1 - 2 * ahead + eye.far**2)


@lru_cache(maxsize=4096)
def _corners(puzzle: Puzzle, slot: int) -> Polygon:
    return gapped(puzzle.stickers[slot].polygon)


def _outline(puzzle: Puzzle, slab: _Slab, axis: str) -> list[Vector]:
    """The corners of a slab: those of the faces where they lie in it, and where they are cut."""
    normals = NORMALS[puzzle.solid]
    found: list[Vector] = []
    for face in range(len(normals)):
        part = face_polygon(normals, face)
        if slab.low > -inf:
            part = clip(part, (puzzle.axes[axis], slab.low))
        if slab.high < inf and part:
            part = clip(part, (scale(puzzle.axes[axis], -1), -slab.high))
        found += part
    return found
