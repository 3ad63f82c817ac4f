"""What a puzzle is cut from: solid, axes, depths, angle, names and colours.

Knows what there is to say of a puzzle before it is built; computes nothing, and reads nothing.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

from sitegen.problems import Placeless
from sitegen.puzzles.geometry import Vector

COLOURS = (
    "white",
    "yellow",
    "green",
    "blue",
    "orange",
    "red",
    "purple",
    "pink",
    "grey",
    "lime",
    "sky",
    "sand",
)
"""The names of all colours that a face can have."""


class DefinitionError(Placeless):
    """A definition that cannot be built: why, what to do, and the key of the definition that is to blame."""

    def __init__(self, message: str, hint: str = "", key: str = "") -> None:
        super().__init__(message, hint)
        self.key = key


@dataclass(frozen=True)
class FaceDefinition:
    """One face of the solid."""

    name: str
    towards: Vector
    """Outward unit normal."""
    colour: str


class Turn(NamedTuple):
    """The layers `first` to `last` of an axis (1 outermost) turned about it.

    `amount` counts the puzzle's smallest turns, clockwise seen from outside, negative for anticlockwise.
    """

    axis: str
    first: int
    last: int
    amount: int

    def by(self, amount: int) -> Turn:
        """The same layers, turned by another amount."""
        return Turn(self.axis, self.first, self.last, amount)


@dataclass(frozen=True)
class Definition:
    """One puzzle, ready to be built.

    `axes` is the unit direction of each axis by its name. `depths` are the distances of the cuts from the
    middle, outermost first, the same on every axis, where the faces of the solid are 1 away.
    """

    name: str
    solid: str
    faces: tuple[FaceDefinition, ...]
    axes: Mapping[str, Vector]
    depths: tuple[float, ...]
    angle: int
    """Degrees of the smallest turn."""
    notation: str
    turns: Mapping[str, Turn] = field(default_factory=dict)
    """Turns with a name of their own; an axis without one names its outermost layer."""
    title: str = ""
    """What readers know it by."""
    coloured: bool = False
    """Whether its colours are those that an author has written for it, and no guide's come before them."""

    def outer(self, axis: str) -> int:
        """How many layers the turn turns that is called as the axis."""
        return self.turns[axis].last if axis in self.turns else 1


def equal_layers(size: int) -> tuple[float, ...]:
    """The cuts that leave `size` layers of one thickness between two opposite faces."""
    return tuple(1 - 2 * k / size for k in range(1, size))
