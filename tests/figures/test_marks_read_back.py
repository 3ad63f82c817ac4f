"""Every mark of every figure, read back from the drawing and held against what the moves do.

On all puzzles that ship and some that an author may define, in all views that they have.
"""

from __future__ import annotations

import xml.etree.ElementTree as ET
from collections import Counter
from collections.abc import Iterator
from functools import cache
from itertools import combinations, groupby, pairwise
from math import hypot
from random import Random

import pytest
from reading_marks import Goes, Layer, Said, Stroke, Turned, nearest, off_shape, read, stickers
from sample_definitions import own_puzzles
from tangles import coloured

from sitegen.figures.camera import camera
from sitegen.figures.draw import draw
from sitegen.figures.layout import Layout
from sitegen.figures.of_position import palette, picture
from sitegen.figures.picture import Arrow, Mark
from sitegen.figures.plane import Point, distance, middle, minus
from sitegen.figures.trace import MOST_MARKED, follow, goes
from sitegen.figures.views import available, layout
from sitegen.puzzles import catalogue
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.geometry import Vector, add, apply, cross, dot, rotation, scale, subtract, unit
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Piece, Puzzle, Turn

OWN = {
    "octahedron by vertices": "solid: octahedron\naxes: vertices\ndepths: [1/3]\nangle: 90\n",
    "octahedron in slices": "solid: octahedron\naxes: vertices\ndepths: [1/2, -1/2]\nangle: 90\n",
    "octahedron by faces": "solid: octahedron\naxes: faces\ndepths: [1/3, -1/3]\nangle: 120\n",
    "cube by edges": "solid: cube\naxes: edges\ndepths: [0.9]\nangle: 180\n",
    "cube with a cap": "solid: cube\naxes: {R: U}\ndepths: [1/3]\nangle: 90\n",
    "dodecahedron with a cap": "solid: dodecahedron\naxes: {U: U}\ndepths: [sqrt(5)/3]\nangle: 72\n",
}


@cache
def puzzle_of(name: str) -> Puzzle:
    if name in OWN:
        return own_puzzles("own", OWN[name])["own"]
    return catalogue.puzzle(name)


NAMES = [*catalogue.names(), *OWN]
EVERY = pytest.mark.parametrize("name", NAMES)
IN_SPACE = ("corner", "corner with back")
EVERY_VIEW = pytest.mark.parametrize(
    ("name", "view"), [(name, view) for name in NAMES for view in available(puzzle_of(name))]
)


def drawn(
    puzzle: Puzzle,
    view: str,
    position: Permutation | None = None,
    *,
    moves: Permutation | None = None,
    focus: frozenset[int] | None = None,
    marks: tuple[Mark, ...] = (),
    marked: bool = True,
) -> str:
    at = puzzle.identity if position is None else position
    sight = picture(puzzle, at, palette(puzzle), "", "", focus=focus, moves=moves, marks=marks, marked=marked)
    return draw(sight, view)


def word(puzzle: Puzzle, random: Random, most: int) -> list[Turn]:
    """Some turns of single layers, each by any amount."""
    layers = list(puzzle.turns())
    amounts = range(1, puzzle.full_turn)
    return [
        random.choice(layers)._replace(amount=random.choice(amounts)) for _ in range(random.randint(1, most))
    ]


def done(puzzle: Puzzle, turns: list[Turn]) -> Permutation:
    at = puzzle.identity
    for turn in turns:
        at = perm.compose(at, puzzle.permutation(turn))
    return at


# What pieces do -------------------------------------------------------------------------------------------


def sense(puzzle: Puzzle, piece: Piece, way: Permutation) -> tuple[str, int]:
    """How a piece is turned in its place, from where its stickers are in space, and by how many of them."""
    moved = [slot for slot in piece.stickers if way[slot] != slot]
    if len(piece.stickers) == 2:
        return "flip", 1
    if all(way[way[slot]] == slot for slot in moved):
        return "halfway", 0
    centres = [puzzle.stickers[slot].centre for slot in piece.stickers]
    outward = (sum(c[0] for c in centres), sum(c[1] for c in centres), sum(c[2] for c in centres))
    if dot(outward, outward) < 1e-9:
        return "in place", 0  # stickers all round have no outside
    one, other = puzzle.stickers[moved[0]].centre, puzzle.stickers[way[moved[0]]].centre
    side = dot(cross(one, other), outward)
    # Those that a step passes over lie between the two, which makes the step wider than another's.
    widths = {
        round(distance3(puzzle.stickers[s].centre, one), 3)
        for s in moved
        if on_level(puzzle, s, moved[0], outward)
    }
    width = round(distance3(one, other), 3)
    return ("clockwise" if side < 0 else "anticlockwise"), sorted(widths).index(width) or 1


