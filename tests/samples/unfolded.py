"""How the faces of a cube are read in the unfolded layout: U above F, D below it, and L F R B in one row."""

from __future__ import annotations

from sitegen.puzzles.geometry import Vector, dot
from sitegen.puzzles.puzzle import Puzzle

READING: dict[str, tuple[Vector, Vector]] = {
    "U": ((1, 0, 0), (0, 0, 1)),
    "L": ((0, 0, 1), (0, -1, 0)),
    "F": ((1, 0, 0), (0, -1, 0)),
    "R": ((0, 0, -1), (0, -1, 0)),
    "B": ((-1, 0, 0), (0, -1, 0)),
    "D": ((1, 0, 0), (0, 0, -1)),
}
"""For each face the directions in which its columns go (left to right) and its rows (top to bottom)."""


def read_face(puzzle: Puzzle, face: str) -> list[int]:
    """The slots of one face, rows left to right, from the places of their centres in space."""
    right, down = READING[face]
    own = [sticker for sticker in puzzle.stickers if sticker.face == face]
    own.sort(key=lambda s: (round(dot(s.centre, down), 4), round(dot(s.centre, right), 4)))
    return [sticker.index for sticker in own]


def read_faces(puzzle: Puzzle, order: str) -> list[int]:
    """The slots of several faces, one face after another."""
    return [slot for face in order for slot in read_face(puzzle, face)]
