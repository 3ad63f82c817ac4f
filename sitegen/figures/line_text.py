"""Lines of text drawn as lines, for pictures that are to be the same whatever fonts a machine has.

Knows letters and where they go; texts are set in capitals, and marks over letters are left out.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator
from functools import cache

from sitegen.figures.capitals import CAPITALS, HEIGHT, lines_of
from sitegen.figures.path_text import Command, line
from sitegen.figures.plane import Point

GAP, BLANK = 1.9, 4.6
"""Between two letters, and between two words, in units of which a letter is 6 high."""
STROKE = 0.85
"""How wide lines are, likewise."""
LEADING = 1.62
"""From one line to the next, in heights of a letter."""
_SIGNS = {
    "0": "1.7,0 2.3,0 3.3,.6 3.7,1.9 3.7,4.1 3.3,5.4 2.3,6 1.7,6 .7,5.4 .3,4.1 .3,1.9 .7,.6 1.7,0",
    "1": ".9,1.2 2.2,0 2.2,6",
    "2": ".3,1.5 .9,.4 1.8,0 2.5,0 3.4,.6 3.6,1.7 3.1,2.9 .2,6 3.8,6",
    "3": ".4,.3 3.6,.3 1.8,2.5 2.9,2.7 3.6,3.5 3.6,4.6 2.9,5.7 1.9,6 .9,5.8 .2,5.1",
    "4": "2.9,6 2.9,0 .2,4.2 3.9,4.2",
    "5": "3.4,0 .8,0 .5,2.7 1.8,2.3 3,2.7 3.6,3.6 3.6,4.6 3,5.6 2,6 1,5.8 .2,5.2",
    "6": "3.2,.2 2.2,0 1.2,.5 .5,1.8 .3,3.6 .5,5 1.2,5.8 2,6 2.9,5.8 3.6,5 3.7,4.1 3.2,3 2.2,2.5 .4,3.7",
    "7": ".2,0 3.8,0 1.5,6",
    "8": "2,2.8 .6,1.5 1,.5 2,0 3,.5 3.4,1.5 2,2.8 .8,3.4 .3,4.5 .8,5.6 2,6 3.2,5.6 3.7,4.5 3.2,3.4 2,2.8",
    "9": ".8,5.8 1.8,6 2.8,5.5 3.5,4.2 3.7,2.4 3.5,1 2.8,.2 2,0 1.1,.2 .4,1 .3,1.9 .8,3 1.8,3.5 3.6,2.3",
    "'": ".8,0 .5,1.8",
    ".": ".5,5.8 .5,6",
    ",": ".9,5.6 .4,7",
    ":": ".5,2.2 .5,2.4; .5,5.6 .5,5.8",
    ";": ".8,2.2 .8,2.4; .9,5.6 .4,7",
    "!": ".5,0 .5,4; .5,5.8 .5,6",
    "?": ".2,1.3 .8,.3 1.8,0 2.7,.3 3.2,1.3 2.8,2.4 1.7,3.2 1.7,4.1; 1.7,5.8 1.7,6",
    "-": ".3,3.4 2.3,3.4",
    "–": ".2,3.4 3.4,3.4",
    "/": ".2,6.6 2.6,-.6",
    "+": ".2,3.4 3.4,3.4; 1.8,1.8 1.8,5",
    "=": ".2,2.6 3.2,2.6; .2,4.2 3.2,4.2",
    "&": "3.8,6 .9,1.8 .9,.8 1.5,.1 2.2,.1 2.8,.8 2.7,1.7 .9,3.3 .3,4.5 .8,5.6 1.8,6 2.8,5.4 3.7,3.6",
    "(": "1.4,-.4 .6,1 .3,3 .6,5 1.4,6.4",
    ")": ".3,-.4 1.1,1 1.4,3 1.1,5 .3,6.4",
    "[": "1.4,-.4 .3,-.4 .3,6.4 1.4,6.4",
    "]": ".3,-.4 1.4,-.4 1.4,6.4 .3,6.4",
    "×": ".3,1.9 3.1,4.9; 3.1,1.9 .3,4.9",
    "@": "2.9,3.9 2.3,4.3 1.6,4.1 1.3,3.2 1.6,2.2 2.3,1.9 2.9,2.4 2.9,3.9 3.5,4.3 3.9,3.4 3.8,1.8 3,.6 1.9,.3"
    " .8,.8 .2,2.2 .3,4.3 1,5.6 2.2,6.1 3.3,5.8",
}
"""For each sign the corners of its lines, in the box of a capital letter."""
LIKE = {**dict.fromkeys('’‘′“”″"', "'"), **dict.fromkeys("—−", "–"), "·": "-"}
"""Signs that are drawn as others."""


@cache
def _drawn(letter: str) -> tuple[tuple[Point, ...], ...]:
    """The lines of a letter from its left edge on; KeyError for what is not drawn."""
    lines = CAPITALS[letter] if letter in CAPITALS else lines_of(_SIGNS[letter])
    left = min(x for corners in lines for x, _ in corners)
    return tuple(tuple((x - left, y) for x, y in corners) for corners in lines)


def as_drawn(text: str) -> str:
    """A text in the letters that there are; empty where one of it has none."""
    plain = unicodedata.normalize("NFKD", "".join(LIKE.get(letter, letter) for letter in text))
    letters = "".join(each for each in plain if not unicodedata.combining(each)).upper()
    known = all(each in CAPITALS or each in _SIGNS or each == " " for each in letters)
    return " ".join(letters.split()) if known else ""


@cache
def _wide(letter: str) -> float:
    """How wide a letter is, in units."""
    return max(x for corners in _drawn(letter) for x, _ in corners)


def _across(text: str) -> float:
    """How long a line is, in units."""
    widths = (_wide(each) for each in text if each != " ")
    letters = len(text.replace(" ", ""))
    return sum(widths) + GAP * max(letters - 1, 0) + (BLANK - GAP) * text.count(" ")


def in_lines(text: str, width: float, height: float) -> list[str]:
    """A text as it is drawn in lines no longer than a width, its letters so high; a long word is one."""
    lines: list[str] = []
    for word in as_drawn(text).split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and _across(longer) * height / HEIGHT <= width:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines


def longest(lines: list[str], height: float) -> float:
    """How far the longest of some lines reaches, its letters so high."""
    return max(map(_across, lines), default=0) * height / HEIGHT


def line_text(lines: list[str], left: float, top: float, height: float) -> Iterator[Command]:
    """Lines one below the other, the first with its upper edge at a height; its letters are so high."""
    scale = height / HEIGHT
    for number, text in enumerate(lines):
        x, y = left, top + number * LEADING * height
        for word in text.split():
            for letter in word:
                for corners in _drawn(letter):
                    yield from line((x + across * scale, y + down * scale) for across, down in corners)
                x += (_wide(letter) + GAP) * scale
            x += (BLANK - GAP) * scale
