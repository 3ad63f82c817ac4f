"""An arrow along the stickers of a layer: which way the next turn takes it.

Knows the layer's band round the solid; knows nothing of notation.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from itertools import groupby
from math import cos, radians, sin

from sitegen.figures.camera import extent
from sitegen.figures.layout import Layout
from sitegen.figures.marks.ribbon import Look, nib, ribbon, shortened
from sitegen.figures.marks.ribbon import length as span
from sitegen.figures.page import Point, distance
from sitegen.figures.picture import Mark
from sitegen.figures.svg import Element, path, text
from sitegen.puzzles.geometry import EPSILON, Vector, add, cross, dot, scale, unit
from sitegen.puzzles.puzzle import Puzzle, Turn

LOOK = Look(thick=0.1, tail=0.6, head=0.5)
STEP = 4
"""Degrees between two points of the band."""
TORN = 40.0, 1.1
"""Two of them further apart on the page than so many units and stickers lie on panes that do not meet."""


def turning(layout: Layout, mark: Turn, _: Sequence[Mark]) -> list[Element]:
    full = layout.puzzle.full_turn
    amount = (mark.amount + (full - 1) // 2) % full - (full - 1) // 2
    run = _run(layout, mark.axis, mark.first, mark.last)
    if not amount or span(run) < 0.8 * nib(layout):
        return []
    spine = run if amount > 0 else run[::-1]
    spine = shortened(shortened(spine[::-1], 0.1 * span(spine))[::-1], 0.1 * span(spine))
    size = nib(layout)
    drawn = [path(ribbon(spine, size, LOOK), "turning")]
    return drawn + ([_count(spine, abs(amount), size)] if abs(amount) > 1 else [])


@cache
def _run(layout: Layout, axis: str, first: int, last: int) -> list[Point]:
    """The longest stretch in sight of the band round some layers, clockwise."""
    # Half an arrow on the puzzle and half in a mirror would read as two turns.
    seen = {face.name for face in layout.puzzle.faces if not layout.reflected(face.name)}
    points = band(layout.puzzle, axis, first, last)
    return longest(
        [layout.place(face, point) if face in seen else None for face, point in points],
        TORN[0] + TORN[1] * layout.unit,
    )


def _count(spine: Sequence[Point], times: int, size: float) -> Element:
    """How many of the smallest turns, written on the arrow."""
    x, y = spine[len(spine) // 3]
    return text(str(times), round(0.62 * size), [round(x)], [round(y + 0.22 * size)], class_="count")


def band(puzzle: Puzzle, name: str, first: int, last: int) -> list[tuple[str, Vector]]:
    """Points once round layers of an axis on the solid's surface, clockwise, with the faces they lie on."""
    axis = puzzle.axes[name]
    bounds = [extent(puzzle, axis), *puzzle.depths, -extent(puzzle, scale(axis, -1))]
    height = scale(axis, (bounds[first - 1] + bounds[last]) / 2)
    x = unit(cross(axis, (0, 0, 1) if abs(axis[2]) < 0.9 else (0, 1, 0)))
    y = cross(axis, x)
    angles = (radians(angle) for angle in range(0, 360, STEP))
    return [_surface(puzzle, height, add(scale(x, cos(a)), scale(y, -sin(a)))) for a in angles]


def _surface(puzzle: Puzzle, start: Vector, way: Vector) -> tuple[str, Vector]:
    """Where a ray from within the solid meets its surface."""
    far, face = min(
        ((1 - dot(face.towards, start)) / slope, face.name)
        for face in puzzle.faces
        if (slope := dot(face.towards, way)) > EPSILON
    )
    return face, add(start, scale(way, far))


def longest(points: Sequence[Point | None], torn: float) -> list[Point]:
    """The longest stretch of a closed line without a gap wider than `torn`."""
    breaks = [i for i, point in enumerate(points) if _broken(points[i - 1], point, torn)]
    # Where nothing breaks the line it is opened at its lowest point.
    first = breaks[0] if breaks else max(range(len(points)), key=lambda i: (points[i] or (0, 0))[1])
    turned = [*points[first:], *points[:first]]
    marks = {(i - first) % len(points) for i in breaks}
    numbers = [sum(m <= i for m in marks) for i in range(len(turned))]
    runs = [
        [point for _, point in group if point]
        for _, group in groupby(zip(numbers, turned, strict=True), key=lambda entry: entry[0])
    ]
    return max(runs, key=span)


def _broken(before: Point | None, point: Point | None, torn: float) -> bool:
    return before is None or point is None or distance(before, point) > torn
