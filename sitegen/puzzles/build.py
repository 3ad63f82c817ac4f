"""Definition in, puzzle out: faces clipped by the cut planes give stickers, cells of space give pieces."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

from sitegen.puzzles.definition import Definition, DefinitionError
from sitegen.puzzles.geometry import (
    EPSILON,
    Plane,
    Polygon,
    Vector,
    contains,
    cross,
    dot,
    length,
    mean,
    split,
    subtract,
)
from sitegen.puzzles.puzzle import Piece, Puzzle, Sticker
from sitegen.puzzles.solids import NORMALS, face_polygon

KINDS = {1: "centre", 2: "edge", 3: "corner"}
"""What the trade calls a piece, by its number of stickers."""


def build(definition: Definition) -> Puzzle:
    """The puzzle that a definition describes."""
    cells = _cells(definition)
    groups: dict[tuple[int, ...], list[int]] = {}
    planes = cut_planes(definition)
    for slot, (_, polygon) in enumerate(cells):
        groups.setdefault(_side(mean(polygon), planes), []).append(slot)
    pieces = [_piece(index, slots, cells, definition) for index, slots in enumerate(groups.values())]
    named = _unique(pieces)
    return Puzzle(
        name=definition.name,
        solid=definition.solid,
        notation=definition.notation,
        faces=definition.faces,
        axes=definition.axes,
        depths=definition.depths,
        angle=definition.angle,
        stickers=_stickers(cells, named, definition),
        pieces=tuple(named),
    )


def cut_planes(definition: Definition) -> list[Plane]:
    """Every plane of every axis, once: opposite axes may share theirs."""
    planes: list[Plane] = []
    for axis in definition.axes.values():
        for depth in definition.depths:
            same = ((n, d) for n, d in planes if abs(abs(dot(n, axis)) - 1) < EPSILON)
            if not any(abs(depth - d * dot(n, axis)) < EPSILON for n, d in same):
                planes.append((axis, depth))
    return planes


def _cells(definition: Definition) -> list[tuple[str, Polygon]]:
    """Each face cut along every plane: (face, polygon), row by row."""
    normals = NORMALS[definition.solid]
    cells = []
    for face in definition.faces:
        if not contains(normals, face.towards):
            raise DefinitionError(f"the face {face.name} points where the {definition.solid} has no face")
        index = next(i for i, normal in enumerate(normals) if contains([normal], face.towards))
        parts = [face_polygon(normals, index)]
        for plane in cut_planes(definition):
            parts = split(parts, plane)
        cells += [(face.name, part) for part in parts]
    return cells


def _side(point: Vector, planes: Sequence[Plane]) -> tuple[int, ...]:
    return tuple(int(dot(normal, point) > distance) for normal, distance in planes)


def _piece(index: int, slots: list[int], cells: list[tuple[str, Polygon]], definition: Definition) -> Piece:
    order = [face.name for face in definition.faces]
    by_face = {cells[slot][0]: slot for slot in slots}
    names = sorted(by_face, key=order.index)
    middle = mean([mean(cells[slot][1]) for slot in slots])
    layers = {
        axis: 1 + sum(dot(towards, middle) < depth for depth in definition.depths)
        for axis, towards in definition.axes.items()
    }
    lean = _lean(layers, definition)
    kind = KINDS.get(len(slots), "corner")
    return Piece(
        index,
        "".join(names) + lean,
        "wing" if kind == "edge" and lean else kind,
        tuple(_clockwise([by_face[name] for name in names], cells, middle)),
        layers,
    )


def _lean(layers: dict[str, int], definition: Definition) -> str:
    """The inner layers this side of the middle that a place is in: `r` the second from R, `3r` the third."""
    half = sum(depth > -EPSILON for depth in definition.depths)
    return "".join(
        ("" if layer == 2 else str(layer)) + axis.lower()
        for axis, layer in layers.items()
        if 1 < layer <= half
    )


def _clockwise(slots: list[int], cells: list[tuple[str, Polygon]], outward: Vector) -> list[int]:
    """The slots of one piece in clockwise order seen from outside, the first staying first."""
    if len(slots) < 3:
        return slots
    first = subtract(mean(cells[slots[0]][1]), outward)

    def angle(slot: int) -> float:
        arm = subtract(mean(cells[slot][1]), outward)
        # Grows from 0 to 4 clockwise, like the angle from the first arm.
        cosine = dot(first, arm) / (length(first) * length(arm))
        return 1 - cosine if dot(cross(arm, first), outward) >= -EPSILON else 3 + cosine

    return sorted(slots, key=angle)


def _unique(pieces: list[Piece]) -> list[Piece]:
    """Numbers the places that their faces alone do not tell apart."""
    total, seen = Counter(piece.name for piece in pieces), Counter[str]()
    named = []
    for piece in pieces:
        seen[piece.name] += 1
        number = str(seen[piece.name]) if total[piece.name] > 1 else ""
        named.append(replace(piece, name=piece.name + number))
    return named


def _stickers(
    cells: list[tuple[str, Polygon]], pieces: list[Piece], definition: Definition
) -> tuple[Sticker, ...]:
    order = [face.name for face in definition.faces]
    owner = {slot: piece for piece in pieces for slot in piece.stickers}
    stickers = []
    for slot, (face, polygon) in enumerate(cells):
        piece = owner[slot]
        others = sorted((cells[s][0] for s in piece.stickers if s != slot), key=order.index)
        suffix = piece.name[sum(len(name) for name in (face, *others)) :]
        stickers.append(
            Sticker(slot, face + "".join(others) + suffix, face, polygon, mean(polygon), piece.index)
        )
    return tuple(stickers)
