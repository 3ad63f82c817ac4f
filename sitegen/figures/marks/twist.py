"""A round arrow where a piece's stickers meet: the piece turned in place.

A clockwise twist has a filled head and a plain tail, an anticlockwise one an open head and a dot for a tail.
Knows on which side of a mirror a piece is seen; knows nothing of why it is twisted.
"""

from __future__ import annotations

from collections.abc import Sequence

from sitegen.figures.layout import Layout
from sitegen.figures.marks.ribbon import Look, arc, dot, nib, ribbon
from sitegen.figures.page import Point, distance, middle
from sitegen.figures.picture import Mark, Twist
from sitegen.figures.svg import Element, path

RADIUS = 0.44
"""In stickers."""
SWEEP = 300.0


def twist(layout: Layout, mark: Twist, _: Sequence[Mark]) -> list[Element]:
    seen = layout.visible(mark.stickers)
    if not seen or mark.steps % len(mark.stickers) == 0:
        return []
    size = nib(layout)
    centre = _centre(layout, seen, size)
    # In a mirror a clockwise twist runs the other way on the page; its shape still says what it is.
    onward = mark.clockwise != (seen[0] in layout.mirrored)
    start = -70.0 if onward else 250.0
    spine = arc(centre, RADIUS * size, start, SWEEP if onward else -SWEEP)
    text = ribbon(spine, size, Look(thick=0.07, head=0.4, spacing=0.28, hollow=not mark.clockwise))
    return [path(text if mark.clockwise else text + dot(spine[0], 0.12 * size))]


def _centre(layout: Layout, seen: list[int], size: float) -> Point:
    """Where the stickers meet, if they lie together; else the middle of the first."""
    centres = [layout.centres[slot] for slot in seen]
    together = all(distance(a, b) < 1.9 * size for a in centres for b in centres)
    return middle(centres) if together else centres[0]