def on_level(puzzle: Puzzle, a: int, b: int, outward: Vector) -> bool:
    return abs(dot(puzzle.stickers[a].centre, outward) - dot(puzzle.stickers[b].centre, outward)) < 1e-6


def distance3(a: Vector, b: Vector) -> float:
    return dot(add(a, (-b[0], -b[1], -b[2])), add(a, (-b[0], -b[1], -b[2]))) ** 0.5


def wrong(puzzle: Puzzle, plan: Layout, way: Permutation, there: set[int], said: list[Said]) -> list[object]:
    """What is said and is not so, and of the pieces in some places what is so and not said."""
    left = {
        index: piece
        for index in there
        for piece in [puzzle.pieces[index]]
        if any(way[slot] != slot for slot in piece.stickers)
    }
    if len(left) > MOST_MARKED:
        return list(said)
    faults: list[object] = []
    for each in said:
        if isinstance(each, Turned):
            piece = left.pop(each.place, None)
            so = piece is not None and {way[s] for s in piece.stickers} == set(piece.stickers)
            if not so or piece is None or (each.sense, each.steps) != sense(puzzle, piece, way):
                faults.append(each)
        elif isinstance(each, Goes):
            faults += arrow_faults(puzzle, plan, way, left, each)
        else:
            faults.append(each)
    return faults + [piece.name for piece in left.values() if seen_at_both_ends(puzzle, plan, way, piece)]


def arrow_faults(
    puzzle: Puzzle, plan: Layout, way: Permutation, left: dict[int, Piece], each: Goes
) -> list[object]:
    index = puzzle.stickers[each.start].piece if each.sticker else each.start
    target = puzzle.stickers[each.end].piece if each.sticker else each.end
    piece = left.pop(index, None)
    if piece is None:
        return [each]
    follows = [slot for slot in piece.stickers if {slot, way[slot]} <= plan.shapes.keys()]
    so = way[each.start] == each.end if each.sticker else not follows
    so = so and puzzle.stickers[way[piece.stickers[0]]].piece == target
    so = so and not each.leap and each.corner == (len(piece.stickers) > 2)
    back = target in left and all(way[way[slot]] == slot for slot in piece.stickers)
    if each.swap:
        left.pop(target, None)
    return [] if so and each.swap == back else [each]


def seen_at_both_ends(puzzle: Puzzle, plan: Layout, way: Permutation, piece: Piece) -> bool:
    """Whether any sticker of a piece is in sight, and any of the place where it goes."""
    there = [way[slot] for slot in piece.stickers]
    return any(s in plan.shapes for s in piece.stickers) and any(s in plan.shapes for s in there)


def around(puzzle: Puzzle, random: Random, way: Permutation) -> frozenset[int]:
    """A few pieces, some of which the moves change."""
    changed = [p.index for p in puzzle.pieces if any(way[slot] != slot for slot in p.stickers)]
    few = random.sample(changed, min(len(changed), random.randint(1, MOST_MARKED)))
    return frozenset([*few, *random.sample(range(len(puzzle.pieces)), min(3, len(puzzle.pieces)))])


@EVERY_VIEW
def test_each_basic_turn_is_told_by_its_marks(name: str, view: str) -> None:
    puzzle, plan = puzzle_of(name), layout(puzzle_of(name), view)
    amounts = range(1, puzzle.full_turn)
    every = [layer._replace(amount=amount) for layer in puzzle.turns() for amount in amounts]
    for turn in Random(f"{name} {view}").sample(every, min(len(every), 24)):
        way = puzzle.permutation(turn)
        changed = [p.index for p in puzzle.pieces if any(way[s] != s for s in p.stickers)]
        there = set(changed[:MOST_MARKED])
        said = read(drawn(puzzle, view, moves=way, focus=frozenset(there)), plan)
        assert not wrong(puzzle, plan, way, there, said), turn


