"""The pen that all marks are drawn with: a ribbon that swells from a thin tail to a pointed head.

A ribbon is an outline that is filled, and no line with a head on its end: so it needs no <marker>, whose id
would have to differ between all figures of a page, and its taper shows the way where its head is covered.
Knows points and how they are joined; knows nothing of puzzles or of what a mark means.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import chain, pairwise
from math import cos, pi, sin

from sitegen.figures.layout import Layout
from sitegen.figures.parts import BELOW, Text
from sitegen.figures.path_text import Command, circle, whole
from sitegen.figures.plane import Point, between, distance, left, minus, plus, towards, whole_number
from sitegen.puzzles.geometry import sure


@dataclass(frozen=True)
class Look:
    """The proportions of a ribbon, as shares of a mark's size."""

    thick: float = 0.062
    """Half the ribbon's width at its head."""
    tail: float = 0.4
    """Width of the tail, as a share of the width at the head."""
    head: float = 0.37
    spacing: float = 0.4
    """Distance between the points that the spine is drawn through."""
    both_ends: bool = False
    hollow: bool = False
    dashed: bool = False
    gap: float = 0.0
    """Room for a ring, whose radius this is in units: at the tail, or in the middle between two heads."""


PLAIN = Look()


def nib(layout: Layout) -> float:
    """The size of a mark in this layout: a sticker's width, within what can be read on a small figure."""
    return min(max(layout.unit, 82.0), 190.0)


def ribbon(spine: Sequence[Point], size: float, look: Look = PLAIN) -> list[Command]:
    """A ribbon along a spine, its head's tip at the last point."""
    head = look.head * size
    points = resampled(spine, look.spacing * size)
    # The shaft runs on into a filled head, but not into the hole of a hollow one.
    within = (0.84 if look.hollow else 0.6) * head
    shaft = cut_short(points, within)
    if look.both_ends:
        shaft = cut_short(shaft[::-1], within)[::-1]
    stretches = (
        _stretch(shaft, begin, end, size, look) for begin, end in _stretches(path_length(shaft), look)
    )
    drawn = [*chain(*stretches), *_leaf(shaft[-1], points[-1], head, look.hollow)]
    return [*drawn, *_leaf(shaft[0], points[0], head, look.hollow)] if look.both_ends else drawn


DASHES = 3
FREE = 0.36
"""Of a dashed line, how much of each dash and the room behind it is left free."""


def _stretches(total: float, look: Look) -> list[tuple[float, float]]:
    """What of a shaft so long is drawn: where each stretch begins and ends."""
    if look.both_ends and look.gap:
        return [(0, total / 2 - look.gap), (total / 2 + look.gap, total)]
    begin = 0.9 * look.gap
    if not look.dashed:
        return [(begin, total)]
    each = (total - begin) / (DASHES - FREE)
    return [(begin + i * each, begin + (i + 1 - FREE) * each) for i in range(DASHES)]


def _stretch(shaft: Sequence[Point], begin: float, end: float, size: float, look: Look) -> list[Command]:
    """A part of a shaft, as wide as the whole is there."""
    total = path_length(shaft)
    part = cut_short(cut_short(shaft[::-1], begin)[::-1], total - end)
    points = resampled(part, look.spacing * size)
    shares = [(begin + (end - begin) * i / (len(points) - 1)) / total for i in range(len(points))]
    return ribbon_outline(
        points, [look.thick * size * (look.tail + (1 - look.tail) * share) for share in shares]
    )


def ribbon_outline(spine: Sequence[Point], widths: Sequence[float]) -> list[Command]:
    """A closed band along a spine; `widths` are measured from the spine to either side."""
    last = len(spine) - 1
    normals = [left(towards(spine[max(i - 1, 0)], spine[min(i + 1, last)])) for i in range(last + 1)]
    near = [plus(p, n, w) for p, n, w in zip(spine, normals, widths, strict=True)]
    far = [plus(p, n, -w) for p, n, w in zip(spine, normals, widths, strict=True)]
    straight = [_straight(near[i - 1 : i + 2]) and _straight(far[i - 1 : i + 2]) for i in range(1, last)]
    there, back = _through(near, straight), _through(far[::-1], straight[::-1])
    return [("M", (whole(near[0]),)), *there, ("L", (whole(far[-1]),)), *back, ("Z", ())]


def _straight(points: Sequence[Point]) -> bool:
    """Whether three points lie on a line, but for what is lost in computing."""
    start, between_them, end = points
    return abs(facing(start, end, between_them)) < 0.01


