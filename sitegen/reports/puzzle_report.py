"""A puzzle told in a line, or with all its turns and places, and as data for programs."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Any

from sitegen.moves.notation import layer_names
from sitegen.puzzles.puzzle import Puzzle


def puzzle_as_data(puzzle: Puzzle) -> dict[str, Any]:
    """Its name, how many stickers and pieces of each kind it has, and the names of its layers."""
    return {
        "name": puzzle.name,
        "stickers": len(puzzle.stickers),
        "pieces": dict(Counter(piece.kind for piece in puzzle.pieces)),
        "turns": list(layer_names(puzzle)),
    }


def puzzle_in_a_line(puzzle: Puzzle) -> str:
    """`cube-2      24 stickers: 8 corners`"""
    about = puzzle_as_data(puzzle)
    pieces = ", ".join(f"{count} {kind}s" for kind, count in about["pieces"].items())
    return f"{puzzle.name:9} {about['stickers']:4} stickers: {pieces}"


def puzzle_in_words(puzzle: Puzzle) -> Iterator[str]:
    """Line by line its turns, and the places of each kind."""
    about = puzzle_as_data(puzzle)
    yield f"{puzzle.name}: {about['stickers']} stickers"
    yield f"  turns     {' '.join(about['turns'])}"
    for kind in about["pieces"]:
        names = " ".join(piece.name for piece in puzzle.pieces if piece.kind == kind)
        yield f"  {kind + 's':9} {names}"
