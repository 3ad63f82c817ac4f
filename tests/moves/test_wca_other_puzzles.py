"""WCA Regulations, Article 12 (version of 1 January 2024), 12d, 12e and 12h: megaminx, pyraminx and skewb.

Also, for every puzzle that ships: what is written of a turn is read as that turn again.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import reduce
from math import cos, radians

import pytest
from hypothesis import given
from hypothesis import strategies as st
from random_moves import any_turn
from turned_text import does

from sitegen.moves.notation import write, write_all
from sitegen.moves.parse import parse
from sitegen.moves.turning import expand, permutation
from sitegen.problems import Problem, written
from sitegen.puzzles import catalogue
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.geometry import Vector, cross, dot, scale, subtract, unit
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Puzzle, Turn

Turned = Callable[[str, Puzzle], Permutation]

# Which faces a turn takes to which, by hand: what stands on the first face goes to the second, and so on, and
# from the last to the first. Clockwise for an eye outside at the vertex where they meet.
PYRAMINX = {"U": "FLR", "L": "LFD", "R": "FRD", "B": "RLD"}
# The vertices are from memory, see the definition; which way round is by hand, from U R F at the corner UFR.
SKEWB = {"R": "DRB", "U": "ULB", "L": "DLF", "B": "DBL"}


def moved(puzzle: Puzzle, p: Permutation) -> list[int]:
    return [slot for slot in range(len(puzzle.stickers)) if p[slot] != slot]


def meeting(puzzle: Puzzle, faces: str) -> Vector:
    """The direction of the vertex where faces meet."""
    towards = [face.towards for face in puzzle.faces if face.name in faces]
    return unit(tuple(map(sum, zip(*towards, strict=True))))


def assert_turned(puzzle: Puzzle, p: Permutation, eye: Vector, degrees: float) -> None:
    """Whatever a permutation moves goes so far clockwise about a direction, for an eye out there."""
    assert moved(puzzle, p)
    for slot in moved(puzzle, p):
        before, after = (
            subtract(at, scale(eye, dot(at, eye)))
            for at in (puzzle.stickers[slot].centre, puzzle.stickers[p[slot]].centre)
        )
        assert dot(puzzle.stickers[p[slot]].centre, eye) == pytest.approx(
            dot(puzzle.stickers[slot].centre, eye)
        )
        assert dot(before, after) == pytest.approx(dot(before, before) * cos(radians(degrees)))
        assert dot(cross(before, after), eye) < -1e-9


def faces_taken(puzzle: Puzzle, p: Permutation, slots: list[int]) -> set[tuple[str, str]]:
    return {(puzzle.stickers[slot].face, puzzle.stickers[p[slot]].face) for slot in slots}


def round_about(faces: str) -> set[tuple[str, str]]:
    return set(zip(faces, faces[1:] + faces[:1], strict=True))


# 12e: pyraminx --------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("letter", "faces"), PYRAMINX.items())
def test_12e_a_capital_turns_two_layers_by_120_degrees_clockwise(pyraminx, turned, letter, faces) -> None:
    p = turned(letter, pyraminx)
    assert_turned(pyraminx, p, meeting(pyraminx, faces), 120)
    assert faces_taken(pyraminx, p, moved(pyraminx, p)) == round_about(faces)
    # By hand: on each of three faces the triangle at the vertex, and the row of three under it.
    assert len(moved(pyraminx, p)) == 3 * (1 + 3)
    kinds = {pyraminx.piece_at(slot).index: pyraminx.piece_at(slot).kind for slot in moved(pyraminx, p)}
    assert sorted(kinds.values()) == ["corner", "edge", "edge", "edge", "tip"]


@pytest.mark.parametrize(("letter", "faces"), PYRAMINX.items())
def test_12e_a_small_letter_turns_the_tip_alone_as_its_capital_does(pyraminx, turned, letter, faces) -> None:
    tip, two = turned(letter.lower(), pyraminx), turned(letter, pyraminx)
    assert_turned(pyraminx, tip, meeting(pyraminx, faces), 120)
    assert len(moved(pyraminx, tip)) == 3
    assert {pyraminx.piece_at(slot).kind for slot in moved(pyraminx, tip)} == {"tip"}
    assert all(two[slot] == tip[slot] for slot in moved(pyraminx, tip))


def test_12e_a_tip_back_after_its_capital_leaves_the_second_layer_turned(pyraminx, turned) -> None:
    assert turned("U u'", pyraminx) == turned("2U", pyraminx) != turned("U", pyraminx)


# 12h: skewb -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("letter", "faces"), SKEWB.items())
def test_12h_a_turn_turns_one_half_by_120_degrees_clockwise(skewb, turned, letter, faces) -> None:
    p = turned(letter, skewb)
    assert_turned(skewb, p, meeting(skewb, faces), 120)
    # By hand: half of 30 stickers, a corner with its three neighbours and three centres.
    assert len(moved(skewb, p)) == 15
    here = next(piece for piece in skewb.pieces if set(piece.name) == set(faces))
    assert faces_taken(skewb, p, list(here.stickers)) == round_about(faces)
    centres = [slot for slot in moved(skewb, p) if skewb.piece_at(slot).kind == "centre"]
    assert faces_taken(skewb, p, centres) == round_about(faces)


def test_12h_the_corner_before_the_reader_is_turned_by_none(skewb: Puzzle, turned: Turned) -> None:
    """From memory: the reader looks at the corner of U, F and R, and each turn is of one that lies behind."""
    held = [skewb.slots[name] for name in ("UFR", "FUR", "RUF")]
    assert all(turned(letter, skewb)[slot] == slot for letter in SKEWB for slot in held)


# 12d: megaminx --------------------------------------------------------------------------------------------

# Where the centres go, by hand from the faces round the one that turns and round the one across from it: two
# steps of a fifth. R++ is seen from Dbr, across from L: R, Br, B, D, Dr stand round it clockwise. D++ is seen
# from D: Dr, Dl, Dbl, B, Dbr stand round it clockwise seen from above, and anticlockwise from below.
DOUBLE = {
    "R++": ("L", [["R", "B", "Dr", "Br", "D"], ["F", "Bl", "Dl", "U", "Dbl"]]),
    "D++": ("U", [["Dr", "B", "Dl", "Dbr", "Dbl"], ["F", "Br", "L", "R", "Bl"]]),
}
ACROSS = {"L": "Dbr", "U": "D"}


@pytest.mark.parametrize(("letters", "left", "rounds"), [(n, *about) for n, about in DOUBLE.items()])
def test_12d_two_signs_turn_all_but_one_layer_by_144_degrees(megaminx, turned, letters, left, rounds) -> None:
    """Clockwise for an eye on the right, and below: across from the layer that is left."""
    p = turned(letters, megaminx)
    away = next(face.towards for face in megaminx.faces if face.name == left)
    assert_turned(megaminx, p, scale(away, -1), 144)
    # By hand: a layer is a face of 11 and 3 on each of its 5 neighbours; across from it one centre stays.
    still = set(range(132)) - set(moved(megaminx, p))
    face = {sticker.index for sticker in megaminx.stickers if sticker.face == left}
    assert len(still) == 11 + 5 * 3 + 1
    assert face <= still
    assert megaminx.slots[ACROSS[left]] in still
    for faces in rounds:
        for start, end in zip(faces, faces[1:] + faces[:1], strict=True):
            assert p[megaminx.slots[start]] == megaminx.slots[end]


@pytest.mark.parametrize(("there", "back"), [("R++", "R--"), ("D++", "D--")])
def test_12d_two_minus_signs_undo_two_plus_signs(megaminx, turned, there, back) -> None:
    assert perm.compose(turned(there, megaminx), turned(back, megaminx)) == megaminx.identity
    assert turned(f"({there})'", megaminx) == turned(back, megaminx)
    assert turned(there, megaminx) != turned(back, megaminx)
    assert perm.order(turned(there, megaminx)) == 5


def test_12d_r_with_signs_is_the_whole_turned_and_the_layer_of_l_turned_back(megaminx, turned) -> None:
    assert turned("R++", megaminx) == turned("1-3L2' L2", megaminx)
    assert turned("D++", megaminx) == turned("y2' U2", megaminx)


def test_12d_u_turns_its_face_by_72_degrees_clockwise(megaminx: Puzzle, turned: Turned) -> None:
    p = turned("U", megaminx)
    assert_turned(megaminx, p, (0, 1, 0), 72)
    centre = {megaminx.slots["U"]}
    assert {*moved(megaminx, p)} | centre == {
        slot for piece in megaminx.pieces if "U" in piece.name for slot in piece.stickers
    }
    # Seen from above clockwise: what is in front goes to the left.
    assert megaminx.stickers[p[megaminx.slots["FU"]]].name == "LU"


@pytest.mark.parametrize("text", ["R++'", "R--'", "D++'", "D--'", "R++2", "D--2'", "U R++’", "(R++')2"])
def test_a_name_that_says_how_far_it_turns_takes_no_amount(megaminx: Puzzle, text: str) -> None:
    with pytest.raises(Problem, match="says itself how far it turns") as caught:
        parse(written(text), megaminx)
    assert caught.value.passage.column == text.index(next(c for c in text if c in "RD")) + 1
    assert caught.value.hint


@pytest.mark.parametrize("name", ["Br", "Bl", "Dr", "Dl", "Dbr", "Dbl"])
def test_a_face_of_several_letters_in_capitals_is_read_in_two_ways(megaminx, turned, name) -> None:
    """`BR` might be Br, or B and then R: each can be written, and they are not the same."""
    glued, apart = name.upper(), " ".join(name.upper())
    for text in (glued, f"U {glued}'", f"2{glued}"):
        with pytest.raises(Problem, match="in two ways") as caught:
            parse(written(text), megaminx)
        assert name in caught.value.hint
        assert apart in caught.value.hint
    assert turned(name, megaminx) != turned(apart, megaminx)


@pytest.mark.parametrize("text", ["L++", "U++", "R+", "R+-", "r++", "2R++", "R++w"])
def test_no_other_signs_are_turns_of_megaminx(megaminx: Puzzle, text: str) -> None:
    with pytest.raises(Problem):
        parse(written(text), megaminx)


@pytest.mark.parametrize(("puzzle", "text"), [("pyraminx", "F"), ("pyraminx", "d"), ("skewb", "F")])
def test_a_letter_that_names_no_axis_is_refused(puzzle: str, text: str) -> None:
    with pytest.raises(Problem):
        parse(written(text), catalogue.puzzle(puzzle))


@pytest.mark.parametrize("puzzle", ["pyraminx", "skewb", "megaminx"])
def test_a_prime_undoes_each_turn_that_may_have_one(puzzle: str, turned: Turned) -> None:
    shipped = catalogue.puzzle(puzzle)
    names = {*shipped.axes, *(name for name, turn in shipped.named_turns.items() if turn.amount == 1)}
    for name in sorted(names):
        assert turned(f"{name} {name}'", shipped) == shipped.identity, name
        assert turned(f"{name}'", shipped) == turned(f"({name}){shipped.full_turn - 1}", shipped), name
        assert turned(name, shipped) != shipped.identity


# Written and read again -----------------------------------------------------------------------------------


@pytest.mark.parametrize("name", catalogue.names())
def test_every_turn_is_written_so_that_it_is_read_again(name: str) -> None:
    """Each axis, from each layer to each, by each amount either way; and as one turn, not as several."""
    puzzle = catalogue.puzzle(name)
    layers, amounts = range(1, puzzle.layer_count + 1), range(1 - puzzle.full_turn, puzzle.full_turn)
    turns = [Turn(axis, a, b, n) for axis in puzzle.axes for a in layers for b in layers for n in amounts]
    for turn in turns:
        if turn.first <= turn.last and turn.amount:
            text = write(turn, puzzle)
            (again,) = expand(parse(written(text), puzzle))
            assert puzzle.permutation(again) == puzzle.permutation(turn), (turn, text)


@pytest.mark.parametrize("name", catalogue.names())
def test_turns_are_written_alike_if_and_only_if_they_do_the_same(name: str) -> None:
    puzzle = catalogue.puzzle(name)
    layers = range(1, puzzle.layer_count + 1)
    texts: dict[Permutation, set[str]] = {}
    for turn in (Turn(axis, a, b, 1) for axis in puzzle.axes for a in layers for b in layers if a <= b):
        texts.setdefault(puzzle.permutation(turn), set()).add(write(turn, puzzle))
    assert len({text for each in texts.values() for text in each}) == sum(map(len, texts.values()))
    assert all(len(each) == 1 for each in texts.values()), texts


PUZZLES = st.sampled_from(catalogue.names()).map(catalogue.puzzle)
PUZZLES_AND_TURNS = PUZZLES.flatmap(
    lambda puzzle: st.tuples(st.just(puzzle), st.lists(any_turn(puzzle), max_size=20))
)


def turning_something(puzzle: Puzzle, turns: list[Turn]) -> list[Turn]:
    return [turn for turn in turns if turn.amount % puzzle.full_turn]


@given(PUZZLES_AND_TURNS)
def test_random_words_are_written_and_read_again_on_every_puzzle(pair: tuple[Puzzle, list[Turn]]) -> None:
    puzzle, turns = pair[0], turning_something(*pair)
    text = write_all(turns, puzzle)
    tree = parse(written(text), puzzle)
    one_by_one = reduce(perm.compose, map(puzzle.permutation, turns), puzzle.identity)
    assert permutation(tree, puzzle) == one_by_one, text
    assert write_all(expand(tree), puzzle) == text


@given(PUZZLES_AND_TURNS)
def test_random_words_in_brackets_with_a_prime_are_undone_on_every_puzzle(pair) -> None:
    puzzle, turns = pair[0], turning_something(*pair)
    text = write_all(turns, puzzle)
    assert does(f"({text}) ({text})'", puzzle) == puzzle.identity, text
