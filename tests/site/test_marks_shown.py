"""What blocks draw: pieces in focus, named by where they belong, are in colour and have arrows in each."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from reading_marks import Goes, read
from sample_guide import guide_of

from sitegen.blocks.moves.sequence_figures import pairs
from sitegen.blocks.position_block import of_position
from sitegen.figures.of_position import palette
from sitegen.figures.views import layout
from sitegen.guide.load import read_guide
from sitegen.puzzles.puzzle import Puzzle

MOVES = "```moves\nmoves: M' U2 M U2\nview: net\nfocus: UF\n"
"""By hand: UF goes to DF, DF to UB and UB to UF, and everything else stays."""


def block_of(tmp_path: Path, text: str):
    guide = read_guide(guide_of(tmp_path, index=text))
    assert guide.problems == ()
    (block,) = guide.blocks["index"]
    return block.checked


def places(figure: str, puzzle: Puzzle) -> list[tuple[str, str]]:
    said = read(figure, layout(puzzle, "net"))
    assert all(isinstance(each, Goes) and each.sticker for each in said)
    return [
        (puzzle.piece_at(each.start).name, puzzle.piece_at(each.end).name)
        for each in said
        if isinstance(each, Goes)
    ]


@pytest.mark.parametrize(
    ("written", "way"),
    [
        # From solved the piece of UF stands there, and goes to DF; where the moves solve, it is at UB before.
        (f"{MOVES}```\n", ("UF", "DF")),
        (f"{MOVES}ends: solved\n```\n", ("UB", "UF")),
        # After U2 it is at UB as well, from where the same moves take it to UF.
        (f"{MOVES}starts: U2\n```\n", ("UB", "UF")),
    ],
)
def test_a_sequence_marks_the_piece_in_focus_where_it_stands(tmp_path: Path, written: str, way) -> None:
    sequence = block_of(tmp_path, written)
    (pair,) = pairs(sequence, palette(sequence.puzzle))
    assert places(pair.before, sequence.puzzle) == [way]


def test_a_position_marks_the_way_home_of_the_piece_in_focus(tmp_path: Path) -> None:
    position = block_of(
        tmp_path,
        "```position\npieces: cycles UF > UR > UL\narrows: yes\nfocus: UF\nview: net\n```\n",
    )
    ((_, figure),) = of_position(position, palette(position.puzzle))
    assert places(figure, position.puzzle) == [("UR", "UF")]
    assert "The arrows and marks lead home." in figure


def test_that_arrows_lead_home_is_seen_too(published) -> None:
    plain, arrows = (
        published({"content/index.md": f"```position\npieces: flips UF and UR\n{key}```\n"})["index.html"]
        for key in ("", "arrows: yes\n")
    )
    assert "lead home" not in plain
    assert '<span class="note" aria-hidden="true">The arrows and marks lead home.</span>' in arrows


@pytest.mark.parametrize(
    ("block", "figures", "note"),
    [
        ("[R2, U2]", 3, ""),
        ("R U R' F'", 4, ""),
        ("R U", 0, "13 pieces move, more than arrows can show."),
        ("x y", 0, "26 pieces move, more than arrows can show."),
        ("moves: [R2, U2]\narrows: no", 0, ""),
        ("M' U2 M U2", 0, ""),
    ],
)
def test_a_card_shows_cycle_by_cycle_what_is_too_much_for_one_figure_or_says_that_it_does_not(
    published, block: str, figures: int, note: str
) -> None:
    html = published({"content/index.md": f"```moves x\n{block}\n```\n"})["index.html"]
    cycles = re.findall(r'<div class="cycles".*?</div>', html, re.DOTALL)
    assert "".join(cycles).count("<svg") == figures
    assert re.findall(r'<p class="note left-out" aria-hidden="true">([^<]*)</p>', html) == [note] * bool(note)
