"""An arrow from where a piece is to where it goes.

Where it follows no sticker it stands for the piece, and has a ring.
Knows how arrows look; where they run is told by their routes.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache

from sitegen.figures.layout import Layout
from sitegen.figures.marks.arrow_shape import Look, along, nib, path_length, ribbon, ring, round_dot
from sitegen.figures.marks.routes import KEPT, Route, routes, spine
from sitegen.figures.parts import Part, Path
from sitegen.figures.path_text import path_text
from sitegen.figures.picture import Arrow, Mark, arrows_of

ONE_WAY = Look()
BOTH_WAYS = Look(tail=1.0, both_ends=True)
LEAP = Look(tail=1.0, dashed=True)
DOT = 0.11
"""Radius of the dot on a corner's arrow with one head, as a share of the arrow's size."""
MIDDLE_DOT = 0.15
"""And of that on one with two heads, whose shaft is thicker."""
RING, CORNER_RING = (0.2, 0.1), (0.25, 0.17)
"""Radius of the ring on a piece's arrow, and of the hole in it: a corner's has a dot in it."""


def arrow(layout: Layout, mark: Arrow, company: Sequence[Mark]) -> list[Part]:
    """A corner's arrow has a colour of its own and a dot, so that it is told from an edge's.

    The dot, or the ring of an arrow that stands for a piece, is at its tail, or between its two heads.
    """
    route = routes(layout, arrows_of(company)).get(mark)
    if route is None:
        return []
    look = BOTH_WAYS if mark.swap else LEAP if mark.leap else ONE_WAY
    return [_along(layout, route, look, len(mark.starts) > 2)]


@lru_cache(maxsize=KEPT)
def _along(layout: Layout, route: Route, look: Look, corner: bool) -> Part:
    """An arrow along its route."""
    curve = spine(layout, route)
    size = min(nib(layout), (0.6 if look.both_ends else 0.9) * path_length(curve))
    at = along(curve, path_length(curve) / 2) if look.both_ends else curve[0]
    if route.line.slots:
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
