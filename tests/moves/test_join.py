"""Rows of turns in shorthand, joined, and turns held otherwise: the same as written out in full."""

from __future__ import annotations

import sys
from concurrent.futures import ThreadPoolExecutor
from functools import cache
from itertools import groupby
from threading import Barrier

import pytest
import sample_definitions as samples
from hypothesis import given
from hypothesis import strategies as st
from random_moves import any_turn

from sitegen.moves.metrics import obtm
from sitegen.moves.notation import write_all
from sitegen.moves.parse import parse
from sitegen.moves.shorthand import Shorthand, shorthand_of
from sitegen.moves.simplify import simplify
from sitegen.moves.turning import expand, held, inverse_turns, permutation_of
from sitegen.problems import written
from sitegen.puzzles import catalogue
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.puzzle import Puzzle, Turn
from sitegen.search.ease import ease, ease_of_row

CUBES = ("cube-2", "cube-3", "cube-4", "cube-7")
OTHERS = (
    samples.tetrahedron_by_vertices,
    samples.cube_by_four_vertices,
    samples.cube_by_eight_vertices,
    samples.octahedron_by_faces,
    samples.octahedron_by_vertices,
    samples.dodecahedron_by_faces,
)
Turns = tuple[Turn, ...]


@cache
def every_puzzle() -> list[Puzzle]:
    return [*map(catalogue.puzzle, CUBES), *(make() for make in OTHERS)]


@st.composite
def some_turns(draw: st.DrawFn, puzzle: Puzzle) -> Turns:
    """Turns of any blocks, with nothing left to cancel."""
    return simplify(draw(st.lists(any_turn(puzzle), max_size=10)), puzzle)


@st.composite
def two_that_meet(draw: st.DrawFn) -> tuple[Puzzle, Turns, Turns]:
    """The second begins by undoing some of the first, and goes on about lines of its own."""
    puzzle = draw(st.sampled_from(every_puzzle()))
    first, then = draw(some_turns(puzzle)), draw(some_turns(puzzle))
    undone = draw(st.integers(0, len(first)))
    return puzzle, first, simplify((*inverse_turns(first[len(first) - undone :]), *then), puzzle)


def join(first: Turns, then: Turns, puzzle: Puzzle) -> Turns:
    """Joined in shorthand, and written out again."""
    shorthand = shorthand_of(puzzle)
    return shorthand.turns(shorthand.join(shorthand.row(first), shorthand.row(then)))


@given(two_that_meet())
def test_turns_joined_are_what_is_left_of_all_together(case: tuple[Puzzle, Turns, Turns]) -> None:
    puzzle, first, then = case
    assert join(first, then, puzzle) == simplify(first + then, puzzle)


@given(two_that_meet())
def test_turns_simplified_in_shorthand_are_what_is_left_of_them(case: tuple[Puzzle, Turns, Turns]) -> None:
    puzzle, first, then = case
    shorthand = shorthand_of(puzzle)
    turns = (*first, *then, *inverse_turns(first))
    assert shorthand.turns(shorthand.simplified(turns)) == simplify(turns, puzzle)


@given(two_that_meet())
def test_turns_joined_do_one_and_then_the_other(case: tuple[Puzzle, Turns, Turns]) -> None:
    puzzle, first, then = case
    both = perm.compose(permutation_of(first, puzzle), permutation_of(then, puzzle))
    assert permutation_of(join(first, then, puzzle), puzzle) == both


@given(two_that_meet())
def test_turns_joined_with_what_undoes_them_are_none(case: tuple[Puzzle, Turns, Turns]) -> None:
    puzzle, first, _ = case
    back = simplify(inverse_turns(first), puzzle)
    assert join(first, back, puzzle) == ()
    assert join(first, (), puzzle) == join((), first, puzzle) == first


