"""Where the stickers of a piece meet, on the page: the middle of an edge's ridge, the tip of a corner.

Knows how a view shows faces; knows nothing of marks.
"""

from __future__ import annotations

from collections.abc import Sequence

from sitegen.figures.layout import Layout
from sitegen.figures.plane import Point, distance, middle
from sitegen.puzzles.geometry import Vector, contains, mean


def joint(layout: Layout, slots: Sequence[int]) -> Point | None:
    """Where the stickers in the slots of a place meet, or those in sight; None where none is.

    Where they are seen apart, as in a net, it is seen on the first of them; where they do not meet, it is the
    middle of that.
    """
    seen = layout.visible(slots)
    meeting = _meeting(layout, slots) or _meeting(layout, seen)
    if not seen or meeting is None:
        return layout.centres[seen[0]] if seen else None
    points = [_on(layout, slot, meeting) for slot in seen]
    together = all(distance(a, points[0]) < 0.5 * layout.unit for a in points)
    return middle(points) if together else points[0]


def _on(layout: Layout, slot: int, point: Vector) -> Point:
    """A point as it is seen on the face of a slot."""
    return layout.place(layout.puzzle.stickers[slot].face, point) or layout.centres[slot]


def _meeting(layout: Layout, slots: Sequence[int]) -> Vector | None:
    """The middle of what some stickers have in common, in space; None where that is nothing."""
    polygons = [layout.puzzle.stickers[slot].polygon for slot in slots]
    if len(polygons) < 2:
        return None
    shared = [point for point in polygons[0] if all(contains(other, point) for other in polygons[1:])]
    return mean(shared) if shared else None
