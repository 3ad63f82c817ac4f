"""The lines within stickers, each on a sticker by itself with what it says: what a reader looks up.

Knows how figures are drawn; knows nothing of pages.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from itertools import chain
from typing import NamedTuple

from markupsafe import Markup

from sitegen.figures.draw import DOUBLE, GROOVE, RING_WIDTHS, ringed
from sitegen.figures.parts import PUZZLE, Figure, Part, PartGroup, Path
from sitegen.figures.path_text import path_text, polygon
from sitegen.figures.plane import Shape, inner_radius, inset, whole_number
from sitegen.figures.self_contained import self_contained
from sitegen.figures.style import Paints
from sitegen.figures.svg import on_page

SIDE, EDGE, ROUNDING, LINE = 200, 14, 14, 14
"""Units: of the figure, of the body round the sticker, of its corners, and of a guard's line."""


class Sample(NamedTuple):
    """A sticker with a line, and what it says of the piece."""

    figure: Markup
    says: str


@cache
def guard_legend(paints: Paints | None) -> tuple[Sample, ...]:
    """For the page's own rules, or in paints of its own."""
    return (
        _sample("guarded, and home", (GROOVE,), "", paints),
        _sample("guarded, and away", (GROOVE,), f"{2 * LINE} {2 * LINE}", paints),
        _sample("guarded, in its place but turned", DOUBLE, "", paints),
        _watched(paints),
    )


@cache
def goal_legend(paints: Paints | None) -> tuple[Sample, Sample, Sample]:
    """Of what is solved by a method: before, newly, and newly with only its place asked for."""
    return (
        Sample(_drawn((), paints), "solved before"),
        _sample("new", (GROOVE,), "", paints),
        _sample("new, whichever way round", DOUBLE, "", paints),
    )


def _sample(says: str, depths: Sequence[float], dashes: str, paints: Paints | None) -> Sample:
    return Sample(_drawn([Path(_lines(depths), "guard", LINE, dashes or None)], paints), says)


def _watched(paints: Paints | None) -> Sample:
    widths = zip(("ring under", "ring"), RING_WIDTHS, strict=True)
    ring = path_text(ringed([_square(EDGE + 2 * ROUNDING)]))
    rings = [Path(ring, of, whole_number(by * LINE)) for of, by in widths]
    return Sample(_drawn(rings, paints), "watched")


def _drawn(lines: Sequence[Part], paints: Paints | None) -> Markup:
    body, sticker = (path_text(polygon(_square(by))) for by in (EDGE, EDGE + 2 * ROUNDING))
    parts = [Path(body, "body"), PartGroup("stickers", [Path(sticker, "white")], width=2 * ROUNDING), *lines]
    figure = Figure(PUZZLE, "", "", SIDE, SIDE, parts)
    return Markup(self_contained(figure, paints) if paints else on_page(figure))


def _lines(depths: Sequence[float]) -> str:
    """Path text of lines as deep within the sticker as that."""
    shape = _square(EDGE + 2 * ROUNDING)
    within = (polygon(inset(shape, depth * inner_radius(shape))) for depth in depths)
    return path_text(chain.from_iterable(within))


def _square(edge: float) -> Shape:
    low, high = float(edge), float(SIDE - edge)
    return ((low, low), (high, low), (high, high), (low, high))
