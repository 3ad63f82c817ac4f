"""What a result that is kept follows from."""

from __future__ import annotations

from functools import cache
from hashlib import sha256
from typing import Any

from sitegen.puzzles.puzzle import Puzzle


@cache
def puzzle_inputs(puzzle: Puzzle) -> dict[str, Any]:
    """All of a puzzle that a result can follow from: an author may come to define another of its name."""
    turned = [list(puzzle.permutation(turn)) for turn in puzzle.turns()]
    return {
        "puzzle": puzzle.name,
        "places": [sticker.name for sticker in puzzle.stickers],
        "turned": sha256(repr(turned).encode()).hexdigest(),
    }
