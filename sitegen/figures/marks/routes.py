"""Where arrows run: each follows a sticker that is in sight at both ends, and they keep off each other.

Where no sticker is in sight, an arrow runs from where the piece's stickers meet to where those of its place
meet. Knows how a view shows stickers; knows nothing of how an arrow looks, or why a piece moves.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise, product
from math import hypot

from sitegen.figures.layout import Layout
from sitegen.figures.marks.arrow_shape import bowed, cut_short, facing, nib, path_length
from sitegen.figures.marks.joint import joint
from sitegen.figures.picture import Arrow
from sitegen.figures.plane import Point, box, distance, inner_radius, middle, plus, towards
from sitegen.puzzles.geometry import sure

KEPT = 4096
"""How many arrows are kept: there are not many ways from slot to slot."""
BOW = 0.17
"""How far an arrow rises beside the straight line, as a share of its length."""
BOWS = (BOW, -BOW, 0.3 * BOW, 2 * BOW, -2 * BOW)
"""How it may rise where it would else cross another."""
NEAR = 0.12
"""Arrows that come nearer to each other than this are as good as crossing; as a share of a mark's size."""
SURELY = 0.001
"""What is farther than something by this is so on every machine; in units."""
ROUNDS = 4
"""So often each arrow is led anew, the others being as they are."""

Box = tuple[Point, Point]
"""The least and the greatest corner."""
Way = tuple[int, int]
"""Two slots in sight between which a sticker goes."""


@dataclass(frozen=True)
class Line:
    """Where an arrow begins and ends; `slots` are those of the sticker that it follows, if it does."""

    start: Point
    end: Point
    slots: Way | None


@dataclass(frozen=True)
class Route:
    """A line, and how far beside it an arrow rises, as a share of its length: to the left if positive."""

    line: Line
    rise: float


Routes = Mapping[Arrow, Route]
"""Those of the arrows of a figure of which both ends are in sight."""


@lru_cache(maxsize=KEPT)
def routes(layout: Layout, arrows: tuple[Arrow, ...]) -> Routes:
    """How all arrows of a figure run, so that as few as can be cross."""
    chosen = {**shown_best(layout, arrows)}
    if not crossings(layout, chosen):
        return chosen
    others = {arrow: list(_other_routes(layout, arrow, arrows, chosen[arrow])) for arrow in chosen}
    for _ in range(ROUNDS):
        before = dict(chosen)
        for arrow in chosen:
            beside = [route for other, route in chosen.items() if other != arrow]
            chosen[arrow] = _clearest(layout, chosen[arrow], others[arrow], beside)
        if chosen == before:
            break
    return chosen


def shown_best(layout: Layout, arrows: tuple[Arrow, ...]) -> Routes:
    """How each arrow is seen best, whether they cross or not."""
    lines = {arrow: line for arrow in arrows if (line := _line(layout, arrow, arrows))}
    return {arrow: Route(line, BOW * _side(layout, arrow, lines)) for arrow, line in lines.items()}


def crossings(layout: Layout, of: Routes) -> int:
    """How many pairs of arrows cross, or as good as cross."""
    every = list(of.values())
    return sum(_clash(layout, one, other) for at, one in enumerate(every) for other in every[:at])


def _clearest(layout: Layout, now: Route, others: Iterable[Route], beside: Sequence[Route]) -> Route:
    """The first of some routes that crossings with the fewest others, if it is with fewer than now."""
    least = sum(_clash(layout, now, each) for each in beside)
    for route in others:
        if not least:
            break
        if (count := sum(_clash(layout, route, each) for each in beside)) < least:
            now, least = route, count
    return now


def _other_routes(layout: Layout, arrow: Arrow, company: Sequence[Arrow], usual: Route) -> list[Route]:
    """All that stay within the figure; those that show best come first, and of these the shortest.

    One leg of a way stays with its sticker.
    """
    ways = {way: _rank(layout, arrow, way, company)[:-1] for way in _ways(layout, arrow).values()}
    lines = [_along(layout, way) for way in sorted(ways, key=lambda way: ways[way], reverse=True)]
    if arrow.leg or not lines:
        lines = [usual.line]
    every = [Route(line, rise) for line, rise in product(lines, BOWS)]
    order = {way: at for at, way in enumerate(sorted(set(ways.values()), reverse=True))}

    def place(route: Route) -> tuple[int, float]:
        shown = order[ways[route.line.slots]] if route.line.slots else 0
        return shown, sure(path_length(spine(layout, route)))

    return sorted((route for route in every if _within(layout, route)), key=place)


def _within(layout: Layout, route: Route) -> bool:
    """Whether an arrow does not leave the figure."""
    edge = 0.2 * nib(layout)
    (left, top), (right, bottom) = box(spine(layout, route))
    return min(left, top, layout.width - right, layout.height - bottom) > edge


