"""The demo guide holds nothing that says nothing: what is left out of its puzzle's description is missed."""

from __future__ import annotations

from pathlib import Path

import pytest
from sample_definitions import own_puzzles

from sitegen.figures.draw import draw
from sitegen.figures.of_position import palette, picture
from sitegen.problems import Findings

FILE = Path(__file__).parents[1] / "content/puzzles/double-tent.yaml"
LINES = [line for line in FILE.read_text(encoding="utf-8").splitlines() if not line.startswith("#")]


def looks(lines: list[str]) -> str:
    """The puzzle as it is drawn solved, with its letters."""
    (puzzle,) = own_puzzles("double-tent", "\n".join(lines)).values()
    shown = picture(puzzle, puzzle.identity, palette(puzzle), "Solved", "All home.", letters_shown=True)
    return draw(shown, "net")


@pytest.mark.parametrize("line", LINES)
def test_no_line_of_the_double_tent_goes_without_saying(line: str) -> None:
    """Without it the file is refused, or the puzzle looks otherwise."""
    left = [other for other in LINES if other != line]
    assert Findings().attempt("", looks, left) != looks(LINES)
