"""An arrow along the stickers of each layer that turns: which way the next turn takes it.

For layers that are out of sight an arrow with an open head beside the puzzle goes round as they do behind it.
Knows a layer's band round the solid; knows nothing of notation.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from itertools import accumulate, groupby
from math import cos, radians, sin

from sitegen.figures.camera import extent
from sitegen.figures.layout import Layout
from sitegen.figures.marks.arrow_shape import Look, along, cut_short, nib, number_mark, ribbon
from sitegen.figures.marks.arrow_shape import path_length as span
from sitegen.figures.parts import Part, Path
from sitegen.figures.path_text import path_text
from sitegen.figures.plane import Point, Shape, distance, inset, within
from sitegen.puzzles.geometry import EPSILON, Vector, add, cross, dot, scale, sure, unit
from sitegen.puzzles.puzzle import Puzzle, Turn

LOOK = Look(thick=0.1, tail=0.6, head=0.5)
BEHIND = replace(LOOK, hollow=True)
STEP = 4
"""Degrees between two points of the band."""
TORN = 40.0, 1.1
"""Two of them further apart on the page than so many units and stickers lie on panes that do not meet."""
HEIGHTS = (0.5, 0.4, 0.3, 0.2, 0.6, 0.7, 0.8, 0.9)
"""Where in its layer a band may run, from the lower side to the upper: in the middle if that can be seen."""
ENOUGH, LEAST = 1.0, 0.45
"""How long an arrow is that needs no other place, and how long it must be, in sizes of a mark."""
WIDER = [1 + i / 20 for i in range(24)]
"""How much wider than the solid a ring beside the puzzle may be."""


def turning(layout: Layout, mark: Turn) -> list[Part]:
    full = layout.puzzle.full_turn
    amount = (mark.amount + (full - 1) // 2) % full - (full - 1) // 2
    if not amount:
        return []
    layers = range(mark.first, mark.last + 1)
    seen = [(run, LOOK) for layer in layers for run in _runs(layout, mark.axis, layer)]
    hidden = [layer for layer in layers if not _runs(layout, mark.axis, layer)]
    beside = [(run, BEHIND) for layer in hidden[:1] if (run := _beside(layout, mark.axis, layer))]
    drawn = [_drawn(layout, run if amount > 0 else run[::-1], look) for run, look in seen + beside]
    first = (seen + beside)[:1] if abs(amount) > 1 else []
    return drawn + [_count(layout, run, abs(amount)) for run, _ in first]


def _drawn(layout: Layout, run: list[Point], look: Look) -> Part:
    off = 0.1 * span(run)
    spine = cut_short(cut_short(run[::-1], off)[::-1], off)
    return Path(path_text(ribbon(spine, min(nib(layout), span(spine)), look)), "turning")


def _count(layout: Layout, run: list[Point], times: int) -> Part:
    """How many of the smallest turns, written on the arrow."""
    return number_mark(times, along(run, 0.4 * span(run)), 0.62 * nib(layout))


@cache
def _runs(layout: Layout, axis: str, layer: int) -> list[list[Point]]:
    """The longest stretch in sight of a band round a layer, clockwise; where it is short all of them."""
    # Half an arrow on the puzzle and half in a mirror would read as two turns.
    seen = {face.name for face in layout.puzzle.faces if not layout.reflected(face.name)}
    torn = TORN[0] + TORN[1] * layout.unit
    best: list[list[Point]] = [[]]
    for share in HEIGHTS:
        points = band(layout.puzzle, axis, height(layout.puzzle, axis, layer, share))
        found = unbroken_runs(
            [layout.place(face, point) if face in seen else None for face, point in points], torn
        )
        best = max(best, found, key=lambda each: span(each[0]))
        if span(best[0]) >= ENOUGH * nib(layout):
            return best[:1]
    return [run for run in best if span(run) >= LEAST * nib(layout)]


def height(puzzle: Puzzle, name: str, layer: int, share: float) -> float:
    """How far along an axis a layer is, at a share of its thickness from its lower side."""
    axis = puzzle.axes[name]
    bounds = [extent(puzzle, axis), *puzzle.depths, -extent(puzzle, scale(axis, -1))]
    upper, lower = bounds[layer - 1], bounds[layer]
    return lower + share * (upper - lower)


@cache
def _beside(layout: Layout, axis: str, layer: int) -> list[Point]:
    """The longest stretch, clockwise, of a ring round a layer that is free on the page beside the puzzle."""
    if layout.project is None:
        return []
    towards = layout.puzzle.axes[axis]
    centre = scale(towards, height(layout.puzzle, axis, layer, 0.5))
    x, y = across(towards)
    free = 0.3 * nib(layout)
    bodies = [inset(body, -free) for body in layout.bodies]
    best: list[Point] = []
    for wider in WIDER:
        radius = wider * extent(layout.puzzle, x)
        ring = [
            layout.project(add(centre, add(scale(x, radius * cos(a)), scale(y, -radius * sin(a)))))
            for a in map(radians, range(0, 360, STEP))
        ]
        clear = [point if _free(layout, point, free, bodies) else None for point in ring]
        best = max(best, unbroken_runs(clear, layout.unit)[0], key=span)
        if span(best) >= 2 * nib(layout):
            break
    return best


def _free(layout: Layout, point: Point, room: float, bodies: Sequence[Shape]) -> bool:
    """Whether there is room about a point within the figure and outside of all bodies."""
    x, y = point
    inside = room < x < layout.width - room and room < y < layout.height - room
    return inside and not any(within(body, point, point) for body in bodies)


def band(puzzle: Puzzle, name: str, height: float) -> list[tuple[str, Vector]]:
    """Points once round the solid's surface, clockwise at a height of an axis, with the faces they lie on."""
    axis = puzzle.axes[name]
    x, y = across(axis)
    angles = (radians(angle) for angle in range(0, 360, STEP))
    start = scale(axis, height)
    return [_surface(puzzle, start, add(scale(x, cos(a)), scale(y, -sin(a)))) for a in angles]


