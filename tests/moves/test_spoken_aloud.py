"""Moves said by a synthesizer: what is written apart is heard apart.

Needs espeak-ng; without it these tests are skipped, but not on a build server.
"""

from __future__ import annotations

import os
import shutil
import subprocess
from itertools import combinations

import pytest

from sitegen.moves.spoken import spelled, spoken_moves, spoken_turn
from sitegen.puzzles.puzzle import Puzzle

ESPEAK = shutil.which("espeak-ng")
pytestmark = pytest.mark.skipif(
    ESPEAK is None and not os.environ.get("CI"), reason="espeak-ng is not installed, which says moves aloud"
)


def phonemes(text: str) -> str:
    """What is heard, in the synthesizer's own letters; `-q` keeps it from making any sound."""
    assert ESPEAK, "espeak-ng is not installed"
    said = subprocess.run([ESPEAK, "-q", "-x", "-v", "en", text], capture_output=True, text=True, check=True)
    return " ".join(said.stdout.split())


def test_as_they_are_written_some_moves_sound_alike() -> None:
    """Why there are spoken forms at all."""
    assert phonemes("R") == phonemes("R'")
    assert phonemes("[R, U]") == phonemes("[R U]")
    assert phonemes("u") == phonemes("U")


@pytest.mark.parametrize(
    "alike",
    [
        ("R", "R'", "R2", "r", "r'", "2R", "R2'"),
        ("U", "u", "Uw", "U'"),
        ("[R, U]", "[R: U]", "R U", "(R U)2", "(R U)'", "[R, U]'", "R U'"),
        ("[[R, U], F]", "[R, [U, F]]", "[R, U] F", "[R, U F]", "[R: U F]", "[R: [U: F]]", "[[R: U]: F]"),
        ("@uf-flip", "@uf-flip'", "(@uf-flip)2"),
    ],
)
def test_what_is_written_apart_is_heard_apart(cube3: Puzzle, alike: tuple[str, ...]) -> None:
    heard = {text: phonemes(spoken_moves(text, cube3).replace("@", "")) for text in alike}
    for one, other in combinations(alike, 2):
        assert heard[one] != heard[other], (one, other, heard[one])


def test_a_place_is_heard_letter_by_letter(cube3: Puzzle) -> None:
    assert phonemes(spelled("UF", cube3)) == phonemes("U F") != phonemes("UF")
    assert phonemes(spoken_turn("U")) in phonemes(spelled("UF", cube3))
