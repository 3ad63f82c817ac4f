"""How paths are written: with as few letters as their commands can be.

Knows the path data of SVG; knows nothing of what is drawn.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import cache, lru_cache

from sitegen.figures.plane import Point, between, whole_number

Command = tuple[str, tuple[Point, ...]]
"""A letter of SVG, which here is a capital, and its points on the page: whole numbers, and halves.

M, L and Z; Q with a control and an end; A, half round a circle, with a point that says the radius and 1 for
clockwise or 0, and an end.
"""
ORIGIN: Point = (0, 0)


def whole(point: Point) -> Point:
    """The nearest point on whole numbers."""
    return (whole_number(point[0]), whole_number(point[1]))


def line(corners: Iterable[Point]) -> list[Command]:
    """A line from corner to corner, on whole numbers."""
    first, *others = map(whole, corners)
    return [("M", (first,)), *(("L", (corner,)) for corner in others)]


def polygon(corners: Iterable[Point]) -> list[Command]:
    """A closed outline, on whole numbers."""
    return [*line(corners), ("Z", ())]


def oval(corners: Sequence[Point]) -> list[Command]:
    """What is round within a convex outline, that touches the middle of each side, on halves."""
    at = [*map(whole, corners)]
    middles = [between(at[i - 1], corner) for i, corner in enumerate(at)]
    arcs = zip(at, [*middles[1:], middles[0]], strict=True)
    return [("M", (middles[0],)), *(("Q", arc) for arc in arcs), ("Z", ())]


def circle(centre: Point, radius: float, clockwise: bool) -> list[Command]:
    """A circle, on whole numbers: which way it is drawn says whether it fills or is a hole."""
    (x, y), reach = whole(centre), whole_number(radius)
    half: Point = (reach, int(clockwise))
    left, right = (x - reach, y), (x + reach, y)
    return [("M", (left,)), ("A", (half, right)), ("A", (half, left)), ("Z", ())]


def path_text(commands: Iterable[Command], pen: Point | None = ORIGIN) -> str:
    """Path text of commands that begin with an M; before it the pen is at a point, None for anywhere."""
    texts = []
    for stretch in _stretches(commands):
        text, pen = _written_from(pen, stretch)
        texts.append(text)
    return "".join(texts)


def _stretches(commands: Iterable[Command]) -> Iterator[tuple[Command, ...]]:
    """Commands from each M up to the next, which has its letter whatever stands before it."""
    stretch: list[Command] = []
    for command in commands:
        if command[0] == "M" and stretch:
            yield tuple(stretch)
            stretch.clear()
        stretch.append(command)
    yield tuple(stretch)


@lru_cache(maxsize=2**15)
def _written_from(pen: Point | None, stretch: tuple[Command, ...]) -> tuple[str, Point]:
    """The text of a stretch, and where it leaves the pen: figures are full of the same ones."""
    # The shortest text for each letter that it may end with: on that depends how what follows is written.
    texts = {"": ""}
    begun = pen or ORIGIN
    mirrored: Point | None = None
    for letter, points in stretch:
        texts = {
            name: min((text + _behind(last, name, written) for last, text in texts.items()), key=len)
            for name, written in _ways(letter, points, pen, mirrored)
        }
        pen = points[-1] if points else begun
        begun = pen if letter == "M" else begun
        # The control that a T has: the last one, seen from the other side of the pen.
        mirrored = between(points[0], pen, 2) if letter == "Q" else None
    return min(texts.values(), key=len), pen or ORIGIN


def _ways(
    letter: str, points: Sequence[Point], pen: Point | None, mirrored: Point | None
) -> list[tuple[str, str]]:
    """The ways to write a command: a letter and numbers, from the pen or, in capitals, from the origin."""
    if letter == "Z":
        return [("z", "")]
    if pen is None:
        return [(letter, _written(letter, points, ORIGIN))]
    if letter == "Q" and points[0] == mirrored:
        letter, points = "T", points[1:]
    if letter == "L" and pen[1] == points[0][1]:
        letter = "H"
    elif letter == "L" and pen[0] == points[0][0]:
        letter = "V"
    return [
        (name, _written(letter, points, origin)) for name, origin in ((letter.lower(), pen), (letter, ORIGIN))
    ]


def _written(letter: str, points: Sequence[Point], origin: Point) -> str:
    """The numbers of a command."""
    from_there = [(x - origin[0], y - origin[1]) for x, y in points]
    if letter == "A":
        radius, clockwise = points[0]
        return _numbers([radius, radius, 0, 1, clockwise, *from_there[-1]])
    if letter in "HV":
        return _numbers([from_there[0]["HV".index(letter)]])
    return _numbers([n for point in from_there for n in point])


def _behind(last: str, letter: str, written: str) -> str:
    """A command behind another one: without its letter where that goes on by itself."""
    goes_on = {"m": "l", "M": "L", "z": ""}.get(last, last)
    if letter != goes_on:
        return letter + written
    return written if written[0] == "-" else f" {written}"


def _numbers(values: Iterable[float]) -> str:
    """Whole numbers and halves as a path writes them: a minus sign parts them as well as a space does."""
    return " ".join(map(_number, values)).replace(" -", "-")


@cache
def _number(value: float) -> str:
    """A number without the zero that may stand before its point; a page is so small that there are few."""
    sign, digits = "-" if value < 0 else "", f"{abs(value):g}"
    return sign + (digits.removeprefix("0") or "0")
