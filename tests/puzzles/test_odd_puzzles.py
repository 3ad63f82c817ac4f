"""Puzzles that nobody sells, and a definition may all the same describe: what is told of them is true."""

from __future__ import annotations

import pytest
from sample_definitions import own_puzzles
from turned_text import does

from sitegen.effects.claims import Subject, parse_claim
from sitegen.effects.claims.claims_of_effect import claims_of
from sitegen.effects.effect import Effect
from sitegen.effects.relations import HowRelated, say_how
from sitegen.moves.metrics import Length
from sitegen.moves.parse import parse
from sitegen.moves.turning import permutation
from sitegen.problems import Problem, Problems, written
from sitegen.puzzles import catalogue
from sitegen.puzzles.puzzle import Puzzle

CAP = "solid: cube\naxes: {R: U}\ndepths: [1/3]\nangle: 90\n"
"""A cube with one cut below its upper face, the turn called R."""
LEANING = (
    "solid: cube\naxes: faces\ndepths: [0.6, 0.2, -0.2, -0.6]\nangle: 90\n"
    "names: {U: X, F: A, R: Xb, L: B, B: C}\n"
)
"""Five layers, and faces whose names begin others'."""
ODD = {
    "cap": CAP,
    "leaning": LEANING,
    "half turns": "solid: cube\naxes: faces\ndepths: [1/3, -1/3]\nangle: 180\n",
    "edges": "solid: cube\naxes: edges\ndepths: [0.9]\nangle: 180\n",
    "few axes": "solid: dodecahedron\naxes: {U: U}\ndepths: [sqrt(5)/3]\nangle: 72\n",
    "vertices": "solid: dodecahedron\naxes: vertices\ndepths: [0.9]\nangle: 120\n",
    "gem": "solid: octahedron\naxes: vertices\ndepths: [1/2, -1/2]\nangle: 90\n",
}


def puzzle_of(text: str) -> Puzzle:
    return own_puzzles("odd", text)["odd"]


@pytest.mark.parametrize("name", ODD)
def test_every_sticker_has_a_name_that_means_it_alone(name: str) -> None:
    puzzle = puzzle_of(ODD[name])
    names = [sticker.name for sticker in puzzle.stickers]
    assert len(set(names)) == len(names)
    assert all(puzzle.slots[sticker.name] == sticker.index for sticker in puzzle.stickers)
    # A core may have eleven stickers, the others of which stand in 10! orders: nobody writes them so.
    assert len(puzzle.slots) < 50 * len(names)


@pytest.mark.parametrize(("moves", "home"), [("R", False), ("R'", False), ("R2", False), ("R R'", True)])
def test_a_cap_that_turns_about_its_own_sticker_is_not_home_until_it_is_back(moves: str, home: bool) -> None:
    puzzle = puzzle_of(CAP)
    tree = parse(written(moves), puzzle)
    case = Subject(Effect(puzzle, permutation(tree, puzzle)), Length(), {})
    fault = parse_claim(written("keeps all"), puzzle).fault(case)
    assert (fault == "") is home
    # By hand: the sticker on U stays, those beside it go round, so there is no sense to see from a corner.
    assert [twist.sense for twist in case.effect.twists] == ([] if home else ["in place"])
    assert ("is twisted in place" in fault) is not home
    assert all(parse_claim(written(claim), puzzle).fault(case) == "" for claim in claims_of(case.effect))


def test_where_half_a_turn_is_the_smallest_none_is_written_twice() -> None:
    with pytest.raises(Problem, match="R2 is not a turn"):
        parse(written("R2"), puzzle_of(ODD["half turns"]))


def test_different_turnings_of_the_skewb_are_told_in_different_words() -> None:
    puzzle = catalogue.puzzle("skewb")
    told = [say_how(HowRelated("turned", turning=rotation), puzzle) for rotation in puzzle.rotations[1:]]
    assert len(set(told)) == len(told) == 23  # a cube can be held in 24 ways


def test_a_notation_that_names_all_turns_takes_no_further_names() -> None:
    text = (
        "solid: cube\naxes: faces\ndepths: [1/3, -1/3]\nangle: 90\nnotation: cube\n"
        "turns: {k: {axis: D, layers: 1}}\n"
    )
    with pytest.raises((Problem, Problems), match="has names for all turns"):
        puzzle_of(text)


def test_a_named_turn_goes_the_short_way_round() -> None:
    turns = "turns: {q: {axis: U, layers: 1, times: 5}}\n"
    puzzle = puzzle_of("solid: cube\naxes: faces\ndepths: [1/3, -1/3]\nangle: 90\n" + turns)
    assert Effect(puzzle, does("q U'", puzzle)).changed == ()
    assert parse(written("q2"), puzzle)
