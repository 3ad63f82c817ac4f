"""Named sequences made new for practice, and the moves that set up what they solve."""

from __future__ import annotations

from collections import Counter
from itertools import islice, pairwise
from random import Random

import pytest
import sample_definitions as samples
from hypothesis import given, settings
from hypothesis import strategies as st
from sample_methods import written_out
from sample_practice import SEQUENCES, composed, on_sympys_cube
from stages import turns_of
from turned_text import does

from sitegen.blocks.practice.variations import Difficulty, Variation, set_up, variations
from sitegen.methods.tools import Tool
from sitegen.moves.notation import write_all
from sitegen.puzzles import catalogue
from sitegen.puzzles.puzzle import Puzzle
from sitegen.search.turns import Allowed, turns

THREE = ("flip-pair", "twist-pair", "three-up")


def tool(name: str, puzzle: Puzzle) -> Tool:
    return Tool(f"@{name}", turns_of(SEQUENCES[name], puzzle))


def tools(puzzle: Puzzle, *names: str) -> list[Tool]:
    return [tool(name, puzzle) for name in names]


def how(
    puzzle: Puzzle, longest: int = 0, faces: str = "", mirror: bool = False, hold: str = ""
) -> Difficulty:
    allowed = turns(puzzle, Allowed(tuple(faces)), "obtm")
    return Difficulty(allowed, longest, mirror, turns_of(hold, puzzle))


def drawn(puzzle: Puzzle, named: list[Tool], difficulty: Difficulty, count: int, seed: int = 1):
    return list(islice(variations(named, difficulty, puzzle, Random(seed)), count))


def moves(made: Variation) -> str:
    return write_all(made.turns, made.puzzle)


def made_of(
    moves: str, puzzle: Puzzle, faces: tuple[str, ...] = (), hold: str = "", lead: str = ""
) -> Variation:
    """A sequence `@a` with these moves, changed as is said."""
    plane = puzzle.mirrors[faces] if faces else puzzle.identity
    named = Tool("@a", turns_of(moves, puzzle))
    return Variation(puzzle, named, faces, plane, turns_of(hold, puzzle), turns_of(lead, puzzle))


# What is made of a sequence --------------------------------------------------------------------------------


def test_a_mirror_image_is_what_a_mirror_shows(cube3: Puzzle) -> None:
    """By hand: a mirror between L and R exchanges these two, and turns every sense round."""
    made = made_of("R U F'", cube3, ("L", "R"))
    assert (made.text, moves(made)) == ("L' U' F", "L' U' F")


@pytest.mark.parametrize(
    ("faces", "image"),
    [
        # By hand. The mirror between F and R stands across U; it exchanges B and L as well.
        (("F", "R"), "U' F' R2 B L"),
        (("U", "D"), "D' R' F2 L B"),
        (("F", "B"), "U' R' B2 L F"),
    ],
)
def test_whatever_the_mirror_the_faces_are_exchanged_and_the_senses_turned_round(
    cube3: Puzzle, faces: tuple[str, str], image: str
) -> None:
    assert made_of("U R F2 L' B'", cube3, faces).text == image


@pytest.mark.parametrize("faces", ["LR", "UD", "FB"])
@pytest.mark.parametrize("name", ["cube-2", "cube-3", "cube-4"])
def test_a_mirror_image_does_in_the_mirror_what_the_sequence_does(name: str, faces: str) -> None:
    """Sticker by sticker: the names of the stickers with two letters exchanged."""
    puzzle = catalogue.puzzle(name)
    text = "R U F' Rw D2 B" if puzzle.layer_count > 2 else "R U F' D2 B"
    made, done = made_of(text, puzzle, tuple(faces)), does(text, puzzle)
    exchange = str.maketrans(faces, faces[::-1])
    # The inner stickers of a larger cube are told apart by more than letters, and left out.
    plain = [sticker for sticker in puzzle.stickers if sticker.name.isalpha() and sticker.name.isupper()]
    image = {s.index: puzzle.slots[s.name.translate(exchange)] for s in plain}
    told = [slot for slot in image if done[slot] in image]
    assert len(told) >= 24
    assert all(made.permutation[image[slot]] == image[done[slot]] for slot in told)


@pytest.mark.parametrize(
    ("hold", "lead", "text", "in_full"),
    [
        # By hand: after y the right hand has B and F's place has R, so that R is turned as B and F as R.
        ("y", "R", "[y R: @a]", "B U R B'"),
        ("y", "", "[y: @a]", "U R"),
        ("", "R", "[R: @a]", "R U F R'"),
        # After x2 D is on top and B in front.
        ("x2", "R L", "[x2 R L: @a]", "R L D B R' L'"),
        # After z the left face is on top; after y as well, F's place has what R's had after z: U.
        ("z y", "", "[z y: @a]", "L U"),
    ],
)
def test_a_hold_and_a_lead_in_are_as_they_are_written(
    cube3: Puzzle, hold: str, lead: str, text: str, in_full: str
) -> None:
    made = made_of("U F", cube3, hold=hold, lead=lead)
    assert made.text == text
    assert on_sympys_cube(moves(made)) == on_sympys_cube(in_full)
    assert made.permutation == does(text.replace("@a", "(U F)"), cube3)


