"""Where the reader stands: which way a puzzle is held, and how a point in space falls on the page.

Knows a puzzle's directions; knows nothing of stickers, colours or paths.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from math import radians

from sitegen.figures.plane import Point
from sitegen.puzzles.geometry import (
    Matrix,
    Vector,
    apply,
    dot,
    multiply,
    norm,
    rotation,
    scale,
    subtract,
)
from sitegen.puzzles.puzzle import Puzzle
from sitegen.puzzles.solids import NORMALS, reach, vertices

_X: Vector = (1.0, 0.0, 0.0)
_Y: Vector = (0.0, 1.0, 0.0)
_Z: Vector = (0.0, 0.0, 1.0)

STANDS: Mapping[str, tuple[float, float]] = {
    "cube": (38.0, 41.0),
    "tetrahedron": (46.0, 17.0),
    "octahedron": (27.0, 24.0),
    "dodecahedron": (6.0, 28.0),
}
"""For each solid how many degrees the reader stands to the right of its front and above it."""

FAR = 5.6
"""The reader's distance from the middle, where the solid's corners are 1 away."""

GRAZING = 0.08
"""A face seen flatter than this (sine of the angle) counts as hidden: nobody could read it."""


@dataclass(frozen=True)
class Camera:
    """`rows` are the page's right, the page's up and the way to the eye; `far` is how far the eye is."""

    rows: Matrix
    far: float

    def project(self, point: Vector) -> Point:
        x, y, z = apply(self.rows, point)
        nearness = self.far / (self.far - z)
        return (x * nearness, -y * nearness)

    @cached_property
    def eye(self) -> Vector:
        return scale(self.rows[2], self.far)

    def sees(self, towards: Vector) -> bool:
        """Whether the face 1 away from the middle in this direction shows its outside."""
        line = subtract(self.eye, towards)
        return dot(line, towards) > GRAZING * norm(line)


def camera(puzzle: Puzzle) -> Camera:
    """The reader's stand for a puzzle: a little to the right of its front, looking down on it."""
    right, above = STANDS[puzzle.solid]
    turned = multiply(rotation(_X, radians(above)), rotation(_Y, radians(-right)))
    corners = vertices(NORMALS[puzzle.solid])
    return Camera(turned, FAR * max(map(norm, corners)))


def extent(puzzle: Puzzle, direction: Vector) -> float:
    """How far the solid extends in a direction."""
    return reach(direction, vertices(NORMALS[puzzle.solid]))