@EVERY_VIEW
def test_what_is_in_colour_and_what_has_marks_are_the_same_pieces(name: str, view: str) -> None:
    """Of any moves, from the position that they solve, from solved, and from any other."""
    puzzle, plan = puzzle_of(name), layout(puzzle_of(name), view)
    random = Random(f"{name} {view}")
    for _ in range(24):
        way = done(puzzle, word(puzzle, random, 5))
        position = random.choice([perm.inverse(way), puzzle.identity, done(puzzle, word(puzzle, random, 9))])
        home = perm.inverse(position)
        focus = around(puzzle, random, perm.compose(perm.compose(position, way), home))
        figure = drawn(puzzle, view, position, moves=way, focus=focus)
        # A piece is named by where it belongs, so that it stands where its stickers are now.
        there = {puzzle.stickers[position[puzzle.pieces[index].stickers[0]]].piece for index in focus}
        bright = {puzzle.stickers[slot].piece for slot in coloured(figure, plan)}
        assert bright == {i for i in there if set(puzzle.pieces[i].stickers) & plan.shapes.keys()}
        assert not wrong(puzzle, plan, way, there, read(figure, plan))


@pytest.mark.parametrize("name", ["cube-4", "cube-5", "skewb"])
def test_marks_of_pieces_that_look_alike_lead_from_one_look_to_the_other(name: str) -> None:
    puzzle = puzzle_of(name)
    random = Random(name)
    face = [sticker.face for sticker in puzzle.stickers]
    for _ in range(30):
        way = done(puzzle, word(puzzle, random, 4))
        position = random.choice([perm.inverse(way), puzzle.identity, done(puzzle, word(puzzle, random, 9))])
        seen = goes(puzzle, position, way, marked=False)
        here, after = perm.inverse(position), perm.inverse(perm.compose(position, way))
        for slot, there in enumerate(seen[: len(face)]):
            assert face[here[slot]] == face[after[there]]
        for piece in puzzle.pieces:
            if len(piece.stickers) == 1 and face[here[piece.stickers[0]]] == face[after[piece.stickers[0]]]:
                assert seen[piece.stickers[0]] == piece.stickers[0], "it looks as if nothing had moved"


# Paths ----------------------------------------------------------------------------------------------------


@EVERY_VIEW
def test_the_path_of_a_watched_piece_is_read_turn_by_turn(name: str, view: str) -> None:
    puzzle, plan = puzzle_of(name), layout(puzzle_of(name), view)
    random = Random(f"{name} {view} path")
    kinds: Counter[str] = Counter()
    for _ in range(40):
        stops = [done(puzzle, word(puzzle, random, 6))]
        for turn in word(puzzle, random, 9):
            stops.append(perm.compose(stops[-1], puzzle.permutation(turn)))
        piece = random.choice(puzzle.pieces)
        marks = follow(puzzle, [piece.index], stops)
        said = read(drawn(puzzle, view, stops[-1], marks=marks, focus=frozenset([piece.index])), plan)
        path = [tuple(stop[slot] for slot in piece.stickers) for stop in stops]
        kinds[path_told(puzzle, plan, path, said)] += 1
    assert kinds["one by one"] > 5 or "cap" in name, "the pieces of a cap go nowhere"


def path_told(puzzle: Puzzle, plan: Layout, path: list[tuple[int, ...]], said: list[Said]) -> str:
    """How a path is told, once it is found to be told rightly."""
    legs = [(a, b) for a, b in pairwise(path) if set(a) != set(b)]
    ways = [(set(a), set(b)) for a, b in legs]
    arrows = [each for each in said if isinstance(each, Goes)]
    assert not any(arrow.swap for arrow in arrows), "one piece changes places with nobody"
    returns = set(path[0]) == set(path[-1])
    # What turned it in its place is told wherever it stopped, but for where it ends if it began there too.
    stays = [(stay[0], stay[-1]) for _, group in groupby(path, key=set) for stay in [list(group)]]
    net = [(path[0], path[-1])] if returns else []
    turns = net + [stay for stay in stays if not returns or set(stay[0]) != set(path[0])]
    turns = [turn for turn in turns if turn[0] != turn[1]]
    again = any(way in ways[:at] for at, way in enumerate(ways))
    again = again or any(set(a) == set(b) for (a, _), (b, _) in combinations(turns, 2))
    at_one_go = again or len(legs) + len(turns) > MOST_MARKED
    if at_one_go:
        turns = [turn for turn in net if turn[0] != turn[1]]
    turned = [each for each in said if isinstance(each, Turned)]
    assert Counter(turned) == Counter(
        mark for turn in turns if any(s in plan.shapes for s in turn[0]) for mark in [in_place(puzzle, turn)]
    )
    if at_one_go:
        legs = [] if returns else [(path[0], path[-1])]
    for leg in legs:
        both = all(any(slot in plan.shapes for slot in end) for end in leg)
        assert sum(follows(puzzle, plan, leg, arrow) for arrow in arrows) == both, leg
    assert len(arrows) <= len(legs)
    assert all(arrow.leap == at_one_go for arrow in arrows)
    return "at one go" if at_one_go else "one by one" if legs else "stays"


