"""The solids a puzzle can be cut from: the space on the inner side of planes one unit from the middle.

Each is held as a reader holds it: what is called U is up, and F, where there is one, in front.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from math import cos, radians, sin, sqrt

from sitegen.puzzles.geometry import (
    Polygon,
    Vector,
    add,
    clip,
    contains,
    cross,
    dot,
    norm,
    scale,
    unit,
)


def _leaning(height: float, right: float) -> Vector:
    """The unit vector so high above the middle, so many degrees to the right of the front."""
    level = sqrt(1 - height * height)
    return (level * sin(radians(right)), height, level * cos(radians(right)))


_FIFTH = 1 / sqrt(5)
"""How high the middles of a dodecahedron's upper faces are."""

SOLIDS: Mapping[str, Mapping[str, Vector]] = {
    "tetrahedron": {
        "F": _leaning(1 / 3, 0),
        "R": _leaning(1 / 3, 120),
        "L": _leaning(1 / 3, 240),
        "D": (0, -1, 0),
    },
    "cube": {
        "U": (0, 1, 0),
        "D": (0, -1, 0),
        "F": (0, 0, 1),
        "B": (0, 0, -1),
        "L": (-1, 0, 0),
        "R": (1, 0, 0),
    },
    "octahedron": {
        name: unit((x, y, z))
        for name, (x, y, z) in {
            "A": (1, 1, 1),
            "B": (1, 1, -1),
            "C": (-1, 1, -1),
            "D": (-1, 1, 1),
            "E": (1, -1, 1),
            "F": (1, -1, -1),
            "G": (-1, -1, -1),
            "H": (-1, -1, 1),
        }.items()
    },
    "dodecahedron": {
        "U": (0, 1, 0),
        "F": _leaning(_FIFTH, 0),
        "R": _leaning(_FIFTH, 72),
        "Br": _leaning(_FIFTH, 144),
        "Bl": _leaning(_FIFTH, 216),
        "L": _leaning(_FIFTH, 288),
        "Dr": _leaning(-_FIFTH, 36),
        "Dbr": _leaning(-_FIFTH, 108),
        "B": _leaning(-_FIFTH, 180),
        "Dbl": _leaning(-_FIFTH, 252),
        "Dl": _leaning(-_FIFTH, 324),
        "D": (0, -1, 0),
    },
}
"""The faces of each solid by name, with their outward unit normals: x points right, y up, z to the reader.

An octahedron stands on a vertex; its faces are lettered round its upper half and then round its lower one.
"""

NORMALS: Mapping[str, tuple[Vector, ...]] = {solid: tuple(faces.values()) for solid, faces in SOLIDS.items()}


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


@cache
def meeting(normals: tuple[Vector, ...]) -> list[tuple[Vector, ...]]:
    """The faces that meet at each vertex, in the order of the vertices."""
    return [tuple(n for n in normals if abs(dot(n, point) - 1) < 1e-6) for point in vertices(normals)]


def reach(direction: Vector, corners: tuple[Vector, ...]) -> float:
    """How far the solid extends in a direction."""
    return max(dot(direction, corner) for corner in corners) / norm(direction)
