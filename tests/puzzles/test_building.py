"""From a definition to stickers, pieces and turns: how many, what they are called, how they turn."""

from __future__ import annotations

from collections import Counter
from itertools import pairwise
from math import dist, sqrt

import pytest
from sample_definitions import (
    cube_by_eight_vertices,
    cube_by_four_vertices,
    cut,
    dodecahedron_by_faces,
    octahedron_by_faces,
    octahedron_by_vertices,
    tetrahedron_by_vertices,
)

from sitegen.puzzles import catalogue
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.definition import DefinitionError, equal_layers
from sitegen.puzzles.geometry import Polygon, cross, dot, norm, scale, subtract
from sitegen.puzzles.puzzle import Piece, Puzzle, Turn
from sitegen.puzzles.solids import NORMALS, vertices

SOLIDS = {
    "tetrahedron": tetrahedron_by_vertices,
    "cube by 4 vertices": cube_by_four_vertices,
    "cube by 8 vertices": cube_by_eight_vertices,
    "octahedron by faces": octahedron_by_faces,
    "octahedron by vertices": octahedron_by_vertices,
    "dodecahedron": dodecahedron_by_faces,
}
CUBES = [f"cube-{size}" for size in range(2, 8)]


def any_puzzle(name: str) -> Puzzle:
    return SOLIDS[name]() if name in SOLIDS else catalogue.puzzle(name)


def area(polygon: Polygon) -> float:
    a = polygon[0]
    parts = pairwise(polygon[1:])
    return sum(norm(cross(subtract(b, a), subtract(c, a))) / 2 for b, c in parts)


@pytest.mark.parametrize(
    ("solid", "faces", "corners"),
    [("tetrahedron", 4, 4), ("cube", 6, 8), ("octahedron", 8, 6), ("dodecahedron", 12, 20)],
)
def test_the_solids_have_their_faces_and_vertices(solid: str, faces: int, corners: int) -> None:
    assert len(NORMALS[solid]) == faces
    assert len(vertices(NORMALS[solid])) == corners
    assert all(abs(norm(normal) - 1) < 1e-9 for normal in NORMALS[solid])


@pytest.mark.parametrize("size", range(2, 8))
def test_a_cube_of_n_layers_has_6_n_n_stickers_and_a_shell_of_pieces(size: int) -> None:
    puzzle = catalogue.puzzle(f"cube-{size}")
    assert len(puzzle.stickers) == 6 * size**2
    assert len(puzzle.pieces) == size**3 - (size - 2) ** 3
    inner = size - 2
    stickers_each = Counter(len(piece.stickers) for piece in puzzle.pieces)
    assert stickers_each == Counter({3: 8, 2: 12 * inner, 1: 6 * inner**2})
    kinds = Counter(piece.kind for piece in puzzle.pieces)
    middle_edges = 12 * (size % 2) * (inner > 0)
    expected = {"corner": 8, "edge": middle_edges, "wing": 12 * inner - middle_edges, "centre": 6 * inner**2}
    assert kinds == Counter({kind: n for kind, n in expected.items() if n})


@pytest.mark.parametrize(
    ("name", "stickers", "pieces"),
    [
        # By hand. Tetrahedron: 9 stickers a face; 4 tips, 4 pieces under them, 6 edges.
        ("tetrahedron", 36, {3: 8, 2: 6}),
        # Cube cut by four planes through the middle: a face is a square centre and 4 corner triangles.
        ("cube by 4 vertices", 30, {3: 8, 1: 6}),
        ("cube by 8 vertices", 30, {3: 8, 1: 6}),
        # Octahedron with three layers each way: 9 triangles a face, 4 of them at every vertex.
        ("octahedron by faces", 72, {4: 6, 2: 12, 1: 24}),
        # Cut square to its vertices: three lines through the middle of a face part it in 3 parallelograms
        # at the vertices, 4 of them to a piece, and 3 triangles on the edges, 2 of them to a piece.
        ("octahedron by vertices", 48, {4: 6, 2: 12}),
        # Dodecahedron: 11 stickers a face; 20 corners, 30 edges, 12 centres.
        ("dodecahedron", 132, {3: 20, 2: 30, 1: 12}),
    ],
)
def test_other_solids_have_the_stickers_and_pieces_counted_by_hand(name, stickers, pieces) -> None:
    puzzle = any_puzzle(name)
    assert len(puzzle.stickers) == stickers
    assert Counter(len(piece.stickers) for piece in puzzle.pieces) == Counter(pieces)


