"""What the shapes of marks and guards promise: each can be read, and lies where what it tells of is.

On all puzzles that ship and some that an author may define, in all views that they have.
"""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from collections.abc import Sequence
from dataclasses import replace
from itertools import combinations, pairwise, product
from math import cos, radians, sin

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from reading_marks import ON_RIM, Stroke, off_shape, stickers
from reading_paths import HalfRound, Outline, outlines
from sample_pictures import busy, solved, way
from test_marks_read_back import EVERY_VIEW, NAMES, drawn, puzzle_of

from sitegen.figures.draw import draw, guard_width
from sitegen.figures.layout import Layout
from sitegen.figures.marks.arrow_shape import nib, ribbon_outline
from sitegen.figures.marks.joint import joint
from sitegen.figures.of_position import palette, picture
from sitegen.figures.path_text import path_text
from sitegen.figures.picture import Arrow, FlipMark, Mark, TwistMark
from sitegen.figures.plane import Point, between, distance, inner_radius, inset, middle, plus, within
from sitegen.figures.style import LOOKS, USUAL, Paints
from sitegen.figures.trace import follow
from sitegen.figures.views import available, layout
from sitegen.puzzles.permutation import compose
from sitegen.puzzles.puzzle import Piece, Puzzle, Turn

HALO = float(LOOKS["puzzle"]["marks"]["stroke-width"]) / 2
"""How far the light line round a mark reaches."""


def strokes(puzzle: Puzzle, view: str, *marks: Mark) -> list[Stroke]:
    root = ET.fromstring(drawn(puzzle, view, marks=marks))
    groups = [group for group in root.iter("g") if group.get("class") == "marks"]
    return [Stroke(e.get("d", ""), e.get("class") or "") for g in groups for e in g if e.tag == "path"]


def to_like_places(puzzle: Puzzle) -> list[Arrow]:
    """From each piece to the next one that has as many stickers."""
    by_size: dict[int, list[Piece]] = {}
    for piece in puzzle.pieces:
        by_size.setdefault(len(piece.stickers), []).append(piece)
    return [Arrow(a.stickers, b.stickers) for alike in by_size.values() for a, b in pairwise(alike)]


def side_by_side(plan: Layout, slots: list[int]) -> bool:
    at, near = [plan.centres[slot] for slot in slots], 1.4 * min(plan.unit, nib(plan))
    return len(at) > 1 and all(distance(a, b) < near for a, b in combinations(at, 2))


