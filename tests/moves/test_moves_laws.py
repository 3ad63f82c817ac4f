"""Laws that hold for all moves, tried on random ones on cube-2 to cube-7."""

from __future__ import annotations

from functools import reduce

import pytest
from hypothesis import given
from hypothesis import strategies as st
from random_moves import any_turn, cube_and_moves, cube_and_turns, moves, undone

from sitegen.moves import notation
from sitegen.moves.metrics import Length, length, turn_length
from sitegen.moves.notation import layers_of
from sitegen.moves.parse import parse
from sitegen.moves.simplify import simplify
from sitegen.moves.tree import SingleTurn
from sitegen.moves.turning import expand, inverse_turns, mirror, permutation, permutation_of, turn_count
from sitegen.problems import written
from sitegen.puzzles import catalogue
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.puzzle import Puzzle, Turn

TEXTS = cube_and_moves()
TURNS = cube_and_turns()


def read(text: str, puzzle: Puzzle):
    return parse(written(text), puzzle)


def one_by_one(turns, puzzle: Puzzle):
    """Letters and amounts, turned one after another by the smallest turn only."""
    p = puzzle.identity
    for letter, amount in turns:
        once = puzzle.permutation(layers_of(letter, puzzle))
        p = reduce(perm.compose, [once] * (amount % 4), p)
    return p


@given(TEXTS)
def test_nested_moves_do_what_their_turns_do_one_by_one(pair) -> None:
    puzzle, sample = pair
    assert permutation(read(sample.text, puzzle), puzzle) == one_by_one(sample.turns, puzzle), sample.text


@given(TEXTS)
def test_nested_moves_are_written_out_as_their_turns_in_order(pair) -> None:
    puzzle, sample = pair
    tree = read(sample.text, puzzle)
    turns = expand(tree)
    assert turns == tuple(
        Turn(t.axis, t.first, t.last, t.amount * amount)
        for letter, amount in sample.turns
        for t in [layers_of(letter, puzzle)]
    )
    assert turn_count(tree) == len(sample.turns)
    assert permutation_of(turns, puzzle) == permutation(tree, puzzle)


@given(TEXTS)
def test_the_length_of_moves_is_the_sum_over_their_turns(pair) -> None:
    puzzle, sample = pair
    tree = read(sample.text, puzzle)
    singles = [turn_length(turn, puzzle) for turn in expand(tree)]
    assert length(tree, puzzle) == Length(
        sum(one.obtm for one in singles),
        sum(one.qtm for one in singles),
        sum(one.stm for one in singles),
        sum(one.etm for one in singles),
    )


@given(TEXTS)
def test_a_prime_behind_a_group_undoes_it(pair) -> None:
    puzzle, sample = pair
    assert permutation(read(f"{sample.text} ({sample.text})'", puzzle), puzzle) == puzzle.identity
    undoing = permutation(read(f"({sample.text})'", puzzle), puzzle)
    assert undoing == one_by_one(undone(sample.turns), puzzle)


@given(TEXTS)
def test_every_node_stands_where_its_passage_says(pair) -> None:
    """The text of a passage, read alone, is the node again."""
    puzzle, sample = pair
    tree = read(sample.text, puzzle)
    for item in tree.items:
        again = read(item.passage.text, puzzle)
        assert permutation(again, puzzle) == permutation(item, puzzle)
        if isinstance(item, SingleTurn):
            assert again.items[0].turn == item.turn


@given(TURNS)
def test_the_inverse_of_turns_undoes_them(pair) -> None:
    puzzle, turns = pair
    there = permutation_of(turns, puzzle)
    back = permutation_of(inverse_turns(turns), puzzle)
    assert perm.compose(there, back) == puzzle.identity
    assert back == perm.inverse(there)


@given(TURNS, st.data())
def test_turns_seen_in_a_mirror_do_what_the_mirror_shows(pair, data) -> None:
    """Mirror, do the mirrored turns, mirror: the same as the turns themselves."""
    puzzle, turns = pair
    plane = data.draw(st.sampled_from(list(puzzle.mirrors.values())))
    seen = permutation_of(mirror(turns, puzzle, plane), puzzle)
    shown = perm.compose(perm.compose(perm.inverse(plane), permutation_of(turns, puzzle)), plane)
    assert seen == shown


