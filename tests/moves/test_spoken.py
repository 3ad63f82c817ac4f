"""Moves said aloud: every sign of a turn is heard, and two turns that differ sound different."""

from __future__ import annotations

import pytest

from sitegen.moves.notation import write
from sitegen.moves.spoken import spoken_turn
from sitegen.puzzles import catalogue
from sitegen.puzzles.puzzle import Turn


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("R", "R"),
        ("R'", "R prime"),
        ("R’", "R prime"),
        ("U2", "U 2"),
        ("U2'", "U 2 prime"),
        ("3Rw", "3 R w"),
        ("2-3F2", "2 to 3 F 2"),
        ("Dbr'", "D b r prime"),
        ("u", "small u"),
        ("2r'", "2 small r prime"),
        ("R++", "R plus plus"),
        ("D--", "D minus minus"),
    ],
)
def test_a_turn_is_said_sign_by_sign(text: str, said: str) -> None:
    assert spoken_turn(text) == said


@pytest.mark.parametrize("name", catalogue.names())
def test_no_two_turns_of_a_puzzle_sound_alike(name: str) -> None:
    """Small letters are heard as the name of the letter, so that they count as capitals here."""
    puzzle = catalogue.puzzle(name)
    written = {
        write(Turn(axis, first, last, amount), puzzle)
        for axis in puzzle.axes
        for first in range(1, puzzle.layer_count + 1)
        for last in range(first, puzzle.layer_count + 1)
        for amount in puzzle.amounts
    }
    assert len({spoken_turn(text).upper() for text in written}) == len(written)
