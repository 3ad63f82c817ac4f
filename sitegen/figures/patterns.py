"""A pattern of strokes for each colour, so that a copy in grey tells the colours apart.

Knows colour names and convex shapes on the page; knows nothing of puzzles or of how a stroke looks.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from math import ceil, cos, hypot, radians, sin

from sitegen.figures import plane as page
from sitegen.figures.difference import contrast
from sitegen.figures.path_text import Command, line
from sitegen.figures.plane import Point, Shape
from sitegen.figures.style import COLOURS, LIGHT

Stroke = tuple[Point, Point]


@dataclass(frozen=True)
class Pattern:
    """Parallel lines at some angles, or a small sign that is repeated; both are centred on the sticker.

    Lengths are in stickers, angles in degrees from the right towards the top.
    """

    lines: tuple[float, ...] = ()
    every: float = 0.16
    """Distance between two lines, or between two rows and between two columns of signs."""
    centred: bool = False
    """A line through the middle, or a sign on it, which else lies half-way between two."""
    sign: tuple[Stroke, ...] = ()
    """Strokes about the place where the sign stands: every second crossing of a row and a column has one."""
    weight: float = 1.0
    """Width of the strokes, as a multiple of the usual one."""


_DOT: Stroke = ((0.0, 0.0), (0.0, 0.0))
_BAR: Stroke = ((-0.08, 0.0), (0.08, 0.0))
_POST: Stroke = ((0.0, -0.08), (0.0, 0.08))
_RISE: Stroke = ((-0.09, 0.05), (0.0, -0.05))
_FALL: Stroke = ((0.0, -0.05), (0.09, 0.05))

PATTERNS: Mapping[str, Pattern] = {
    "white": Pattern(),
    "yellow": Pattern(sign=(_DOT,), every=0.16, centred=True, weight=2.2),
    "orange": Pattern(lines=(45, 135), every=0.19, centred=True),
    "green": Pattern(lines=(135,)),
    "red": Pattern(lines=(90,)),
    "blue": Pattern(lines=(0,)),
    "purple": Pattern(lines=(45,)),
    "pink": Pattern(sign=(_BAR, _POST), every=0.17),
    "grey": Pattern(lines=(0, 90), every=0.22, centred=True),
    "lime": Pattern(sign=(_POST,), every=0.13),
    "sky": Pattern(sign=(_BAR,), every=0.13),
    "sand": Pattern(sign=(_RISE, _FALL), every=0.15),
}
"""White is plain; yellow, green, red, blue and purple are hatched as engravers of arms have long done."""

INSET = 0.03
"""Room between the ends of strokes and the side of a sticker's core, as a share of a sticker."""
STUB = 0.16
"""Lines shorter than this say nothing, and are left out."""
WIDTH = 0.045
LEAST_WIDTH = 3


def width(unit: float) -> int:
    """How wide a usual stroke is, where a sticker is so wide."""
    return max(LEAST_WIDTH, page.whole_number(WIDTH * unit))


def pale(colour: str) -> bool:
    """Whether strokes on this colour are light, since dark ones would stand out less."""
    light, dark = (contrast(COLOURS[colour], LIGHT[ink]) for ink in ("figure-hatch-pale", "figure-hatch"))
    return light > dark


@lru_cache(maxsize=2**12)
def strokes(shape: Shape, unit: float, colour: str) -> tuple[Command, ...]:
    """A colour's strokes on a sticker, whose core is `shape` and whose usual width is `unit`."""
    pattern = PATTERNS[colour]
    inset = INSET * unit + (pattern.weight - 1) * width(unit) / 2
    room = page.inset(shape, min(inset, 0.3 * page.inner_radius(shape)))
    centre = page.middle(shape)
    drawn = [*_lines(pattern, room, centre, unit), *_signs(pattern, room, centre, unit)]
    return tuple(command for stroke in drawn for command in line(stroke))


def _lines(pattern: Pattern, room: Shape, centre: Point, unit: float) -> Iterator[Stroke]:
    far = _reach(room, centre)
    count = ceil(far / (pattern.every * unit)) + 1
    for angle in pattern.lines:
        way = (cos(radians(angle)), -sin(radians(angle)))
        for i in range(-count, count + 1):
            off = (i if pattern.centred else i + 0.5) * pattern.every * unit
            foot = page.plus(centre, page.left(way), off)
            stroke = page.within(room, page.plus(foot, way, -2 * far), page.plus(foot, way, 2 * far))
            if stroke and page.distance(*stroke) > STUB * unit:
                yield stroke


def _signs(pattern: Pattern, room: Shape, centre: Point, unit: float) -> Iterator[Stroke]:
    """The strokes of the signs that lie in the room as a whole: half a sign looks like another."""
    count = ceil(_reach(room, centre) / (pattern.every * unit)) + 1
    for row in range(-count, count + 1):
        # Every second column, beginning with the one that makes row and column together even, or odd.
        for column in range(-count + (row + count + (not pattern.centred)) % 2, count + 1, 2):
            at = page.plus(centre, (column, row), pattern.every * unit)
            sign = [(page.plus(at, a, unit), page.plus(at, b, unit)) for a, b in pattern.sign]
            if all(page.within(room, p, p) for stroke in sign for p in stroke):
                yield from sign


def _reach(room: Shape, centre: Point) -> float:
    return max(hypot(*page.minus(corner, centre)) for corner in room)