@pytest.mark.parametrize("name", [*CUBES, *SOLIDS])
def test_the_stickers_tile_every_face_of_the_solid(name: str) -> None:
    puzzle = any_puzzle(name)
    # From the textbook formulas for edge a, with a such that the inscribed sphere has radius 1:
    # tetrahedron √3 a², radius a√6/12; cube 6a², a/2; octahedron 2√3 a², a√6/6;
    # dodecahedron 3√(25 + 10√5) a², a/2 √((25 + 11√5)/10).
    surface = {
        "tetrahedron": sqrt(3) * (12 / sqrt(6)) ** 2,
        "cube": 6 * 2**2,
        "octahedron": 2 * sqrt(3) * (6 / sqrt(6)) ** 2,
        "dodecahedron": 3 * sqrt(25 + 10 * sqrt(5)) * 4 / ((25 + 11 * sqrt(5)) / 10),
    }
    found = sum(area(sticker.polygon) for sticker in puzzle.stickers)
    assert found == pytest.approx(surface[puzzle.solid], rel=1e-9)


@pytest.mark.parametrize("name", [*CUBES, *SOLIDS])
def test_a_sticker_is_drawn_anticlockwise_seen_from_outside(name: str) -> None:
    puzzle = any_puzzle(name)
    towards = {face.name: face.towards for face in puzzle.faces}
    for sticker in puzzle.stickers:
        corners = sticker.polygon
        for a, b, c in zip(corners, corners[1:] + corners[:1], corners[2:] + corners[:2], strict=True):
            turning = dot(cross(subtract(b, a), subtract(c, b)), towards[sticker.face])
            assert turning > -1e-9
            assert dot(a, towards[sticker.face]) == pytest.approx(1)


@pytest.mark.parametrize("name", [*CUBES, *SOLIDS])
def test_every_sticker_belongs_to_one_piece_and_every_name_is_unique(name: str) -> None:
    puzzle = any_puzzle(name)
    owners = Counter(slot for piece in puzzle.pieces for slot in piece.stickers)
    assert owners == Counter(range(len(puzzle.stickers)))
    assert all(puzzle.stickers[s].piece == piece.index for piece in puzzle.pieces for s in piece.stickers)
    assert len({piece.name for piece in puzzle.pieces}) == len(puzzle.pieces)
    assert len({sticker.name for sticker in puzzle.stickers}) == len(puzzle.stickers)
    assert all(puzzle.slots[sticker.name] == sticker.index for sticker in puzzle.stickers)


@pytest.mark.parametrize("name", [*CUBES, *SOLIDS])
def test_every_layers_turn_has_the_order_of_its_angle_and_keeps_pieces_whole(name: str) -> None:
    puzzle = any_puzzle(name)
    for turn in puzzle.turns():
        p = puzzle.permutation(turn)
        assert perm.order(p) == 360 // puzzle.angle, turn
        for piece in puzzle.pieces:
            assert len({puzzle.stickers[p[slot]].piece for slot in piece.stickers}) == 1
            if piece.layers[turn.axis] != turn.first:
                assert all(p[slot] == slot for slot in piece.stickers)


@pytest.mark.parametrize("name", [*CUBES, *SOLIDS])
def test_all_layers_of_an_axis_turned_together_turn_the_whole_puzzle(name: str) -> None:
    puzzle = any_puzzle(name)
    for axis in puzzle.axes:
        one_by_one = puzzle.identity
        for layer in range(1, puzzle.layer_count + 1):
            one_by_one = perm.compose(one_by_one, puzzle.permutation(Turn(axis, layer, layer, 1)))
        whole = puzzle.permutation(Turn(axis, 1, puzzle.layer_count, 1))
        assert one_by_one == whole
        assert whole in puzzle.rotations


@pytest.mark.parametrize(
    ("name", "rotations", "planes"),
    [
        # The rotation groups of the Platonic solids have 12, 24, 24 and 60 members; mirror planes 6, 9, 9, 15
        # (Coxeter, Regular Polytopes). A cube cut through its middle is cut alike from both ends.
        ("tetrahedron", 12, 6),
        ("cube by 4 vertices", 24, 9),
        ("cube by 8 vertices", 24, 9),
        ("octahedron by faces", 24, 9),
        ("dodecahedron", 60, 15),
        *((cube, 24, 9) for cube in CUBES),
    ],
)
def test_puzzles_have_the_symmetries_of_their_solids(name: str, rotations: int, planes: int) -> None:
    puzzle = any_puzzle(name)
    assert len(set(puzzle.rotations)) == rotations
    assert puzzle.rotations[0] == puzzle.identity
    assert len(set(puzzle.mirrors.values())) == planes == len(puzzle.mirrors)
    for plane in puzzle.mirrors.values():
        assert perm.order(plane) == 2


