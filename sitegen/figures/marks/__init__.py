"""The marks: each is a function from a layout and a mark to parts, in one file and a line in the table.

A mark knows no views: it asks the layout where its slots are, and which of them a mirror shows. So every
mark can be drawn in every view, and a new one of either needs no line in the other.
Knows which marks there are and the order they are drawn in; knows nothing of how they look.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import cache
from typing import Any

from sitegen.figures.layout import Layout
from sitegen.figures.marks.arrow_shape import nib
from sitegen.figures.marks.flip import flip, stance_of_flip
from sitegen.figures.marks.piece_arrow import arrow
from sitegen.figures.marks.routes import routes, spine, ways_out
from sitegen.figures.marks.turn_arrow import turning
from sitegen.figures.marks.twist import RADIUS, centre_of_twist, twist
from sitegen.figures.parts import Part, PartGroup, Text
from sitegen.figures.picture import Arrow, FlipMark, Mark, TwistMark, arrows_of
from sitegen.figures.plane import Point, distance
from sitegen.puzzles.geometry import sure
from sitegen.puzzles.puzzle import Turn

Draw = Callable[[Layout, Any, Sequence[Mark]], Sequence[Part]]
"""From a layout, a mark and all marks that are in the figure."""


def _by_itself(draw: Callable[[Layout, Any], Sequence[Part]]) -> Draw:
    """Of a mark that looks the same whatever others there are, and so is drawn once for each layout."""
    drawn = cache(draw)
    return lambda layout, mark, _: drawn(layout, mark)


MARKS: Mapping[type, Draw] = {
    Turn: _by_itself(turning),
    Arrow: arrow,
    TwistMark: twist,
    FlipMark: _by_itself(flip),
}
"""From the lowest to the uppermost."""


def drawn(layout: Layout, marks: Sequence[Mark]) -> tuple[list[Part], list[Part]]:
    """The parts of all marks, and the numbers on them; what is long lies under what is short."""
    order = list(MARKS)
    ordered = sorted(marks, key=lambda mark: (order.index(type(mark)), -_length(layout, mark, marks)))
    parts = [part for mark in ordered for part in MARKS[type(mark)](layout, mark, marks)]
    numbers = [part for part in parts if isinstance(part, Text)]
    shapes = [part for part in parts if part not in numbers] if numbers else parts
    return _marks(shapes), _marks(numbers)


def _marks(parts: Sequence[Part]) -> list[Part]:
    return [PartGroup("marks", parts)] if parts else []


def pushed(layout: Layout, marks: Sequence[Mark]) -> Mapping[int, Point]:
    """Which way from its middle there is room on each sticker where an arrow begins or ends; unit vectors."""
    arrows = arrows_of(marks)
    return ways_out(layout, routes(layout, arrows)) if arrows else {}


def covered(layout: Layout, marks: Sequence[Mark]) -> bool:
    """Whether an arrow runs over the mark of a piece that is turned in place."""
    arrows = [spine(layout, route) for route in routes(layout, arrows_of(marks)).values()]
    middles = [point for mark in marks if (point := _middle(layout, mark))]
    near = RADIUS * nib(layout)
    return any(sure(distance(a, b)) < near for line in arrows for a in line for b in middles)


def _middle(layout: Layout, mark: Mark) -> Point | None:
    """The middle of the mark of a piece that is turned in place, if it is in sight."""
    if not isinstance(mark, TwistMark | FlipMark) or layout.shapes.keys().isdisjoint(mark.stickers):
        return None
    return centre_of_twist(layout, mark) if isinstance(mark, TwistMark) else stance_of_flip(layout, mark)[0]


def _length(layout: Layout, mark: Mark, marks: Sequence[Mark]) -> float:
    route = routes(layout, arrows_of(marks)).get(mark) if isinstance(mark, Arrow) else None
    return sure(distance(route.line.start, route.line.end)) if route else 0.0
