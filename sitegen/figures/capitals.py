"""Capital letters as lines, which are drawn fast, and look the same whatever fonts there are.

Knows letters and the page; knows nothing of stickers.
"""

from __future__ import annotations

from sitegen.figures.path_text import Command, line
from sitegen.figures.plane import Point

WIDTH, HEIGHT = 4.0, 6.0
"""The box that each letter stands in, in units of its own; only the tail of a Q hangs a little below it."""
CAP_HEIGHT = 0.72
"""Of the height of a font how much is a capital letter, as in most fonts."""
THICKNESS = 0.13
"""Of a letter's lines, as a share of the font's height."""

_ROUND = "1.6,0 2.4,0 3.5,.6 4,1.9 4,4.1 3.5,5.4 2.4,6 1.6,6 .5,5.4 0,4.1 0,1.9 .5,.6 1.6,0"
_OPEN = "3.9,.9 3.2,.2 2.3,0 1.7,0 .6,.5 0,1.8 0,4.2 .6,5.5 1.7,6 2.3,6 3.2,5.8"
_BOW = "0,6 0,0 2.5,0 3.6,.6 4,1.7 3.6,2.8 2.5,3.4 0,3.4"
_DRAWN = {
    "A": "0,6 2,0 4,6; .8,4 3.2,4",
    "B": "2.6,3 3.6,3.5 4,4.6 3.6,5.5 2.6,6 0,6 0,0 2.6,0 3.4,.5 3.7,1.5 3.4,2.5 2.6,3 0,3",
    "C": f"{_OPEN} 3.9,5.1",
    "D": "0,0 0,6 1.9,6 3.3,5.4 4,4 4,2 3.3,.6 1.9,0 0,0",
    "E": "3.8,0 0,0 0,6 3.8,6; 0,3 3.2,3",
    "F": "3.8,0 0,0 0,6; 0,3 3.2,3",
    "G": f"{_OPEN} 4,5.2 4,3.2 2.4,3.2",
    "H": "0,0 0,6; 4,0 4,6; 0,3 4,3",
    "I": "2,0 2,6; 1,0 3,0; 1,6 3,6",
    "J": "3.4,0 3.4,4.4 2.9,5.6 1.8,6 .8,5.6 .3,4.6",
    "K": "0,0 0,6; 4,0 0,3.6; 1.3,2.6 4,6",
    "L": "0,0 0,6 3.7,6",
    "M": "0,6 0,0 2,3.4 4,0 4,6",
    "N": "0,6 0,0 4,6 4,0",
    "O": _ROUND,
    "P": _BOW,
    "Q": f"{_ROUND}; 2.2,5 3.6,6.9",
    "R": f"{_BOW}; 2,3.4 4,6",
    "S": "3.7,1 3,.3 2.2,0 1.7,0 .7,.4 .3,1.4 .7,2.4 3.3,3.5 3.8,4.6 3.3,5.6 2.2,6 1.6,6 .8,5.7 .1,5",
    "T": "0,0 4,0; 2,0 2,6",
    "U": "0,0 0,4.1 .6,5.5 1.6,6 2.4,6 3.4,5.5 4,4.1 4,0",
    "V": "0,0 2,6 4,0",
    "W": "0,0 .9,6 2,1.8 3.1,6 4,0",
    "X": "0,0 4,6; 4,0 0,6",
    "Y": "0,0 2,3 4,0; 2,3 2,6",
    "Z": "0,0 4,0 0,6 4,6",
}
"""For each letter the corners of its lines."""


def lines_of(drawn: str) -> tuple[tuple[Point, ...], ...]:
    """The corners of each line of a letter."""
    return tuple(
        tuple((float(x), float(y)) for corner in line.split() for x, y in [corner.split(",")])
        for line in drawn.split(";")
    )


CAPITALS = {letter: lines_of(drawn) for letter, drawn in _DRAWN.items()}


def lettering(word: str, middle: float, base: float, size: float) -> list[Command]:
    """The lines of a word of capitals, its middle above a point of the base line.

    `size` is the height of the font. Raises KeyError for what is no capital letter.
    """
    scale = CAP_HEIGHT * size / HEIGHT
    step = 1.5 * WIDTH * scale
    left = middle - (step * (len(word) - 1) + WIDTH * scale) / 2
    return [
        command
        for n, letter in enumerate(word)
        for corners in CAPITALS[letter]
        for command in line((left + n * step + x * scale, base + (y - HEIGHT) * scale) for x, y in corners)
    ]


def half_box(length: int, size: float) -> Point:
    """How far the lines of so many letters reach from their middle, to a side and upwards.

    `size` is the height of the font.
    """
    scale = CAP_HEIGHT * size / HEIGHT
    return (1.5 * (length - 1) + 1) * WIDTH * scale / 2, HEIGHT * scale / 2