@given(TURNS, st.data())
def test_a_mirror_seen_in_a_mirror_is_the_thing_itself(pair, data) -> None:
    puzzle, turns = pair
    plane = data.draw(st.sampled_from(list(puzzle.mirrors.values())))
    assert mirror(mirror(turns, puzzle, plane), puzzle, plane) == turns


def test_r_in_the_mirror_between_left_and_right_is_l_anticlockwise(cube3: Puzzle) -> None:
    assert mirror((Turn("R", 1, 1, 1),), cube3, cube3.mirrors["L", "R"]) == (Turn("L", 1, 1, -1),)
    assert mirror((Turn("U", 1, 1, 1),), cube3, cube3.mirrors["L", "R"]) == (Turn("U", 1, 1, -1),)


@given(TURNS)
def test_simplified_turns_do_the_same_are_no_more_and_cannot_be_simplified_again(pair) -> None:
    puzzle, turns = pair
    fewer = simplify(turns, puzzle)
    assert permutation_of(fewer, puzzle) == permutation_of(turns, puzzle)
    assert len(fewer) <= len(turns)
    assert simplify(fewer, puzzle) == fewer


@given(TURNS)
def test_turns_and_their_inverse_simplify_to_nothing(pair) -> None:
    puzzle, turns = pair
    assert simplify(turns + inverse_turns(turns), puzzle) == ()


@pytest.mark.parametrize(
    ("long", "short"),
    [
        ("R R", "R2"),
        ("R R R", "R'"),
        ("R R'", ""),
        ("R2 R2'", ""),
        ("R L R'", "L"),
        ("R U U' R'", ""),
        ("R M' R2 M", "R'"),
        ("R U R'", "R U R'"),
        ("D U D' U", "U2"),
        ("M L R M'", "L R"),
    ],
)
def test_simplify_by_example(cube3: Puzzle, long: str, short: str) -> None:
    fewer = simplify(expand(read(long, cube3)), cube3)
    assert " ".join(notation.write(turn, cube3) for turn in fewer) == short


def test_parallel_turns_in_any_order_simplify_to_one_writing(cube3: Puzzle) -> None:
    assert simplify(expand(read("L R", cube3)), cube3) == simplify(expand(read("R L", cube3)), cube3)


@given(st.sampled_from(range(2, 8)), st.data())
def test_a_turn_written_and_read_again_turns_the_same_layers(size: int, data) -> None:
    puzzle = catalogue.puzzle(f"cube-{size}")
    turn = data.draw(any_turn(puzzle))
    text = notation.write(turn, puzzle)
    (again,) = expand(read(text, puzzle))
    assert puzzle.permutation(again) == puzzle.permutation(turn), text


@pytest.mark.parametrize("size", range(2, 8))
def test_every_layer_that_a_puzzle_lists_can_be_written(size: int) -> None:
    puzzle = catalogue.puzzle(f"cube-{size}")
    for turn in puzzle.turns():
        (again,) = expand(read(notation.write(turn, puzzle), puzzle))
        assert puzzle.permutation(again) == puzzle.permutation(turn)


@given(TEXTS, st.integers(0, 5))
def test_a_repeat_is_the_moves_done_that_often(pair, count: int) -> None:
    puzzle, sample = pair
    once = permutation(read(sample.text, puzzle), puzzle)
    repeated = permutation(read(f"({sample.text}){count}", puzzle), puzzle)
    assert repeated == reduce(perm.compose, [once] * count, puzzle.identity)


@given(st.sampled_from(range(2, 8)), st.data())
def test_brackets_equal_their_expansion(size: int, data) -> None:
    puzzle = catalogue.puzzle(f"cube-{size}")
    a, b = data.draw(moves(size)).text, data.draw(moves(size)).text
    for bracket, long in ((f"[{a}, {b}]", f"{a} {b} ({a})' ({b})'"), (f"[{a}: {b}]", f"{a} {b} ({a})'")):
        meant = permutation(read(long, puzzle), puzzle)
        assert permutation(read(bracket, puzzle), puzzle) == meant
        assert permutation_of(expand(read(bracket, puzzle)), puzzle) == meant
