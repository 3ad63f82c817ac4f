"""An arrow from the slot where a sticker is to the slot where it goes.

Knows how arrows keep out of each other's way; knows nothing of why a piece moves.
"""

from __future__ import annotations

from collections.abc import Sequence

from sitegen.figures.layout import Layout
from sitegen.figures.marks.ribbon import bowed, facing, length, nib, ribbon, shortened
from sitegen.figures.page import Point, distance, middle
from sitegen.figures.picture import Arrow, Mark
from sitegen.figures.svg import Element, path

BOW = 0.17
"""How far an arrow rises beside the straight line, as a share of its length."""


def arrow(layout: Layout, mark: Arrow, company: Sequence[Mark]) -> list[Element]:
    if mark.start == mark.end or not {mark.start, mark.end} <= layout.shapes.keys():
        return []
    curve = _curve(layout, mark, company)
    size = nib(layout)
    return [path(ribbon(curve, min(size, 0.9 * length(curve))))]


def _curve(layout: Layout, mark: Arrow, company: Sequence[Mark]) -> list[Point]:
    start, end = layout.centres[mark.start], layout.centres[mark.end]
    span = distance(start, end)
    curve = bowed(start, end, _side(layout, mark, company) * BOW * span)
    off = min(0.28 * layout.unit, 0.2 * span)
    return shortened(shortened(curve[::-1], off)[::-1], 0.8 * off)


def _side(layout: Layout, mark: Arrow, company: Sequence[Mark]) -> float:
    """1 to rise to the left, -1 to the right: away from a cycle's middle, so that its arrows make a ring.

    Two pieces that change places both keep left, and their arrows part.
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