@pytest.mark.parametrize("name", [*CUBES, *SOLIDS])
def test_a_mirror_is_named_by_two_faces_that_it_exchanges(name: str) -> None:
    puzzle = any_puzzle(name)
    for (a, b), plane in puzzle.mirrors.items():
        faces = {puzzle.stickers[plane[s.index]].face for s in puzzle.stickers if s.face == a}
        assert faces == {b}
        assert a != b


@pytest.mark.parametrize("name", [*CUBES, *SOLIDS])
def test_the_stickers_of_a_piece_run_clockwise_seen_from_outside(name: str) -> None:
    puzzle = any_puzzle(name)
    for piece in puzzle.pieces:
        if len(piece.stickers) > 2:
            assert all(step > 1e-9 for step in turning(puzzle, piece)), piece.name


def turning(puzzle: Puzzle, piece: Piece) -> list[float]:
    """For each two stickers in a row whether the second lies clockwise of the first."""
    centres = [puzzle.stickers[slot].centre for slot in piece.stickers]
    outward = scale(tuple(map(sum, zip(*centres, strict=True))), 1 / len(centres))
    arms = [subtract(centre, outward) for centre in centres]
    return [-dot(cross(a, b), outward) for a, b in zip(arms, arms[1:] + arms[:1], strict=True)]


def test_a_place_may_be_read_from_any_of_its_stickers_and_the_others_in_any_order(cube3: Puzzle) -> None:
    assert cube3.slots["FUR"] == cube3.slots["FRU"] != cube3.slots["UFR"]
    assert cube3.stickers[cube3.slots["FUR"]].face == "F"
    assert cube3.piece_at(cube3.slots["FUR"]) is cube3.piece_at(cube3.slots["UFR"])


def test_only_centres_that_no_outer_turn_moves_are_fixed() -> None:
    fixed = {size: len(catalogue.puzzle(f"cube-{size}").fixed_centres) for size in range(2, 8)}
    assert fixed == {2: 0, 3: 6, 4: 0, 5: 6, 6: 0, 7: 6}  # odd cubes have a middle sticker on each face


def test_colours_of_opposite_faces_are_those_of_common_practice(cube3: Puzzle) -> None:
    """Common practice: white and yellow, blue and green, red and orange; white up, green front, red right."""
    colour = {face.name: face.colour for face in cube3.faces}
    assert [(colour[a], colour[b]) for a, b in ("UD", "FB", "RL")] == [
        ("white", "yellow"),
        ("green", "blue"),
        ("red", "orange"),
    ]


def test_opposite_axes_are_known_where_they_share_their_cuts(cube3: Puzzle) -> None:
    assert dict(cube3.opposite) == {"U": "D", "D": "U", "F": "B", "B": "F", "L": "R", "R": "L"}
    assert tetrahedron_by_vertices().opposite == {}  # a face stands across from each vertex


def test_equal_layers_are_equally_thick() -> None:
    assert equal_layers(4) == pytest.approx((0.5, 0.0, -0.5))


def test_a_turn_that_does_not_fit_the_cuts_is_refused() -> None:
    """A face of a cube turned by 120 degrees takes stickers to where there are none."""
    puzzle = cut("askew", NORMALS["cube"], equal_layers(3), 120, "cube")
    with pytest.raises(DefinitionError, match="where none belongs"):
        puzzle.permutation(Turn("A", 1, 1, 1))


def test_the_cuts_of_the_megaminx_part_every_edge_in_three_equal_lengths() -> None:
    """A regular dodecahedron with edges a has its faces a/2 · √((25 + 11√5)/10) away: from memory."""
    megaminx = catalogue.puzzle("megaminx")
    third = 2 / sqrt((25 + 11 * sqrt(5)) / 10) / 3
    for sticker in megaminx.stickers:
        sides = [
            dist(a, b)
            for a, b in zip(sticker.polygon, [*sticker.polygon[1:], sticker.polygon[0]], strict=True)
        ]
        kind = megaminx.pieces[sticker.piece].kind
        on_edges = sum(abs(side - third) < 1e-9 for side in sides)
        assert on_edges >= {"corner": 2, "edge": 1, "centre": 0}[kind], sticker.name