@lru_cache(maxsize=2**16)
def _clash(layout: Layout, one: Route, other: Route) -> bool:
    first, second = spine(layout, one), spine(layout, other)
    near = NEAR * nib(layout)
    if not _meet(box(first), box(second), near):
        return False
    # Most are so far from each other that it is seen without being measured.
    reach = near + SURELY
    close = ((a, b) for a in first for b in second if abs(a[0] - b[0]) < reach and abs(a[1] - b[1]) < reach)
    if any(sure(distance(a, b)) < near for a, b in close):
        return True
    legs, others = ([(leg, box(leg)) for leg in pairwise(points)] for points in (first, second))
    return any(
        _cross(*leg, *other)
        for leg, around in legs
        for other, beside in others
        if _meet(around, beside, SURELY)
    )


def _meet(one: Box, other: Box, near: float) -> bool:
    """Whether two boxes are nearer to each other than that."""
    (left, top), (right, bottom) = one
    (other_left, other_top), (other_right, other_bottom) = other
    return (
        left < other_right + near
        and other_left < right + near
        and top < other_bottom + near
        and other_top < bottom + near
    )


def _cross(a: Point, b: Point, c: Point, d: Point) -> bool:
    """Whether the stretch from a to b crosses that from c to d."""
    apart = sure(facing(a, b, c)) * sure(facing(a, b, d)) < 0
    return apart and sure(facing(c, d, a)) * sure(facing(c, d, b)) < 0


@lru_cache(maxsize=KEPT)
def spine(layout: Layout, route: Route) -> tuple[Point, ...]:
    """The points that an arrow is drawn along, from its tail to its tip."""
    line = route.line
    span = distance(line.start, line.end)
    curve = bowed(line.start, line.end, route.rise * span)
    if line.slots is None:
        return tuple(curve)
    off = min(0.28 * layout.unit, 0.2 * span)
    begun = cut_short(curve[::-1], min(off, _room(layout, line.slots[0])))[::-1]
    return tuple(cut_short(begun, min(0.8 * off, _room(layout, line.slots[1]))))


def ways_out(layout: Layout, of: Routes) -> dict[int, Point]:
    """From the middle of each sticker away from the arrows that begin or end on it, all taken together."""
    away: dict[int, Point] = {}
    for route in of.values():
        curve = spine(layout, route)
        if route.line.slots:
            (first, last), there, back = route.line.slots, towards(*curve[:2]), towards(*curve[-2:][::-1])
            away[first] = plus(away.get(first, (0.0, 0.0)), there, -1)
            away[last] = plus(away.get(last, (0.0, 0.0)), back, -1)
    return {slot: towards((0.0, 0.0), way) for slot, way in away.items() if sure(hypot(*way)) > 0}


def _room(layout: Layout, slot: int) -> float:
    """How far from its middle an arrow may stop and be within the sticker, however narrow that is."""
    return inner_radius(layout.shapes[slot]) + layout.rounding


def _line(layout: Layout, arrow: Arrow, company: Sequence[Arrow]) -> Line | None:
    """Where an arrow runs that has no others to keep off; None where one of its ends is out of sight."""
    if ways := _ways(layout, arrow):
        return _along(layout, max(ways.values(), key=lambda way: _rank(layout, arrow, way, company)))
    ends = joint(layout, arrow.starts), joint(layout, arrow.ends)
    return Line(ends[0], ends[1], None) if ends[0] and ends[1] else None


def _along(layout: Layout, way: Way) -> Line:
    return Line(layout.centres[way[0]], layout.centres[way[1]], way)


def _ways(layout: Layout, arrow: Arrow) -> dict[int, Way]:
    """From where each sticker of a piece is to where it goes, as far as both are in sight; by its number."""
    ways = enumerate(zip(arrow.starts, arrow.ends, strict=True))
    return {number: way for number, way in ways if set(way) <= layout.shapes.keys()}


def _rank(layout: Layout, arrow: Arrow, way: Way, company: Sequence[Arrow]) -> tuple[int, ...]:
    """How well a way shows: on the main face, not in a mirror, and joined to where the piece goes on."""
    joined = [other for other in company if other.ends == arrow.starts or other.starts == arrow.ends]
    return (
        len(layout.main.intersection(way)),
        way[0] in layout.main,
        -len(layout.mirrored.intersection(way)),
        sum(arrow.starts.index(way[0]) in _ways(layout, other) for other in joined),
    )


def _side(layout: Layout, arrow: Arrow, lines: Mapping[Arrow, Line]) -> float:
    """1 to rise to the left, -1 to the right: away from a cycle's middle, so that its arrows make a ring.

    Two arrows between two pieces both keep left, and part.
    """
    cycle = _cycle(layout, arrow, lines)
    if len(cycle) < 3:
        return 1.0
    centre = middle([lines[each].start for each in cycle])
    return 1.0 if facing(lines[arrow].start, lines[arrow].end, centre) <= 1.0 else -1.0


def _cycle(layout: Layout, arrow: Arrow, lines: Iterable[Arrow]) -> list[Arrow]:
    """The arrows in sight that lead on from piece to piece, from this one until one leads back."""

    def piece(slots: tuple[int, ...]) -> int:
        return layout.puzzle.stickers[slots[0]].piece

    onward = {piece(each.starts): each for each in lines}
    cycle = [arrow]
    while (following := onward.get(piece(cycle[-1].ends))) and following not in cycle:
        cycle.append(following)
    return cycle