def in_place(puzzle: Puzzle, turn: tuple[tuple[int, ...], tuple[int, ...]]) -> Turned:
    """What turned a piece, by the slots of its stickers before and after."""
    net = dict(zip(*turn, strict=True))
    here = puzzle.stickers[turn[0][0]].piece
    way = tuple(net.get(slot, slot) for slot in range(len(puzzle.stickers)))
    return Turned(here, *sense(puzzle, puzzle.pieces[here], way))


def follows(puzzle: Puzzle, plan: Layout, leg: tuple[tuple[int, ...], tuple[int, ...]], arrow: Goes) -> bool:
    if arrow.sticker:
        return (arrow.start, arrow.end) in set(zip(*leg, strict=True))
    none = not any({a, b} <= plan.shapes.keys() for a, b in zip(*leg, strict=True))
    return none and (arrow.start, arrow.end) == tuple(puzzle.stickers[end[0]].piece for end in leg)


# Turns ----------------------------------------------------------------------------------------------------


def some_turns(puzzle: Puzzle, most: int) -> list[Turn]:
    """Of one layer, of two and of all from one on, by all amounts; on large puzzles some of them."""
    many = puzzle.layer_count
    every = [
        Turn(axis, first, last, amount)
        for axis in puzzle.axes
        for first in range(1, many + 1)
        for last in sorted({first, min(first + 1, many), many})
        for amount in range(1, puzzle.full_turn)
    ]
    return every if len(every) <= most else Random(puzzle.name).sample(every, most)


@EVERY_VIEW
def test_the_arrows_of_a_turn_lie_on_all_its_layers_and_run_as_these_turn(name: str, view: str) -> None:
    puzzle, plan = puzzle_of(name), layout(puzzle_of(name), view)
    for turn in some_turns(puzzle, 60):
        arrows = read(drawn(puzzle, view, marks=(turn,)), plan)
        check_turn(puzzle, view, turn, [arrow for arrow in arrows if isinstance(arrow, Layer)])


def check_turn(puzzle: Puzzle, view: str, turn: Turn, arrows: list[Layer]) -> None:
    plan = layout(puzzle, view)
    direct = [slot for slot in plan.shapes if slot not in plan.mirrored]
    turned = range(turn.first, turn.last + 1)
    layers = {puzzle.piece_at(slot).layers[turn.axis] for slot in direct}.intersection(turned)
    assert {layer_under(puzzle, plan, turn, a) for a in arrows if not a.behind} == layers, turn
    behind = [arrow for arrow in arrows if arrow.behind]
    # What is nowhere in sight of a flat view has no arrow.
    assert len(behind) == (len(layers) < len(turned) and view in IN_SPACE), turn
    # One arrow says how many of the smallest turns there are, the shorter way round.
    times = min(turn.amount, puzzle.full_turn - turn.amount)
    assert [a.times for a in arrows if a.times != 1] == ([times] if times > 1 and arrows else []), turn
    for arrow in behind:
        goes_round_behind(puzzle, plan, turn, arrow)


def layer_under(puzzle: Puzzle, plan: Layout, turn: Turn, arrow: Layer) -> int:
    """The layer on which an arrow lies from end to end, once it is found to run as that turns."""
    found, beside, along = set[int](), Counter[int](), list[tuple[float, float]]()
    for a, b in pairwise(arrow.points):
        at = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
        slot = nearest(at, plan)
        layer = puzzle.piece_at(slot).layers[turn.axis]
        beside[layer] += 1
        if off_shape(at, stickers(plan)[slot]) > 0 or distance(a, b) < 4:
            continue
        found.add(layer)
        towards, way = minus(b, a), setting_out(puzzle, plan, slot, at, turn)
        if way:
            long = hypot(*towards)
            along.append((long, (towards[0] * way[0] + towards[1] * way[1]) / hypot(*way)))
    # A band goes straight over each face, and the layer round: they agree as a whole.
    assert sum(far for _, far in along) >= 0.6 * sum(long for long, _ in along), turn
    # An arrow along ridges lies on no sticker, and beside those of its layer.
    assert len(found) <= 1, turn
    return next(iter(found)) if found else beside.most_common(1)[0][0]