@given(two_that_meet())
def test_a_run_at_either_end_is_all_that_stands_there_about_one_line(
    case: tuple[Puzzle, Turns, Turns],
) -> None:
    puzzle, turns, _ = case
    runs = [tuple(run) for _, run in groupby(turns, key=puzzle.line)]
    shorthand = shorthand_of(puzzle)
    row = shorthand.row(turns)
    if row:
        assert shorthand.turns(shorthand.first_run(row)) == runs[0]
        assert shorthand.turns(shorthand.last_run(row)) == runs[-1]


@given(two_that_meet())
def test_what_is_lost_where_two_meet_is_told_by_the_turns_that_meet(
    case: tuple[Puzzle, Turns, Turns],
) -> None:
    """As long as some of them are left; where none is, more may meet."""
    puzzle, first, then = case
    shorthand = shorthand_of(puzzle)
    one, other = map(shorthand.row, (first, then))
    if not (first and then and puzzle.line(first[-1]) == puzzle.line(then[0])):
        assert shorthand.join(one, other) == one + other
        return
    ends, starts = shorthand.last_run(one), shorthand.first_run(other)
    left, saved = shorthand.seam(ends, starts)
    if left:
        assert shorthand.join(one, other) == one[: -len(ends)] + left + other[len(starts) :]
        both = obtm(first, puzzle) + obtm(then, puzzle)
        assert obtm(join(first, then, puzzle), puzzle) == both - saved


@given(two_that_meet())
def test_a_row_says_of_its_turns_what_they_say_themselves(case: tuple[Puzzle, Turns, Turns]) -> None:
    """Written and read; how long and how easy it is, and where it leads, told turn by turn."""
    puzzle, turns, other = case
    shorthand = shorthand_of(puzzle)
    row = shorthand.row(turns)
    assert (shorthand.turns(row), len(row)) == (turns, len(turns))
    assert shorthand.length(row) == obtm(turns, puzzle)
    layers = {(turn.axis, turn.first, turn.last) for turn in turns}
    halves = sum(2 * turn.amount % puzzle.full_turn == 0 for turn in turns)
    told = ease_of_row(row, shorthand)
    assert (told[0], told[2]) == (len(layers), halves)
    assert told == ease(turns, puzzle)
    start = permutation_of(other, puzzle)
    assert shorthand.turned(start, row) == perm.compose(start, permutation_of(turns, puzzle))


def test_threads_that_write_at_once_write_the_same_letters() -> None:
    """Each begins somewhere else among all turns of a puzzle that nothing was written of yet."""
    usual = sys.getswitchinterval()
    sys.setswitchinterval(1e-6)
    try:
        for _ in range(5):
            puzzle = samples.cube_by_four_vertices()
            turns = [Turn(axis, 1, 1, amount) for axis in puzzle.axes for amount in range(1, 400)]
            parts = [turns[start:] + turns[:start] for start in range(0, len(turns), 200)]
            start = Barrier(len(parts))

            def row(
                part: list[Turn], puzzle: Puzzle = puzzle, start: Barrier = start
            ) -> tuple[Shorthand, str]:
                start.wait()
                shorthand = shorthand_of(puzzle)
                return shorthand, shorthand.row(part)

            with ThreadPoolExecutor(len(parts)) as threads:
                written = list(threads.map(row, parts))
            assert len({shorthand for shorthand, _ in written}) == 1
            for part, (shorthand, text) in zip(parts, written, strict=True):
                assert shorthand.turns(text) == tuple(part)
                assert set(text) == set(written[0][1])
    finally:
        sys.setswitchinterval(usual)


def read(moves: str, puzzle: Puzzle) -> Turns:
    return expand(parse(written(moves), puzzle))


@pytest.mark.parametrize(
    ("first", "then", "joined"),
    [
        # By hand.
        ("R U", "U R'", "R U2 R'"),
        ("R U", "U' R'", ""),
        ("R U", "U' R", "R2"),
        ("R L", "R' U", "L U"),
        ("U R L", "L' R' U", "U2"),
        ("U R L", "R' L' D", "U D"),
        ("R U D", "U' D' L R'", "L"),
        ("R U", "F R", "R U F R"),
    ],
)
def test_join_by_example(first: str, then: str, joined: str, cube3: Puzzle) -> None:
    one, other, both = (simplify(read(moves, cube3), cube3) for moves in (first, then, joined))
    assert join(one, other, cube3) == both


