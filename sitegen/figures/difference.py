"""How far two shades are apart to the eye: their distance in the colour space Oklab, and their contrast.

Shades are written by number, as `#b02030`. Source: CSS Color Module Level 4, which defines Oklab (section 9),
takes the distance there for the difference of two colours, and says that 0.02 of it is just noticeable
(section 13).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import cbrt, dist

LEAST = 0.05
"""Stickers nearer to each other than this look alike. Just noticeable side by side is 0.02; but stickers are
compared across a puzzle, on screens and on paper. The two nearest that ship, yellow and lime, are 0.1 apart.
"""

Matrix = Sequence[Sequence[float]]

TO_CONES: Matrix = (
    (0.4122214708, 0.5363325363, 0.0514459929),
    (0.2119034982, 0.6806995451, 0.1073969566),
    (0.0883024619, 0.2817188376, 0.6299787005),
)
"""From linear sRGB."""
TO_OKLAB: Matrix = (
    (0.2104542553, 0.7936177850, -0.0040720468),
    (1.9779984951, -2.4285922050, 0.4505937099),
    (0.0259040371, 0.7827717662, -0.8086757660),
)
"""From cube roots of what the cones see."""


def difference(one: str, other: str) -> float:
    """The distance in Oklab of two shades, as `#b02030`: 0 for one shade, 1 from black to white."""
    return dist(oklab(one), oklab(other))


def contrast(one: str, other: str) -> float:
    """The contrast ratio of WCAG 2.2 (1.4.3): 1 for one shade, 21 from black to white."""
    dark, light = sorted(map(_luminance, (one, other)))
    return (light + 0.05) / (dark + 0.05)


def _luminance(shade: str) -> float:
    """Relative luminance, as WCAG 2.2 defines it."""
    return sum(weight * light for weight, light in zip((0.2126, 0.7152, 0.0722), _lights(shade), strict=True))


def oklab(shade: str) -> tuple[float, ...]:
    """Lightness from 0 to 1, from green to red, and from blue to yellow."""
    return _times(TO_OKLAB, map(cbrt, _times(TO_CONES, _lights(shade))))


def _lights(shade: str) -> list[float]:
    """The light of its red, green and blue."""
    return [_linear(int(shade[at : at + 2], 16) / 255) for at in (1, 3, 5)]


def _linear(channel: float) -> float:
    """The light of a channel of sRGB (IEC 61966-2-1)."""
    return channel / 12.92 if channel <= 0.04045 else float(((channel + 0.055) / 1.055) ** 2.4)


def _times(matrix: Matrix, vector: Iterable[float]) -> tuple[float, ...]:
    values = tuple(vector)
    return tuple(sum(a * b for a, b in zip(row, values, strict=True)) for row in matrix)
