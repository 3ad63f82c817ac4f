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
    mean,
    norm,
    split,
    subtract,
)
from sitegen.puzzles.puzzle import Piece, Puzzle, Sticker
from sitegen.puzzles.solids import NORMALS, face_polygon, meeting

KINDS = {1: "centre", 2: "edge", 3: "corner"}
"""What the trade calls a piece, by its number of stickers."""
MOST_STICKERS = 1200
"""No figure shows more."""


def build(definition: Definition) -> Puzzle:
    """The puzzle that a definition describes."""
    cells = _cells(definition)
    groups: dict[tuple[int, ...], list[int]] = {}
    planes = cut_planes(definition)
    for slot, (_, polygon) in enumerate(cells):
        groups.setdefault(_side(mean(polygon), planes), []).append(slot)
    pieces = [_piece(index, slots, cells, definition) for index, slots in enumerate(groups.values())]
    named = _named(pieces, definition)
    return Puzzle(
        name=definition.name,
        title=definition.title,
        solid=definition.solid,
        notation=definition.notation,
        named_turns=definition.turns,
        faces=definition.faces,
        axes=definition.axes,
        depths=definition.depths,
        angle=definition.angle,
        stickers=_stickers(cells, named, definition),
        pieces=tuple(named),
        coloured=definition.coloured,
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
            message = f"the face {face.name} points where the {definition.solid} has no face"
            raise DefinitionError(message)
        index = next(i for i, normal in enumerate(normals) if contains([normal], face.towards))
        parts = [face_polygon(normals, index)]
        for plane in cut_planes(definition):
            parts = split(parts, plane)
            if len(parts) * len(normals) > MOST_STICKERS:
                hint = f"{MOST_STICKERS} are the most: make fewer cuts"
                raise DefinitionError("the cuts leave too many stickers", hint, "depths")
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
    return Piece(
        index,
        "".join(names),
        KINDS.get(len(slots), "corner") if _at_a_vertex(names, definition) else "core",
        tuple(_clockwise([by_face[name] for name in names], cells, middle)),
        layers,
    )


def _at_a_vertex(names: list[str], definition: Definition) -> bool:
    """Whether the faces of a piece all meet somewhere; what holds the others is a core."""
    towards = [face.towards for face in definition.faces if face.name in names]
    return any(all(contains(group, each) for each in towards) for group in meeting(NORMALS[definition.solid]))


def _named(pieces: list[Piece], definition: Definition) -> list[Piece]:
    """Tells the places on the same faces apart: by the layers they lean to, and then by number."""
    on_faces = Counter(piece.name for piece in pieces)
    leans = {p.index: _lean(p, definition) if on_faces[p.name] > 1 else () for p in pieces}
    alone = _tips(pieces, definition)
    # Small letters behind capitals could be part of a face's name, where there are such names.
    plain = all(len(name) == 1 for name in (*definition.axes, *(face.name for face in definition.faces)))
    told = []
    for piece in pieces:
        lean = leans[piece.index]
        kind = "tip" if piece.index in alone else "wing" if piece.kind == "edge" and lean else piece.kind
        suffix = "".join(("" if nth == 2 else str(nth)) + axis.lower() for axis, nth in lean) if plain else ""
        told.append(replace(piece, kind=kind, suffix=suffix, sort=_sort(kind, [nth for _, nth in lean])))
    sorts = {kind: {piece.sort for piece in told if piece.kind == kind} for kind in {p.kind for p in told}}
    told = [piece if len(sorts[piece.kind]) > 1 else replace(piece, sort=piece.kind) for piece in told]
    total, seen = Counter(piece.name + piece.suffix for piece in told), Counter[str]()
    for at, piece in enumerate(told):
        name = piece.name + piece.suffix
        seen[name] += 1
        number = str(seen[name]) if total[name] > 1 else ""
        told[at] = replace(piece, name=name + number, suffix=piece.suffix + number)
    return told


def _lean(piece: Piece, definition: Definition) -> tuple[tuple[str, int], ...]:
    """The layers this side of the middle that tell a place apart, each by its axis and number.

    Numbers begin at the layer that the turn called as the axis goes down to: the second from there is 2. What
    lies further out, as the tips of a pyramid do, leans as well; it is alone in that, and its number is 2.
    """
    half = sum(depth > -EPSILON for depth in definition.depths)
    outer = {axis: definition.outer(axis) for axis in piece.layers}
    return tuple(
        (axis, max(2, layer - outer[axis] + 1))
        for axis, layer in piece.layers.items()
        if layer <= half and layer != outer[axis]
    )


def _tips(pieces: list[Piece], definition: Definition) -> set[int]:
    """The pieces that turn alone in the outermost layer of an axis."""
    outermost = [[piece.index for piece in pieces if piece.layers[axis] == 1] for axis in definition.axes]
    return {layer[0] for layer in outermost if len(layer) == 1}


def _sort(kind: str, lean: list[int]) -> str:
    """Which sort of its kind a piece is: of wings and centres there are several on large cubes."""
    if kind == "wing":
        return "outer-wing" if lean == [2] else "inner-wing"
    if kind == "centre" and lean:
        return "t-centre" if len(lean) == 1 else "x-centre" if len(set(lean)) == 1 else "oblique"
    return kind


def _clockwise(slots: list[int], cells: list[tuple[str, Polygon]], outward: Vector) -> list[int]:
    """The slots of one piece in clockwise order seen from outside, the first staying first."""
    if len(slots) < 3:
        return slots
    first = subtract(mean(cells[slots[0]][1]), outward)

    def angle(slot: int) -> float:
        arm = subtract(mean(cells[slot][1]), outward)
        # Grows from 0 to 4 clockwise, like the angle from the first arm.
        cosine = dot(first, arm) / (norm(first) * norm(arm))
        return 1 - cosine if dot(cross(arm, first), outward) >= -EPSILON else 3 + cosine

    return sorted(slots, key=angle)


def _stickers(
    cells: list[tuple[str, Polygon]], pieces: list[Piece], definition: Definition
) -> tuple[Sticker, ...]:
    order = [face.name for face in definition.faces]
    owner = {slot: piece for piece in pieces for slot in piece.stickers}
    stickers = []
    for slot, (face, polygon) in enumerate(cells):
        piece = owner[slot]
        others = sorted((cells[s][0] for s in piece.stickers if s != slot), key=order.index)
        name = face + "".join(others) + piece.suffix
        stickers.append(Sticker(slot, name, face, polygon, mean(polygon), piece.index))
    return tuple(stickers)
