"""An effect says what turning does: checked against the published facets and by turning again and again."""

from __future__ import annotations

import published_cube as published
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from turned_text import does

from sitegen.effects.effect import Effect
from sitegen.moves.turning import permutation_of
from sitegen.puzzles import catalogue
from sitegen.puzzles import permutation as perm

FACE_TURNS = st.lists(
    st.tuples(st.sampled_from("UDFBLR"), st.sampled_from(["", "2", "'"])).map("".join), max_size=14
).map(" ".join)

# Moves that leave pieces in place: commutators of these, so that flips and twists occur.
LIFT = "F D' U L2 U2 D2 R U"
SHORT = [*"UDFBLR", "U2", "R'", "F2", "D'", LIFT, "R' D' R D R' D' R D", "R U R' U'", ""]


@st.composite
def nearly_kept(draw: st.DrawFn) -> str:
    """Commutators and conjugates of short moves: most pieces stay home, some turned in place."""
    a, b, lead = (draw(st.sampled_from(SHORT)) for _ in range(3))
    return " ".join([lead, a, b, undone(a), undone(b), undone(lead)])


def undone(text: str) -> str:
    return " ".join(turn[0] + {"": "'", "'": "", "2": "2"}[turn[1:]] for turn in reversed(text.split()))


MOVES = st.one_of(FACE_TURNS, nearly_kept())
ANY_TURNS = {
    "cube-2": [*"UDFBLRxyz"],
    "cube-3": [*"UDFBLRMESxyzrf", "Rw", "Dw"],
    "cube-4": [*"UDFBLRxyz", "Rw", "2F", "2-3U", "3Lw"],
    "cube-5": [*"UDFBLRMESxyz", "Rw", "2F", "2-3U", "4Lw"],
}


@st.composite
def on_any_cube(draw: st.DrawFn) -> Effect:
    name = draw(st.sampled_from(list(ANY_TURNS)))
    turn = st.tuples(st.sampled_from(ANY_TURNS[name]), st.sampled_from(["", "2", "'"])).map("".join)
    row = st.lists(turn, max_size=6).map(" ".join)
    a, b = draw(row), draw(row)
    return effect_of(draw(st.sampled_from([a, f"[{a} R, {b} U]", f"([{a} R: {b} U2])2"])), name)


def effect_of(text: str, name: str = "cube-3") -> Effect:
    puzzle = catalogue.puzzle(name)
    return Effect(puzzle, does(text, puzzle))


def rebuilt(effect: Effect) -> list[int]:
    """The permutation from cycles, flips and twists alone: stickers keep their order round a piece."""
    goes = list(range(len(effect.puzzle.stickers)))

    def move(start: int, end: int) -> None:
        source, target = effect.puzzle.piece_at(start).stickers, effect.puzzle.piece_at(end).stickers
        for i in range(len(source)):
            a = source[(source.index(start) + i) % len(source)]
            goes[a] = target[(target.index(end) + i) % len(target)]

    for cycle in effect.cycles:
        for start, end in zip(cycle.slots, [*cycle.slots[1:], cycle.closes], strict=True):
            move(start, end)
    for piece in effect.flips:
        move(piece.stickers[0], piece.stickers[1])
    for twist in effect.twists:
        stickers = twist.piece.stickers
        move(stickers[0], stickers[twist.steps])
    return goes


# Published values -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("moves", "order"),
    [
        ("R U R' U'", 6),  # REFERENCES: orders; Singmaster and later texts
        ("R U", 105),  # the same
        ("R U2 D' B D'", 1260),  # the same: the largest of all
        ("R", 4),  # a quarter turn four times
        ("U2", 2),  # a half turn twice
        ("", 1),  # nothing need not be done again
    ],
)
def test_well_known_sequences_have_their_published_order(effect, moves: str, order: int) -> None:
    assert effect(moves).order == order


def test_a_turn_moves_four_corners_and_four_edges_round_and_keeps_the_other_side(effect) -> None:
    u = effect("U")
    assert sorted(len(cycle.slots) for cycle in u.cycles) == [4, 4]
    assert all(cycle.plain for cycle in u.cycles)
    assert u.flips == u.twists == ()
    assert u.parity == {"corner": "odd", "edge": "odd"}  # one cycle of four of each: three swaps
    assert set(u.keeps) == {"D", "E", "centres"}  # the layers that U does not reach


def test_the_order_6_sequence_keeps_no_layer_and_both_parities_even(effect) -> None:
    # R U R' U' is a commutator of turns, so even; three edges go round, two pairs of corners change places.
    found = effect("R U R' U'")
    assert found.parity == {"corner": "even", "edge": "even"}
    assert [len(cycle.slots) for cycle in found.cycles] == [2, 2, 3]
    assert set(found.keeps) == {"centres"}


def test_lifting_one_edge_and_undoing_it_after_a_turn_flips_two_edges(effect) -> None:
    # REFERENCES, common practice: [A, T] changes only the piece that A changed and the one T brings there.
    lift = published.changed(LIFT)
    assert {p for p in lift if "U" in p} == {frozenset("UF")}
    assert published.flips(LIFT) == {frozenset("UF")}
    both = effect(f"[{LIFT}, U]")
    assert {piece.name for piece in both.flips} == {"UF", "UR"}
    assert {piece.name for piece in both.changed} == {"UF", "UR"}


def test_a_clockwise_twist_takes_the_u_sticker_of_ufr_to_r(effect) -> None:
    # By hand: seen from outside, clockwise round UFR come U, R, F.
    twice = effect("R' D' R D R' D' R D")
    (ufr,) = [t for t in twice.twists if t.piece.name == "UFR"]
    slots = twice.puzzle.slots
    assert (ufr.sense == "clockwise") == (twice.permutation[slots["UFR"]] == slots["RUF"])
    assert ufr.sense == published.twists("R' D' R D R' D' R D")[frozenset("UFR")]


