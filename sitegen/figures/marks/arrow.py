"""An arrow from the slot where a sticker is to the slot where it goes.

Knows how arrows keep out of each other's way; knows nothing of why a piece moves.
"""

from __future__ import annotations

from collections.abc import Sequence

from sitegen.figures.layout import Layout
from sitegen.figures.marks.ribbon import Look, along, bowed, dot, facing, length, nib, ribbon, shortened
from sitegen.figures.page import Point, distance, inner_radius, middle
from sitegen.figures.picture import Arrow, Mark
from sitegen.figures.svg import Element, path

BOW = 0.17
"""How far an arrow rises beside the straight line, as a share of its length."""

ONE_WAY = Look()
BOTH_WAYS = Look(tail=1.0, both_ends=True)
DOT = 0.11
"""Radius of the dot on a corner's arrow with one head, as a share of the arrow's size."""
MIDDLE_DOT = 0.15
"""And of that on one with two heads, whose shaft is thicker."""


def arrow(layout: Layout, mark: Arrow, company: Sequence[Mark]) -> list[Element]:
    """Two stickers that change places share one arrow with two heads, drawn for the first of them.

    A corner's arrow has a colour of its own and a dot, at its tail or between its heads, so that it is told
    from an edge's.
    """
    back = Arrow(mark.end, mark.start) in company
    hidden = not {mark.start, mark.end} <= layout.shapes.keys()
    if mark.start == mark.end or hidden or (back and mark.end < mark.start):
        return []
    curve = _curve(layout, mark, company)
    size = min(nib(layout), (0.6 if back else 0.9) * length(curve))
    text = ribbon(curve, size, BOTH_WAYS if back else ONE_WAY)
    if not _is_corner(layout, mark.start):
        return [path(text)]
    blot = dot(along(curve, length(curve) / 2), MIDDLE_DOT * size) if back else dot(curve[0], DOT * size)
    return [path(text + blot, "corner")]


def _is_corner(layout: Layout, slot: int) -> bool:
    return len(layout.puzzle.piece_at(slot).stickers) > 2


def _curve(layout: Layout, mark: Arrow, company: Sequence[Mark]) -> list[Point]:
    start, end = layout.centres[mark.start], layout.centres[mark.end]
    span = distance(start, end)
    curve = bowed(start, end, _side(layout, mark, company) * BOW * span)
    off = min(0.28 * layout.unit, 0.2 * span)
    begun = shortened(curve[::-1], min(off, _room(layout, mark.start)))[::-1]
    return shortened(begun, min(0.8 * off, _room(layout, mark.end)))


def _room(layout: Layout, slot: int) -> float:
    """How far from its middle an arrow may stop and be within the sticker, however narrow that is."""
    return inner_radius(layout.shapes[slot]) + layout.rounding


def _side(layout: Layout, mark: Arrow, company: Sequence[Mark]) -> float:
    """1 to rise to the left, -1 to the right: away from a cycle's middle, so that its arrows make a ring.

    Two arrows between two pieces both keep left, and part.
    """
    cycle = _cycle(layout, mark, company)
    if len(cycle) < 3:
        return 1.0
    centre = middle([layout.centres[arrow.start] for arrow in cycle])
    return 1.0 if facing(layout.centres[mark.start], layout.centres[mark.end], centre) <= 1.0 else -1.0


def _cycle(layout: Layout, mark: Arrow, company: Sequence[Mark]) -> list[Arrow]:
    """The visible arrows that lead on from piece to piece, from this one until one leads back."""

    def piece(slot: int) -> int:
        return layout.puzzle.stickers[slot].piece

    seen = [a for a in company if isinstance(a, Arrow) and {a.start, a.end} <= layout.shapes.keys()]
    onward = {piece(arrow.start): arrow for arrow in seen}
    cycle = [mark]
    while (following := onward.get(piece(cycle[-1].end))) and following not in cycle:
        cycle.append(following)
    return cycle
