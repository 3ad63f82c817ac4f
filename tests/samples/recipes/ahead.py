"""The front face alone, seen straight on."""

from __future__ import annotations

from sitegen.figures.layout import Layout, Pane, arrange, slots_of
from sitegen.figures.views.faces import corners, plane_of
from sitegen.figures.views.net import front
from sitegen.puzzles.puzzle import Puzzle


def ahead(puzzle: Puzzle) -> Layout:
    face = front(puzzle)
    at = plane_of(face.towards)
    body = tuple(map(at, corners(puzzle.solid, face.towards)))
    return arrange(puzzle, [Pane(face.name, slots_of(puzzle, face.name), at, body)])
