"""What a puzzle is cut from, as written in a YAML definition: solid, axes, depths, angle, names and colours.

Knows the format of `definitions/*.yaml`; computes nothing.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import yaml

from sitegen.puzzles.geometry import Vector, unit
from sitegen.puzzles.solids import NORMALS


class DefinitionError(Exception):
    """A definition that cannot be built, and why."""


@dataclass(frozen=True)
class FaceDefinition:
    name: str
    towards: Vector
    """Outward unit normal."""
    colour: str


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


def read_definitions(text: str) -> dict[str, Definition]:
    """The puzzles that one YAML file defines: one, or one for each of its sizes."""
    data = yaml.safe_load(text)
    if not isinstance(data, dict):
        raise DefinitionError("a definition is a list of keys and values")
    missing = {"name", "solid", "axes", "depths", "angle", "faces"} - data.keys()
    if missing:
        raise DefinitionError(f"the definition lacks {', '.join(sorted(missing))}")
    if "sizes" not in data:
        return {data["name"]: _definition(data, data["name"], tuple(map(float, data["depths"])))}
    return {
        f"{data['name']}-{size}": _definition(data, f"{data['name']}-{size}", equal_layers(size))
        for size in data["sizes"]
    }


def equal_layers(size: int) -> tuple[float, ...]:
    """The cuts that leave `size` layers of one thickness between two opposite faces."""
    return tuple(1 - 2 * k / size for k in range(1, size))


def _definition(data: Mapping[str, Any], name: str, depths: tuple[float, ...]) -> Definition:
    if data["solid"] not in NORMALS:
        raise DefinitionError(f"no solid is called {data['solid']}; there are {', '.join(NORMALS)}")
    if not isinstance(data["angle"], int) or data["angle"] < 1 or 360 % data["angle"]:
        raise DefinitionError("the angle is a whole number of degrees that divides 360")
    faces = tuple(
        FaceDefinition(str(face), _direction(entry["towards"]), str(entry["colour"]))
        for face, entry in data["faces"].items()
    )
    axes = (
        {face.name: face.towards for face in faces}
        if data["axes"] == "faces"
        else {str(axis): _direction(towards) for axis, towards in data["axes"].items()}
    )
    return Definition(name, data["solid"], faces, axes, depths, data["angle"], str(data.get("notation", "")))


def _direction(numbers: object) -> Vector:
    if not isinstance(numbers, list) or len(numbers) != 3:
        raise DefinitionError(f"a direction is three numbers, not {numbers}")
    x, y, z = map(float, numbers)
    return unit((x, y, z))
