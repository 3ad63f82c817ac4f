"""What moves do that are written as text."""

from __future__ import annotations

from sitegen.moves.parse import parse
from sitegen.moves.turning import permutation
from sitegen.problems import written
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Puzzle


def does(text: str, puzzle: Puzzle) -> Permutation:
    return permutation(parse(written(text), puzzle), puzzle)