def _through(points: Sequence[Point], straight: Sequence[bool]) -> list[Command]:
    """Quadratic curves with the points as controls and their middles as joints: smooth and short.

    Where a control is in line with those beside it there are lines, and one for all that follow each other.
    """
    controls = [*map(whole, points)]
    joints = [*(between(a, b) for a, b in pairwise(controls[1:-1])), controls[-1]]
    drawn: list[Command] = []
    for control, joint, in_line in zip(controls[1:-1], joints, straight, strict=True):
        if in_line and drawn and drawn[-1][0] == "L":
            drawn.pop()
        drawn.append(("L", (joint,)) if in_line else ("Q", (control, joint)))
    return drawn


def _leaf(start: Point, tip: Point, length: float, hollow: bool) -> list[Command]:
    """A head like a leaf: broad shoulders that lean back, and curved sides; hollow, a hole keeps it open."""
    along = towards(start, tip)
    # Drawn round the same way as the band, so that their overlap is filled; a hole, the other way.
    leaf = _leaf_outline(tip, along, length, -1.0)
    hole = _leaf_outline(plus(tip, along, -0.27 * length), along, 0.5 * length, 1.0)
    return [*leaf, *hole] if hollow else leaf


def _leaf_outline(tip: Point, along: Point, length: float, side: float) -> list[Command]:
    aside = left(along)
    notch = plus(tip, along, -0.76 * length)
    one, other = (plus(plus(tip, along, -length), aside, s * side * 0.6 * length) for s in (1, -1))
    bulge, counter = (plus(plus(tip, along, -0.4 * length), aside, s * side * 0.36 * length) for s in (1, -1))
    tip, bulge, one, notch, other, counter = map(whole, (tip, bulge, one, notch, other, counter))
    return [
        ("M", (tip,)),
        ("Q", (bulge, one)),
        ("L", (notch,)),
        ("L", (other,)),
        ("Q", (counter, tip)),
        ("Z", ()),
    ]


def resampled(spine: Sequence[Point], spacing: float) -> list[Point]:
    """Points evenly along a line, about a spacing apart, four at least, its ends included."""
    total = path_length(spine)
    count = max(4, whole_number(total / spacing) + 1)
    wanted = [total * i / (count - 1) for i in range(1, count - 1)]
    points, passed = [spine[0]], 0.0
    for a, b in pairwise(spine):
        step = distance(a, b)
        while len(points) <= len(wanted) and wanted[len(points) - 1] <= passed + step:
            points.append(between(a, b, (wanted[len(points) - 1] - passed) / (step or 1.0)))
        passed += step
    return [*points, spine[-1]]


def cut_short(spine: Sequence[Point], by: float) -> list[Point]:
    """A line that stops a length before its end."""
    if by <= 0:
        return list(spine)
    total = path_length(spine)
    kept = max(total - by, 0.1 * total)
    points, passed = [spine[0]], 0.0
    for a, b in pairwise(spine):
        passed += distance(a, b)
        if passed >= kept:
            break
        points.append(b)
    return [*points, along(spine, kept)]


def path_length(spine: Sequence[Point]) -> float:
    return sure(sum(distance(a, b) for a, b in pairwise(spine)))


def along(spine: Sequence[Point], far: float) -> Point:
    """The point of a line at a length from its start."""
    for a, b in pairwise(spine):
        step = distance(a, b)
        if far <= step and step > 0:
            return between(a, b, far / step)
        far -= step
    return spine[-1]


def arc(centre: Point, radius: float, start: float, sweep: float) -> list[Point]:
    """Points on a circle; angles in degrees, clockwise from the right as the page is seen."""
    count = max(4, whole_number(abs(sweep) / 18))
    angles = (pi / 180 * (start + sweep * i / count) for i in range(count + 1))
    return [(centre[0] + radius * cos(a), centre[1] + radius * sin(a)) for a in angles]


def round_dot(centre: Point, radius: float) -> list[Command]:
    """A round blot, drawn round the same way as a band, so that their overlap is filled."""
    return circle(centre, radius, clockwise=True)


def ring(centre: Point, radius: float, hole: float) -> list[Command]:
    """A round blot with a hole of another radius, which is drawn the other way round."""
    return [*round_dot(centre, radius), *circle(centre, hole, clockwise=False)]


def number_mark(number: int, centre: Point, size: float) -> Text:
    """A number, written on a mark or within it."""
    x, y = whole_number(centre[0]), whole_number(centre[1] + BELOW * size)
    return Text(str(number), (x,), (y,), whole_number(size), "count")


def bowed(start: Point, end: Point, rise: float) -> list[Point]:
    """A curve from start to end that rises to the left of the straight line by `rise`."""
    control = plus(between(start, end), left(towards(start, end)), 2 * rise)
    shares = (i / 8 for i in range(9))
    return [between(between(start, control, t), between(control, end, t), t) for t in shares]


def facing(start: Point, end: Point, point: Point) -> float:
    """Positive where a point lies to the left of the way from start to end."""
    way, off = left(towards(start, end)), minus(point, start)
    return way[0] * off[0] + way[1] * off[1]
