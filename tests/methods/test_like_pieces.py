"""Pieces that look alike, on the bench: goals and searches are about colours, unless pieces are marked.

Colours are turned here slot by slot, which knows no pieces.
"""

from __future__ import annotations

from collections.abc import Callable, Collection
from itertools import combinations
from math import comb

import pytest
from searching import ByLength, ask, cube_kit, listed_by_length, moves_of, search
from stages import cases, goals, plan, stage, toolbox
from turned_text import does

from sitegen.methods.coverage import coverage
from sitegen.methods.goals import labels
from sitegen.methods.plan import Plan
from sitegen.methods.trial import runs, solve
from sitegen.problems import Problem
from sitegen.puzzles.permutation import Permutation, compose
from sitegen.puzzles.puzzle import Puzzle
from sitegen.reports.trial_report import example_as_data

THREE_CENTRES = "2R U 2L U' 2R' U 2L' U'"
"""[2R, U 2L U'], a commutator of two slices that share one centre of U: three centres go round."""
UNSEEN = "(R U R' U)5"
"""Common practice: on cube-3 this turns the centre of U halfway and does nothing else."""
LONGEST = 3


def colours(position: Permutation, puzzle: Puzzle) -> list[str]:
    """The colour in each slot."""
    shown = [""] * len(puzzle.stickers)
    for sticker in puzzle.stickers:
        shown[position[sticker.index]] = sticker.face
    return shown


# Goals ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("state", ["home", "placed"])
def test_the_centres_of_a_face_bear_one_label_and_those_of_two_faces_two(state: str, cube4: Puzzle) -> None:
    reached = labels(cube4, goals(cube4, f"centres of U and D {state}"))
    found: dict[str, set[int]] = {}
    for sticker in cube4.stickers:
        if cube4.piece_at(sticker.index).kind == "centre":
            found.setdefault(sticker.face, set()).add(reached[sticker.index])
    # By hand: those of U, those of D, and all others, of which nothing is asked.
    assert {face: len(each) for face, each in found.items()} == dict.fromkeys("UDFBLR", 1)
    assert found["F"] == found["B"] == found["L"] == found["R"] == {0}
    assert len(found["U"] | found["D"] | {0}) == 3


@pytest.mark.parametrize(
    ("before", "wanted", "number"),
    [
        # By hand: the places of a colour among those that are left, whichever of its four is in each.
        ("", "centres of U home", comb(24, 4)),
        ("", "centres of U placed", comb(24, 4)),
        ("centres of U home", "centres of D home", comb(20, 4)),
        ("centres of U and D and F and B home", "centres of L and R home", comb(8, 4)),
        ("centres of U and D and F and B and L home", "centres of R home", 1),
    ],
)
def test_a_case_of_centres_is_where_their_colours_are(
    before: str, wanted: str, number: int, cube4: Puzzle
) -> None:
    assert len(cases(cube4, before, wanted).states) == number


@pytest.mark.parametrize("goal", ["Ufl home", "Ufl and Ufr placed", "Ufl oriented by U", "2F home"])
def test_a_goal_that_would_have_to_tell_like_pieces_apart_is_refused(goal: str, cube4: Puzzle) -> None:
    with pytest.raises(Problem, match="like"):
        goals(cube4, goal)


@pytest.fixture(scope="module")
def centres_of_two_faces(cube4: Puzzle) -> Plan:
    tools = toolbox(cube4, THREE_CENTRES, lead_in="UDFBLR", longest=1, hold="x y")
    return plan(cube4, stage(cube4, "centres of U and D home", tools, "centres of U, centres of D"))


def test_a_stage_of_centres_is_covered_by_a_sequence_for_three_of_them(centres_of_two_faces: Plan) -> None:
    """Counted here: four of 24 places, and four of the other 20, each once for all the ways to hold the cube.

    Nothing is reached before the first; that U is home before the second leaves four ways to hold it.
    """
    puzzle = centres_of_two_faces.puzzle
    centres = [s.index for s in puzzle.stickers if puzzle.piece_at(s.index).kind == "centre"]
    others = [slot for slot in centres if puzzle.stickers[slot].face != "U"]
    around = [whole for whole in puzzle.rotations if all(whole[slot] in others for slot in others)]
    assert (len(puzzle.rotations), len(around)) == (24, 4)
    seen = [
        {frozenset(frozenset(whole[slot] for slot in four) for whole in ways) for four in combinations(at, 4)}
        for at, ways in ((centres, puzzle.rotations), (others, around))
    ]
    found = coverage(centres_of_two_faces)
    assert [(step.covered, step.cases) for step in found] == [(len(each), len(each)) for each in seen]


def test_the_cases_on_the_sheet_are_solved_as_far_as_colours_go(
    centres_of_two_faces: Plan, cube4: Puzzle
) -> None:
    for faces, step in zip(("U", "UD"), coverage(centres_of_two_faces), strict=True):
        assert step.sheet.drawn
        for case in step.sheet.drawn:
            moves = " ".join(f"({text})" if text[0] != "[" else text for text in case.applications)
            at = compose((*case.position, *range(len(case.position), 256)), does(moves, cube4))
            assert_centres_are_home(at, faces, cube4)


def assert_centres_are_home(position: Permutation, faces: str, puzzle: Puzzle) -> None:
    shown = colours(position, puzzle)
    for sticker in puzzle.stickers:
        if puzzle.piece_at(sticker.index).kind == "centre" and sticker.face in faces:
            assert shown[sticker.index] == sticker.face


