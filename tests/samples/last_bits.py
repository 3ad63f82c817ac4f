"""Figures as they are where computing loses other bits than here: run with a number, it says other bits.

Nothing of the project is imported before the functions that compute with floats are made to be off.
"""

from __future__ import annotations

import json
import random
import sys
from collections.abc import Callable
from functools import wraps
from importlib import import_module
from typing import Any

LOST = 1e-13
"""How far off they are at most, as a share: much more than a float loses, so that no luck hides it."""
COMPUTING = {
    "sitegen.puzzles.geometry": "dot cross add scale subtract norm unit mean apply",
    "sitegen.figures.plane": "plus minus distance towards left middle area inner_radius",
}


def lose_other_bits(seed: str) -> None:
    draw = random.Random(seed)

    def off(value: Any) -> Any:
        if isinstance(value, tuple):
            return tuple(map(off, value))
        return value * (1 + draw.uniform(-LOST, LOST)) if isinstance(value, float) else value

    def inexact(function: Callable[..., Any]) -> Callable[..., Any]:
        return wraps(function)(lambda *values: off(function(*values)))

    for name, functions in COMPUTING.items():
        module = import_module(name)
        for each in functions.split():
            setattr(module, each, inexact(getattr(module, each)))


def figures() -> dict[str, str]:
    """Of every puzzle in every view some turns, and some sequences that change few pieces, on a copy too;
    and what a page knows of it that plays turns."""
    from sitegen.figures.draw import draw
    from sitegen.figures.of_position import palette, picture
    from sitegen.figures.trace import every_slot, trace
    from sitegen.figures.views import available
    from sitegen.puzzles import catalogue
    from sitegen.puzzles import permutation as perm
    from sitegen.site.turning_files import turning_files

    drawn = {}
    for name in catalogue.names():
        puzzle, chosen = catalogue.puzzle(name), random.Random(name)
        turns = sorted(puzzle.turns())
        shown = [(puzzle.identity, (turn,)) for turn in chosen.sample(turns, 4)]
        for _ in range(8):
            a, b = (puzzle.permutation(turn) for turn in chosen.sample(turns, 2))
            back = perm.compose(perm.inverse(a), perm.inverse(b))
            moved = perm.compose(perm.compose(a, b), back)
            shown.append((moved, trace(puzzle, moved, every_slot(puzzle))))
        for view in available(puzzle):
            for number, (position, marks) in enumerate(shown):
                colours = palette(puzzle, for_copies=number % 6 == 0)
                figure = picture(puzzle, position, colours, "A title", "What it shows.", marks=marks)
                drawn[f"{name}, {view}, {number}"] = draw(figure, view)
        drawn[f"{name}, played"] = dict(turning_files([puzzle], {}))[f"turning/{name}.js"].decode()
    return drawn


if __name__ == "__main__":
    lose_other_bits(sys.argv[1])
    json.dump(figures(), sys.stdout)
