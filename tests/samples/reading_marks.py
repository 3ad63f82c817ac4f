"""A reader of figures: what each mark says, told from its shape and from where it lies, as people tell it.

Knows the text of an SVG and where a view has each sticker; knows nothing of what the figure was made from.
"""

from __future__ import annotations

import xml.etree.ElementTree as ET
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from math import atan2, hypot, inf, pi

from reading_paths import HalfRound, Outline, outlines

from sitegen.figures import plane as page
from sitegen.figures.layout import Layout
from sitegen.figures.plane import Point, Shape, distance, middle

ON_RIM = 6.0
"""Units: a ribbon's sides lie beside its middle, and all numbers are whole."""


@dataclass(frozen=True)
class Goes:
    """An arrow: of a sticker between two slots, or of a piece between two places."""

    start: int
    end: int
    sticker: bool
    swap: bool = False
    leap: bool = False
    corner: bool = False


@dataclass(frozen=True)
class Turned:
    """A piece turned in its place; `sense` is a flip, or which way and by how many steps."""

    place: int
    sense: str
    steps: int = 1


@dataclass(frozen=True)
class Layer:
    """An arrow of a turn: its points from tail to tip, whether it lies behind, and the number on it."""

    points: tuple[Point, ...]
    behind: bool
    times: int = 1


Said = Goes | Turned | Layer


def read(figure: str, plan: Layout) -> list[Said]:
    """All that a figure's marks say. AssertionError for a mark that nobody could read."""
    root = ET.fromstring(figure)
    groups = [group for group in root.iter("g") if group.get("class") == "marks"]
    elements = [element for group in groups for element in group]
    counts = dict(map(_count, (e for e in elements if e.tag == "text")))
    strokes = [Stroke(e.get("d", ""), e.get("class") or "") for e in elements if e.tag == "path"]
    said = [_said(stroke, plan, counts) for stroke in strokes]
    assert not counts, "a number that belongs to no mark"
    return said


def _count(text: ET.Element) -> tuple[Point, int]:
    """The middle of a number that is high enough to be read, and the number."""
    size = float(text.get("font-size") or 0)
    assert 30 < size < 130, "a number too small or too large to be read"
    # Capitals and digits are 0.72 of a font high, in most fonts.
    return (float(text.get("x", "")), float(text.get("y", "")) - 0.36 * size), int(text.text or "")


def _taken(counts: dict[Point, int], line: Sequence[Point], off: float = 2 * ON_RIM) -> int:
    """The number that lies on a line, which is thereby read; 1 where none does."""
    pairs = list(pairwise(line)) or [(line[0], line[0])]
    found = [at for at in counts if min(_from_side(at, a, b) for a, b in pairs) < off]
    return counts.pop(found[0]) if found else 1


class Stroke:
    """A mark's path, taken apart into what it is made of."""

    def __init__(self, d: str, of: str) -> None:
        self.of = of
        self.bands: list[list[Point]] = []
        self.widths: list[list[float]] = []
        """Of each band, as it goes along its spine."""
        self.heads: list[Shape] = []
        holes_in_heads: list[Shape] = []
        heads: list[tuple[Point, bool]] = []
        circles: list[tuple[Point, float, bool]] = []
        for outline in outlines(d):
            assert outline.closed
            if isinstance(outline.steps[0], HalfRound):
                circles.append(_circle(outline))
            elif [len(step) for step in _drawn(outline)] == [2, 1, 1, 2]:
                shape = tuple(_passed(outline))
                filled = _clockwise(shape)
                heads.append((outline.start, filled))
                (self.heads if filled else holes_in_heads).append(shape)
            else:
                near, far = _sides(outline)
                sides = list(zip(near, far[::-1], strict=True))
                self.bands.append([page.between(a, b) for a, b in sides])
                self.widths.append([distance(a, b) for a, b in sides])
        # What fills runs one way round, and what is a hole the other.
        self.tips = [tip for tip, filled in heads if filled]
        self.hollow = bool(holes_in_heads)
        assert all(any(_seen_within(hole, head) for head in self.heads) for hole in holes_in_heads)
        dots = [(centre, radius) for centre, radius, fills in circles if fills]
        holes = [(centre, radius) for centre, radius, fills in circles if not fills]
        assert len(holes) <= 1, "more rings than one"
        self.ring, self.hole = (holes[0][0], holes[0][1]) if holes else (None, 0.0)
        outer = max((r for c, r in dots if holes and distance(c, holes[0][0]) < 2), default=0.0)
        self.dots = [(c, r) for c, r in dots if r != outer]
        assert not holes or outer > holes[0][1], "a hole in nothing"

    @property
    def spine(self) -> list[Point]:
        return [point for band in self.bands for point in band]

    @property
    def line(self) -> list[Point]:
        """The spine, out to the tips."""
        return [*self.tips[1:], *self.spine, *self.tips[:1]]

    @property
    def bends(self) -> list[float]:
        """By how much the line turns at each of its points, clockwise positive as the page is seen."""
        ways = [atan2(b[1] - a[1], b[0] - a[0]) for a, b in pairwise(self.line) if distance(a, b) > 0.5]
        return [(after - before + pi) % (2 * pi) - pi for before, after in pairwise(ways)]


