"""WCA Regulations, Article 12 (version of 1 January 2024): one test a clause."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from sitegen.moves.metrics import length
from sitegen.moves.parse import parse
from sitegen.problems import Problem, written
from sitegen.puzzles import catalogue
from sitegen.puzzles.geometry import cross, dot
from sitegen.puzzles.permutation import Permutation, compose, order
from sitegen.puzzles.puzzle import Puzzle

Turned = Callable[[str, Puzzle], Permutation]


@pytest.mark.parametrize("face", "FBRLUD")
def test_12a1_a_face_turns_clockwise_prime_is_back_and_2_is_half(cube3, turned, face) -> None:
    p = turned(face, cube3)
    assert order(p) == 4
    assert turned(f"{face}2", cube3) == compose(p, p)
    assert turned(f"{face}'", cube3) == compose(p, compose(p, p))
    towards = next(f.towards for f in cube3.faces if f.name == face)
    for sticker in cube3.stickers:
        if sticker.face == face and p[sticker.index] != sticker.index:
            after = cube3.stickers[p[sticker.index]].centre
            assert dot(cross(sticker.centre, after), towards) < -1e-9  # clockwise for an eye out there


@pytest.mark.parametrize("face", "FBRLUD")
def test_12a2_an_outer_block_is_its_n_outer_layers_and_n_left_out_is_2(turned: Turned, face: str) -> None:
    cube = catalogue.puzzle("cube-5")
    assert turned(f"{face}w", cube) == turned(f"2{face}w", cube) == turned(f"{face} 2{face}", cube)
    assert turned(f"3{face}w", cube) == turned(f"{face} 2{face} 3{face}", cube)
    assert turned(f"4{face}w", cube) == turned(f"{face} 2-4{face}", cube)


@pytest.mark.parametrize(
    ("size", "text", "valid"),
    [
        (2, "Rw", False),
        (3, "Rw", True),
        (3, "2Rw", True),
        (3, "3Rw", False),  # guideline 12a2+: on a 3-layer cube Rw and 2Rw are the same and 3Rw is not valid
        (4, "1Rw", False),
        (4, "3Rw", True),
        (4, "4Rw", False),
        (7, "6Rw", True),
        (7, "7Rw", False),
        (7, "0Rw", False),
    ],
)
def test_12a2_n_lies_between_1_and_the_number_of_layers(size: int, text: str, valid: bool) -> None:
    cube = catalogue.puzzle(f"cube-{size}")
    if valid:
        parse(written(text), cube)
        return
    with pytest.raises(Problem):
        parse(written(text), cube)


def test_12a2_plus_rw_and_2rw_are_the_same_on_a_3_layer_cube(cube3: Puzzle, turned: Turned) -> None:
    assert turned("Rw", cube3) == turned("2Rw", cube3)


@pytest.mark.parametrize("size", range(2, 8))
@pytest.mark.parametrize(("whole", "face", "back"), [("x", "R", "L"), ("y", "U", "D"), ("z", "F", "B")])
def test_12a4_x_y_z_turn_the_whole_cube_as_r_u_f_do_or_back_as_l_d_b(turned, size, whole, face, back) -> None:
    cube = catalogue.puzzle(f"cube-{size}")
    block = f"{size - 1}{face}w" if size > 2 else face
    assert turned(whole, cube) == turned(f"{block} {back}'", cube)
    assert turned(whole, cube) in cube.rotations


@pytest.mark.parametrize(
    ("text", "size", "moves"),
    [
        ("R", 3, 1),
        ("R2", 3, 1),
        ("R'", 3, 1),
        ("Rw", 3, 1),
        ("3Rw2", 4, 1),
        ("x", 3, 0),
        ("y2", 3, 0),
        ("R U R' U'", 3, 4),
        ("x R z' 2Rw", 4, 2),
    ],
)
def test_12a5_obtm_counts_a_face_or_outer_block_as_one_and_a_rotation_as_none(text, size, moves) -> None:
    cube = catalogue.puzzle(f"cube-{size}")
    assert length(parse(written(text), cube), cube).obtm == moves


@pytest.mark.parametrize(("text", "moves"), [("R", 1), ("x", 1), ("y2", 1), ("x R Rw' z", 4)])
def test_12a6_etm_counts_a_rotation_as_one_too(cube3: Puzzle, text: str, moves: int) -> None:
    assert length(parse(written(text), cube3), cube3).etm == moves


@pytest.mark.parametrize(("slice_", "face", "back"), [("M", "L", "R"), ("E", "D", "U"), ("S", "F", "B")])
def test_12a13_of_2009_m_e_s_turn_as_l_d_f_do_and_count_two_in_the_half_turn_metric(
    cube3: Puzzle, turned: Turned, slice_: str, face: str, back: str
) -> None:
    """Article of 3 July 2009; the same turns put by the two faces beside the slice and the whole cube."""
    whole = {"L": "x'", "D": "y'", "F": "z"}[face]
    assert turned(slice_, cube3) == turned(f"{face}' {back} {whole}", cube3)
    assert length(parse(written(slice_), cube3), cube3).obtm == 2


@pytest.mark.parametrize(
    ("text", "size", "obtm", "qtm", "stm", "etm"),
    [
        # By hand. Common practice: QTM counts a half turn twice, STM any block of layers once.
        ("R2", 3, 1, 2, 1, 1),
        ("R2'", 3, 1, 2, 1, 1),
        ("M", 3, 2, 2, 1, 1),
        ("M2", 3, 2, 4, 1, 1),
        ("Rw2", 3, 1, 2, 1, 1),
        ("x2", 3, 0, 0, 0, 1),
        ("2R", 4, 2, 2, 1, 1),
        ("2-3R'", 5, 2, 2, 1, 1),
        ("[R, U2]", 3, 4, 6, 4, 4),
        ("[R: U2]", 3, 3, 4, 3, 3),
        ("(R U2)3'", 3, 6, 9, 6, 6),
        ("", 3, 0, 0, 0, 0),
    ],
)
def test_the_four_metrics_by_example(text, size, obtm, qtm, stm, etm) -> None:
    cube = catalogue.puzzle(f"cube-{size}")
    found = length(parse(written(text), cube), cube)
    assert (found.obtm, found.qtm, found.stm, found.etm) == (obtm, qtm, stm, etm)


def test_the_length_of_a_vast_repeat_is_multiplied_not_counted(cube3: Puzzle) -> None:
    found = length(parse(written("((R U2)1000000)1000000"), cube3), cube3)
    assert (found.obtm, found.qtm) == (2 * 10**12, 3 * 10**12)
