"""A puzzle as it stands: faces, stickers, pieces, axes, and the permutation of any turn of its layers.

Knows geometry and permutations; knows nothing of notation, effects or drawing.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from itertools import permutations
from math import radians

from sitegen.puzzles import permutation as perm
from sitegen.puzzles.definition import DefinitionError, FaceDefinition
from sitegen.puzzles.definition import Turn as Turn
from sitegen.puzzles.geometry import (
    EPSILON,
    Matrix,
    Polygon,
    Vector,
    apply,
    contains,
    determinant,
    dot,
    norm,
    rotation,
    subtract,
    sure,
    symmetries,
)
from sitegen.puzzles.permutation import Permutation

MOST_REORDERED = 4
"""The faces of a place behind the first are read in any order, unless they are more than these."""


@dataclass(frozen=True)
class Sticker:
    """One coloured polygon of the solved puzzle, which is also the slot that a sticker can be in."""

    index: int
    name: str
    face: str
    polygon: Polygon
    """Corners in space, anticlockwise seen from outside; the faces are 1 away from the middle."""
    centre: Vector
    piece: int


@dataclass(frozen=True)
class Piece:
    """A piece, which is also the place where it is home."""

    index: int
    name: str
    kind: str
    stickers: tuple[int, ...]
    """Clockwise seen from outside, from the sticker that names the piece."""
    layers: Mapping[str, int]
    """For each axis the layer in which the place is, 1 outermost."""
    suffix: str = ""
    """The end of the name, which tells the place apart from others on the same faces."""
    sort: str = ""
    """The kind, or of several sorts of its kind the one that it is."""


@dataclass(frozen=True, eq=False)
class Puzzle:
    """Equal only to itself, so that what is computed from it can be kept by it."""

    name: str
    title: str
    """What readers know it by."""
    solid: str
    notation: str
    named_turns: Mapping[str, Turn]
    """What the names of turns mean that the definition gives."""
    faces: tuple[FaceDefinition, ...]
    axes: Mapping[str, Vector]
    depths: tuple[float, ...]
    angle: int
    stickers: tuple[Sticker, ...]
    pieces: tuple[Piece, ...]
    coloured: bool
    """Whether its colours are those that an author has written for it, and no guide's come before them."""

    @property
    def layer_count(self) -> int:
        """Layers on each axis."""
        return len(self.depths) + 1

    @property
    def full_turn(self) -> int:
        """How many of the smallest turns bring a layer round."""
        return 360 // self.angle

    @cached_property
    def amounts(self) -> tuple[int, ...]:
        """How far a layer can be turned, in smallest turns, as it is written: 1, 2, -1."""
        full = self.full_turn
        return tuple(amount if 2 * amount <= full else amount - full for amount in range(1, full))

    @property
    def identity(self) -> Permutation:
        """Where turning nothing takes what is in each slot."""
        return perm.identity(len(self.stickers))

    def permutation(self, turn: Turn) -> Permutation:
        """Where a turn takes what is in each slot."""
        known = self._turned.get(turn)
        if known is None:
            known = self._turned[turn] = self._permutation(turn)
        return known

    @cached_property
    def _turned(self) -> dict[Turn, Permutation]:
        """The permutations asked for so far."""
        return {}

    def _permutation(self, turn: Turn) -> Permutation:
        if turn.amount != 1:
            once = Turn(turn.axis, turn.first, turn.last, 1)
            return perm.power(self.permutation(once), turn.amount)
        matrix = rotation(self.axes[turn.axis], radians(-self.angle))
        return perm.from_images(
            self.slot_at(apply(matrix, sticker.centre)) if moves else sticker.index
            for sticker in self.stickers
            for moves in [turn.first <= self.pieces[sticker.piece].layers[turn.axis] <= turn.last]
        )

    def line(self, turn: Turn) -> frozenset[str]:
        """The axes along which a turn turns: turns of one line may change places."""
        return self._lines[turn.axis]

    @cached_property
    def _lines(self) -> Mapping[str, frozenset[str]]:
        return {
            axis: frozenset(a for a, way in self.axes.items() if abs(dot(towards, way)) > 1 - EPSILON)
            for axis, towards in self.axes.items()
        }

    def pieces_in(self, turn: Turn) -> frozenset[int]:
        """The pieces in the layers that a turn turns."""
        return frozenset(p.index for p in self.pieces if turn.first <= p.layers[turn.axis] <= turn.last)

    def slot_at(self, point: Vector) -> int:
        """The slot whose centre is at a point in space."""
        try:
            return self._slots[_key(point)]
        except KeyError:
            raise DefinitionError(f"a turn of {self.name} takes a sticker to where none belongs") from None

    @cached_property
    def _slots(self) -> dict[tuple[int, ...], int]:
        return {_key(sticker.centre): sticker.index for sticker in self.stickers}

    @cached_property
    def opposite(self) -> Mapping[str, str]:
        """The axis that points the other way, for each axis that has one cut in the same planes."""
        return {
            a: b
            for a, towards in self.axes.items()
            for b, away in self.axes.items()
            if dot(towards, away) < EPSILON - 1 and self._symmetric_depths
        }

    def from_behind(self, turn: Turn) -> Turn | None:
        """The same turn as it is told on the opposite axis, if there is one."""
        axis, size = self.opposite.get(turn.axis), self.layer_count
        return Turn(axis, size + 1 - turn.last, size + 1 - turn.first, -turn.amount) if axis else None

    @cached_property
    def _symmetric_depths(self) -> bool:
        mirrored = zip(self.depths, reversed(self.depths), strict=True)
        return all(abs(a + b) < EPSILON for a, b in mirrored)

    @cached_property
    def letters(self) -> tuple[str, ...]:
        """For each slot what is written on its sticker: the name of the face, in capitals."""
        return tuple(sticker.face.upper() for sticker in self.stickers)

    @cached_property
    def slots(self) -> Mapping[str, int]:
        """The slot that a name means; the first is the sticker's face, and the others come in any order."""
        names: dict[str, int] = {}
        for sticker in self.stickers:
            piece = self.pieces[sticker.piece]
            others = [self.stickers[slot].face for slot in piece.stickers if slot != sticker.index]
            orders = permutations(others) if len(others) <= MOST_REORDERED else ()
            for listed in orders:
                names[sticker.face + "".join(listed) + piece.suffix] = sticker.index
            names[sticker.name] = sticker.index
        return names

    @cached_property
    def kinds(self) -> Mapping[str, frozenset[int]]:
        """The pieces of each kind by its plural, and of each sort of a kind that has several."""
        words: dict[str, set[int]] = {}
        for name in ("kind", "sort"):
            for piece in self.pieces:
                words.setdefault(f"{getattr(piece, name)}s", set()).add(piece.index)
        return {word: frozenset(pieces) for word, pieces in words.items()}

    def piece_at(self, slot: int) -> Piece:
        """The piece that has a slot, when it is home."""
        return self.pieces[self.stickers[slot].piece]

    def turns(self) -> Iterator[Turn]:
        """Each layer of each axis turned once by the smallest amount, outermost first."""
        for layer in range(1, self.layer_count + 1):
            for axis in self.axes:
                yield Turn(axis, layer, layer, 1)

    @cached_property
    def symmetries(self) -> tuple[Permutation, ...]:
        """Where each way of turning the whole puzzle, or seeing it in a mirror, takes the slots."""
        return tuple(self._symmetries)

    @cached_property
    def _symmetries(self) -> Mapping[Permutation, Matrix]:
        """The rotations and reflections that map faces onto faces and cuts onto cuts, by where slots go."""
        found = symmetries([face.towards for face in self.faces])
        return {
            self._moved(matrix): matrix
            for matrix in found
            if all(self._axis_towards(apply(matrix, axis)) for axis in self.axes.values())
        }

    def _axis_towards(self, direction: Vector) -> tuple[str, bool] | None:
        """The axis that points in a direction; or away from it (True), where its cuts are the same so."""
        for sign in (1, -1) if self._symmetric_depths else (1,):
            for axis, towards in self.axes.items():
                if sign * dot(towards, direction) > 1 - EPSILON:
                    return axis, sign < 0
        return None

    def carried(self, turn: Turn, symmetry: Permutation) -> Turn:
        """The turn that does what a turn does in the places to which a symmetry takes those of the turn."""
        if (turn, symmetry) not in self._carried_by:
            self._carried_by[turn, symmetry] = self._carried(turn, symmetry)
        return self._carried_by[turn, symmetry]

    @cached_property
    def _carried_by(self) -> dict[tuple[Turn, Permutation], Turn]:
        """The turns asked for so far, with the symmetry that carried each."""
        return {}

    def _carried(self, turn: Turn, symmetry: Permutation) -> Turn:
        matrix = self._symmetries[symmetry]
        found = self._axis_towards(apply(matrix, self.axes[turn.axis]))
        if found is None:
            raise ValueError(f"no axis of {self.name} is where the symmetry takes {turn.axis}")
        axis, away = found
        first, last, amount = turn.first, turn.last, turn.amount
        if away:
            first, last, amount = self.layer_count + 1 - last, self.layer_count + 1 - first, -amount
        return Turn(axis, first, last, amount if determinant(matrix) > 0 else -amount)

    @cached_property
    def rotations(self) -> tuple[Permutation, ...]:
        """Where each way of turning the whole puzzle takes the slots; the first leaves it as it is."""
        return tuple(sorted(p for p, m in self._symmetries.items() if determinant(m) > 0))

    @cached_property
    def mirrors(self) -> Mapping[tuple[str, str], Permutation]:
        """Where reflections in planes take the slots; each by two faces that it exchanges."""
        found: dict[tuple[str, str], Permutation] = {}
        for permutation, matrix in self._symmetries.items():
            trace = matrix[0][0] + matrix[1][1] + matrix[2][2]
            if determinant(matrix) < 0 and abs(trace - 1) < EPSILON:
                found[self._exchanged(matrix)] = permutation
        return dict(sorted(found.items(), key=lambda item: item[0]))

    def _exchanged(self, matrix: Matrix) -> tuple[str, str]:
        def way(face: FaceDefinition) -> float:
            return sure(norm(subtract(apply(matrix, face.towards), face.towards)))

        a = max(self.faces, key=way)
        image = apply(matrix, a.towards)
        b = next(face for face in self.faces if contains([face.towards], image))
        return a.name, b.name

    def _moved(self, matrix: Matrix) -> Permutation:
        return perm.from_images(self.slot_at(apply(matrix, sticker.centre)) for sticker in self.stickers)

    @cached_property
    def fixed_centres(self) -> tuple[int, ...]:
        """Slots of pieces with one sticker that no turn of an outer layer takes elsewhere."""
        middles = [s.index for s in self.stickers if len(self.pieces[s.piece].stickers) == 1]
        outer = [self.permutation(Turn(axis, 1, 1, 1)) for axis in self.axes]
        return tuple(slot for slot in middles if all(p[slot] == slot for p in outer))


def _key(point: Vector) -> tuple[int, ...]:
    # The shift keeps the round numbers that real puzzles are made of away from the edge of a rounding step.
    return tuple(round(c * 1000 + 0.2897) for c in point)