def _circle(outline: Outline) -> tuple[Point, float, bool]:
    """The middle and the radius of two halves of a round, and whether they run clockwise."""
    one, other = outline.steps
    assert isinstance(one, HalfRound)
    assert isinstance(other, HalfRound)
    (x, y), radius = outline.start, one.radius
    assert (one.end, other.end) == ((x + 2 * radius, y), outline.start), "no circle"
    assert (other.radius, other.clockwise) == (radius, one.clockwise)
    return (x + radius, y), radius, one.clockwise


def _drawn(outline: Outline) -> list[tuple[Point, ...]]:
    """The steps of an outline that has no part of a round."""
    return [step for step in outline.steps if not isinstance(step, HalfRound)]


def _passed(outline: Outline) -> list[Point]:
    """The points that an outline passes through."""
    return [outline.start, *(step[-1] for step in _drawn(outline))]


def _sides(outline: Outline) -> tuple[list[Point], list[Point]]:
    """Both sides of a band, there and back: between them is a straight line across its end."""
    points, half = _passed(outline), len(outline.steps) // 2
    assert len(points) == 2 * half + 2, "a band has two sides alike"
    assert len(_drawn(outline)[half]) == 1
    return points[: half + 1], points[half + 1 :]


def _clockwise(outline: Shape) -> bool:
    return sum(a[0] * b[1] - a[1] * b[0] for a, b in pairwise([*outline, outline[0]])) > 0


def _seen_within(hole: Shape, head: Shape) -> bool:
    """Whether a hole is large enough to be seen, and has the head all round it."""
    return page.area(hole) > page.area(head) / 6 and all(page.within(page.hull(head), p, p) for p in hole)


def _said(stroke: Stroke, plan: Layout, counts: dict[Point, int]) -> Said:
    if stroke.of == "turning":
        assert len(stroke.tips) == 1
        line = (*stroke.spine, stroke.tips[0])
        return Layer(line, stroke.hollow, _taken(counts, line))
    bends = stroke.bends
    if not stroke.bands:
        assert stroke.ring
        assert len(stroke.dots) == 1
        return Turned(_in_place(stroke.ring, plan), "in place", 0)
    if abs(sum(bends)) > 2.0:
        return _twisted(stroke, plan, counts)
    if min(sum(b for b in bends if b > 0), -sum(b for b in bends if b < 0)) > 0.3:
        assert len(stroke.tips) == 2, "a flip has two heads"
        return Turned(_in_place(middle(stroke.spine), plan, edges=True), "flip")
    return _goes(stroke, plan)


def _twisted(stroke: Stroke, plan: Layout, counts: dict[Point, int]) -> Turned:
    centre = _centre(stroke.spine)
    place = _in_place(centre, plan)
    if len(stroke.tips) == 2:
        assert any(distance(dot, centre) < 5 for dot, _ in stroke.dots), "a dot in the middle"
        return Turned(place, "halfway", 0)
    onward = sum(stroke.bends) > 0
    seen = [slot for slot in plan.puzzle.pieces[place].stickers if slot in plan.shapes]
    mirrored = all(slot in plan.mirrored for slot in seen)
    sense = "clockwise" if onward != mirrored else "anticlockwise"
    # The shape says it as well, for whoever does not know where the mirrors are.
    assert stroke.hollow == bool(stroke.dots) == (sense == "anticlockwise")
    return Turned(place, sense, _taken(counts, [centre]))


def _goes(stroke: Stroke, plan: Layout) -> Goes:
    swap = len(stroke.tips) == 2
    leap = len(stroke.bands) > 2
    corner = bool(stroke.dots)
    assert corner == (stroke.of == "corner"), "shape and colour say one thing"
    tail, tip = (stroke.tips[1] if swap else stroke.spine[0]), stroke.tips[0]
    if stroke.ring is None:
        start, end = _slot(tail, plan), _slot(tip, plan)
        return Goes(start, end, True, swap, leap, corner)
    if not swap:
        tail = stroke.ring
    else:
        assert distance(stroke.ring, middle([stroke.bands[0][-1], stroke.bands[1][0]])) < ON_RIM
    return Goes(_place(tail, plan), _place(tip, plan), False, swap, leap, corner)