def test_random_positions_are_solved_as_far_as_colours_go(centres_of_two_faces: Plan, cube4: Puzzle) -> None:
    told_apart = 0
    for run in runs(centres_of_two_faces, 10, 1):
        assert run.solved
        end = run.position
        for turn in run.turns:
            end = compose(end, cube4.permutation(turn))
        assert_centres_are_home(end, "UD", cube4)
        told_apart += any(end[s.index] != s.index for s in cube4.stickers if s.name.startswith(("U", "D")))
    assert told_apart  # by truly moved pieces hardly any of the ten would count as solved


def test_a_solved_position_with_like_pieces_exchanged_counts_as_home(cube4: Puzzle) -> None:
    solving = plan(cube4, stage(cube4, "centres of U home", toolbox(cube4)))
    position = does(UNSEEN, cube4)
    assert position != cube4.identity
    run = solve(solving, position)
    assert (run.solved, run.turns) == (True, ())
    assert example_as_data(run, solving)["home"]
    assert not example_as_data(solve(solving, does("U", cube4)), solving)["home"]


# Searches -------------------------------------------------------------------------------------------------


Seen = Callable[[Permutation, Puzzle], bool]


def shows(places: str) -> Seen:
    """Whether slots show colours, as in `Ufr:F Fur:U`."""
    told = [place.split(":") for place in places.split()]

    def holds(done: Permutation, puzzle: Puzzle) -> bool:
        shown = colours(done, puzzle)
        return all(shown[puzzle.slots[name]] == colour for name, colour in told)

    return holds


def centres_stay(*, marked: bool, away: Collection[str] = ()) -> Seen:
    """Whether all centres but those that may be away show their colours, or are themselves home."""

    def holds(done: Permutation, puzzle: Puzzle) -> bool:
        shown = colours(done, puzzle)
        kept = [
            s for s in puzzle.stickers if puzzle.piece_at(s.index).kind == "centre" and s.name not in away
        ]
        return all(done[s.index] == s.index if marked else shown[s.index] == s.face for s in kept)

    return holds


def truly_goes(pairs: str) -> Seen:
    told = [pair.split(">") for pair in pairs.split()]
    return lambda done, puzzle: all(done[puzzle.slots[a]] == puzzle.slots[b] for a, b in told)


@pytest.mark.parametrize(
    ("claims", "marked", "wanted"),
    [
        ("keeps centres", False, centres_stay(marked=False)),
        ("keeps centres", True, centres_stay(marked=True)),
        ("keeps centres except Ufr and Fur", False, centres_stay(marked=False, away=("Ufr", "Fur"))),
        ("swaps Ufr with Fur", False, shows("Ufr:F Fur:U")),
        ("swaps Ufr with Ubl", True, truly_goes("Ufr>Ubl Ubl>Ufr")),
        ("cycles Ufr > Bur > Dbr", False, shows("Ufr:D Bur:U Dbr:B")),
        ("cycles Ufr > Ufl > Ubl > Ubr", True, truly_goes("Ufr>Ufl Ufl>Ubl Ubl>Ubr Ubr>Ufr")),
    ],
)
def test_every_word_that_shows_what_is_claimed_is_found(
    claims: str, marked: bool, wanted: Seen, cube4: Puzzle
) -> None:
    kit = cube_kit(cube4, "stm", faces="UR", blocks={"U": "2U 3U 2-3U", "R": "2R 3R 2-3R"})
    asked = ask(claims, cube4, "UR", slices=True, metric="stm", marked=marked)
    expected: ByLength = {length: set() for length in range(LONGEST + 1)}
    for word, done, count in kit.words(LONGEST):
        if wanted(done, cube4):
            expected[count].add(word)
    assert any(expected.values())
    assert listed_by_length(search(asked, LONGEST), kit, "stm") == expected


def test_like_pieces_that_change_places_are_searched_for_only_if_they_are_marked(cube4: Puzzle) -> None:
    with pytest.raises(Problem, match="look alike"):
        ask("swaps Ufr with Ubl", cube4)
    found = search(ask("cycles Ufr > Ufl > Ubl > Ubr", cube4, marked=True))
    assert moves_of(found)[0] == "U"


def test_the_pieces_that_a_search_is_about_are_those_named_however_alike(cube4: Puzzle) -> None:
    asked = ask("swaps Ufr with Fur", cube4, slices=True)
    assert {cube4.pieces[index].name for index in asked.pieces} == {"Ufr", "Fur"}


# What a search says that turned too much in vain ------------------------------------------------------------


@pytest.mark.parametrize(
    ("claims", "marked", "say_more", "tell_apart"),
    [
        # Every piece is named: only that those of one colour may change places leaves anything open.
        ("cycles Ufl > Ful > Ruf; keeps all except Ufl, Ful and Ruf", False, False, True),
        ("keeps corners; keeps centres of U except Ufl", False, True, True),
        ("keeps corners", False, True, False),
        ("cycles Ufl > Ful > Ruf; keeps all except Ufl, Ful and Ruf", True, True, False),
    ],
)
def test_a_search_says_what_is_left_to_say(
    cube4: Puzzle, claims: str, marked: bool, say_more: bool, tell_apart: bool
) -> None:
    unsaid = ask(claims, cube4, slices=True, marked=marked).unsaid
    assert ("say more of what becomes of the pieces" in unsaid) is say_more
    assert ("--marked" in unsaid) is tell_apart
