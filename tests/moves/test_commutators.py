"""How a commutator works, on random sequences: what was left alone stays so, and the rest is undone.

Common practice: a sequence A, a turn T of a layer, A undone, T undone. The first test is the general law; the
others are the way of thinking that guides teach, on sequences that change one place of the layer.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

import pytest
from hypothesis import given
from hypothesis import strategies as st
from random_moves import any_turn, cube_and_turns
from turned_text import does

from sitegen.moves.turning import permutation_of
from sitegen.puzzles import catalogue
from sitegen.puzzles.permutation import Permutation, compose, inverse
from sitegen.puzzles.puzzle import Puzzle, Turn

CUBE = catalogue.puzzle("cube-3")
TURNS = cube_and_turns(8)
LAYER = frozenset(piece.index for piece in CUBE.pieces if piece.layers["U"] == 1)


def commutator(a: Permutation, t: Permutation) -> Permutation:
    return compose(compose(a, t), compose(inverse(a), inverse(t)))


def changed(p: Permutation, puzzle: Puzzle) -> set[int]:
    """The places whose piece is elsewhere, or turned in place."""
    return {piece.index for piece in puzzle.pieces if any(p[slot] != slot for slot in piece.stickers)}


def place_after(p: Permutation, piece: int, puzzle: Puzzle) -> int:
    return puzzle.piece_at(p[puzzle.pieces[piece].stickers[0]]).index


@given(TURNS, st.data())
def test_a_commutator_moves_only_pieces_in_the_layer_or_that_a_brings_into_it(pair, data) -> None:
    """On every cube. Any other piece sees A and then A undone, with no turn between that reaches it."""
    puzzle, turns = pair
    t = data.draw(any_turn(puzzle))
    a, turn = permutation_of(turns, puzzle), puzzle.permutation(t)
    layer = {piece.index for piece in puzzle.pieces if t.first <= piece.layers[t.axis] <= t.last}
    brought = {piece.index for piece in puzzle.pieces if place_after(a, piece.index, puzzle) in layer}
    assert changed(commutator(a, turn), puzzle) <= layer | brought


@given(TURNS, st.data())
def test_moves_that_leave_a_layer_alone_commute_with_its_turns(pair, data) -> None:
    """Where A and T change no common place, A T A' T' is nothing."""
    puzzle, _ = pair
    axis = data.draw(st.sampled_from(list(puzzle.axes)))
    blocks = st.integers(1, puzzle.layer_count - 1)
    cut = data.draw(blocks)
    a = puzzle.permutation(Turn(axis, 1, cut, data.draw(st.sampled_from([1, 2, -1]))))
    t = puzzle.permutation(Turn(axis, cut + 1, puzzle.layer_count, data.draw(st.sampled_from([1, 2, -1]))))
    assert commutator(a, t) == puzzle.identity


# --- sequences that change exactly one place of the U layer ---------------------------------------


def text(moves: str) -> Permutation:
    return does(moves, CUBE)


def disturbed(p: Permutation) -> set[int]:
    """The places of U whose piece is elsewhere, or turned in place."""
    return {index for index in LAYER if any(p[slot] != slot for slot in CUBE.pieces[index].stickers)}


def the_place(a: Permutation) -> int:
    (place,) = disturbed(a)
    return place


def goes_to(a: Permutation) -> int:
    return place_after(a, the_place(a), CUBE)


@cache
def replacing() -> list[Permutation]:
    """All words of up to 3 turns and slices that put another piece in one place of U and keep the rest of it.

    The place is an edge's or a corner's: a turn of U leaves the centre where it is.
    """
    turns = [CUBE.permutation(Turn(axis, k, k, n)) for axis in CUBE.axes for k in (1, 2) for n in (1, 2, -1)]
    level, known = {CUBE.identity}, {CUBE.identity}
    for _ in range(3):
        level = {compose(p, turn) for p in level for turn in turns} - known
        known |= level
    one = [p for p in known if len(disturbed(p)) == 1]
    return sorted(p for p in one if CUBE.pieces[the_place(p)].kind != "centre")


@cache
def turning_in_place() -> list[Permutation]:
    """Two ways to take a piece from U to one place, one done and the other undone: it comes back turned.

    The design's own example is one more.
    """
    both = [
        compose(a, inverse(b))
        for a in replacing()
        for b in replacing()
        if (the_place(a), goes_to(a)) == (the_place(b), goes_to(b))
    ]
    return sorted({text("F D' U L2 U2 D2 R U"), *(p for p in both if disturbed(p))})


def seen_from_any_side(sequences: Callable[[], list[Permutation]]) -> st.SearchStrategy[Permutation]:
    """One of the sequences, then perhaps turns that keep U, all seen from one of the four sides."""
    blocks = [(1, 1), (2, 2), (1, 2)]
    below = [CUBE.permutation(Turn("D", *block, n)) for block in blocks for n in (1, 2, -1)]
    return st.builds(
        lambda a, then, about: compose(compose(inverse(about), compose(a, then)), about),
        st.deferred(lambda: st.sampled_from(sequences())),
        st.sampled_from([CUBE.identity, *below]),
        st.sampled_from([text(moves) for moves in ("", "y", "y2", "y'")]),
    )


REPLACING, TURNING = seen_from_any_side(replacing), seen_from_any_side(turning_in_place)
TURNS_OF_U = [CUBE.permutation(Turn("U", 1, 1, n)) for n in (1, 2, -1)]


def test_there_are_sequences_of_both_kinds_for_edges_and_corners() -> None:
    """Else the tests below would promise nothing."""
    for sequences in (replacing(), turning_in_place()):
        assert {CUBE.pieces[the_place(a)].kind for a in sequences} == {"edge", "corner"}
        assert len(sequences) > 40
    assert all(goes_to(a) not in LAYER for a in replacing())
    assert all(goes_to(a) == the_place(a) for a in turning_in_place())


def test_the_designs_example_flips_one_edge_of_u_in_its_place() -> None:
    a = text("F D' U L2 U2 D2 R U")
    assert CUBE.pieces[the_place(a)].name == "UF"
    assert a[CUBE.slots["UF"]] == CUBE.slots["FU"]


@given(st.one_of(REPLACING, TURNING), st.sampled_from(TURNS_OF_U))
def test_the_rest_of_the_layer_stays_as_it_was(a: Permutation, t: Permutation) -> None:
    """Of the layer only the place that A changed, and the place whose piece T brought to it, are changed."""
    p = the_place(a)
    assert disturbed(commutator(a, t)) == {p, place_after(inverse(t), p, CUBE)}


@given(TURNING, st.sampled_from(TURNS_OF_U))
def test_a_sequence_that_turns_a_piece_in_its_place_changes_two_pieces_of_the_layer_alone(a, t) -> None:
    p = the_place(a)
    both = commutator(a, t)
    assert changed(both, CUBE) == {p, place_after(inverse(t), p, CUBE)}
    assert all(place_after(both, place, CUBE) == place for place in changed(both, CUBE))


@given(REPLACING, st.sampled_from(TURNS_OF_U))
def test_a_sequence_that_replaces_a_piece_cycles_two_places_of_the_layer_and_one_outside(a, t) -> None:
    """The third is where the piece came from that A put into the layer."""
    p = the_place(a)
    came_from = place_after(inverse(a), p, CUBE)
    assert came_from not in LAYER
    cycled = commutator(a, t)
    assert changed(cycled, CUBE) == {p, place_after(inverse(t), p, CUBE), came_from}
    assert all(place_after(cycled, place, CUBE) != place for place in changed(cycled, CUBE))


@pytest.mark.parametrize("amount", ["", "2", "'"])
def test_the_designs_example_as_a_commutator_flips_two_edges_and_nothing_else(cube3, turned, amount) -> None:
    p = turned(f"[F D' U L2 U2 D2 R U, U{amount}]", cube3)
    flipped = {"": {"UF", "UR"}, "2": {"UF", "UB"}, "'": {"UF", "UL"}}[amount]
    assert {CUBE.pieces[place].name for place in changed(p, CUBE)} == flipped
    for name in flipped:
        assert p[CUBE.slots[name]] == CUBE.slots[name[::-1]]
