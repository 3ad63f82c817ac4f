"""Layers at a glance, against layers and homes worked out by hand and counted from stickers."""

from __future__ import annotations

import pytest

from sitegen.effects.effect import Effect
from sitegen.effects.layers import isolating, layers
from sitegen.puzzles import catalogue
from sitegen.puzzles import permutation as perm


def at_a_glance(effect) -> dict[str, tuple[int, int, set[str]]]:
    return {
        layer.name: (layer.home, layer.total, {piece.name for piece in layer.changed})
        for layer in layers(effect)
    }


def test_a_turn_of_the_top_takes_eight_of_nine_away_and_three_of_each_side(effect) -> None:
    found = at_a_glance(effect("U"))
    assert found["U"] == (1, 9, {"UF", "UL", "UB", "UR", "UFL", "UFR", "UBL", "UBR"})  # the centre stays
    assert {found[side][:2] for side in "FBLR"} == {(6, 9)}
    assert found["D"] == (9, 9, set())
    assert found["E"] == (8, 8, set())
    assert found["M"] == (6, 8, {"UF", "UB"})


def test_the_example_of_the_design_isolates_one_edge_of_the_top(effect) -> None:
    """DESIGN, section 4: it flips UF and keeps U except UF."""
    found = {layer.name: layer for layer in isolating(effect("F D' U L2 U2 D2 R U"))}
    assert [piece.name for piece in found["U"].changed] == ["UF"]
    assert found["U"].alone
    assert (found["U"].home, found["U"].total) == (8, 9)


def test_layers_with_one_piece_changed_come_before_those_with_two(effect) -> None:
    for moves in ("F D' U L2 U2 D2 R U", "[R' D' R, U]"):
        counts = [len(layer.changed) for layer in isolating(effect(moves))]
        assert counts == sorted(counts)
        assert set(counts) == {1, 2}


@pytest.mark.parametrize("moves", ["", "R R'", "U D"])
def test_nothing_is_isolated_where_nothing_or_all_changes(effect, moves: str) -> None:
    # U D: every upright layer loses three above and three below, M and S two above and two below.
    assert isolating(effect(moves)) == ()


@pytest.mark.parametrize("name", ["cube-2", "cube-3", "cube-4", "cube-5"])
def test_home_and_changed_are_what_the_stickers_of_each_layer_say(name: str, turned) -> None:
    cube = catalogue.puzzle(name)
    p = turned("R U F2 L' Rw U'" if name != "cube-2" else "R U F2 L' U'", cube)
    found = layers(Effect(cube, p))
    back, face = perm.inverse(p), [sticker.face for sticker in cube.stickers]
    # n layers on each of three lines, the middle one named once: 3 n in all.
    assert len(found) == 3 * cube.layer_count
    for layer in found:
        pieces = [x for x in cube.pieces if x.layers[layer.turn.axis] == layer.turn.first]
        # What can be seen is the colour in each slot: that of the face from which its sticker came.
        away = {x.name for x in pieces if any(face[back[s]] != face[s] for s in x.stickers)}
        assert layer.total == len(pieces)
        assert {piece.name for piece in layer.changed} == away
        assert layer.home == len(pieces) - len(away)
        assert layer.isolated == (len(away) in (1, 2) and len(pieces) > len(away))
