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
    """The puzzles that one YAML file defines: one, or one for each of its sizes. Raises DefinitionError."""
    try:
        data = yaml.safe_load(text)
    except yaml.YAMLError as error:
        raise DefinitionError(f"YAML: {error}") from None
    if not isinstance(data, dict):
        raise DefinitionError("a definition is a list of keys and values")
    missing = {"name", "solid", "axes", "depths", "angle", "faces"} - data.keys()
    if missing:
        raise DefinitionError(f"the definition lacks {', '.join(sorted(missing))}")
    if "sizes" not in data:
        return {data["name"]: _definition(data, data["name"], _depths(data["depths"]))}
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
    if not isinstance(data["faces"], dict):
        raise DefinitionError("faces are names, each with a direction towards which it lies, and a colour")
    faces = tuple(_face(str(face), entry) for face, entry in data["faces"].items())
    axes = _axes(data["axes"], faces)
    return Definition(name, data["solid"], faces, axes, depths, data["angle"], str(data.get("notation", "")))


def _depths(numbers: object) -> tuple[float, ...]:
    if not isinstance(numbers, list) or not all(isinstance(n, int | float) for n in numbers):
        raise DefinitionError("depths are a list of numbers, the distances of the cuts from the middle")
    return tuple(map(float, numbers))


def _face(name: str, entry: object) -> FaceDefinition:
    if not isinstance(entry, dict) or not {"towards", "colour"} <= entry.keys():
        raise DefinitionError(f"the face {name} needs a direction towards which it lies, and a colour")
    return FaceDefinition(name, _direction(entry["towards"]), str(entry["colour"]))


def _axes(axes: object, faces: tuple[FaceDefinition, ...]) -> dict[str, Vector]:
    if axes == "faces":
        return {face.name: face.towards for face in faces}
    if not isinstance(axes, dict):
        raise DefinitionError("axes are “faces”, or names each with a direction")
    return {str(axis): _direction(towards) for axis, towards in axes.items()}


def _direction(numbers: object) -> Vector:
    if (
        not isinstance(numbers, list)
        or len(numbers) != 3
        or not all(isinstance(n, int | float) for n in numbers)
    ):
        raise DefinitionError(f"a direction is three numbers, not {numbers}")
    if not any(numbers):
        raise DefinitionError("a direction points somewhere; its three numbers are not all 0")
    x, y, z = map(float, numbers)
    return unit((x, y, z))
