"""What the views promise for any solid: faces meet where they should, and nothing overlaps."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import combinations
from math import dist, sqrt

import pytest

from sitegen.figures.camera import Camera
from sitegen.figures.draw import draw
from sitegen.figures.picture import Picture
from sitegen.figures.plane import apart, area, box, inset, middle, within
from sitegen.figures.views import all_round, available, layout
from sitegen.figures.views.faces import plane_of
from sitegen.figures.views.mirrors import has_mirrors
from sitegen.figures.views.net import front, unfold
from sitegen.figures.views.top import has_borders
from sitegen.puzzles import catalogue
from sitegen.puzzles.build import build
from sitegen.puzzles.definition import Definition, FaceDefinition
from sitegen.puzzles.geometry import dot, unit
from sitegen.puzzles.puzzle import Puzzle, Turn
from sitegen.puzzles.solids import NORMALS

NAMES = "FRUDLBABCEGHIJK"


def cut(solid: str, depths: tuple[float, ...], angle: int, by_vertex: bool = False) -> Puzzle:
    """A puzzle of a solid, its axes through the faces or, on the tetrahedron and the cube, the vertices."""
    faces = tuple(
        FaceDefinition(f"{NAMES[i]}{'' if i < 6 else i}", normal, "sand")
        for i, normal in enumerate(NORMALS[solid])
    )
    axes = {face.name: face.towards for face in faces}
    if by_vertex and solid == "tetrahedron":
        axes = {name: (-x, -y, -z) for name, (x, y, z) in axes.items()}
    elif by_vertex:
        axes = {
            n: unit(v)
            for n, v in [("K", (1, 1, -1)), ("M", (1, -1, 1)), ("N", (-1, 1, 1)), ("P", (-1, -1, -1))]
        }
    return build(Definition(f"{solid} {by_vertex}", solid, faces, axes, depths, angle, ""))


OTHERS = [
    cut("tetrahedron", (5 / 3, 1 / 3), 120, by_vertex=True),
    cut("cube", (0.0,), 120, by_vertex=True),
    cut("octahedron", (1 / 3,), 120),
    cut("dodecahedron", (0.7,), 72),
]


@pytest.mark.parametrize("puzzle", OTHERS, ids=lambda puzzle: puzzle.name)
def test_every_solid_has_a_corner_and_a_net(puzzle: Puzzle) -> None:
    assert {"corner", "net"} <= set(available(puzzle))


@pytest.mark.parametrize("puzzle", OTHERS, ids=lambda puzzle: puzzle.name)
def test_no_two_stickers_overlap_in_any_view(puzzle: Puzzle) -> None:
    for view in available(puzzle):
        shapes = layout(puzzle, view).shapes
        assert all(apart(a, b) for a, b in combinations(shapes.values(), 2)), view


@pytest.mark.parametrize("puzzle", OTHERS, ids=lambda puzzle: puzzle.name)
def test_everything_lies_within_the_figure(puzzle: Puzzle) -> None:
    for view in available(puzzle):
        plan = layout(puzzle, view)
        (left, top), (right, bottom) = box(point for shape in plan.bodies for point in shape)
        assert left > 0
        assert top > 0
        assert right < plan.width
        assert bottom < plan.height


@pytest.mark.parametrize("puzzle", OTHERS, ids=lambda puzzle: puzzle.name)
def test_a_net_lays_every_face_once_and_none_over_another(puzzle: Puzzle) -> None:
    leaves = unfold(puzzle)
    assert sorted(leaf.face.name for leaf in leaves) == sorted(face.name for face in puzzle.faces)
    assert all(apart(a.body, b.body, -1e-6) for a, b in combinations(leaves, 2))


def test_a_cubes_net_is_a_cross_with_the_back_at_the_end_of_its_row(cube3: Puzzle) -> None:
    # Drawn by hand: U above F, D below it, and the row L F R B.
    at = {leaf.face.name: middle(leaf.body) for leaf in unfold(cube3)}
    columns = {name: round(x / 2) for name, (x, _) in at.items()}
    rows = {name: round(y / 2) for name, (_, y) in at.items()}
    assert columns == {"F": 0, "U": 0, "D": 0, "L": -1, "R": 1, "B": 2}
    assert rows == {"U": -1, "L": 0, "F": 0, "R": 0, "B": 0, "D": 1}


def test_where_no_face_is_called_f_a_net_is_laid_round_the_one_that_looks_most_at_the_reader(
    cube3: Puzzle,
) -> None:
    # By hand: the reader of a cube stands 38 degrees to the right of its front and 41 above it, where sin 41
    # is more than cos 38 cos 41 and sin 38 cos 41.
    assert front(cube3).name == "F"
    faces = tuple(replace(face, name=f"{face.name}1") for face in cube3.faces)
    assert front(replace(cube3, faces=faces)).name == "U1"


def test_a_net_keeps_the_stickers_of_an_edge_side_by_side(cube3: Puzzle) -> None:
    plan = layout(cube3, "net")
    a, b = (plan.centres[cube3.slots[name]] for name in ("UF", "FU"))
    assert abs(a[0] - b[0]) < 1
    assert 0 < b[1] - a[1] < 1.2 * plan.unit


def test_the_top_view_has_the_front_below_and_the_right_at_the_right(cube3: Puzzle) -> None:
    centres = layout(cube3, "top").centres
    x, y = centres[cube3.slots["U"]]
    assert centres[cube3.slots["FU"]][1] > centres[cube3.slots["UF"]][1] > y
    assert centres[cube3.slots["RU"]][0] > centres[cube3.slots["UR"]][0] > x


@pytest.mark.parametrize("name", [name for name in catalogue.names() if has_borders(catalogue.puzzle(name))])
def test_the_strips_of_a_top_view_stand_apart_from_the_face_and_each_other(name: str) -> None:
    """By the page between their outlines, on a figure 160 pixels wide: one of them at least is clear."""
    plan = layout(catalogue.puzzle(name), "top")
    line = 12  # units, as the rule for bodies says: half of it lies outside of each
    assert len(plan.bodies) > 1
    assert all(apart(a, b, line + plan.width / 160) for a, b in combinations(plan.bodies, 2))


@pytest.mark.parametrize("name", ["cube-2", "cube-3", "cube-4", "cube-7", "skewb"])
def test_a_strip_of_a_square_face_is_as_wide_at_its_outer_side_as_at_the_face(name: str) -> None:
    for body in layout(catalogue.puzzle(name), "top").bodies:
        (left, top), (right, bottom) = box(body)
        assert area(body) == pytest.approx((right - left) * (bottom - top))


def test_a_mirror_shows_hidden_faces_the_other_way_round(cube3: Puzzle) -> None:
    # Looking straight at L one has the front at the right; its mirror shows it at the left, as if the reader
    # saw through the cube.
    plan = layout(cube3, "corner with back")
    front, back = (plan.centres[cube3.slots[name]] for name in ("LF", "LB"))
    assert front[0] < back[0]
    assert plan.mirrored == {s.index for s in cube3.stickers if s.face in "LBD"}


@pytest.mark.parametrize("puzzle", [*map(catalogue.puzzle, catalogue.names()), *OTHERS], ids=lambda p: p.name)
def test_what_may_be_anywhere_is_drawn_in_a_view_that_the_puzzle_has_and_that_shows_all(
    puzzle: Puzzle,
) -> None:
    assert all_round(puzzle) in available(puzzle)
    assert layout(puzzle, all_round(puzzle)).shapes.keys() == {s.index for s in puzzle.stickers}


@pytest.mark.parametrize("name", [name for name in catalogue.names() if has_mirrors(catalogue.puzzle(name))])
def test_mirrors_stand_free_of_the_puzzle_and_of_each_other(name: str) -> None:
    """By a gap that is seen on a small figure: 160 pixels wide, two of them."""
    plan = layout(catalogue.puzzle(name), "corner with back")
    gap = 2 * plan.width / 160
    assert len(plan.bodies) > 1
    assert all(apart(a, b, gap) for a, b in combinations(plan.bodies, 2))


def test_a_level_face_has_the_front_at_the_bottom(cube3: Puzzle) -> None:
    at = plane_of((0, 1, 0))
    assert at((0, 1, 1)) == pytest.approx((0, 1))
    assert at((1, 1, 0)) == pytest.approx((1, 0))


def test_inset_moves_every_side_by_one_distance() -> None:
    # A square of side 4 loses 1 on each side: side 2, area 4.
    square = ((0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0))
    assert area(inset(square, 1)) == pytest.approx(4)


def test_shapes_are_apart_by_a_gap_as_wide_as_the_room_between_them() -> None:
    # By hand: two squares of side 4, and 1 between them, side by side or one above the other.
    square = ((0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0))
    for x, y in ((5, 0), (-5, 0), (0, 5), (0, -5)):
        other = tuple((a + x, b + y) for a, b in square)
        assert apart(square, other)
        assert apart(square, other, 1)
        assert not apart(square, other, 1.01)
    assert apart(square, tuple((a + 4, b) for a, b in square)), "with a side in common"
    assert not apart(square, tuple((a + 3.9, b) for a, b in square))


@pytest.mark.parametrize(("sine", "seen"), [(1.0, True), (0.09, True), (0.07, False), (-0.5, False)])
def test_a_face_is_seen_unless_it_is_seen_too_flat(sine: float, seen: bool) -> None:
    # The eye is 10 from the middle. Of a face 1 from there, with the angle a between its direction and the
    # way to the eye, the line of sight has the sine (10 cos a - 1) / sqrt(100 - 20 cos a + 1).
    def cosine(low: float, high: float) -> float:
        for _ in range(60):
            half = (low + high) / 2
            flat = (10 * half - 1) / sqrt(101 - 20 * half)
            low, high = (half, high) if flat < sine else (low, half)
        return low

    along = cosine(-1.0, 1.0)
    eye = Camera(((1, 0, 0), (0, 1, 0), (0, 0, 1)), 10.0)
    assert eye.sees((sqrt(max(0.0, 1 - along**2)), 0.0, along)) == seen


@pytest.mark.parametrize("puzzle", [*map(catalogue.puzzle, catalogue.names()), *OTHERS], ids=lambda p: p.name)
def test_a_figure_is_1000_long_and_has_the_same_room_on_every_side(puzzle: Puzzle) -> None:
    for view in available(puzzle):
        plan = layout(puzzle, view)
        assert max(plan.width, plan.height) == 1000
        (left, upper), (right, lower) = box(point for shape in plan.bodies for point in shape)
        room = [left, upper, plan.width - right, plan.height - lower]
        assert room == pytest.approx([left] * 4, abs=0.5), view


@pytest.mark.parametrize("puzzle", [*map(catalogue.puzzle, catalogue.names()), *OTHERS], ids=lambda p: p.name)
def test_a_point_of_a_face_falls_where_its_sticker_is_drawn(puzzle: Puzzle) -> None:
    for view in available(puzzle):
        plan = layout(puzzle, view)
        for slot, shape in plan.shapes.items():
            if view != "top" or slot in plan.main:  # a strip may show a part of a sticker, without its middle
                sticker = puzzle.stickers[slot]
                point = plan.place(sticker.face, sticker.centre)
                assert point
                assert within(shape, point, point)


@pytest.mark.parametrize("puzzle", [*map(catalogue.puzzle, catalogue.names()), *OTHERS], ids=lambda p: p.name)
def test_the_top_view_is_about_one_face_and_shows_all_that_has_a_side_on_it(puzzle: Puzzle) -> None:
    if "top" not in available(puzzle):
        return
    plan, face = layout(puzzle, "top"), puzzle.faces[0]
    assert plan.main == {s.index for s in puzzle.stickers if s.face == face.name}
    bordering = {
        s.index
        for s in puzzle.stickers
        if sum(abs(dot(point, face.towards) - 1) < 1e-6 for point in s.polygon) == 2
    }
    assert bordering | plan.main <= plan.shapes.keys()


@pytest.mark.parametrize("name", catalogue.names())
def test_every_puzzle_has_all_views_but_mirrors_of_many_faces(name: str) -> None:
    # Half of a dodecahedron's faces are hidden at once; mirrors of six would stand in each other's way.
    wanted = ["corner", "corner with back", "top", "net"]
    if name == "megaminx":
        wanted.remove("corner with back")
    assert list(available(catalogue.puzzle(name))) == wanted


def test_a_letter_is_smaller_where_its_sticker_is_narrow() -> None:
    # The lower faces of a dodecahedron are seen at a slant.
    puzzle = OTHERS[3]
    many = len(puzzle.stickers)
    picture = Picture(puzzle, ("sand",) * many, "Solved", "All is home.", letters=("A",) * many)
    sizes = [int(size) for size in re.findall(r'font-size="(\d+)"', draw(picture, "corner"))]
    assert len(set(sizes)) > 1
    assert sizes[0] == max(sizes)  # of the group, which holds for what says nothing of its own


@pytest.mark.parametrize("puzzle", OTHERS, ids=lambda puzzle: puzzle.name)
def test_the_arrow_of_a_turn_can_be_drawn_on_every_solid(puzzle: Puzzle) -> None:
    colours = ("sand",) * len(puzzle.stickers)
    for view in available(puzzle):
        figures = [
            draw(Picture(puzzle, colours, "A turn", "One layer turns.", marks=(Turn(axis, 1, 1, 1),)), view)
            for axis in puzzle.axes
        ]
        assert any("turning" in figure for figure in figures), view


@pytest.mark.parametrize("name", ["cube-2", "cube-3", "cube-5", "cube-7", "megaminx", "skewb"])
def test_a_bordering_sticker_stands_at_the_sticker_of_its_piece_in_the_middle(name: str) -> None:
    puzzle = catalogue.puzzle(name)
    plan = layout(puzzle, "top")
    for slot in plan.shapes.keys() - plan.main:
        piece = puzzle.piece_at(slot)
        own = [other for other in piece.stickers if other in plan.main]
        if own:
            near = min(plan.main, key=lambda other: dist(plan.centres[slot], plan.centres[other]))
            assert near in own, puzzle.stickers[slot].name


@pytest.mark.parametrize("puzzle", [p for p in map(catalogue.puzzle, catalogue.names()) if has_mirrors(p)])
def test_mirrors_stand_no_farther_off_than_they_must(puzzle: Puzzle) -> None:
    """Else all would be small: most of the figure is the puzzle and its mirrors."""
    plan = layout(puzzle, "corner with back")
    assert sum(map(area, plan.bodies)) > 0.3 * plan.width * plan.height
