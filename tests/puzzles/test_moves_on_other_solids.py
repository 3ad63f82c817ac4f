"""Moves are not for cubes alone: the same laws on the other solids, by their axes' letters."""

from __future__ import annotations

from functools import cache

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sample_definitions import (
    cube_by_eight_vertices,
    cube_by_four_vertices,
    dodecahedron_by_faces,
    octahedron_by_faces,
    octahedron_by_vertices,
    tetrahedron_by_vertices,
)
from turned_text import does

from sitegen.moves.metrics import Length, turn_length
from sitegen.moves.notation import write
from sitegen.moves.parse import parse
from sitegen.moves.simplify import simplify
from sitegen.moves.turning import expand, inverse_turns, mirror, permutation_of
from sitegen.problems import Problem, written
from sitegen.puzzles.permutation import compose, order
from sitegen.puzzles.permutation import inverse as undone
from sitegen.puzzles.puzzle import Puzzle, Turn


@cache
def solids() -> tuple[Puzzle, ...]:
    return (
        tetrahedron_by_vertices(),
        cube_by_four_vertices(),
        cube_by_eight_vertices(),
        octahedron_by_faces(),
        octahedron_by_vertices(),
        dodecahedron_by_faces(),
    )


@st.composite
def solid_and_turns(draw: st.DrawFn) -> tuple[Puzzle, tuple[Turn, ...]]:
    puzzle = draw(st.sampled_from(solids()))
    axes, amounts = st.sampled_from(list(puzzle.axes)), st.sampled_from([1, -1, 2])
    lasts = st.integers(1, puzzle.layer_count)
    turns = st.builds(lambda axis, last, amount: Turn(axis, 1, last, amount), axes, lasts, amounts)
    return puzzle, tuple(draw(st.lists(turns, max_size=10)))


@given(solid_and_turns())
def test_the_inverse_of_turns_undoes_them_on_every_solid(pair) -> None:
    puzzle, turns = pair
    assert permutation_of(turns + inverse_turns(turns), puzzle) == puzzle.identity


@given(solid_and_turns(), st.data())
def test_turns_seen_in_a_mirror_do_what_the_mirror_shows_on_every_solid(pair, data) -> None:
    puzzle, turns = pair
    plane = data.draw(st.sampled_from(list(puzzle.mirrors.values())))
    shown = compose(compose(undone(plane), permutation_of(turns, puzzle)), plane)
    assert permutation_of(mirror(turns, puzzle, plane), puzzle) == shown


@given(solid_and_turns())
def test_simplified_turns_do_the_same_and_are_no_more_on_every_solid(pair) -> None:
    puzzle, turns = pair
    fewer = simplify(turns, puzzle)
    assert permutation_of(fewer, puzzle) == permutation_of(turns, puzzle)
    assert len(fewer) <= len(turns)
    assert simplify(fewer, puzzle) == fewer


@pytest.mark.parametrize(
    ("make", "text", "meant"),
    [
        (tetrahedron_by_vertices, "A2", "A'"),  # a third of a turn: twice is once back
        (cube_by_four_vertices, "[A, B']2", "A B' A' B A B' A' B"),
        (cube_by_four_vertices, "(A B)4", "A B A B A B A B"),
        (dodecahedron_by_faces, "A2'", "A A A"),  # a fifth of a turn
        (dodecahedron_by_faces, "(A2)3", "A"),
        (octahedron_by_vertices, "A2", "A' A'"),
    ],
)
def test_letters_of_axes_are_turns_where_a_puzzle_has_no_notation_of_its_own(make, text, meant) -> None:
    puzzle = make()
    there, same = (does(moves, puzzle) for moves in (text, meant))
    assert there == same != puzzle.identity


@given(solid_and_turns())
def test_outer_turns_are_written_and_read_again_on_every_solid(pair) -> None:
    puzzle, turns = pair
    for turn in turns:
        if turn.last == 1:
            (again,) = expand(parse(written(write(turn, puzzle)), puzzle))
            assert puzzle.permutation(again) == puzzle.permutation(turn)


@pytest.mark.parametrize("make", [tetrahedron_by_vertices, cube_by_four_vertices])
def test_a_letter_that_names_no_axis_is_refused(make) -> None:
    puzzle = make()
    with pytest.raises(Problem) as caught:
        parse(written("A Z"), puzzle)
    assert caught.value.passage.column == 3
    assert caught.value.hint


def test_two_fifths_are_the_most_that_is_written_as_one_turn_of_a_fifth() -> None:
    puzzle = dodecahedron_by_faces()
    assert write(Turn("A", 1, 1, 3), puzzle) == "A2'"
    assert write(Turn("A", 1, 1, 4), puzzle) == "A'"
    with pytest.raises(Problem):
        parse(written("A3"), puzzle)


@pytest.mark.parametrize("index", range(6))
def test_turning_the_whole_puzzle_counts_as_a_rotation_on_every_solid(index: int) -> None:
    """WCA 12a5 and 12a6: rotations are no moves in OBTM and one in ETM."""
    puzzle = solids()[index]
    whole = Turn("A", 1, puzzle.layer_count, 1)
    assert puzzle.permutation(whole) in puzzle.rotations
    assert turn_length(whole, puzzle) == Length(obtm=0, qtm=0, stm=0, etm=1)


@given(solid_and_turns(), st.data())
def test_a_commutator_moves_only_the_layer_and_what_a_brings_into_it_on_every_solid(pair, data) -> None:
    puzzle, turns = pair
    axis = data.draw(st.sampled_from(list(puzzle.axes)))
    a, t = permutation_of(turns, puzzle), puzzle.permutation(Turn(axis, 1, 1, 1))
    layer = {s.index for s in puzzle.stickers if puzzle.pieces[s.piece].layers[axis] == 1}
    both = compose(compose(a, t), compose(undone(a), undone(t)))
    assert order(t) == puzzle.full_turn
    changed = [slot for slot in range(len(puzzle.stickers)) if both[slot] != slot]
    assert all(slot in layer or a[slot] in layer for slot in changed)
