"""What scopes and lecture notes say, found again; every answer is turned by a cube that is not sitegen's."""

from __future__ import annotations

import published_cube as published
import pytest
from searching import Word, ask, cube_kit, moves_of, search

from sitegen.problems import Problem
from sitegen.puzzles.puzzle import Puzzle

LIFTED = "flips UF; keeps U except UF"
LIFT = "F D' U L2 U2 D2 R U"
"""Worked out by hand, in the design."""
UP = set(map(published.place, ("UF", "UR", "UB", "UL", "UFR", "UFL", "UBR", "UBL")))
BACK = {"": "'", "'": "", "2": "2"}


def undone(moves: str) -> str:
    return " ".join(turn[0] + BACK[turn[1:]] for turn in reversed(moves.split()))


def normal(moves: str, cube: Puzzle) -> Word:
    return cube_kit(cube).word(moves)


@pytest.fixture(scope="module")
def lifts(cube3: Puzzle) -> list[str]:
    found = search(ask(LIFTED, cube3))
    assert found.shortest == 8
    return moves_of(found)


def test_the_hand_made_sequence_is_among_those_that_lift_an_edge(lifts: list[str], cube3: Puzzle) -> None:
    """Up to the order of U2 and D2, which turn about one line."""
    assert normal(LIFT, cube3) in [normal(moves, cube3) for moves in lifts]


def test_every_sequence_found_lifts_the_edge_and_keeps_the_rest_of_u(lifts: list[str]) -> None:
    for moves in lifts:
        assert len(moves.split()) == 8
        assert published.place("UF") in published.flips(moves)
        assert published.changed(moves) & UP == {published.place("UF")}


@pytest.mark.parametrize("turn", ["U", "U2", "U'"])
def test_with_a_turn_of_u_each_of_them_changes_two_edges_of_u_and_nothing_else(
    turn: str, lifts: list[str]
) -> None:
    """Common practice: [A, U] changes only pieces of U, the one A changed and the one U brings there."""
    after = {"U": "UR", "U2": "UB", "U'": "UL"}[turn]
    for moves in lifts:
        commutator = f"{moves} {turn} {undone(moves)} {undone(turn)}"
        assert published.changed(commutator) == {published.place("UF"), published.place(after)}


def test_the_set_that_lifts_an_edge_holds_its_mirror_images(lifts: list[str], cube3: Puzzle) -> None:
    """In the mirror between L and R the edge UF is itself."""
    swap = {"L": "R", "R": "L"}
    images = [" ".join(swap.get(t[0], t[0]) + BACK[t[1:]] for t in moves.split()) for moves in lifts]
    assert {normal(moves, cube3) for moves in images} == {normal(moves, cube3) for moves in lifts}


def test_order_105_takes_two_turns(cube3: Puzzle) -> None:
    """Singmaster, *Notes on Rubik's 'Magic Cube'*: R U has order 105."""
    found = search(ask("order 105", cube3, "RU"))
    assert found.counts[0] == found.counts[1] == 0
    assert "R U" in moves_of(found)
    assert all(published.order(moves) == 105 for moves in moves_of(found))


def test_order_1260_takes_five_turns(cube3: Puzzle) -> None:
    """Singmaster: R U2 D' B D' has the largest order, 1260. By hand: it takes DL to BR, and BR to DL."""
    found = search(ask("order 1260; cycles DL > RB > LD", cube3, "RUDB"))
    assert found.shortest == 5
    assert normal("R U2 D' B D'", cube3) in [normal(moves, cube3) for moves in moves_of(found)]
    assert all(published.order(moves) == 1260 for moves in moves_of(found))


def test_the_commutator_of_r_and_u_is_the_one_shortest_word_for_what_it_does(cube3: Puzzle) -> None:
    """Singmaster: R U R' U' has order 6."""
    found = search(ask("same as @x; order 6", cube3, "RU", others={"x": "R U R' U'"}))
    assert found.shortest == 4
    assert moves_of(found) == ["R U R' U'"]


@pytest.mark.parametrize(
    ("claims", "law"),
    [
        # J. Chen, *Group Theory and the Rubik's Cube*: flips are even, twists whole, swaps of one sign.
        ("flips UF; keeps all except UF", "flips of edges come in pairs"),
        ("twists UFR clockwise; keeps all except UFR", "twists of corners add up to whole turns"),
        ("flips UF; changes only UF, UFR, UFL and UBL", "flips of edges come in pairs"),
        ("swaps UF with UR; changes only UF, UR and DF; keeps DF", "permuted both evenly or both oddly"),
    ],
)
def test_what_the_laws_forbid_is_refused_with_the_law(claims: str, law: str, cube3: Puzzle) -> None:
    with pytest.raises(Problem) as refused:
        ask(claims, cube3)
    assert refused.value.message.startswith("no sequence does this: ")
    assert law in refused.value.message
    assert refused.value.hint


@pytest.mark.parametrize("claims", ["flips UF and UR; changes only UF, UR and corners", "swaps UF with UR"])
def test_what_the_laws_allow_is_not_refused(claims: str, cube3: Puzzle) -> None:
    ask(claims, cube3)


def test_three_edges_of_the_middle_layer_go_round_by_four_turns_with_slices(cube3: Puzzle) -> None:
    """By hand: M' U2 M swaps UF with DF, and UL with UR; U2 then swaps UF with UB, and UL with UR again."""
    claims = "cycles UF > DF > UB; changes only UF, DF and UB"
    found = search(ask(claims, cube3, "UL", slices=True, metric="stm"))
    assert found.shortest == 4
    assert "M' U2 M U2" in moves_of(found)
