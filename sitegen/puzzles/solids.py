"""The solids a puzzle can be cut from: the space on the inner side of planes one unit from the middle."""

from __future__ import annotations

from functools import cache
from math import sqrt

from sitegen.puzzles.geometry import (
    Polygon,
    Vector,
    add,
    clip,
    contains,
    cross,
    dot,
    length,
    scale,
    unit,
)

_SIGNS = (1.0, -1.0)
_GOLDEN = (1 + sqrt(5)) / 2

NORMALS: dict[str, tuple[Vector, ...]] = {
    "tetrahedron": tuple(unit(v) for v in [(1, 1, 1), (1, -1, -1), (-1, 1, -1), (-1, -1, 1)]),
    "cube": ((0, 1, 0), (0, -1, 0), (0, 0, 1), (0, 0, -1), (-1, 0, 0), (1, 0, 0)),
    "octahedron": tuple(unit((x, y, z)) for y in _SIGNS for z in _SIGNS for x in _SIGNS),
    "dodecahedron": tuple(
        unit(v)
        for a in _SIGNS
        for b in _SIGNS
        for v in [(0, a, b * _GOLDEN), (a, b * _GOLDEN, 0), (b * _GOLDEN, 0, a)]
    ),
}
"""Outward unit normals. The x axis points right, y up, z towards the reader."""


@cache
def face_polygon(normals: tuple[Vector, ...], index: int) -> Polygon:
    """One face, anticlockwise seen from outside: a large square clipped by the planes of all the others."""
    normal = normals[index]
    side = unit(cross(normal, (1, 0, 0) if abs(normal[0]) < 0.9 else (0, 1, 0)))
    up = cross(normal, side)
    polygon: Polygon = tuple(
        add(normal, scale(add(scale(side, a), scale(up, b)), 10))
        for a, b in [(-1, -1), (1, -1), (1, 1), (-1, 1)]
    )
    for other in normals:
        if abs(dot(other, normal)) < 1 - 1e-9:
            polygon = clip(polygon, (scale(other, -1), -1.0))
    return polygon


@cache
def vertices(normals: tuple[Vector, ...]) -> tuple[Vector, ...]:
    """The solid's corners, in order of the faces that meet there."""
    found: list[Vector] = []
    for index in range(len(normals)):
        found += [point for point in face_polygon(normals, index) if not contains(found, point)]
    return tuple(found)


def reach(direction: Vector, corners: tuple[Vector, ...]) -> float:
    """How far the solid extends in a direction."""
    return max(dot(direction, corner) for corner in corners) / length(direction)