def round_of(stroke: Stroke) -> Point:
    """The middle of a round arrow, from three of its points."""
    (ax, ay), (bx, by), (cx, cy) = stroke.spine[0], stroke.spine[len(stroke.spine) // 2], stroke.spine[-2]
    d = 2 * (ax * (by - cy) + bx * (cy - ay) + cx * (ay - by))
    a, b, c = ax * ax + ay * ay, bx * bx + by * by, cx * cx + cy * cy
    return (a * (by - cy) + b * (cy - ay) + c * (ay - by)) / d, (
        a * (cx - bx) + b * (ax - cx) + c * (bx - ax)
    ) / d


# Arrows ---------------------------------------------------------------------------------------------------


@EVERY_VIEW
def test_an_arrow_swells_from_its_tail_to_a_head_that_is_broader(name: str, view: str) -> None:
    """So it is seen which way it leads even where its head is covered; one both ways is even all along."""
    puzzle = puzzle_of(name)
    turns = [Turn(axis, 1, puzzle.layer_count, 1) for axis in puzzle.axes]
    for mark in [*to_like_places(puzzle)[::5], *turns]:
        both_ways = [replace(mark, swap=True), replace(mark, leap=True)] if isinstance(mark, Arrow) else []
        for stroke in strokes(puzzle, view, mark):
            (first, *_, last) = [width for widths in stroke.widths for width in widths]
            assert 0 < first < last
        for each in (mark, *both_ways):
            for stroke in strokes(puzzle, view, each):
                band = max(width for widths in stroke.widths for width in widths)
                for head in stroke.heads:
                    assert max(distance(a, b) for a, b in combinations(head, 2)) > 1.5 * band
        for each in both_ways:
            for stroke in strokes(puzzle, view, each):
                widths = [width for widths in stroke.widths for width in widths]
                assert max(widths) - min(widths) < 4  # whole numbers on both sides


@EVERY_VIEW
def test_the_dashes_of_a_leap_follow_each_other_with_room_between_them(name: str, view: str) -> None:
    puzzle = puzzle_of(name)
    for mark in to_like_places(puzzle)[::5]:
        for stroke in strokes(puzzle, view, replace(mark, leap=True)):
            assert len(stroke.bands) == 3
            line = [end for band in stroke.bands for end in (band[0], band[-1])]
            long = [distance(a, b) for a, b in pairwise(line)]
            dashes, gaps = long[::2], long[1::2]
            assert min(dashes) > max(gaps) > 0
            assert max(dashes) < 1.5 * min(dashes) + 4
            assert distance(line[0], line[-1]) > max(dashes) + max(gaps), "one behind the other"


@EVERY_VIEW
def test_what_stands_for_a_piece_has_a_blot_for_an_edge_and_a_ring_with_a_dot_for_a_corner(
    name: str, view: str
) -> None:
    puzzle = puzzle_of(name)
    for mark in to_like_places(puzzle):
        for stroke in strokes(puzzle, view, mark):
            if stroke.hole:
                # What a hole leaves open the light line round the mark fills, or what lies below it would be
                # seen as a dot.
                assert bool(stroke.dots) == (len(mark.starts) > 2)
                if stroke.dots:
                    ((at, radius),) = stroke.dots
                    assert distance(at, stroke.ring or at) < 2
                    assert 2 < radius < stroke.hole - 4
                else:
                    assert stroke.hole <= HALO


@EVERY_VIEW
def test_an_arrow_follows_a_sticker_on_the_main_face_and_out_of_mirrors_where_there_is_one(
    name: str, view: str
) -> None:
    puzzle, plan = puzzle_of(name), layout(puzzle_of(name), view)
    for mark in to_like_places(puzzle):
        ways = [way for way in zip(mark.starts, mark.ends, strict=True) if set(way) <= plan.shapes.keys()]
        for stroke in strokes(puzzle, view, mark) if ways else []:
            ends = [(stroke.spine[0], stroke.tips[0])]
            (drawn_way,) = {
                way
                for way in ways
                for tail, tip in ends
                if off_shape(tail, stickers(plan)[way[0]]) < ON_RIM
                and off_shape(tip, stickers(plan)[way[1]]) < ON_RIM
            }
            worth = {way: (len(plan.main & {*way}), -len(plan.mirrored & {*way})) for way in ways}
            assert worth[drawn_way] == max(worth.values()), mark


@pytest.mark.parametrize("place", ["UF", "UR", "FR", "UFR", "UFL", "UBR", "DFR", "UBL"])
def test_the_arrows_of_a_path_follow_a_sticker_that_is_in_sight_all_the_way(place: str) -> None:
    cube, plan = puzzle_of("cube-3"), layout(puzzle_of("cube-3"), "corner")
    piece = cube.piece_at(cube.slots[place])
    for one, other in product(cube.axes, cube.axes):
        stops = [cube.identity]
        for axis in (one, other):
            stops.append(compose(stops[-1], cube.permutation(Turn(axis, 1, 1, 1))))
        paths = {tuple(stop[slot] for stop in stops) for slot in piece.stickers}
        all_the_way = [path for path in paths if len({*path}) == 3 and {*path} <= plan.shapes.keys()]
        if all_the_way:
            arrows = [mark for mark in follow(cube, [piece.index], stops) if isinstance(mark, Arrow)]
            ends = [(stroke.spine[0], stroke.tips[0]) for stroke in strokes(cube, "corner", *arrows)]
            assert len(ends) == 2
            for tail, tip in ends:
                assert any(
                    off_shape(tail, stickers(plan)[a]) < ON_RIM and off_shape(tip, stickers(plan)[b]) < ON_RIM
                    for path in all_the_way
                    for a, b in pairwise(path)
                ), (one, other)


@pytest.mark.parametrize("view", ["corner", "top", "net"])
def test_what_is_long_lies_under_what_is_short(view: str) -> None:
    cube = puzzle_of("cube-3")
    marks = [way(cube, "UF", "UL"), way(cube, "UFR", "UBL"), way(cube, "UB", "UF"), way(cube, "UR", "UB")]
    for order in (marks, marks[::-1]):
        long = [distance(s.spine[0], s.tips[0]) for s in strokes(cube, view, *order)]
        assert long == sorted(long, reverse=True)


# Pieces turned in their places ----------------------------------------------------------------------------


@EVERY_VIEW
def test_a_flip_has_a_head_on_each_of_the_two_stickers_where_they_lie_side_by_side(
    name: str, view: str
) -> None:
    puzzle, plan = puzzle_of(name), layout(puzzle_of(name), view)
    for piece in puzzle.pieces:
        seen = [slot for slot in piece.stickers if slot in plan.shapes]
        if len(piece.stickers) == len(seen) == 2 and side_by_side(plan, seen) and plan.unit > 82:
            (stroke,) = strokes(puzzle, view, FlipMark((seen[0], seen[1])))
            heads = [
                [slot for slot in seen if off_shape(tip, stickers(plan)[slot]) < ON_RIM]
                for tip in stroke.tips
            ]
            assert sorted(heads) == sorted([slot] for slot in seen), piece.name


@EVERY_VIEW
def test_a_twist_goes_round_where_the_stickers_meet_or_round_the_middle_of_one(name: str, view: str) -> None:
    puzzle, plan = puzzle_of(name), layout(puzzle_of(name), view)
    for piece in puzzle.pieces:
        seen = plan.visible(piece.stickers)
        if len(piece.stickers) > 2 and seen:
            (stroke,) = strokes(puzzle, view, TwistMark(piece.stickers, 1, len(piece.stickers)))
            middles = [middle([plan.centres[slot] for slot in seen])]
            if not side_by_side(plan, seen):
                middles += [plan.centres[slot] for slot in seen]
            assert min(distance(round_of(stroke), at) for at in middles) < 0.06 * nib(plan)


@EVERY_VIEW
def test_what_goes_round_a_sticker_that_stays_has_its_mark_on_that(name: str, view: str) -> None:
    puzzle, plan = puzzle_of(name), layout(puzzle_of(name), view)
    for axis in puzzle.axes:
        way = puzzle.permutation(Turn(axis, 1, 1, 1))
        for piece in puzzle.pieces:
            stay = [slot for slot in piece.stickers if way[slot] == slot]
            if (
                len(stay) == 1
                and len(piece.stickers) > 3
                and {way[s] for s in piece.stickers} == {*piece.stickers}
            ):
                found = ET.fromstring(drawn(puzzle, view, moves=way, focus=frozenset([piece.index])))
                (group,) = [g for g in found.iter("g") if g.get("class") == "marks"]
                stroke = Stroke(group[0].get("d", ""), "")
                if stay[0] in plan.centres:
                    assert distance(round_of(stroke), plan.centres[stay[0]]) < 0.06 * nib(plan)


def test_pieces_meet_in_the_middle_of_their_edge_or_at_their_corner() -> None:
    # By hand: the faces of a cube are 1 from its middle.
    plan = layout(puzzle_of("cube-3"), "corner")
    assert plan.project
    for place, meeting in {
        "UF": (0, 1, 1),
        "FU": (0, 1, 1),
        "UR": (1, 1, 0),
        "UFR": (1, 1, 1),
        "UFL": (-1, 1, 1),
        "UB": (0, 1, -1),  # one of its stickers is out of sight
        "UBL": (-1, 1, -1),
    }.items():
        at = joint(plan, plan.puzzle.piece_at(plan.puzzle.slots[place]).stickers)
        assert at == pytest.approx(plan.project(meeting), abs=0.01)
    assert joint(plan, [plan.puzzle.slots["U"]]) == plan.centres[plan.puzzle.slots["U"]]
    assert joint(plan, [plan.puzzle.slots["D"]]) is None


# Guards and stickers --------------------------------------------------------------------------------------


@pytest.mark.parametrize("view", available(puzzle_of("cube-3")))
@pytest.mark.parametrize("name", ["cube-2", "cube-3", "cube-4", "pyraminx", "skewb"])
def test_a_groove_is_whole_broken_or_double_and_well_within_its_sticker(name: str, view: str) -> None:
    puzzle, plan = puzzle_of(name), layout(puzzle_of(name), view)
    for slot, shape in plan.shapes.items():
        for kind, lines, broken in (("outlined", 1, False), ("away", 1, True), ("disturbed", 2, False)):
            figure = draw(replace(solved(puzzle), **{kind: frozenset([slot])}), view)
            (groove,) = [e for e in ET.fromstring(figure) if e.get("class") == "guard"]
            width, drawn = float(groove.get("stroke-width", 0)), outlines(groove.get("d", ""))
            assert 3 <= width < 0.12 * plan.unit + 8
            assert len(drawn) == lines
            dashes = [float(n) for n in groove.get("stroke-dasharray", "").split()]
            assert bool(dashes) == broken
            assert all(width <= dash < 3 * width for dash in dashes)
            # Colour is seen on both sides of the line; a whole number is 0.71 off at most.
            room = 0.08 * inner_radius(shape)
            for corner in (corner for outline in drawn for corner in outline.corners):
                assert within(inset(shape, room - 0.71), corner, corner)


@EVERY_VIEW
def test_a_light_line_below_a_dark_one_leaves_the_colour_of_most_stickers_to_be_seen(
    name: str, view: str
) -> None:
    """It is 2.2 times as wide as the dark one, and lies on both sides of its middle."""
    plan = layout(puzzle_of(name), view)
    radii = sorted(inner_radius(shape) for shape in plan.shapes.values())
    most = radii[len(radii) // 4 :]
    assert all(2.2 * guard_width(plan) / 2 < 0.55 * radius for radius in most)


@EVERY_VIEW
def test_what_is_watched_is_round_where_what_is_guarded_has_corners(name: str, view: str) -> None:
    """So they are told apart in grey, in the dark, and where they are small."""
    plan = layout(puzzle_of(name), view)
    for slot in plan.shapes:
        shown = replace(solved(puzzle_of(name)), ringed=frozenset([slot]), outlined=frozenset([slot]))
        lines = {each.get("class"): each.get("d", "") for each in ET.fromstring(draw(shown, view))}
        ((ring,), (guard,)) = outlines(lines["ring"]), outlines(lines["guard"])
        curves = [step for step in ring.steps if not isinstance(step, HalfRound) and len(step) == 2]
        assert len(curves) == len(ring.steps) == len(guard.corners)
        at = middle([control for control, _ in curves])
        starts = [ring.start, *(end for _, end in curves)]
        for begin, (control, end) in zip(starts, curves, strict=False):
            bend = between(between(begin, control), between(control, end))
            assert distance(bend, at) < 0.96 * distance(control, at), "far from the corner"


@EVERY_VIEW
def test_the_line_round_a_sticker_is_as_wide_as_its_corners_are_round(name: str, view: str) -> None:
    plan = layout(puzzle_of(name), view)
    (group,) = [
        g
        for g in ET.fromstring(draw(solved(puzzle_of(name)), view)).iter("g")
        if g.get("class") == "stickers"
    ]
    assert int(group.get("stroke-width", 0)) == pytest.approx(2 * plan.rounding, abs=0.5)


@pytest.mark.parametrize("name", NAMES)
def test_letters_and_patterns_are_drawn_where_they_are_asked_for(name: str) -> None:
    puzzle, paints = puzzle_of(name), Paints(USUAL.light, on_paper=False)
    own = {puzzle.faces[0].name: "sand"}
    for copies in (False, True):
        colours = palette(puzzle, own, copies, paints)
        shown = picture(puzzle, puzzle.identity, colours, "", "")
        assert (shown.patterned, shown.letters_shown, shown.paints) == (copies, copies, paints)
        assert "sand" in shown.colours
    plain = picture(puzzle, puzzle.identity, palette(puzzle), "", "")
    assert (plain.patterned, plain.letters_shown, plain.paints) == (False, False, None)


# Paths ----------------------------------------------------------------------------------------------------

COORDINATE = st.floats(0, 1000)
WIDTHS = st.tuples(st.floats(5, 20), st.floats(0, 5))
LARGE = 256
"""How much larger a band is drawn for its whole numbers to be as good as exact."""


def band(spine: Sequence[Point], wide: float, more: float, by: float = 1) -> Outline:
    """A band that grows along its spine, as it is read back."""
    widths = [by * (wide + more * i) for i in range(len(spine))]
    (outline,) = outlines(path_text(ribbon_outline([(by * x, by * y) for x, y in spine], widths)))
    return outline


COARSE = st.integers(0, 40).map(lambda number: 25.0 * number)
"""Three points of these are in line or far from it, at any size."""


@given(st.lists(st.tuples(COARSE, COARSE), min_size=4, max_size=8), WIDTHS)
def test_a_band_is_less_than_half_a_unit_off(spine: list[Point], widths: tuple[float, float]) -> None:
    assume(all(distance(a, b) > 1 for a, b in combinations(spine, 2)))
    drawn, exact = band(spine, *widths), band(spine, *widths, by=LARGE)
    assert [len(step) for step in drawn.steps] == [len(step) for step in exact.steps]
    points, wanted = ([point for step in each.steps for point in step] for each in (drawn, exact))
    for (x, y), (to_x, to_y) in zip(points, wanted, strict=True):
        assert abs(x - to_x / LARGE) < 0.51
        assert abs(y - to_y / LARGE) < 0.51


@given(COORDINATE, COORDINATE, st.floats(0, 360), st.integers(4, 12), WIDTHS)
def test_a_straight_band_has_four_corners(
    x: float, y: float, towards: float, many: int, widths: tuple[float, float]
) -> None:
    way = (cos(radians(towards)), sin(radians(towards)))
    drawn = band([plus((x, y), way, 40 * i) for i in range(many)], *widths)
    assert len(drawn.corners) == 4


ARITY = {"M": 2, "L": 2, "H": 1, "V": 1, "Q": 4, "T": 2, "A": 7, "Z": 0}
NUMBER = r"[+-]?(?:\d+\.?\d*|\.\d+)"


def readable(d: str) -> bool:
    """Whether path data has the grammar of SVG 2, section 9.3.9, as far as commands and their numbers go."""
    if not re.fullmatch(rf"(?:[MLHVQTAZ](?:[\s,]*{NUMBER})*\s*)*", d, re.IGNORECASE):
        return False
    commands = re.findall(r"([a-z])([^a-z]*)", d, re.IGNORECASE)
    counts = [(letter.upper(), len(re.findall(NUMBER, numbers))) for letter, numbers in commands]
    return commands[0][0] in "Mm" and all(
        many % ARITY[letter] == 0 < many if ARITY[letter] else many == 0 for letter, many in counts
    )


@pytest.mark.parametrize("paints", [None, Paints(USUAL.paper, on_paper=True)])
@pytest.mark.parametrize("view", available(puzzle_of("cube-3")))
def test_every_path_is_one_that_any_program_reads(view: str, paints: Paints | None) -> None:
    cube = puzzle_of("cube-3")
    slots = [
        frozenset(cube.piece_at(cube.slots[name]).stickers) for name in ("FR", "FD", "UFL", "UB", "UR", "DB")
    ]
    shown = replace(
        busy(cube),
        paints=paints,
        patterned=True,
        outlined=slots[0] | slots[1],
        away=slots[2] | slots[3],
        disturbed=slots[4] | slots[5],
        marks=(*busy(cube).marks, way(cube, "DF", "BU", leap=True), way(cube, "UFR", "DLB", swap=True)),
    )
    paths = [e.get("d", "") for e in ET.fromstring(draw(shown, view)).iter("path")]
    assert len(paths) > 15
    assert [d for d in paths if not readable(d)] == []
