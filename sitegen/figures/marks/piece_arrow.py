"""An arrow from where a piece is to where it goes: it follows a sticker that is in sight at both ends.

Where no sticker is, it stands for the piece: a ring where the piece's stickers meet, and from there to where
those of its place meet. Knows how arrows keep out of each other's way; knows nothing of why a piece moves.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from sitegen.figures.layout import Layout
from sitegen.figures.marks.arrow_shape import (
    Look,
    along,
    bowed,
    cut_short,
    facing,
    nib,
    path_length,
    ribbon,
    ring,
    round_dot,
)
from sitegen.figures.marks.joint import joint
from sitegen.figures.parts import Part, Path
from sitegen.figures.path_text import path_text
from sitegen.figures.picture import Arrow, Mark
from sitegen.figures.plane import Point, distance, inner_radius, middle

KEPT = 4096
"""How many arrows are kept: there are not many ways from slot to slot."""
BOW = 0.17
"""How far an arrow rises beside the straight line, as a share of its length."""

ONE_WAY = Look()
BOTH_WAYS = Look(tail=1.0, both_ends=True)
LEAP = Look(tail=1.0, dashed=True)
DOT = 0.11
"""Radius of the dot on a corner's arrow with one head, as a share of the arrow's size."""
MIDDLE_DOT = 0.15
"""And of that on one with two heads, whose shaft is thicker."""
RING, CORNER_RING = (0.2, 0.1), (0.25, 0.17)
"""Radius of the ring on a piece's arrow, and of the hole in it: a corner's has a dot in it."""

Way = tuple[int, int]
"""Two slots in sight between which a sticker goes."""


@dataclass(frozen=True)
class Line:
    """Where an arrow begins and ends; `slots` are those of the sticker that it follows, if it does."""

    start: Point
    end: Point
    slots: Way | None


def arrow(layout: Layout, mark: Arrow, company: Sequence[Mark]) -> list[Part]:
    """A corner's arrow has a colour of its own and a dot, so that it is told from an edge's.

    The dot, or the ring of an arrow that stands for a piece, is at its tail, or between its two heads.
    """
    line = line_of(layout, mark, company)
    if line is None:
        return []
    look = BOTH_WAYS if mark.swap else LEAP if mark.leap else ONE_WAY
    return [_along(layout, line, _side(layout, mark, line, company), look, len(mark.starts) > 2)]


@lru_cache(maxsize=KEPT)
def _along(layout: Layout, line: Line, side: float, look: Look, corner: bool) -> Part:
    """An arrow along a line, rising to a side of it."""
    curve = _curve(layout, line, side)
    size = min(nib(layout), (0.6 if look.both_ends else 0.9) * path_length(curve))
    at = along(curve, path_length(curve) / 2) if look.both_ends else curve[0]
    if line.slots:
        drawn = ribbon(curve, size, look)
        dot = (MIDDLE_DOT if look.both_ends else DOT) * size
    else:
        radius, hole = (share * min(nib(layout), size) for share in (CORNER_RING if corner else RING))
        # Light all over, as the line is that lies round a mark, or what is below would be seen as a dot.
        hole = hole if corner else min(hole, 11.0)
        drawn = [*ribbon(curve, size, replace(look, gap=radius)), *ring(at, radius, hole)]
        dot = 0.45 * hole
    if corner:
        drawn += round_dot(at, dot)
    return Path(path_text(drawn), "corner" if corner else "")


def line_of(layout: Layout, mark: Arrow, company: Sequence[Mark]) -> Line | None:
    """Where an arrow runs in a view; None where one of its ends is out of sight."""
    if ways := _ways(layout, mark):
        start, end = max(ways.values(), key=lambda way: _rank(layout, mark, way, company))
        return Line(layout.centres[start], layout.centres[end], (start, end))
    ends = joint(layout, mark.starts), joint(layout, mark.ends)
    return Line(ends[0], ends[1], None) if ends[0] and ends[1] else None


def _ways(layout: Layout, mark: Arrow) -> dict[int, Way]:
    """From where each sticker of a piece is to where it goes, as far as both are in sight; by its number."""
    ways = enumerate(zip(mark.starts, mark.ends, strict=True))
    return {number: way for number, way in ways if set(way) <= layout.shapes.keys()}


def _rank(layout: Layout, mark: Arrow, way: Way, company: Sequence[Mark]) -> tuple[int, ...]:
    """How well a way shows: on the main face, not in a mirror, and joined to where the piece goes on."""
    joined = [
        other
        for other in company
        if isinstance(other, Arrow) and (other.ends == mark.starts or other.starts == mark.ends)
    ]
    return (
        len(layout.main.intersection(way)),
        way[0] in layout.main,
        -len(layout.mirrored.intersection(way)),
        sum(mark.starts.index(way[0]) in _ways(layout, other) for other in joined),
    )


def _curve(layout: Layout, line: Line, side: float) -> list[Point]:
    span = distance(line.start, line.end)
    curve = bowed(line.start, line.end, side * BOW * span)
    if line.slots is None:
        return curve
    off = min(0.28 * layout.unit, 0.2 * span)
    begun = cut_short(curve[::-1], min(off, _room(layout, line.slots[0])))[::-1]
    return cut_short(begun, min(0.8 * off, _room(layout, line.slots[1])))


def _room(layout: Layout, slot: int) -> float:
    """How far from its middle an arrow may stop and be within the sticker, however narrow that is."""
    return inner_radius(layout.shapes[slot]) + layout.rounding


def _side(layout: Layout, mark: Arrow, line: Line, company: Sequence[Mark]) -> float:
    """1 to rise to the left, -1 to the right: away from a cycle's middle, so that its arrows make a ring.

    Two arrows between two pieces both keep left, and part.
    """
    cycle = _cycle(layout, mark, company)
    if len(cycle) < 3:
        return 1.0
    lines = [line_of(layout, each, company) for each in cycle]
    centre = middle([each.start for each in lines if each])
    return 1.0 if facing(line.start, line.end, centre) <= 1.0 else -1.0


def _cycle(layout: Layout, mark: Arrow, company: Sequence[Mark]) -> list[Arrow]:
    """The visible arrows that lead on from piece to piece, from this one until one leads back."""

    def piece(slots: tuple[int, ...]) -> int:
        return layout.puzzle.stickers[slots[0]].piece

    arrows = [each for each in company if isinstance(each, Arrow)]
    onward = {piece(each.starts): each for each in arrows if line_of(layout, each, company)}
    cycle = [mark]
    while (following := onward.get(piece(cycle[-1].ends))) and following not in cycle:
        cycle.append(following)
    return cycle
