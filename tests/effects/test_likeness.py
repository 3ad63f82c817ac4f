"""Pieces that look alike: what is told of is what can be seen, and what truly moved where they are marked.

What can be seen is checked by colouring the slots by face and turning the colours, which knows no pieces.
"""

from __future__ import annotations

from collections import Counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from turned_text import does

from sitegen.effects.claims import Subject, parse_claim
from sitegen.effects.effect import Effect
from sitegen.effects.likeness import alike, appearance, looks, seen, visible_order
from sitegen.effects.relations import LAYER, NOTHING, SAME, UNDOES, relations
from sitegen.moves.metrics import length
from sitegen.moves.parse import parse
from sitegen.moves.turning import permutation
from sitegen.problems import written
from sitegen.puzzles import catalogue
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Puzzle, Turn

UNSEEN = "(R U R' U)5"
"""On cube-3 this turns the centre of U halfway and does nothing else (common practice): on a large cube that
is half a turn of all that is inside the face U, which is seen only if its pieces are marked."""
LARGE = ["cube-4", "cube-5", "cube-6"]
AMOUNTS = st.sampled_from([1, 2, -1])


def colours(p: Permutation, puzzle: Puzzle) -> list[str]:
    """The colour in each slot after the moves, put there sticker by sticker."""
    shown = [""] * len(puzzle.stickers)
    for sticker in puzzle.stickers:
        shown[p[sticker.index]] = sticker.face
    return shown


@st.composite
def words(draw: st.DrawFn, most: int = 6) -> tuple[Puzzle, Permutation]:
    puzzle = catalogue.puzzle(draw(st.sampled_from(LARGE)))
    p = puzzle.identity
    for _ in range(draw(st.integers(0, most))):
        axis, layer = draw(st.sampled_from("UDFBLR")), draw(st.integers(1, puzzle.layer_count))
        p = perm.compose(p, puzzle.permutation(Turn(axis, layer, layer, draw(AMOUNTS))))
    return puzzle, p


def faults(claim: str, moves: str, puzzle: Puzzle, marked: bool = False, **others: str) -> str:
    named = {name: does(text, puzzle) for name, text in others.items()}
    tree = parse(written(moves), puzzle)
    case = Subject(Effect(puzzle, permutation(tree, puzzle), marked), length(tree, puzzle), named)
    return parse_claim(written(claim), puzzle).fault(case)


# Which pieces are alike -----------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["cube-2", "cube-3", "pyraminx", "skewb", "megaminx"])
def test_where_all_pieces_differ_nothing_is_alike(name: str) -> None:
    # Common practice: on these puzzles each piece has colours, or an order of colours, of its own.
    assert alike(catalogue.puzzle(name)) == ()


@pytest.mark.parametrize(
    ("name", "groups"),
    [
        # By hand, for each of six faces: cube-4 has 4 centres, cube-5 4 on the diagonals and 4 beside the
        # middle, cube-6 two rings of diagonals and 8 others, of which turning never makes one hand the other,
        # cube-7 the same and 4 beside the middle in each of its two rings.
        ("cube-4", {4: 6}),
        ("cube-5", {4: 12}),
        ("cube-6", {4: 24}),
        ("cube-7", {4: 36}),
    ],
)
def test_centres_of_one_face_that_turning_brings_to_each_other_are_alike(
    name: str, groups: dict[int, int]
) -> None:
    puzzle = catalogue.puzzle(name)
    assert Counter(len(group) for group in alike(puzzle)) == groups
    for group in alike(puzzle):
        pieces = [puzzle.piece_at(stickers[0]) for stickers in group]
        assert {piece.kind for piece in pieces} == {"centre"}
        assert len({puzzle.stickers[stickers[0]].face for stickers in group}) == 1


def test_wings_are_never_alike_since_the_other_one_of_the_edge_shows_its_colours_the_other_way() -> None:
    puzzle = catalogue.puzzle("cube-4")
    wings = [slot for piece in puzzle.pieces if piece.kind == "wing" for slot in piece.stickers]
    assert all(looks(puzzle)[slot] == slot for slot in wings)


# What can be seen -----------------------------------------------------------------------------------------


@given(words())
def test_what_is_seen_shows_the_same_colours_as_what_was_turned(word: tuple[Puzzle, Permutation]) -> None:
    puzzle, p = word
    assert colours(seen(puzzle, p), puzzle) == colours(p, puzzle)


@given(words())
def test_a_piece_is_changed_just_when_the_colours_at_its_home_are(word: tuple[Puzzle, Permutation]) -> None:
    puzzle, p = word
    shown = colours(p, puzzle)
    wrong = {s.piece for s in puzzle.stickers if shown[s.index] != s.face}
    assert {piece.index for piece in Effect(puzzle, p).changed} == wrong


@settings(max_examples=60)
@given(words(3), st.data())
def test_appearances_are_equal_just_when_the_colours_are(
    word: tuple[Puzzle, Permutation], data: st.DataObject
) -> None:
    puzzle, p = word
    group = data.draw(st.sampled_from(alike(puzzle)))
    a, b = data.draw(st.permutations(group))[:2]
    swap = list(range(len(puzzle.stickers)))
    for x, y in zip(a, b, strict=True):
        swap[x], swap[y] = y, x
    q = perm.compose(perm.from_images(swap), p)
    assert q != p
    assert appearance(puzzle, q) == appearance(puzzle, p)
    other = perm.compose(p, puzzle.permutation(Turn("U", 1, 1, 1)))
    assert (appearance(puzzle, other) == appearance(puzzle, p)) == (
        colours(other, puzzle) == colours(p, puzzle)
    )


