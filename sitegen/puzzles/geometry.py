"""Vectors, matrices, planes and convex polygons in space.

Everything else about a puzzle is computed from these; nothing here knows of puzzles.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import permutations
from math import cos, sin, sqrt

Vector = tuple[float, float, float]
Matrix = tuple[Vector, Vector, Vector]
"""Three rows."""
Polygon = tuple[Vector, ...]
"""Corners in order round the polygon."""
Plane = tuple[Vector, float]
"""All points x with normal · x = distance."""

EPSILON = 1e-7


def sure(value: float) -> float:
    """A number without what is lost in computing, which differs from machine to machine.

    Whatever is ordered, counted or rounded by is this: of what should be equal, none is the greater.
    """
    return round(value, 6)


def dot(a: Vector, b: Vector) -> float:
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def cross(a: Vector, b: Vector) -> Vector:
    return (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])


def add(a: Vector, b: Vector) -> Vector:
    return (a[0] + b[0], a[1] + b[1], a[2] + b[2])


def scale(a: Vector, by: float) -> Vector:
    return (a[0] * by, a[1] * by, a[2] * by)


def subtract(a: Vector, b: Vector) -> Vector:
    return (a[0] - b[0], a[1] - b[1], a[2] - b[2])


def norm(a: Vector) -> float:
    return sqrt(dot(a, a))


def unit(a: Vector) -> Vector:
    return scale(a, 1 / norm(a))


def mean(points: Sequence[Vector]) -> Vector:
    """The point in the middle of one or more."""
    x, y, z = map(sum, zip(*points, strict=True))
    return (x / len(points), y / len(points), z / len(points))


def apply(m: Matrix, a: Vector) -> Vector:
    return (dot(m[0], a), dot(m[1], a), dot(m[2], a))


def transpose(m: Matrix) -> Matrix:
    (a, b, c), (d, e, f), (g, h, i) = m
    return ((a, d, g), (b, e, h), (c, f, i))


def multiply(m: Matrix, n: Matrix) -> Matrix:
    """First n, then m."""
    a, b, c = transpose(n)
    return transpose((apply(m, a), apply(m, b), apply(m, c)))


def determinant(m: Matrix) -> float:
    return dot(m[0], cross(m[1], m[2]))


def rotation(axis: Vector, angle: float) -> Matrix:
    """Anticlockwise by `angle` radians for an eye that the unit `axis` points to (Rodrigues' formula)."""
    x, y, z = axis
    c, s = cos(angle), sin(angle)
    t = 1 - c
    return (
        (t * x * x + c, t * x * y - s * z, t * x * z + s * y),
        (t * x * y + s * z, t * y * y + c, t * y * z - s * x),
        (t * x * z - s * y, t * y * z + s * x, t * z * z + c),
    )


def clip(polygon: Polygon, plane: Plane) -> Polygon:
    """The part of a convex polygon on the side that the plane's normal points to, if any."""
    normal, distance = plane
    kept: list[Vector] = []
    heights = [dot(normal, point) - distance for point in polygon]
    for i, point in enumerate(polygon):
        before, height = heights[i - 1], heights[i]
        if min(before, height) < -EPSILON and max(before, height) > EPSILON:
            share = before / (before - height)
            kept.append(add(polygon[i - 1], scale(subtract(point, polygon[i - 1]), share)))
        if height >= -EPSILON:
            kept.append(point)
    return tuple(kept) if len(kept) > 2 and any(height > EPSILON for height in heights) else ()


def split(polygons: Iterable[Polygon], plane: Plane) -> list[Polygon]:
    """Every polygon cut in two where the plane passes through it."""
    normal, distance = plane
    other = (scale(normal, -1), -distance)
    return [part for polygon in polygons for side in (plane, other) if (part := clip(polygon, side))]


def symmetries(directions: Sequence[Vector]) -> list[Matrix]:
    """All rotations and reflections about the origin that map a set of unit vectors onto itself.

    Each is told by where it takes two of them, and whether it is a reflection.
    """
    a, *others = directions
    b = next(other for other in others if abs(dot(a, other)) < 1 - EPSILON)
    here, found = _frame(a, b), []
    for c, d in permutations(directions, 2):
        if abs(dot(a, b) - dot(c, d)) < EPSILON:
            x, y, z = _frame(c, d)
            for there in ((x, y, z), (x, y, scale(z, -1))):
                matrix = multiply(transpose(there), here)
                if all(contains(directions, apply(matrix, direction)) for direction in directions):
                    found.append(matrix)
    return found


def _frame(a: Vector, b: Vector) -> Matrix:
    """Three unit vectors at right angles: a, what b has at right angles to it, and the one that is left."""
    return (a, unit(subtract(b, scale(a, dot(a, b)))), unit(cross(a, b)))


def contains(points: Iterable[Vector], point: Vector) -> bool:
    """Whether a point is among others, as far as rounding lets it be told."""
    return any(norm(subtract(p, point)) < 1e-5 for p in points)
