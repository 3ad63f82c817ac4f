"""The corner view, with each hidden face seen in a mirror that stands behind or below the puzzle.

Knows where the mirrors must stand so that nothing is covered; knows nothing of what is drawn on the stickers.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from sitegen.figures.camera import Camera, camera
from sitegen.figures.layout import Layout, Pane, arrange, slots_of
from sitegen.figures.plane import Point, Shape, apart
from sitegen.figures.views.corner import front_panes, silhouette
from sitegen.figures.views.faces import corners
from sitegen.puzzles.definition import FaceDefinition
from sitegen.puzzles.geometry import Vector, add, cross, norm, scale
from sitegen.puzzles.puzzle import Puzzle

MOST = 3
"""More hidden faces than this would stand in each other's way."""
SLANT = 0.6
"""Sine of the least angle between a hidden face's direction and the line of sight, or no mirror clears it."""
CLEAR = 0.1
STEP = 0.04


def mirrors(puzzle: Puzzle) -> Layout:
    every = frozenset(face.name for face in hidden(puzzle))
    return some_mirrors(puzzle, every, every)


def some_mirrors(puzzle: Puzzle, room: frozenset[str], shown: frozenset[str]) -> Layout:
    """With mirrors of some hidden faces alone, and with room for some, so that figures can be as large."""
    eye = camera(puzzle)
    body = silhouette(puzzle, eye)
    panes: list[Pane] = []
    for face in hidden(puzzle):
        if face.name in room:
            pane = _mirrored(puzzle, eye, face, [body, *(pane.body for pane in panes)])
            panes.append(replace(pane, blank=face.name not in shown))
    return arrange(puzzle, [*front_panes(puzzle, eye), *panes], [body], eye.project)


def has_mirrors(puzzle: Puzzle) -> bool:
    """Whether each hidden face can be shown beside the puzzle."""
    away = camera(puzzle).rows[2]
    faces = hidden(puzzle)
    return len(faces) <= MOST and all(norm(cross(face.towards, away)) > SLANT for face in faces)


def hidden(puzzle: Puzzle) -> list[FaceDefinition]:
    eye = camera(puzzle)
    return [face for face in puzzle.faces if not eye.sees(face.towards)]


def _mirrored(puzzle: Puzzle, eye: Camera, face: FaceDefinition, others: Sequence[Shape]) -> Pane:
    """A mirror parallel to a face shows that face, moved outwards by twice its distance from the mirror."""
    outside = corners(puzzle.solid, face.towards)
    away = STEP
    while True:
        at = _moved(eye, scale(face.towards, away))
        body = tuple(map(at, outside))
        if all(apart(body, other, CLEAR) for other in others) or away > 12:
            return Pane(face.name, slots_of(puzzle, face.name), at, body, mirrored=True)
        away += STEP


def _moved(eye: Camera, by: Vector) -> Callable[[Vector], Point]:
    return lambda point: eye.project(add(point, by))
