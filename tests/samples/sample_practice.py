"""Sequences to practise, which the tests of several rooms use, and SymPy's own cube to try answers on."""

from __future__ import annotations

from collections.abc import Iterable

from sample_methods import SEQUENCES as FOUR
from sympy.combinatorics import Permutation as SympyPermutation
from sympy.combinatorics.generators import rubik_cube_generators

from sitegen.moves.parse import parse
from sitegen.moves.turning import expand
from sitegen.problems import written
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Puzzle, Turn

SEQUENCES = FOUR | {
    "flip-pair": f"[{FOUR['lift']}, U]",  # so this flips UF and UR
    "three-edges": "R U' R U R U R U' R' U' R2",  # common practice: three edges of U go round
    "slices": "M2 U M2 U2 M2 U M2",  # common practice: edges of U change places in two pairs
    "held-otherwise": "R U y",
}
FACES = dict(zip("ULFRBD", rubik_cube_generators(), strict=True))
"""SymPy lists the turns in this order, as the paper does that it takes them from."""


def on_sympys_cube(text: str) -> SympyPermutation:
    """What turns of the faces do to SymPy's cube of three layers, which knows nothing of this one."""
    done = SympyPermutation(47)
    for turn in text.split():
        done = done * FACES[turn[0]] ** {"": 1, "2": 2, "'": -1}[turn[1:]]
    return done


def as_sympy(p: Permutation, puzzle: Puzzle) -> SympyPermutation:
    return SympyPermutation(list(p)[: len(puzzle.stickers)])


def composed(turns: Iterable[Turn], puzzle: Puzzle) -> SympyPermutation:
    """Turns one after the other, put together by SymPy."""
    done = SympyPermutation(len(puzzle.stickers) - 1)
    for turn in turns:
        done = done * as_sympy(puzzle.permutation(turn), puzzle)
    return done


def turned_as_printed(text: str, puzzle: Puzzle) -> SympyPermutation:
    """What a printed text does, no sequence being named in it."""
    return composed(expand(parse(written(text), puzzle)), puzzle)
