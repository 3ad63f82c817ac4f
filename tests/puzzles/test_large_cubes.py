"""Cubes of five to seven layers against cube geometry worked out by hand."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

import pytest
from sympy.combinatorics import Permutation as Symbolic
from sympy.combinatorics import PermutationGroup

from sitegen.puzzles import catalogue
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.puzzle import Piece, Puzzle, Sticker, Turn

SIZES = range(5, 8)


def cube(size: int) -> Puzzle:
    return catalogue.puzzle(f"cube-{size}")


def inner_layers(size: int) -> range:
    """The layers between the outermost and the middle, from one side: 2 on cube-5, 2 and 3 on cube-7."""
    return range(2, size // 2 + 1)


# Counting -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("size", SIZES)
def test_pieces_and_stickers_of_each_kind_are_as_many_as_cube_geometry_says(size: int) -> None:
    """By hand: 8 corners of three stickers; n - 2 pieces of two on each of 12 edges, the middle one of an odd
    cube an edge and the others wings; (n - 2)^2 pieces of one inside each of 6 faces."""
    puzzle = cube(size)
    pieces = Counter(piece.kind for piece in puzzle.pieces)
    stickers = Counter(puzzle.piece_at(sticker.index).kind for sticker in puzzle.stickers)
    edges = 12 * (size % 2)
    assert pieces["corner"] == 8
    assert pieces["edge"] == edges
    assert pieces["wing"] + pieces["edge"] == 12 * (size - 2)
    assert pieces["centre"] == 6 * (size - 2) ** 2
    assert stickers == {kind: {"corner": 3, "centre": 1}.get(kind, 2) * n for kind, n in pieces.items()}
    assert sum(stickers.values()) == len(puzzle.stickers) == 6 * size**2
    assert sum(pieces.values()) == len(puzzle.pieces) == size**3 - (size - 2) ** 3


@pytest.mark.parametrize(
    ("size", "sorts"),
    [
        # By hand, on one face: x-centres on its diagonals and t-centres on its middle lines, 4 of a depth;
        # obliques 8, where the two depths differ; one in the middle of an odd cube. Wings: 24 of a depth.
        (5, {"x-centres": 24, "t-centres": 24, "wings": 24}),
        (6, {"x-centres": 48, "obliques": 48, "outer-wings": 24, "inner-wings": 24}),
        (7, {"x-centres": 48, "t-centres": 48, "obliques": 48, "outer-wings": 24, "inner-wings": 24}),
    ],
)
def test_centres_and_wings_of_each_sort_are_as_many_as_counted_by_hand(size: int, sorts: dict) -> None:
    found = {word: len(pieces) for word, pieces in cube(size).kinds.items()}
    plain = {"corners", "edges", "wings", "centres"}
    assert {word: n for word, n in found.items() if word not in plain or word in sorts} == sorts


# Turns ----------------------------------------------------------------------------------------------------


def blocks(puzzle: Puzzle) -> Iterable[Turn]:
    """Every outer layer, slice, block and turn of the whole, by a quarter."""
    layers = range(1, puzzle.layer_count + 1)
    return (Turn(axis, a, b, 1) for axis in puzzle.axes for a in layers for b in layers if a <= b)


@pytest.mark.parametrize("size", SIZES)
def test_turns_of_outer_layers_slices_blocks_and_the_whole_are_of_order_four(size: int) -> None:
    puzzle = cube(size)
    turns = list(blocks(puzzle))
    assert len(turns) == 6 * size * (size + 1) // 2
    for turn in turns:
        p = puzzle.permutation(turn)
        assert {len(cycle) for cycle in perm.cycles(p)} == {4}, turn
        assert perm.order(p) == 4
        assert perm.order(puzzle.permutation(turn._replace(amount=2))) == 2
        assert perm.compose(p, puzzle.permutation(turn._replace(amount=-1))) == puzzle.identity


@pytest.mark.parametrize("size", SIZES)
def test_a_turn_moves_the_stickers_round_its_layers_and_those_of_the_faces_it_takes_along(size: int) -> None:
    """By hand: 4n round each layer, and n^2 on each face turned, but for the middle one of an odd cube."""
    puzzle = cube(size)
    face = size**2 - size % 2
    for turn in blocks(puzzle):
        p = puzzle.permutation(turn)
        moved = sum(p[slot] != slot for slot in range(len(puzzle.stickers)))
        faces = (turn.first == 1) + (turn.last == size)
        assert moved == 4 * size * (turn.last - turn.first + 1) + face * faces, turn


# Orbits ---------------------------------------------------------------------------------------------------

Shape = tuple[tuple[float, ...], int]


def shape(sticker: Sticker) -> Shape:
    """How far a sticker is from the three planes through the middle, and its hand, which turning both keep.

    A quarter turn exchanges two coordinates and changes the sign of one: their sizes stay, and so does the
    product of their signs with that of the order in which their sizes stand. That is the hand, 1 or -1; where
    two sizes are the same or one is 0, a sticker is its own mirror image and has none.
    """
    sizes = [round(abs(c), 6) for c in sticker.centre]
    ordered = tuple(sorted(sizes))
    if len(set(sizes)) < 3 or 0 in sizes:
        return ordered, 0
    a, b, c = sizes
    even = (a < b) + (b < c) + (c < a) == 2
    x, y, z = sticker.centre
    return ordered, 1 if (x * y * z > 0) == even else -1


@pytest.mark.parametrize("size", SIZES)
def test_every_turn_keeps_each_sticker_in_the_orbit_that_its_shape_tells(size: int) -> None:
    puzzle = cube(size)
    shapes = [shape(sticker) for sticker in puzzle.stickers]
    for turn in blocks(puzzle):
        p = puzzle.permutation(turn)
        assert all(shapes[p[slot]] == shapes[slot] for slot in range(len(shapes))), turn


@pytest.mark.parametrize(
    ("size", "whole"),
    [
        # By hand. The 24 ways to turn a cube take a sticker to 24 slots, if it is not in the middle of a
        # face, and no turn of a layer takes it elsewhere: so an even cube has 6 n^2 / 24 orbits, and an odd
        # one (6 n^2 - 6) / 24, and the six middles.
        (5, 6),
        (6, 9),
        (7, 12),
    ],
)
def test_stickers_fall_into_orbits_of_24_and_six_middles(size: int, whole: int) -> None:
    """The orbits by SymPy are the shapes: none falls apart."""
    puzzle = cube(size)
    turned = [list(puzzle.permutation(turn))[: len(puzzle.stickers)] for turn in puzzle.turns()]
    orbits = PermutationGroup([Symbolic(images) for images in turned]).orbits()
    assert Counter(map(len, orbits)) == Counter({24: whole, 6: size % 2})
    by_shape: dict[Shape, set[int]] = {}
    for sticker in puzzle.stickers:
        by_shape.setdefault(shape(sticker), set()).add(sticker.index)
    assert {frozenset(orbit) for orbit in orbits} == {frozenset(slots) for slots in by_shape.values()}


@pytest.mark.parametrize("size", range(4, 8))
def test_a_wing_has_no_flip_of_its_own(size: int) -> None:
    """Its two stickers are of different hands, so that neither ever comes to where the other was."""
    puzzle = cube(size)
    wings = [piece for piece in puzzle.pieces if piece.kind == "wing"]
    assert len(wings) == 24 * len(inner_layers(size))
    for wing in wings:
        hands = [shape(puzzle.stickers[slot])[1] for slot in wing.stickers]
        assert sorted(hands) == [-1, 1], wing.name


def orbit(piece: Piece, puzzle: Puzzle) -> str:
    """What kind of piece at which depths; an oblique also by its hand. `wing 2` lies in a second layer."""
    layers = sorted(min(layer, puzzle.layer_count + 1 - layer) for layer in piece.layers.values())
    inner = sorted({layer for layer in layers if layer in inner_layers(puzzle.layer_count)})
    names = {3: "corner", 2: "wing" if inner else "edge", 1: "middle"}
    name = names[len(piece.stickers)]
    if name == "middle" and inner:
        on_diagonal = layers.count(inner[0]) == 4  # of six axes, two and two opposite ones
        name = "oblique" if len(inner) == 2 else "x" if on_diagonal else "t"
    hand = shape(puzzle.stickers[piece.stickers[0]])[1] if name == "oblique" else 0
    return " ".join([name, *map(str, inner), *({1: ["+"], -1: ["-"]}.get(hand, []))])


OBLIQUES = {"oblique 2 3 +", "oblique 2 3 -"}
ORBITS = {
    5: {"corner": 8, "edge": 12, "middle": 6, "wing 2": 24, "x 2": 24, "t 2": 24},
    6: {"corner": 8, **dict.fromkeys({"wing 2", "wing 3", "x 2", "x 3", *OBLIQUES}, 24)},
    7: {
        "corner": 8,
        "edge": 12,
        "middle": 6,
        **dict.fromkeys({"wing 2", "wing 3", "x 2", "x 3", "t 2", "t 3", *OBLIQUES}, 24),
    },
}
"""By hand: every other place is one of the 24 to which the turns of the whole cube take it."""

ODD = {
    # What one quarter turn of a layer permutes oddly, by hand. The outermost turns a face: its 4 corners and
    # 4 edges go round once, and 4 centres of each orbit; its 8 wings of each depth go in two rounds, which is
    # even. An inner slice moves 4 wings, those of its own depth, 8 x-centres, and on each of 4 faces one
    # t-centre and one oblique of each hand. The middle slice moves 4 edges, 4 middles, and of each depth 8
    # t-centres.
    (5, 1): {"corner", "edge", "x 2", "t 2"},
    (5, 2): {"wing 2", "t 2"},
    (5, 3): {"edge", "middle"},
    (6, 1): {"corner", "x 2", "x 3", *OBLIQUES},
    (6, 2): {"wing 2", *OBLIQUES},
    (6, 3): {"wing 3", *OBLIQUES},
    (7, 1): {"corner", "edge", "x 2", "x 3", "t 2", "t 3", *OBLIQUES},
    (7, 2): {"wing 2", "t 2", *OBLIQUES},
    (7, 3): {"wing 3", "t 3", *OBLIQUES},
    (7, 4): {"edge", "middle"},
}


@pytest.mark.parametrize("size", SIZES)
def test_pieces_fall_into_the_orbits_counted_by_hand_and_no_turn_mixes_them(size: int) -> None:
    """So wings of two depths never mix, nor do obliques of two hands."""
    puzzle = cube(size)
    at_home = {piece.index: orbit(piece, puzzle) for piece in puzzle.pieces}
    assert Counter(at_home.values()) == ORBITS[size]
    for turn in puzzle.turns():
        p = puzzle.permutation(turn)
        for piece in puzzle.pieces:
            assert at_home[puzzle.piece_at(p[piece.stickers[0]]).index] == at_home[piece.index]


@pytest.mark.parametrize(("size", "layer"), ODD)
def test_one_turn_of_a_layer_permutes_each_orbit_with_the_sign_worked_out_by_hand(size, layer) -> None:
    puzzle = cube(size)
    for axis in puzzle.axes:
        p = puzzle.permutation(Turn(axis, layer, layer, 1))
        moved = [puzzle.piece_at(p[piece.stickers[0]]).index for piece in puzzle.pieces]
        odd = Counter(orbit(puzzle.pieces[cycle[0]], puzzle) for cycle in perm.cycles(tuple(moved)))
        assert {name for name, cycles_of_four in odd.items() if cycles_of_four % 2} == ODD[size, layer]