def across(axis: Vector) -> tuple[Vector, Vector]:
    """Two directions square to an axis: anticlockwise from the first to the second, seen from outside."""
    x = unit(cross(axis, (0, 0, 1) if abs(axis[2]) < 0.9 else (0, 1, 0)))
    return x, cross(axis, x)


def _surface(puzzle: Puzzle, start: Vector, way: Vector) -> tuple[str, Vector]:
    """Where a ray from within the solid meets its surface."""
    met = [
        ((1 - dot(face.towards, start)) / slope, face.name)
        for face in puzzle.faces
        if (slope := dot(face.towards, way)) > EPSILON
    ]
    far, face = min(met, key=lambda entry: (sure(entry[0]), entry[1]))
    return face, add(start, scale(way, far))


def unbroken_runs(points: Sequence[Point | None], torn: float) -> list[list[Point]]:
    """The stretches of a closed line without a gap wider than `torn`, the longest first."""
    breaks = [i for i, point in enumerate(points) if _broken(points[i - 1], point, torn)]
    # Where nothing breaks the line it is opened at its lowest point.
    first = breaks[0] if breaks else max(range(len(points)), key=lambda i: sure((points[i] or (0, 0))[1]))
    turned = [*points[first:], *points[:first]]
    marks = {(i - first) % len(points) for i in breaks}
    numbers = accumulate(i in marks for i in range(len(turned)))
    runs = [
        [point for _, point in group if point]
        for _, group in groupby(zip(numbers, turned, strict=True), key=lambda entry: entry[0])
    ]
    return sorted(runs, key=span, reverse=True)


def _broken(before: Point | None, point: Point | None, torn: float) -> bool:
    return before is None or point is None or distance(before, point) > torn