@st.composite
def turns_and_a_hold(draw: st.DrawFn) -> tuple[Puzzle, Turns, Turns]:
    """Any turns, and turns of the whole puzzle."""
    puzzle = draw(st.sampled_from(every_puzzle()))
    whole = st.builds(
        lambda axis, amount: Turn(axis, 1, puzzle.layer_count, amount),
        st.sampled_from(list(puzzle.axes)),
        st.sampled_from([1, -1, 2]),
    )
    turns = tuple(draw(st.lists(any_turn(puzzle), max_size=6)))
    return puzzle, turns, tuple(draw(st.lists(whole, max_size=3)))


@given(turns_and_a_hold())
def test_turns_held_otherwise_do_what_holding_turning_and_holding_back_does(
    case: tuple[Puzzle, Turns, Turns],
) -> None:
    puzzle, turns, hold = case
    seen = held(turns, puzzle, permutation_of(hold, puzzle))
    assert permutation_of(seen, puzzle) == permutation_of(hold + turns + inverse_turns(hold), puzzle)
    assert [turn[1:] for turn in seen] == [turn[1:] for turn in turns]


@given(turns_and_a_hold(), st.data())
def test_the_puzzle_held_in_any_way_that_it_can_be(case: tuple[Puzzle, Turns, Turns], data) -> None:
    puzzle, turns, _ = case
    hold = data.draw(st.sampled_from(puzzle.rotations))
    as_held = perm.compose(perm.compose(hold, permutation_of(turns, puzzle)), perm.inverse(hold))
    assert permutation_of(held(turns, puzzle, hold), puzzle) == as_held


@pytest.mark.parametrize(
    ("hold", "turns", "seen"),
    [
        # WCA 12a4: x turns the cube as R does, y as U, z as F. After y what was B is R; after z what was
        # D is L and what was U is R, M going with L and E with D; after x and y what was U is R.
        ("y", "R U F'", "B U R'"),
        ("x", "U R D2", "F R B2"),
        ("z", "U Rw M", "L Uw E"),
        ("x y", "R", "U"),
    ],
)
def test_held_by_example(hold: str, turns: str, seen: str, cube3: Puzzle) -> None:
    whole = permutation_of(read(hold, cube3), cube3)
    found = permutation_of(held(read(turns, cube3), cube3, whole), cube3)
    assert found == permutation_of(read(seen, cube3), cube3)


@pytest.mark.parametrize(
    ("size", "text", "fewer"),
    [
        (3, "R R", "R2"),
        (3, "R R R", "R'"),
        (3, "R L R L'", "R2"),
        (3, "R L", "L R"),
        (3, "R M", "M R"),
        (3, "R M' L2 R", "L2 M' R2"),
        (5, "2-3R 2R", "2R 2-3R"),
        (5, "3Rw 2R Rw R", "R Rw 3Rw 2R"),
        (7, "2R 3L", "3L 2R"),
    ],
)
def test_turns_of_parallel_layers_come_out_in_one_order_whatever_they_were_written_in(
    size: int, text: str, fewer: str
) -> None:
    """By axis, L before R as in the definition; by layer from outside; each by the least amount."""
    puzzle = catalogue.puzzle(f"cube-{size}")
    turns = expand(parse(written(text), puzzle))
    simple = simplify(turns, puzzle)
    assert write_all(simple, puzzle) == fewer
    assert simplify(reversed(turns), puzzle) == simple
    assert permutation_of(simple, puzzle) == permutation_of(turns, puzzle)
    assert all(-puzzle.full_turn / 2 < turn.amount <= puzzle.full_turn / 2 for turn in simple)