def _slot(point: Point, plan: Layout) -> int:
    """The only slot in which a point lies."""
    slot = nearest(point, plan)
    assert off_shape(point, stickers(plan)[slot]) < ON_RIM, "an arrow's end in no sticker"
    return slot


def _place(point: Point, plan: Layout) -> int:
    """The place of which every sticker in sight, or the nearest where they are seen apart, is at a point."""
    shapes = stickers(plan)

    def off(piece: int) -> float:
        seen = [slot for slot in plan.puzzle.pieces[piece].stickers if slot in shapes]
        shown = plan.visible(seen)
        return max((off_shape(point, shapes[slot]) for slot in shown), default=9e9)

    return min(range(len(plan.puzzle.pieces)), key=off)


def _in_place(point: Point, plan: Layout, edges: bool = False) -> int:
    """The place whose stickers in sight have their middle at a point, or of which one has."""
    found: list[tuple[float, int]] = []
    for piece in plan.puzzle.pieces:
        if len(piece.stickers) < 2 or edges != (len(piece.stickers) == 2):
            continue
        shown = [slot for slot in piece.stickers if slot in plan.shapes]
        groups = [[slot] for slot in shown] + [shown, plan.visible(shown)]
        points = [middle([plan.centres[slot] for slot in group]) for group in groups if _near(group, plan)]
        found += [(distance(point, each), piece.index) for each in points]
    off, place = min(found)
    assert off < 0.2 * plan.unit + ON_RIM, "a mark that lies nowhere"
    return place


def _near(slots: Sequence[int], plan: Layout) -> bool:
    """Whether stickers lie side by side, and are not seen apart as in a net."""
    at = [plan.centres[slot] for slot in slots]
    return bool(at) and max(distance(a, b) for a in at for b in at) < 2.5 * max(plan.unit, 80)


@cache
def stickers(plan: Layout) -> dict[int, Shape]:
    """Each sticker as it is drawn, with the line round it."""
    return {slot: page.inset(shape, -plan.rounding) for slot, shape in plan.shapes.items()}


@cache
def _rounds(plan: Layout) -> list[tuple[int, Shape, Point, float]]:
    """Each sticker with what it lies within."""
    return [(slot, shape, *_round_about(shape)) for slot, shape in stickers(plan).items()]


def nearest(point: Point, plan: Layout) -> int:
    """The slot whose sticker a point lies in, or else is nearest to."""
    least, found = inf, -1
    for slot, shape, centre, radius in _rounds(plan):
        # Nothing of a sticker is nearer than what it lies within.
        if distance(point, centre) - radius < least and (off := off_shape(point, shape)) < least:
            least, found = off, slot
    return found


def off_shape(point: Point, shape: Shape) -> float:
    """How far a point is outside of a convex shape, or at least so far; 0 within."""
    centre, radius = _round_about(shape)
    if (far := distance(point, centre) - radius) > 4 * ON_RIM:
        return far
    if page.within(shape, point, point):
        return 0.0
    return min(_from_side(point, shape[i - 1], corner) for i, corner in enumerate(shape))


@cache
def _round_about(shape: Shape) -> tuple[Point, float]:
    """The middle of a shape, and how far its corners are from there at most."""
    centre = middle(shape)
    return centre, max(distance(centre, corner) for corner in shape)


def _from_side(point: Point, a: Point, b: Point) -> float:
    along = ((point[0] - a[0]) * (b[0] - a[0]) + (point[1] - a[1]) * (b[1] - a[1])) / (
        distance(a, b) ** 2 or 1
    )
    foot = page.between(a, b, min(max(along, 0.0), 1.0))
    return hypot(point[0] - foot[0], point[1] - foot[1])


def _centre(points: Sequence[Point]) -> Point:
    """The middle of the circle through the first, the middle and the last of some points."""
    (ax, ay), (bx, by), (cx, cy) = points[0], points[len(points) // 2], points[-1]
    d = 2 * (ax * (by - cy) + bx * (cy - ay) + cx * (ay - by))
    a, b, c = ax * ax + ay * ay, bx * bx + by * by, cx * cx + cy * cy
    return (
        (a * (by - cy) + b * (cy - ay) + c * (ay - by)) / d,
        (a * (cx - bx) + b * (ax - cx) + c * (bx - ax)) / d,
    )