def test_what_cancels_is_not_written(cube3: Puzzle) -> None:
    """By hand: R, then R' U R, then R'."""
    assert moves(made_of("R' U R", cube3, lead="R")) == "U"


@settings(max_examples=40)
@given(seed=st.integers(0, 10**9), longest=st.integers(0, 4), mirror=st.booleans(), hold=st.booleans())
def test_a_text_says_what_its_turns_do(seed: int, longest: int, mirror: bool, hold: bool) -> None:
    """The text with the moves in the place of the names, and the turns put together by SymPy."""
    cube3 = catalogue.puzzle("cube-3")
    difficulty = how(cube3, longest, mirror=mirror, hold="x y" if hold else "")
    for made in drawn(cube3, tools(cube3, *SEQUENCES), difficulty, 7, seed):
        in_full = turns_of(written_out(made.text, SEQUENCES), cube3)
        assert composed(made.turns, cube3) == composed(in_full, cube3)
        assert made.permutation == does(moves(made), cube3)


# What is drawn ---------------------------------------------------------------------------------------------


def test_the_same_seed_draws_the_same_and_another_seed_something_else(cube3: Puzzle) -> None:
    named, difficulty = tools(cube3, *THREE), how(cube3, 2, mirror=True, hold="y")
    first, again, other = ([v.text for v in drawn(cube3, named, difficulty, 30, seed)] for seed in (1, 1, 2))
    assert first == again != other


def test_every_sequence_comes_up_as_often_as_any_other(cube3: Puzzle) -> None:
    named = tools(cube3, *THREE)
    found = [made.tool.text for made in drawn(cube3, named, how(cube3, 2), 100)]
    for count in range(1, 101):
        often = Counter(found[:count])
        assert max(often.values()) - min(often[each.text] for each in named) <= 1
    # Not always in one order.
    assert len({tuple(found[start : start + 3]) for start in range(0, 99, 3)}) > 1


def test_where_nothing_else_is_allowed_sequences_are_as_they_are_named(cube3: Puzzle) -> None:
    for made in drawn(cube3, tools(cube3, *THREE), how(cube3), 30):
        assert made.text == made.tool.text
        assert composed(made.turns, cube3) == composed(made.tool.turns, cube3)
        assert (made.faces, made.hold, made.lead) == ((), (), ())


def test_nothing_goes_beyond_what_is_allowed_and_all_of_it_is_used(cube3: Puzzle) -> None:
    made = drawn(cube3, tools(cube3, "three-up"), how(cube3, 2, "RF", mirror=True, hold="y"), 400)
    assert {len(each.lead) for each in made} == {0, 1, 2}
    assert {turn.axis for each in made for turn in each.lead} == {"R", "F"}
    assert {turn.amount for each in made for turn in each.lead} == {1, 2, 3}
    assert {write_all(each.hold, cube3) for each in made} == {"", "y", "y2", "y'"}
    assert {each.faces for each in made} == {(), *cube3.mirrors}


def test_about_half_are_mirror_images(cube3: Puzzle) -> None:
    made = drawn(cube3, tools(cube3, "three-up"), how(cube3, mirror=True), 400)
    # Common practice: a coin strays less than four times √(400/4) from 200, but for once in 16,000.
    assert abs(sum(bool(each.faces) for each in made) - 200) < 40


@pytest.mark.parametrize(
    ("sequence", "difficulty"),
    [
        # By hand: turns of U and D do nothing to a turn of U; nor does holding the cube otherwise by y.
        ("U", {"longest": 1, "faces": "UD"}),
        ("U2", {"hold": "y"}),
    ],
)
def test_what_would_change_nothing_is_left_out(cube3: Puzzle, sequence: str, difficulty: dict) -> None:
    named = [Tool("@a", turns_of(sequence, cube3))]
    assert {made.text for made in drawn(cube3, named, how(cube3, **difficulty), 200)} == {"@a"}


def test_what_looks_the_same_in_a_mirror_is_not_called_a_mirror_image(cube3: Puzzle) -> None:
    """By hand: half turns have no sense, and neither M nor U goes elsewhere between L and R."""
    named = [Tool("@a", turns_of("M2 U2 M2 U2", cube3))]
    made = drawn(cube3, named, how(cube3, mirror=True), 300)
    assert any(each.faces for each in made)
    assert not any(each.faces and moves(each) == "M2 U2 M2 U2" for each in made)


@pytest.mark.parametrize(("faces", "most"), [("R", 1), ("RL", 2)])
def test_a_lead_in_ends_where_no_turn_can_follow(cube3: Puzzle, faces: str, most: int) -> None:
    """By hand: after R another R would be one turn with it, and after R and L there is neither left."""
    made = drawn(cube3, tools(cube3, "three-up"), how(cube3, 4, faces), 200)
    assert {len(each.lead) for each in made} == set(range(most + 1))


