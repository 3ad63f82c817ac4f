"""Faces as flat shapes: their corners, the edges they share, and the plane coordinates of their points.

Knows solids; knows nothing of views.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

from sitegen.figures.plane import Point
from sitegen.puzzles.geometry import EPSILON, Polygon, Vector, cross, dot, norm, scale, subtract, unit
from sitegen.puzzles.solids import NORMALS, face_polygon

UP: Vector = (0.0, 1.0, 0.0)
BACK: Vector = (0.0, 0.0, -1.0)


@cache
def _polygons(solid: str) -> tuple[tuple[Vector, Polygon], ...]:
    return tuple((normal, face_polygon(NORMALS[solid], i)) for i, normal in enumerate(NORMALS[solid]))


def corners(solid: str, towards: Vector) -> Polygon:
    """The corners of the face in a direction, anticlockwise seen from outside."""
    return max(_polygons(solid), key=lambda entry: dot(entry[0], towards))[1]


def on_face(point: Vector, towards: Vector) -> bool:
    return abs(dot(point, towards) - 1) < 100 * EPSILON


def shared_edge(solid: str, towards: Vector, other: Vector) -> tuple[Vector, Vector] | None:
    """The two ends of the edge between two faces, anticlockwise round the first; None where there is none."""
    polygon = corners(solid, towards)
    for i, corner in enumerate(polygon):
        if on_face(corner, other) and on_face(polygon[i - 1], other):
            return polygon[i - 1], corner
    return None


def plane_of(towards: Vector) -> Callable[[Vector], Point]:
    """Page coordinates of a face's points, seen straight on, as upright as it stands.

    A level face is drawn with the puzzle's front at the bottom.
    """
    above = subtract(UP, scale(towards, dot(UP, towards)))
    if norm(above) < 0.5:
        above = subtract(BACK, scale(towards, dot(BACK, towards)))
    y = unit(above)
    x = cross(y, towards)
    return lambda point: (dot(point, x), -dot(point, y))
