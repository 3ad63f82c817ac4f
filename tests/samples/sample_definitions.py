"""Puzzles cut from the other solids, defined here or as authors do: the engine must not know cubes alone."""

from __future__ import annotations

from math import sqrt

from sitegen.moves.notation import check_notation
from sitegen.problems import Source
from sitegen.puzzles.build import build
from sitegen.puzzles.catalogue import read_puzzles
from sitegen.puzzles.definition import Definition, FaceDefinition
from sitegen.puzzles.geometry import Vector, unit
from sitegen.puzzles.puzzle import Puzzle
from sitegen.puzzles.solids import NORMALS, vertices

LETTERS = "ABCDEFGHIJKL"


def own_puzzles(name: str, text: str) -> dict[str, Puzzle]:
    """The puzzles that an author's file defines, as a guide reads it. Raises Problem or Problems."""
    return read_puzzles(name, Source(f"content/puzzles/{name}.yaml", text), check_notation)


def cut(name: str, axes: tuple[Vector, ...], depths: tuple[float, ...], angle: int, solid: str) -> Puzzle:
    faces = tuple(
        FaceDefinition(letter, normal, f"colour {letter}")
        for letter, normal in zip(LETTERS, NORMALS[solid], strict=False)
    )
    named = {letter: unit(axis) for letter, axis in zip(LETTERS, axes, strict=False)}
    return build(Definition(name, solid, faces, named, depths, angle, ""))


def tetrahedron_by_vertices() -> Puzzle:
    """Three layers of one thickness: a vertex is 3 from the middle, the face across from it 1."""
    corners = vertices(NORMALS["tetrahedron"])
    return cut("tetrahedron", corners, (3 - 4 / 3, 3 - 8 / 3), 120, "tetrahedron")


def tetrahedron_of_four_layers() -> Puzzle:
    """Four layers of one thickness."""
    return cut("taller tetrahedron", vertices(NORMALS["tetrahedron"]), (2, 1, 0), 120, "tetrahedron")


def cube_by_four_vertices() -> Puzzle:
    """Cut through the middle; the four vertices are no two of them neighbours."""
    corners = tuple(v for v in vertices(NORMALS["cube"]) if v[0] * v[1] * v[2] > 0)
    return cut("cube by 4 vertices", corners, (0.0,), 120, "cube")


def cube_by_eight_vertices() -> Puzzle:
    return cut("cube by 8 vertices", vertices(NORMALS["cube"]), (0.0,), 120, "cube")


def octahedron_by_faces() -> Puzzle:
    return cut("octahedron by faces", NORMALS["octahedron"], (1 / 3, -1 / 3), 120, "octahedron")


def octahedron_by_vertices() -> Puzzle:
    """A vertex is √3 from the middle."""
    corners = vertices(NORMALS["octahedron"])
    return cut("octahedron by vertices", corners, (sqrt(3) / 3, -sqrt(3) / 3), 90, "octahedron")


def dodecahedron_by_faces() -> Puzzle:
    return cut("dodecahedron", NORMALS["dodecahedron"], (0.75,), 72, "dodecahedron")