def test_more_of_it_is_harder(cube3: Puzzle) -> None:
    """First the lead-in counts, then the hold, then the mirror, then the number of turns."""
    lr = ("L", "R")
    ordered = [
        made_of("R U", cube3),
        made_of("R U F", cube3),
        made_of("R U", cube3, lr),
        made_of("R U", cube3, hold="y"),
        made_of("R U", cube3, lr, hold="y"),
        made_of("R U", cube3, lead="F"),
        made_of("R U", cube3, lr, "y", "F"),
        made_of("R U", cube3, lead="F D"),
    ]
    backwards = ordered[::-1]
    assert sorted(backwards, key=lambda each: each.hardness) == ordered


def undone(text: str) -> str:
    """Turns of the faces undone, from the text alone; those of parallel faces stand in one order."""
    senses = {"": "'", "'": "", "2": "2"}
    turns = [turn[0] + senses[turn[1:]] for turn in text.split()[::-1]]
    for first, then in ("DU", "BF", "LR"):
        for at, pair in enumerate(pairwise(turns)):
            if (pair[0][0], pair[1][0]) == (first, then):
                turns[at : at + 2] = pair[::-1]
    return " ".join(turns)


# Set up ----------------------------------------------------------------------------------------------------


@settings(max_examples=15)
@given(seed=st.integers(0, 10**9), longest=st.integers(0, 3), mirror=st.booleans(), hold=st.booleans())
def test_what_is_set_up_is_solved(seed: int, longest: int, mirror: bool, hold: bool) -> None:
    """On SymPy's own cube."""
    cube3 = catalogue.puzzle("cube-3")
    named = tools(cube3, "lift", "flip-pair", "twist-pair", "three-edges")
    difficulty = how(cube3, longest, mirror=mirror, hold="x y" if hold else "")
    random = Random(seed)
    for made in islice(variations(named, difficulty, cube3, random), 5):
        begun = write_all(set_up(made, named, random), cube3)
        assert (on_sympys_cube(begun) * on_sympys_cube(moves(made))).is_Identity


@pytest.mark.parametrize("name", ["flip-pair", "twist-pair", "three-up", "three-edges"])
def test_where_a_symmetry_gives_another_way_the_answer_is_not_told(name: str, cube3: Puzzle) -> None:
    """Common practice: such effects lie symmetrically, so that an image of the sequence undoes them."""
    named = tools(cube3, name)
    random = Random(1)
    for made in islice(variations(named, how(cube3, 1, mirror=True, hold="y"), cube3, random), 20):
        begun = write_all(set_up(made, named, random), cube3)
        assert begun not in (moves(made), undone(moves(made)))


def test_where_no_other_way_is_known_the_set_up_is_the_answer_backwards(cube3: Puzzle) -> None:
    """By hand: nothing lies symmetrically in the mess that this leaves below."""
    named = tools(cube3, "lift")
    for made in drawn(cube3, named, how(cube3, 1, hold="y"), 10):
        assert write_all(set_up(made, named, Random(1)), cube3) == undone(moves(made))


def test_another_of_the_sequences_may_be_the_other_way(cube3: Puzzle) -> None:
    """Common practice: six times R U R' U' is nothing, so that five times undo one."""
    named = [Tool("@one", turns_of("R U R' U'", cube3)), Tool("@five", turns_of("(R U R' U')5", cube3))]
    one, five = sorted(drawn(cube3, named, how(cube3), 2), key=lambda made: len(made.turns))
    assert one.tool.text == "@one"
    assert set_up(one, named, Random(1)) == five.turns
    assert set_up(five, named, Random(1)) == one.turns


def test_a_sequence_backwards_may_be_the_other_way(cube3: Puzzle) -> None:
    """SymPy says how often R U2 is done to be nothing; once less undoes it, and that is `@long` undone."""
    less = int(on_sympys_cube("R U2").order()) - 1
    named = [Tool("@short", turns_of("R U2", cube3)), Tool("@long", turns_of(f"(U2 R'){less}", cube3))]
    begun = set_up(made_of("R U2", cube3), named, Random(1))
    assert write_all(begun, cube3) == " ".join(["R U2"] * less)


@pytest.mark.parametrize(
    "build",
    [
        samples.tetrahedron_by_vertices,
        samples.cube_by_four_vertices,
        samples.cube_by_eight_vertices,
        samples.octahedron_by_vertices,
        samples.dodecahedron_by_faces,
    ],
)
def test_other_solids_are_practised_as_well(build) -> None:
    puzzle = build()
    named = [Tool("@a", turns_of("A B A' B'", puzzle)), Tool("@b", turns_of("A B C", puzzle))]
    random = Random(1)
    found = list(islice(variations(named, how(puzzle, 2, mirror=True), puzzle, random), 12))
    assert any(made.faces for made in found)
    # By hand: of the tetrahedron with three layers the outermost are its tips, which touch nothing else.
    assert any(made.lead for made in found) == (build is not samples.tetrahedron_by_vertices)
    for made in found:
        begun = write_all(set_up(made, named, random), puzzle)
        whole = turns_of(f"{begun} {moves(made)}", puzzle)
        assert composed(whole, puzzle).is_Identity
