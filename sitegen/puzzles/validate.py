"""Whether a puzzle turns at all: every turn must bring each sticker to where one of its shape belongs.

Knows geometry and what an author wrote; knows nothing of what is done with a puzzle.
"""

from __future__ import annotations

from math import radians

from sitegen.puzzles.definition import DefinitionError
from sitegen.puzzles.geometry import (
    EPSILON,
    Polygon,
    Vector,
    apply,
    contains,
    cross,
    dot,
    mean,
    norm,
    rotation,
    subtract,
)
from sitegen.puzzles.puzzle import Puzzle, Turn
from sitegen.puzzles.solids import NORMALS, reach, vertices

NARROWEST = 0.004
"""How wide a sticker is at least, where the faces are 1 from the middle."""


def validate(puzzle: Puzzle) -> None:
    """Raises DefinitionError where some layer cannot be turned by the angle, with the reason."""
    _check_sizes(puzzle)
    for axis in puzzle.axes:
        _check_depths(puzzle, axis)
        _check_angle(puzzle, axis)
    for turn in puzzle.turns():
        _check_layer(puzzle, turn)


def _check_sizes(puzzle: Puzzle) -> None:
    """No sticker is so small that its place is not told from the next."""
    for sticker in puzzle.stickers:
        corners = sticker.polygon
        sides = [subtract(corner, corners[i - 1]) for i, corner in enumerate(corners)]
        wide = 2 * min(
            norm(cross(side, subtract(sticker.centre, corner))) / (norm(side) or 1.0)
            for side, corner in zip(sides, corners, strict=True)
        )
        if wide < NARROWEST:
            hint = "move cuts apart, or let them meet in one point"
            message = f"the sticker {sticker.name} would be only {wide:.2g} wide, the faces being 1 away"
            raise DefinitionError(message, hint, "depths")


def _check_depths(puzzle: Puzzle, axis: str) -> None:
    """Every cut goes through the solid."""
    corners, towards = vertices(NORMALS[puzzle.solid]), puzzle.axes[axis]
    away = (-towards[0], -towards[1], -towards[2])
    furthest, nearest = reach(towards, corners), -reach(away, corners)
    for depth in puzzle.depths:
        if not nearest + EPSILON < depth < furthest - EPSILON:
            raise DefinitionError(
                f"a cut {depth:.4g} from the middle misses the {puzzle.solid} on the axis {axis}",
                f"there it reaches from {nearest:.4g} to {furthest:.4g}",
                "depths",
            )


def _check_angle(puzzle: Puzzle, axis: str) -> None:
    """The turn brings the solid back to itself."""
    normals = NORMALS[puzzle.solid]

    def fits(angle: int) -> bool:
        matrix = rotation(puzzle.axes[axis], radians(angle))
        return all(contains(normals, apply(matrix, normal)) for normal in normals)

    if not fits(puzzle.angle):
        least = next((angle for angle in (72, 90, 120, 180) if fits(angle)), None)
        other = f"make {axis} of all faces that meet at a vertex, or take it away"
        hint = f"about {axis} it can turn by {least}" if least else other
        message = (
            f"turned about {axis} by {puzzle.angle} degrees the {puzzle.solid} does not come back to itself"
        )
        raise DefinitionError(message, hint, "angle" if least else "axes")


def _check_layer(puzzle: Puzzle, turn: Turn) -> None:
    """The stickers of a layer come to lie on each other, edge on edge."""
    for angle in (-puzzle.angle, puzzle.angle):
        matrix = rotation(puzzle.axes[turn.axis], radians(angle))
        for piece in puzzle.pieces_in(turn):
            for slot in puzzle.pieces[piece].stickers:
                shape = tuple(apply(matrix, corner) for corner in puzzle.stickers[slot].polygon)
                if not _lies_on_one(shape, puzzle):
                    raise _torn(shape, slot, turn, puzzle)


def _lies_on_one(shape: Polygon, puzzle: Puzzle) -> bool:
    """Whether a sticker belongs just where a shape is."""
    try:
        there = puzzle.stickers[puzzle.slot_at(mean(shape))].polygon
    except DefinitionError:
        return False
    return len(there) == len(shape) and all(contains(there, corner) for corner in shape)


def _torn(shape: Polygon, slot: int, turn: Turn, puzzle: Puzzle) -> DefinitionError:
    """Which cut runs through the place that a sticker would come to."""
    name = puzzle.stickers[slot].name
    cut = next(
        (
            f"a cut of {axis}, {depth:.4g} from the middle, runs through the place it comes to"
            for axis, towards in puzzle.axes.items()
            for depth in puzzle.depths
            if _divides(towards, depth, shape)
        ),
        "no sticker of its shape belongs to the place it comes to",
    )
    hint = "a turn must bring cuts to cuts: put axes wherever it brings one, or make the cuts shallower"
    message = f"layer {turn.first} of {turn.axis} cannot turn: with the sticker {name}, {cut}"
    return DefinitionError(message, hint, "axes")


def _divides(towards: Vector, depth: float, shape: Polygon) -> bool:
    heights = [dot(towards, corner) - depth for corner in shape]
    return min(heights) < -1e-6 and max(heights) > 1e-6
