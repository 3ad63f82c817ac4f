"""The puzzles that ship, by name; each is built once, when it is first asked for."""

from __future__ import annotations

from functools import cache
from importlib.resources import files

from sitegen.puzzles.build import build
from sitegen.puzzles.definition import Definition, read_definitions
from sitegen.puzzles.puzzle import Puzzle


@cache
def definitions() -> dict[str, Definition]:
    folder = files("sitegen.puzzles").joinpath("definitions")
    found: dict[str, Definition] = {}
    for entry in sorted(folder.iterdir(), key=lambda entry: entry.name):
        if entry.name.endswith(".yaml"):
            found.update(read_definitions(entry.read_text(encoding="utf-8")))
    return found


def names() -> list[str]:
    return list(definitions())


@cache
def puzzle(name: str) -> Puzzle:
    """The puzzle with this name; KeyError where none is called so."""
    return build(definitions()[name])
