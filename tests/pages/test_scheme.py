"""Colours that a guide gives to faces: only those that a puzzle can have, or that its author means."""

from __future__ import annotations

from itertools import permutations

import pytest

from sitegen.figures.of_position import faces_coloured
from sitegen.pages.scheme import is_mirrored
from sitegen.puzzles import catalogue
from sitegen.puzzles.puzzle import Puzzle

WAYS = {"cube": 24, "tetrahedron": 12, "octahedron": 24, "dodecahedron": 60}
"""How many rotations bring a solid onto itself: the orders of its rotation group (from memory)."""


def own_colours(puzzle: Puzzle) -> dict[str, str]:
    return {face.name: face.colour for face in puzzle.faces}


def shuffled(puzzle: Puzzle, order: tuple[int, ...]) -> dict[str, str]:
    faces = list(own_colours(puzzle))
    return {face: puzzle.faces[at].colour for face, at in zip(faces, order, strict=True)}


@pytest.mark.parametrize("name", ["cube-3", "skewb", "pyraminx"])
def test_of_all_ways_to_stick_the_colours_on_as_many_are_mirrored_as_there_are_ways_to_hold_it(
    name: str,
) -> None:
    puzzle = catalogue.puzzle(name)
    every = [shuffled(puzzle, order) for order in permutations(range(len(puzzle.faces)))]
    assert sum(is_mirrored(puzzle, colours) for colours in every) == WAYS[puzzle.solid]


@pytest.mark.parametrize("name", catalogue.names())
def test_turned_a_puzzle_is_itself_and_two_faces_exchanged_are_a_mirror_only_as_its_symmetries_say(
    name: str,
) -> None:
    puzzle = catalogue.puzzle(name)
    faces = own_colours(puzzle)
    for slots in (puzzle.rotations, puzzle.mirrors.values()):
        for symmetry in slots:
            # A face goes where its stickers go.
            seen = {puzzle.stickers[symmetry[s.index]].face: faces[s.face] for s in puzzle.stickers}
            assert is_mirrored(puzzle, seen) == (slots is not puzzle.rotations)


def test_an_opposite_pair_exchanged_is_a_mirror_image_and_a_neighbouring_pair_is_no_cube_s() -> None:
    cube = catalogue.puzzle("cube-3")
    usual = own_colours(cube)
    assert is_mirrored(cube, {**usual, "U": "yellow", "D": "white"})
    assert not is_mirrored(cube, {**usual, "U": "green", "F": "white"})
    # Three pairs exchanged are a point reflection, and two of them half a turn.
    two = {**usual, "U": "yellow", "D": "white", "R": "orange", "L": "red"}
    assert not is_mirrored(cube, two)
    assert is_mirrored(cube, {**two, "F": "blue", "B": "green"})
    assert not is_mirrored(cube, {**usual, "U": "purple", "D": "white"}), "no cube's colours at all"


@pytest.mark.parametrize(
    ("colours", "message", "hint"),
    [
        (
            "{U: yellow}",
            "U and D of cube-3 would both be yellow",
            "give D another colour; held another way cube-3 has the colours "
            "{U: yellow, D: white, L: red, R: orange}",
        ),
        ("{U: pink, D: pink}", "U and D of cube-3 would both be pink", "give U another colour"),
        (
            "{U: yellow, D: white}",
            "so cube-3 would be coloured like its own mirror image",
            "{U: yellow, D: white, L: red, R: orange}; if a mirror image is meant, write mirrored: yes",
        ),
        (
            "{U: yellow, D: white, F: green, R: red, L: orange, B: blue}",
            "so cube-3 would be coloured like its own mirror image",
            "colours {U: yellow, D: white, F: green, B: blue, L: red, R: orange}; if",
        ),
        (
            "{L: red, R: orange}",
            "so cube-3 would be coloured like its own mirror image",
            "{F: blue, B: green",
        ),
        ("{Dbl: red}", "no puzzle that this guide is about has a face Dbl", "take it away"),
    ],
)
def test_colours_that_cannot_be_are_told_with_what_can(
    problems_of, colours: str, message: str, hint: str
) -> None:
    (problem,) = problems_of(f"title: T\ncolours: {colours}\n", index="Hello.\n")
    assert problem.headline().startswith("content/guide.yaml:2:1")
    assert message in problem.message
    assert hint in problem.hint


