"""A round arrow where a piece's stickers meet: the piece turned in place.

A clockwise twist has a filled head and a plain tail, an anticlockwise one an open head and a dot for a tail.
One halfway, which is the same either way, is half a round with two heads and a dot in its middle; one without
a sense, since the piece has no outside, is a ring with a dot.
Knows on which side of a mirror a piece is seen; knows nothing of why it is twisted.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import cache

from sitegen.figures.layout import Layout
from sitegen.figures.marks.arrow_shape import Look, arc, nib, number_mark, ribbon, ring, round_dot
from sitegen.figures.parts import Part, Path
from sitegen.figures.path_text import path_text
from sitegen.figures.picture import Mark, TwistMark
from sitegen.figures.plane import Point, distance, middle

RADIUS = 0.44
"""In stickers."""
SWEEP = 300.0
BESIDE = 0.9
"""How large a mark is at most, as a share of how far away another is."""
PLAIN = Look(thick=0.07, head=0.4, spacing=0.28)
HOLLOW = replace(PLAIN, hollow=True)
HALFWAY = replace(PLAIN, tail=1.0, head=0.34, spacing=0.2, both_ends=True)


def twist(layout: Layout, mark: TwistMark, company: Sequence[Mark]) -> list[Part]:
    others = [each for each in company if isinstance(each, TwistMark) and each != mark]
    middles = [centre_of_twist(layout, each) for each in others if layout.visible(each.stickers)]
    return _round_arrow(layout, mark, tuple(middles)) if layout.visible(mark.stickers) else []


@cache
def _round_arrow(layout: Layout, mark: TwistMark, others: tuple[Point, ...]) -> list[Part]:
    """The mark of a piece in sight, small enough to lie beside those with other middles."""
    seen, centre = layout.visible(mark.stickers), centre_of_twist(layout, mark)
    size = min([nib(layout), *(BESIDE * distance(centre, each) for each in others)])
    if not mark.steps:
        no_way = [*ring(centre, RADIUS * size, 0.7 * RADIUS * size), *round_dot(centre, 0.13 * size)]
        return [Path(path_text(no_way))]
    if mark.halfway:
        half = ribbon(arc(centre, RADIUS * size, -200.0, 220.0), size, HALFWAY)
        return [Path(path_text([*half, *round_dot(centre, 0.13 * size)]))]
    # In a mirror a clockwise twist runs the other way on the page; its shape still says what it is.
    onward = mark.clockwise != (seen[0] in layout.mirrored)
    start = -70.0 if onward else 250.0
    spine = arc(centre, RADIUS * size, start, SWEEP if onward else -SWEEP)
    arrow = ribbon(spine, size, PLAIN if mark.clockwise else HOLLOW)
    tail = [] if mark.clockwise else round_dot(spine[0], 0.12 * size)
    drawn: list[Part] = [Path(path_text([*arrow, *tail]))]
    count = min(mark.steps, mark.of - mark.steps)
    return drawn + ([number_mark(count, centre, 0.5 * size)] if count > 1 else [])


def centre_of_twist(layout: Layout, mark: TwistMark) -> Point:
    """Where the stickers meet, if they lie together; the middle of what they go round; else of the first.

    Some of them are in sight.
    """
    seen, size = layout.visible(mark.stickers), nib(layout)
    if mark.hub is not None and mark.hub in layout.centres:
        return layout.centres[mark.hub]
    centres = [layout.centres[slot] for slot in seen]
    together = all(distance(a, b) < 1.9 * size for a in centres for b in centres)
    return middle(centres) if together else centres[0]
