"""Which answers come first, and what is left of them when few are asked for."""

from __future__ import annotations

import pytest
from searching import ask, moves_of, search

from sitegen.moves.parse import parse
from sitegen.moves.turning import expand
from sitegen.problems import written
from sitegen.puzzles.puzzle import Puzzle
from sitegen.search.ease import ease


def eased(moves: str, puzzle: Puzzle) -> tuple[int, int, int]:
    return ease(expand(parse(written(moves), puzzle)), puzzle)


@pytest.mark.parametrize(
    ("easier", "harder", "why"),
    [
        # By hand, from the rule: one thing differs, and all before it are alike.
        ("R U R' U'", "R U F' U'", "fewer different layers"),
        ("R U R' U'", "R D R' D'", "none below"),
        ("R F R' F'", "R B R' B'", "none at the back"),
        ("R D R' D'", "R U F U'", "fewer layers, though some are below"),
        ("R U R' U'", "R U2 R' U'", "fewer half turns"),
        ("R2 U2 R2 U2", "R U F R", "fewer layers, though all are half turns"),
        ("R2 U2 R2 U2", "R D R' D'", "nothing below, though all are half turns"),
        ("R L R L", "R Rw M R", "a block and a slice are layers of their own"),
    ],
)
def test_what_is_easier_for_a_hand(easier: str, harder: str, why: str, cube3: Puzzle) -> None:
    assert eased(easier, cube3) < eased(harder, cube3), why


def test_a_middle_layer_is_neither_below_nor_at_the_back(cube3: Puzzle) -> None:
    """E is named by D since it turns as D does; a hand need not reach down for it."""
    assert eased("R E R' E'", cube3) == eased("R M R' M'", cube3)


def test_answers_come_by_length_and_then_by_ease(cube3: Puzzle) -> None:
    found = search(ask("keeps U except UFR", cube3, "RUFD"), 5)
    ranks = [(len(moves.split()), eased(moves, cube3)) for moves in moves_of(found)]
    assert len(set(ranks)) > 5
    assert ranks == sorted(ranks)


@pytest.mark.parametrize("most", [1, 2, 7, 50])
def test_where_few_are_kept_they_are_the_first_and_all_are_counted(most: int, cube3: Puzzle) -> None:
    asked = ask("keeps U except UFR", cube3, "RUFD")
    everything, few = search(asked, 5), search(asked, 5, most=most)
    assert moves_of(few) == moves_of(everything)[:most]
    assert few.counts == everything.counts
