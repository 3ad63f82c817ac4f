"""The files by which puzzles turn in a browser: scripts, and what they have to know of each puzzle.

What they know is geometry and permutations as they were built here, so that every puzzle plays, an author's
own too, and turns in a browser as it turned when claims about it were checked.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from functools import cache
from importlib.resources import files
from typing import Any

from sitegen.effects.family import generators
from sitegen.effects.likeness import alike, looks
from sitegen.figures.camera import camera
from sitegen.figures.draw import (
    CORE,
    DOUBLE,
    GROOVE,
    GUARD_WIDTHS,
    RING,
    RING_WIDTHS,
    guard_width,
    usual_size,
)
from sitegen.figures.layout import gapped
from sitegen.figures.of_position import faces_coloured
from sitegen.figures.parts import BELOW
from sitegen.figures.plane import whole_number
from sitegen.figures.turning_frames import BROAD, FLAT, INSIDE, reach_of
from sitegen.figures.views import layout
from sitegen.moves.notation import letters, outer_layers, write, write_all
from sitegen.moves.spoken import spoken_turn
from sitegen.puzzles.geometry import Vector, sure
from sitegen.puzzles.puzzle import Puzzle, Turn
from sitegen.puzzles.solids import NORMALS, face_polygon
from sitegen.site.script_files import as_script

SCRIPTS = {
    "moves.js": "is the script by which moves are read",
    "turning.js": "is the script by which turns are played",
}
"""In the order in which pages load them, and what each is."""
FOLDER = "turning"
"""Where what is said of each puzzle is, beside the scripts."""
FINE = 10_000
"""Coordinates are whole numbers of so many parts of the distance from the middle to a face."""
VIEW = "corner"
"""The view that the script begins with, so that stickers are as large as in figures."""


def turning_files(puzzles: Iterable[Puzzle], colours: Mapping[str, str]) -> Iterator[tuple[str, bytes]]:
    """The scripts, and a file for each puzzle, by their paths; `colours` are those a guide gives to faces."""
    for name in SCRIPTS:
        yield name, files("sitegen.site").joinpath("scripts", name).read_bytes()
    for puzzle in puzzles:
        yield f"{FOLDER}/{puzzle.name}.js", as_script(_said(puzzle, colours), "puzzle").encode()


def _said(puzzle: Puzzle, colours: Mapping[str, str]) -> dict[str, Any]:
    eye, plan = camera(puzzle), layout(puzzle, VIEW)
    faces, coloured = [face.name for face in puzzle.faces], faces_coloured(puzzle, colours)
    return {
        "angle": puzzle.angle,
        "axes": {axis: _row(towards) for axis, towards in puzzle.axes.items()},
        "depths": _row(puzzle.depths),
        "edges": list(_edges(puzzle)),
        "faces": [
            {"colour": coloured[face.name], "letter": face.name.upper(), "normal": _row(face.towards)}
            for face in puzzle.faces
        ],
        "stickers": [
            [faces.index(sticker.face), *_whole(gapped(sticker.polygon))] for sticker in puzzle.stickers
        ],
        "pieces": [sticker.piece for sticker in puzzle.stickers],
        "names": [piece.name for piece in puzzle.pieces],
        "layers": {
            axis: [puzzle.pieces[sticker.piece].layers[axis] for sticker in puzzle.stickers]
            for axis in puzzle.axes
        },
        "goes": {axis: _goes(puzzle, axis) for axis in puzzle.axes},
        "turns": written_turns(puzzle),
        "letters": _letters(puzzle),
        "looks": [*looks(puzzle)] if alike(puzzle) else [],
        "symmetries": _symmetries(puzzle),
        "buttons": _buttons(puzzle),
        "rows": [_row(row) for row in eye.rows],
        "far": sure(eye.far),
        "scale": sure(plan.scale),
        "reach": reach_of(puzzle),
        "flat": FLAT,
        "rounding": whole_number(plan.rounding),
        "line": guard_width(plan),
        "centres": list(puzzle.fixed_centres),
        "core": CORE,
        "groove": GROOVE,
        "double": DOUBLE,
        "guard widths": GUARD_WIDTHS,
        "ring": RING,
        "ring widths": RING_WIDTHS,
        "letter": usual_size(plan),
        "letter shares": [INSIDE, BROAD, BELOW],
    }


def _row(vector: Iterable[float]) -> list[float]:
    # Adding 0 takes the sign from a zero, which is of what is lost in computing.
    return [sure(x) + 0.0 for x in vector]


def _whole(points: Iterable[Vector]) -> list[int]:
    return [whole_number(FINE * x) for point in points for x in point]


def _letters(puzzle: Puzzle) -> dict[str, str]:
    """What else can be written of a turn before its amount, with how it is written otherwise."""
    written = ((text, write(turn, puzzle)) for text, turn in letters(puzzle).items())
    return {text: other for text, other in written if text != other}


def _symmetries(puzzle: Puzzle) -> dict[str, list[list[int]]]:
    """Some ways to turn the whole puzzle, from which all come, and one to see it in a mirror, if any is."""
    size, rotations = len(puzzle.stickers), frozenset(puzzle.rotations)
    mirrored = [each for each in sorted(puzzle.symmetries) if each not in rotations]
    some = {"turned": generators(puzzle.rotations, puzzle), "mirrored": mirrored[:1]}
    return {kind: [[*each[:size]] for each in found] for kind, found in some.items()}


def _edges(puzzle: Puzzle) -> Iterator[list[int]]:
    """Of the solid, each once: its two ends."""
    normals, seen = NORMALS[puzzle.solid], set()
    for face in range(len(normals)):
        polygon = face_polygon(normals, face)
        for i, corner in enumerate(polygon):
            ends = tuple(sorted((tuple(_whole([polygon[i - 1]])), tuple(_whole([corner])))))
            if ends not in seen:
                seen.add(ends)
                yield [*ends[0], *ends[1]]


def _goes(puzzle: Puzzle, axis: str) -> list[int]:
    """Where the smallest turn about an axis takes what is in each slot, in whatever layer that is."""
    layers = [Turn(axis, layer, layer, 1) for layer in range(1, puzzle.layer_count + 1)]
    turned = [puzzle.permutation(turn) for turn in layers]
    return [turned[puzzle.piece_at(slot).layers[axis] - 1][slot] for slot in range(len(puzzle.stickers))]


def _buttons(puzzle: Puzzle) -> list[str]:
    """For each outer layer the smallest turns of it, one way and the other."""
    outer = outer_layers(puzzle).values()
    return [write_all((turn, turn.by(-turn.amount)), puzzle) for turn in outer]


@cache
def written_turns(puzzle: Puzzle) -> dict[str, list[Any]]:
    """Every turn as it is written: axis, layers, by how many of the smallest turns, and how it is said."""
    found: dict[str, list[Any]] = {}
    for axis in puzzle.axes:
        for first in range(1, puzzle.layer_count + 1):
            for last in range(first, puzzle.layer_count + 1):
                for amount in puzzle.amounts:
                    turn = Turn(axis, first, last, amount)
                    text = write(turn, puzzle)
                    found.setdefault(text, [*_by_first_axis(turn, puzzle), spoken_turn(text)])
    return found


def _by_first_axis(turn: Turn, puzzle: Puzzle) -> Turn:
    """The same turn by the first axis that it can be told by, as is then every turn of these layers."""
    ways = filter(None, (turn, puzzle.from_behind(turn)))
    return min(ways, key=lambda way: [*puzzle.axes].index(way.axis))
