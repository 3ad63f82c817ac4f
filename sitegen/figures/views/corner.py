"""The puzzle in space, seen from the corner between its front, its top and its right.

Knows the camera; knows nothing of what is drawn on the stickers.
"""

from __future__ import annotations

from sitegen.figures.camera import Camera, camera
from sitegen.figures.layout import Layout, Pane, arrange, slots_of
from sitegen.figures.plane import Shape, hull
from sitegen.puzzles.puzzle import Puzzle
from sitegen.puzzles.solids import NORMALS, vertices


def corner(puzzle: Puzzle) -> Layout:
    eye = camera(puzzle)
    return arrange(puzzle, front_panes(puzzle, eye), [silhouette(puzzle, eye)], eye.project)


def front_panes(puzzle: Puzzle, eye: Camera) -> list[Pane]:
    """The faces that the camera sees."""
    return [
        Pane(face.name, slots_of(puzzle, face.name), eye.project, ())
        for face in puzzle.faces
        if eye.sees(face.towards)
    ]


def silhouette(puzzle: Puzzle, eye: Camera) -> Shape:
    return hull(map(eye.project, vertices(NORMALS[puzzle.solid])))