def setting_out(puzzle: Puzzle, plan: Layout, slot: int, at: Point, turn: Turn) -> Point | None:
    """Which way a point of a sticker goes within its face as a turn begins, if a view shows where."""
    face = puzzle.stickers[slot].face
    normal = next(each.towards for each in puzzle.faces if each.name == face)
    point = in_space(puzzle, plan, slot, normal, at)
    if point is None:
        return None
    forward = 2 * turn.amount <= puzzle.full_turn
    there = apply(rotation(puzzle.axes[turn.axis], -0.01 if forward else 0.01), point)
    end = plan.place(face, add(there, scale(normal, 1 - dot(there, normal))))
    return minus(end, at) if end else None


def in_space(puzzle: Puzzle, plan: Layout, slot: int, normal: Vector, at: Point) -> Vector | None:
    """The point of a sticker's face that a view shows at a point of the page, come to step by step."""
    sticker, tiny = puzzle.stickers[slot], 1e-4
    x = unit(subtract(sticker.polygon[1], sticker.polygon[0]))
    y = cross(normal, x)
    point = sticker.centre
    for _ in range(8):
        here, right, up = (
            plan.place(sticker.face, add(point, step)) for step in ((0, 0, 0), scale(x, tiny), scale(y, tiny))
        )
        if not (here and right and up):
            return None
        (a, c), (b, d), (p, q) = minus(right, here), minus(up, here), minus(at, here)
        one, other = (d * p - b * q) / (a * d - b * c), (a * q - c * p) / (a * d - b * c)
        point = add(point, add(scale(x, tiny * one), scale(y, tiny * other)))
    return point


def goes_round_behind(puzzle: Puzzle, plan: Layout, turn: Turn, arrow: Layer) -> None:
    """It lies beside the puzzle, within the figure, and goes round it as its far side does."""
    for x, y in arrow.points:
        assert 0 < x < plan.width
        assert 0 < y < plan.height
        assert all(off_shape((x, y), body) > 0 for body in plan.bodies)
    away = dot(puzzle.axes[turn.axis], camera(puzzle).rows[2]) < 0
    x, y = middle(plan.bodies[0])
    (ax, ay), (bx, by) = arrow.points[0], arrow.points[-1]
    clockwise = (ax - x) * (by - y) - (ay - y) * (bx - x) > 0
    # What is clockwise from outside is anticlockwise for who sees it through the puzzle.
    assert clockwise == ((2 * turn.amount <= puzzle.full_turn) != away)


@EVERY
def test_turns_that_do_different_things_have_different_arrows(name: str) -> None:
    puzzle = puzzle_of(name)
    figures: dict[str, Permutation] = {}
    for turn in some_turns(puzzle, 150):
        figure = drawn(puzzle, "corner", marks=(turn,))
        assert figures.setdefault(figure, puzzle.permutation(turn)) == puzzle.permutation(turn), turn


# Where marks lie ------------------------------------------------------------------------------------------


def spine(figure: str) -> Iterator[list[Point]]:
    root = ET.fromstring(figure)
    for group in root.iter("g"):
        if group.get("class") == "marks":
            yield from (Stroke(e.get("d", ""), "").spine for e in group)


@pytest.mark.parametrize(
    "cycle", [("UF", "UR", "UB"), ("UB", "UR", "UF"), ("UFR", "UFL", "UBL"), ("UBL", "UFL", "UFR")]
)
def test_the_arrows_of_a_cycle_make_a_ring(cycle: tuple[str, ...]) -> None:
    """Each bends away from the middle, whichever way round it goes."""
    puzzle, plan = puzzle_of("cube-3"), layout(puzzle_of("cube-3"), "top")
    slots = [puzzle.slots[name] for name in cycle]
    centre = middle([plan.centres[slot] for slot in slots])
    marks = tuple(
        Arrow(puzzle.piece_at(a).stickers, puzzle.piece_at(b).stickers)
        for a, b in zip(slots, slots[1:] + slots[:1], strict=True)
    )
    for line in spine(drawn(puzzle, "top", marks=marks)):
        straight = middle([line[0], line[-1]])
        assert distance(line[len(line) // 2], centre) > distance(straight, centre) + 5


def test_out_and_back_are_two_arrows_that_part() -> None:
    puzzle = puzzle_of("cube-3")
    stops = [puzzle.identity, puzzle.permutation(Turn("F", 1, 1, 1)), puzzle.identity]
    marks = follow(puzzle, [puzzle.piece_at(puzzle.slots["UF"]).index], stops)
    there, back = spine(drawn(puzzle, "corner", marks=marks))
    plan = layout(puzzle, "corner")
    assert distance(there[len(there) // 2], back[len(back) // 2]) > 0.3 * plan.unit
