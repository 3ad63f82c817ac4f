"""Points and polygons on the page, whose x axis points right and y axis down.

Knows plane geometry; knows nothing of puzzles or drawings.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import hypot, sqrt

from sitegen.puzzles.geometry import sure

Point = tuple[float, float]
Shape = tuple[Point, ...]
"""Corners in order round a convex polygon."""


def whole_number(value: float) -> int:
    """The nearest whole number, on every machine the same."""
    return round(sure(value))


def plus(a: Point, b: Point, by: float = 1.0) -> Point:
    """The point `a`, moved `by` times the vector `b`."""
    return (a[0] + by * b[0], a[1] + by * b[1])


def minus(a: Point, b: Point) -> Point:
    """The vector from `b` to `a`."""
    return (a[0] - b[0], a[1] - b[1])


def between(a: Point, b: Point, share: float = 0.5) -> Point:
    """The point at a share of the way from `a` (0) to `b` (1)."""
    return (a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]))


def distance(a: Point, b: Point) -> float:
    """From one point to the other, in the unit of both."""
    return hypot(b[0] - a[0], b[1] - a[1])


def towards(a: Point, b: Point) -> Point:
    """The unit vector from a to b; to the right where they are one point."""
    span = distance(a, b)
    return ((b[0] - a[0]) / span, (b[1] - a[1]) / span) if span > 1e-9 else (1.0, 0.0)


def left(a: Point) -> Point:
    """A vector turned a quarter anticlockwise, as the reader sees it."""
    return (a[1], -a[0])


def middle(points: Sequence[Point]) -> Point:
    """The mean of some points, one at least."""
    return (sum(x for x, _ in points) / len(points), sum(y for _, y in points) / len(points))


def area(shape: Shape) -> float:
    """In the unit of its corners, squared; never negative, whichever way round they are named."""
    return abs(sum(a[0] * b[1] - a[1] * b[0] for a, b in _sides(shape))) / 2


def inner_radius(shape: Shape) -> float:
    """How far the middle of a shape is from its nearest side."""
    at = middle(shape)
    return min(abs(_above(a, b, at)) / (distance(a, b) or 1) for a, b in _sides(shape))


def inset(shape: Shape, by: float) -> Shape:
    """Every side moved inwards by one distance."""
    return tuple(
        _mitre(shape[i - 1], corner, shape[(i + 1) % len(shape)], by) for i, corner in enumerate(shape)
    )


def _mitre(before: Point, corner: Point, after: Point, by: float) -> Point:
    # With u and v the unit vectors along two sides, corner + t(u + v) is t sin(u, v) away from both.
    u, v = towards(corner, before), towards(corner, after)
    sine = abs(u[0] * v[1] - u[1] * v[0])
    return plus(corner, plus(u, v), by / sine) if sine > 1e-6 else corner


def within(shape: Shape, a: Point, b: Point) -> tuple[Point, Point] | None:
    """The part of the line from a to b that lies in a convex shape; None where there is none."""
    at = middle(shape)
    first, last = 0.0, 1.0
    for c, d in _sides(shape):
        side = 1.0 if _above(c, d, at) > 0 else -1.0
        start, end = side * _above(c, d, a), side * _above(c, d, b)
        if start < 0 and end < 0:
            return None
        # The height over a side is linear along the line, so that it is nothing at this share of the way.
        if start < 0:
            first = max(first, start / (start - end))
        elif end < 0:
            last = min(last, start / (start - end))
    return (between(a, b, first), between(a, b, last)) if first <= last else None


def hull(points: Iterable[Point]) -> Shape:
    """The convex polygon round some points."""
    ordered = sorted(set(points))
    return tuple(_chain(ordered) + _chain(ordered[::-1]))


def _chain(ordered: list[Point]) -> list[Point]:
    chain: list[Point] = []
    for point in ordered:
        while len(chain) > 1 and _above(chain[-2], chain[-1], point) <= 1e-9:
            chain.pop()
        chain.append(point)
    return chain[:-1]


def apart(one: Shape, other: Shape, gap: float = 0.0) -> bool:
    """Whether a straight line parts two convex shapes, with a gap at least so wide."""
    return any(_parts(a, b, one, other, gap) for shape in (one, other) for a, b in _sides(shape))


def _parts(a: Point, b: Point, one: Shape, other: Shape, gap: float) -> bool:
    span = distance(a, b) or 1.0
    heights = [[_above(a, b, point) / span for point in shape] for shape in (one, other)]
    return max(heights[0]) + gap <= min(heights[1]) or max(heights[1]) + gap <= min(heights[0])


def _sides(shape: Shape) -> list[tuple[Point, Point]]:
    return [(shape[i - 1], corner) for i, corner in enumerate(shape)]


def _above(a: Point, b: Point, point: Point) -> float:
    return (b[0] - a[0]) * (point[1] - a[1]) - (b[1] - a[1]) * (point[0] - a[0])


def box(points: Iterable[Point]) -> tuple[Point, Point]:
    """The least and the greatest corner of the upright box round some points."""
    xs, ys = zip(*points, strict=True)
    return (min(xs), min(ys)), (max(xs), max(ys))


def size(shape: Shape) -> float:
    """The side of the square that is as large as the shape."""
    return sqrt(area(shape))
