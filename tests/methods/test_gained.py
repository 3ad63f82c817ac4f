"""What a stage adds to what earlier ones reached, sticker by sticker: by hand on a cube."""

from __future__ import annotations

import pytest
from stages import goals

from sitegen.methods.goals import Gained, gained, labels
from sitegen.puzzles.puzzle import Puzzle


def found(before: str, wanted: str, puzzle: Puzzle) -> Gained:
    earlier, later = goals(puzzle, before), goals(puzzle, wanted)
    return gained(labels(puzzle, earlier), later, labels(puzzle, (*earlier, *later)), puzzle)


def names(slots: frozenset[int], puzzle: Puzzle) -> set[str]:
    return {puzzle.stickers[slot].name for slot in slots}


UPPER = {"UFR", "RUF", "FUR", "UBR", "RUB", "BUR", "UBL", "LUB", "BUL", "UFL", "LUF", "FUL"}


@pytest.mark.parametrize(
    ("before", "wanted", "new", "placed"),
    [
        ("corners of U oriented by U", "corners of U home", " ".join(sorted(UPPER)), ""),
        ("", "UF home", "UF FU", ""),
        ("", "UF placed", "UF FU", "UF FU"),
        ("", "UF oriented by U", "UF", ""),
        ("UF placed", "UF oriented by U", "UF FU", ""),
        ("UF home", "UF and UR home", "UR RU", ""),
        ("UF placed", "UR placed", "UR RU", "UR RU"),
        ("UF placed", "UF and UR placed", "UR RU", "UR RU"),
        # Where the white one of each lies up, it has to be the right one, and then the other is known.
        ("edges of U oriented by U", "UF and UB placed", "UF FU UB BU", ""),
        ("UF home", "UF placed", "", ""),
    ],
)
def test_what_is_new_is_what_nothing_asked_about_before_or_asked_less(
    cube3: Puzzle, before: str, wanted: str, new: str, placed: str
) -> None:
    by_hand = (set(new.split()), set(placed.split()))
    reached = found(before, wanted, cube3)
    assert (names(reached.new, cube3), names(reached.placed, cube3)) == by_hand


def test_what_earlier_stages_solved_is_asked_for_still_and_not_new(cube3: Puzzle) -> None:
    reached = found("D home", "corners placed", cube3)
    lower = {s.index for s in cube3.stickers if "D" in s.name}
    upper = {s.index for s in cube3.stickers if {*s.name} in ({*name} for name in UPPER)}
    assert len(upper) == 12
    assert reached.new == reached.placed == upper
    assert reached.asked == lower | upper


@pytest.mark.parametrize(
    ("before", "wanted", "own"),
    [
        ("", "UF and UR placed", {"UF", "UR"}),
        ("", "edges of U oriented by U", set()),  # each may be where another belongs
        ("", "UF oriented by U", {"UF"}),
        ("UF placed", "edges of U oriented by U", {"UF"}),
    ],
)
def test_a_piece_is_known_to_be_in_its_place_where_no_other_may_be_there(
    cube3: Puzzle, before: str, wanted: str, own: set[str]
) -> None:
    reached = found(before, wanted, cube3)
    assert {cube3.piece_at(slot).name for slot in reached.own} == own