@pytest.mark.parametrize(
    "colours",
    [
        "{U: yellow, D: white, L: red, R: orange}",
        "{F: blue, B: green, L: red, R: orange}",
        "{U: purple, D: pink}",
        "{U: sky, D: sand, F: lime, B: grey, L: pink, R: purple}",
        '{red: "#a01020"}',
    ],
)
def test_another_way_to_hold_it_and_colours_of_one_s_own_are_fine(headlines, colours: str) -> None:
    assert headlines(f"title: T\ncolours: {colours}\n", index="Hello.\n") == []


def test_what_a_hint_says_is_not_refused_again(problems_of, headlines) -> None:
    for number, given in enumerate(
        ("{U: yellow}", "{F: red}", "{U: blue, F: white}", "{D: white, R: green}")
    ):
        (problem,) = problems_of(f"title: T\ncolours: {given}\n", index=f"Hello {number}.\n")
        whole = problem.hint[problem.hint.index("{") : problem.hint.index("}") + 1]
        assert headlines(f"title: T\ncolours: {whole}\n", index=f"Hello {number}.\n") == []


def test_a_mirror_image_can_be_meant_and_is_then_one(headlines, problems_of) -> None:
    mirrored = "title: T\nmirrored: yes\ncolours: {U: yellow, D: white}\n"
    assert headlines(mirrored, index="Hello.\n") == []
    for colours in ("", "colours: {U: yellow, D: white, L: red, R: orange}\n"):
        (problem,) = problems_of(f"title: T\nmirrored: yes\n{colours}", index="Hello.\n")
        assert problem.headline() == ("content/guide.yaml:2:11: these are not the colours of a mirror image")


def test_every_puzzle_of_the_guide_is_looked_at(problems_of) -> None:
    colours = "title: T\ncolours: {U: yellow, D: white, L: red, R: orange}\n"
    (problem,) = problems_of(colours, index="Hello.\n", other="---\npuzzle: megaminx\n---\nHello.\n")
    assert problem.message == "U and Bl of megaminx would both be yellow"


def test_colours_are_for_puzzles_that_have_all_faces_named(guide_at) -> None:
    colours = {"U": "yellow", "D": "white", "F": "green", "B": "blue", "L": "red", "R": "orange"}
    said = ", ".join(f"{face}: {colour}" for face, colour in colours.items())
    guide = guide_at(
        f"title: T\ncolours: {{{said}}}\n", index="A.\n", other="---\npuzzle: pyraminx\n---\nB.\n"
    )
    assert guide.problems == ()
    for name in ("cube-2", "cube-3", "cube-7", "skewb"):
        assert faces_coloured(catalogue.puzzle(name), guide.config.colours) == colours
    pyraminx = catalogue.puzzle("pyraminx")
    assert faces_coloured(pyraminx, guide.config.colours) == own_colours(pyraminx)


def test_faces_of_which_no_puzzle_has_all_are_told(problems_of) -> None:
    front = "---\npuzzle: pyraminx\n---\nB.\n"
    (problem,) = problems_of("title: T\npuzzle: pyraminx\ncolours: {U: red, F: green}\n", index="A.\n")
    assert problem.message == "no puzzle that this guide is about has a face U"
    config = "title: T\ncolours: {D: white, U: yellow, Bl: blue}\n"
    (problem,) = problems_of(config, index="A.\n", other=front, more="---\npuzzle: megaminx\n---\nC.\n")
    assert problem.message == "Br and Bl of megaminx would both be blue"
    own = b"solid: tetrahedron\naxes: faces\ndepths: [1/3]\nangle: 120\nnames:\n  F: Q\n"
    config = "title: T\ncolours: {U: pink, Q: sand}\n"
    more = "---\npuzzle: mine\n---\nC.\n"
    (problem,) = problems_of(config, files={"puzzles/mine.yaml": own}, index="A.\n", more=more)
    assert problem.message == "no puzzle that this guide is about has all these faces"
    assert problem.hint.startswith("name faces of one puzzle: cube-3 has U, ")


def test_so_is_one_of_the_author_s_own(problems_of) -> None:
    own = {"puzzles/mine.yaml": b"solid: tetrahedron\naxes: faces\ndepths: [1/3]\nangle: 120\n"}
    (problem,) = problems_of(
        "title: T\npuzzle: mine\ncolours: {F: yellow, R: white}\n", files=own, index="Hello.\n"
    )
    assert problem.message == "so mine would be coloured like its own mirror image"
