"""A wave with a head at both ends: the two stickers of an edge change places.

Knows where the edge of the piece lies; knows nothing of why it is turned over.
"""

from __future__ import annotations

from math import pi, sin

from sitegen.figures.layout import Layout
from sitegen.figures.marks.arrow_shape import Look, nib, ribbon
from sitegen.figures.marks.joint import joint
from sitegen.figures.parts import Part, Path
from sitegen.figures.path_text import path_text
from sitegen.figures.picture import FlipMark
from sitegen.figures.plane import Point, between, distance, left, plus, towards

LOOK = Look(thick=0.066, tail=1.0, head=0.31, spacing=0.2, both_ends=True)
REACH = 0.64
"""Half the wave's length, in stickers."""
SWING = 0.18


def flip(layout: Layout, mark: FlipMark) -> list[Part]:
    seen = [slot for slot in mark.stickers if slot in layout.shapes]
    if not seen:
        return []
    size = nib(layout)
    centre, way = stance_of_flip(layout, mark)
    return [Path(path_text(ribbon(_wave(centre, way, size), size, LOOK)))]


def stance_of_flip(layout: Layout, mark: FlipMark) -> tuple[Point, Point]:
    """The middle of the wave and the way it runs: across the edge where both stickers lie side by side.

    One of them is in sight.
    """
    seen, size = [slot for slot in mark.stickers if slot in layout.shapes], nib(layout)
    a, b = (layout.centres[slot] for slot in (seen[0], seen[-1]))
    if 0 < distance(a, b) < 1.9 * size:
        return between(a, b), towards(a, b)
    slot = layout.visible(seen)[0]
    centre = layout.centres[slot]
    return centre, towards(centre, joint(layout, mark.stickers) or centre)


def _wave(centre: Point, way: Point, size: float) -> list[Point]:
    aside = left(way)
    shares = (i / 6 for i in range(-6, 7))
    return [plus(plus(centre, way, t * REACH * size), aside, -SWING * size * sin(pi * t)) for t in shares]