@settings(max_examples=40, deadline=None)
@given(words(2))
def test_the_order_is_the_first_time_that_all_colours_are_home(word: tuple[Puzzle, Permutation]) -> None:
    puzzle, p = word
    solved = [sticker.face for sticker in puzzle.stickers]
    at, times = p, 1
    while colours(at, puzzle) != solved:
        at, times = perm.compose(at, p), times + 1
    assert times == visible_order(puzzle, p) == Effect(puzzle, p).order


def test_marked_pieces_are_told_of_as_they_truly_moved() -> None:
    puzzle = catalogue.puzzle("cube-4")
    p = does("[2R, U]", puzzle)
    assert Effect(puzzle, p, marked=True).seen == p != Effect(puzzle, p).seen
    assert Effect(puzzle, p, marked=True).order == perm.order(p)


def test_a_turned_face_moves_none_of_its_centres_that_anybody_could_see() -> None:
    puzzle = catalogue.puzzle("cube-4")
    p = does("U", puzzle)
    # By hand: four corners and eight wings go round; the four centres of U only if they are marked.
    assert Counter(piece.kind for piece in Effect(puzzle, p).changed) == {"corner": 4, "wing": 8}
    marked = Effect(puzzle, p, marked=True)
    assert Counter(piece.kind for piece in marked.changed) == {"corner": 4, "wing": 8, "centre": 4}


# Claims ---------------------------------------------------------------------------------------------------


def test_claims_are_about_what_can_be_seen_unless_pieces_are_marked() -> None:
    puzzle = catalogue.puzzle("cube-4")
    assert faults("keeps centres", "U", puzzle) == ""
    assert "goes to" in faults("keeps centres", "U", puzzle, marked=True)
    assert faults("order 4", "U", puzzle) == ""


def test_a_cycle_holds_where_each_place_shows_what_comes_to_it() -> None:
    puzzle = catalogue.puzzle("cube-4")
    # By hand: [2R, U] takes two pieces of U and F to each other's places, as far as colours go.
    assert faults("swaps Ufr with Fur", "[2R, U]", puzzle) == ""
    assert faults("swaps Ufr with Fur", "[2R, U]", puzzle, marked=True) != ""
    assert faults("cycles Ufr > Ubr > Ubl > Fur > Fdr", "[2R, U]", puzzle, marked=True) == ""


def test_that_like_pieces_change_places_is_no_claim_that_anybody_could_see() -> None:
    puzzle = catalogue.puzzle("cube-4")
    said = faults("cycles Ufr > Ufl > Ubl > Ubr", "U", puzzle)
    assert "look alike" in said
    assert "marked" in said
    assert faults("cycles Ufr > Ufl > Ubl > Ubr", "U", puzzle, marked=True) == ""


def test_same_as_and_undoes_compare_what_can_be_seen() -> None:
    puzzle = catalogue.puzzle("cube-4")
    p = does(UNSEEN, puzzle)
    assert p != puzzle.identity
    assert colours(p, puzzle) == colours(puzzle.identity, puzzle)
    assert faults("does nothing", UNSEEN, puzzle) == ""
    assert faults("does nothing", UNSEEN, puzzle, marked=True) != ""
    assert faults("same as @x", f"F {UNSEEN}", puzzle, x="F") == ""
    assert faults("same as @x", f"F {UNSEEN}", puzzle, marked=True, x="F") != ""
    assert faults("undoes @x", f"{UNSEEN} F'", puzzle, x="F") == ""


def test_undoing_is_judged_by_what_is_seen_after_both() -> None:
    puzzle = catalogue.puzzle("cube-4")
    both = does(f"2R {UNSEEN} 2R'", puzzle)
    # By hand: after 2R two of U's centres are white no more; half a turn of U takes these to the other side.
    assert colours(both, puzzle) != colours(puzzle.identity, puzzle)
    assert faults("undoes @x", f"{UNSEEN} 2R'", puzzle, x="2R") != ""


def test_relations_are_those_of_looks() -> None:
    puzzle = catalogue.puzzle("cube-4")
    group = alike(puzzle)[0]
    turn = does("2R U", puzzle)
    images = list(range(len(puzzle.stickers)))
    for (a,), (b,) in zip(group[:3], [*group[1:3], group[0]], strict=True):
        images[a] = b
    unseen = perm.from_images(images)
    effects = {
        "nothing": puzzle.identity,
        "unseen": unseen,
        "turn": turn,
        "unseen-turn": perm.compose(unseen, turn),
        "back": perm.inverse(turn),
        "more": perm.compose(turn, puzzle.permutation(Turn("F", 1, 1, 1))),
    }
    found = relations(effects, puzzle)
    kinds = {name: {r.name: g.kind for g in groups for r in g.listed} for name, groups in found.items()}
    assert kinds["nothing"] == {"unseen": NOTHING}
    assert kinds["turn"]["unseen-turn"] == SAME
    assert kinds["turn"]["back"] == UNDOES
    assert kinds["turn"]["more"] == LAYER == kinds["unseen-turn"]["more"]


def test_where_pieces_are_marked_relations_are_those_of_what_truly_moved() -> None:
    puzzle = catalogue.puzzle("cube-4")
    effects = {"unseen": does(UNSEEN, puzzle), "idle": puzzle.identity, "turn": does("U", puzzle)}

    def named(marked: bool) -> dict[str, str]:
        found = relations(effects, puzzle, marked)["unseen"]
        return {relation.name: group.kind for group in found for relation in group.listed}

    assert named(marked=False) == {"idle": NOTHING}
    assert "idle" not in named(marked=True)