# Against the published facets -----------------------------------------------------------------------------


@given(MOVES)
def test_every_sticker_goes_where_the_published_turns_take_it(text: str) -> None:
    effect, goes = effect_of(text), published.facets(text)
    for sticker in effect.puzzle.stickers:
        if len(sticker.name) > 1:
            end = effect.name(effect.permutation[sticker.index])
            assert published.key(end) == goes[published.key(sticker.name)]


@given(MOVES)
def test_flips_twists_changed_order_and_parity_are_those_of_the_published_turns(text: str) -> None:
    effect = effect_of(text)
    assert {published.place(piece.name) for piece in effect.flips} == published.flips(text)
    assert {published.place(t.piece.name): t.sense for t in effect.twists} == published.twists(text)
    assert {published.place(piece.name) for piece in effect.changed} == published.changed(text)
    assert effect.order == published.order(text)
    assert effect.parity == {"corner": published.parity(text, 3), "edge": published.parity(text, 2)}


@given(MOVES)
def test_kept_layers_and_kinds_are_those_with_no_changed_piece(text: str) -> None:
    changed = published.changed(text)
    without = {"M": "LR", "E": "UD", "S": "FB"}
    layers = {face: {p for p in map(published.place, published.NAMES) if face in p} for face in "UDFBLR"}
    layers |= {
        name: {p for p in map(published.place, published.NAMES) if not p & set(faces)}
        for name, faces in without.items()
    }
    layers |= {f"{kind}s": {p for p in changed if len(p) == n} for kind, n in (("corner", 3), ("edge", 2))}
    expected = {name for name, pieces in layers.items() if not pieces & changed} | {"centres"}
    assert set(effect_of(text).keeps) == expected


# Laws that hold for all moves -----------------------------------------------------------------------------


@given(on_any_cube())
def test_an_effect_of_marked_pieces_loses_nothing(effect: Effect) -> None:
    marked = Effect(effect.puzzle, effect.permutation, marked=True)
    assert rebuilt(marked) == list(effect.permutation[: len(effect.puzzle.stickers)])


@given(on_any_cube())
def test_changed_pieces_are_those_in_cycles_flips_and_twists_and_each_is_in_one(effect: Effect) -> None:
    named = [effect.puzzle.piece_at(slot).index for cycle in effect.cycles for slot in cycle.slots]
    named += [piece.index for piece in effect.flips] + [twist.piece.index for twist in effect.twists]
    assert sorted(named) == sorted(piece.index for piece in effect.changed)


@settings(max_examples=40)
@given(MOVES)
def test_the_order_is_the_first_time_that_everything_is_home(text: str) -> None:
    effect = effect_of(text)
    p, times = effect.permutation, 1
    while p != effect.puzzle.identity:
        p, times = perm.compose(p, effect.permutation), times + 1
    assert times == effect.order


@given(on_any_cube())
def test_corner_twists_sum_to_whole_turns_and_edge_flips_to_pairs(effect: Effect) -> None:
    # Chen; Bandelow (REFERENCES, laws). A cycle's own twist is how its first piece comes round.
    if not effect.puzzle.name.endswith(("2", "3")):
        return  # wings have no flip of their own
    total = {"corner": 0, "edge": len(effect.flips)}
    for cycle in effect.cycles:
        piece = effect.puzzle.piece_at(cycle.slots[0])
        if piece.kind in total:
            total[piece.kind] += piece.stickers.index(cycle.closes) - piece.stickers.index(cycle.slots[0])
    total["corner"] += sum(twist.steps for twist in effect.twists)
    assert total["corner"] % 3 == 0
    assert total["edge"] % 2 == 0


@given(on_any_cube())
def test_edges_and_corners_of_cube_3_permute_with_the_same_sign_seen_from_the_centres(effect: Effect) -> None:
    # Chen; Bandelow (REFERENCES, laws): with the centres home.
    if effect.puzzle.name == "cube-3":
        home = effect.turned_back
        assert home.parity["corner"] == home.parity["edge"]


@given(on_any_cube())
def test_turning_back_is_a_turning_of_the_whole_cube_that_brings_the_centres_home(effect: Effect) -> None:
    back, home = effect.turning_back, effect.turned_back.permutation
    centres = effect.puzzle.fixed_centres
    assert all(home[slot] == slot for slot in centres)
    assert perm.compose(effect.permutation, permutation_of(back, effect.puzzle)) == home
    assert all((turn.first, turn.last) == (1, effect.puzzle.layer_count) for turn in back)
    assert bool(back) == any(effect.permutation[slot] != slot for slot in centres)


def test_a_slice_turned_back_is_its_two_neighbours_turned_the_other_way(effect) -> None:
    # By hand: M follows L (WCA 2009, 12a13); turning everything back by x leaves R, and L undone.
    m = effect("M")
    assert m.turned_back.permutation == effect("M x").permutation == effect("R L'").permutation
    assert {piece.kind for piece in m.changed} == {"edge", "centre"}


@pytest.mark.parametrize("rotation", ["x", "y'", "z2", "x y", "x y z'"])
def test_the_whole_cube_turned_is_told_of_as_turned_and_turned_back_does_nothing(effect, rotation) -> None:
    # By hand: a rotation leaves two centres at most and no edge and no corner.
    assert sum(len(piece.stickers) > 1 for piece in effect(rotation).changed) == 20
    assert effect(rotation).turned_back.changed == ()
    assert len(effect(rotation).turning_back) <= 2  # any of the 24 ways to hold a cube is two turns away
