"""A picture and a view in, one <svg> element out, for a page, for paper, or for a file.

Knows in what order a figure is built up; knows nothing of Markdown, effects or pages.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import lru_cache
from typing import NamedTuple

from sitegen.figures import marks, patterns
from sitegen.figures import plane as page
from sitegen.figures.capitals import half_box
from sitegen.figures.layout import Layout
from sitegen.figures.parts import BELOW, PUZZLE, Figure, Part, PartGroup, Path, Text
from sitegen.figures.path_text import Command, oval, path_text, polygon
from sitegen.figures.picture import Picture
from sitegen.figures.plane import Point, Shape
from sitegen.figures.self_contained import self_contained
from sitegen.figures.svg import on_page
from sitegen.figures.views import layout
from sitegen.puzzles.geometry import sure

LETTER, LARGER = 0.46, 0.62
"""Height of a letter, in stickers, and how high it may be where stickers are small."""
LEGIBLE = 84
"""As high as this it is to be, in units of the figure."""
ASIDE = (0.3, 0.22, 0.15, 0.08)
"""How far it goes out of the way of an arrow, in stickers: the first of these for which there is room."""
SLACK = 0.06
"""What is free about a letter on a narrow sticker, as a share of its height: its halo needs room too."""
SHARES = (1.0, 0.8, 0.6, 0.5, 0.42, 0.35, 0.29, 0.24, 0.2)
"""Its height where the sticker has less room, as shares of that."""
CORNERS = ((-1, -1), (-1, 1), (1, -1), (1, 1))
GROOVE = 0.2
"""How far within a sticker the line of a guarded one runs, as a share of the way to the middle."""
DOUBLE = (0.12, 0.5)
"""And the two lines of one that is turned in its place."""
CORE = 0.55
"""How far within a muted centre its colour begins, as a share of the way to the middle."""
GUARD_WIDTHS = (2.2, 1.0)
"""How wide the light line of a guard is and the dark one on it, which alone is not seen on dark colours."""
RING = 0.14
"""And the round one on one of a watched piece."""
RING_WIDTHS = (2.6, 1.3)
"""How wide its light line is and the dark one on it, to one of a guard."""
SVG = "http://www.w3.org/2000/svg"
SCALE = 0.48
"""Pixels for a unit in a file that stands alone, where nobody says otherwise."""
KEPT = 4096
"""For how many ways to have letters their places are kept."""


class LetterPlaces(NamedTuple):
    """Where the letters in some slots are; all are `size` high, or as usual."""

    slots: tuple[int, ...]
    xs: tuple[int, ...]
    ys: tuple[int, ...]
    size: int | None


def draw(picture: Picture, view: str) -> str:
    """The figure as an element: with the rules of its page where the picture has no paints of its own.

    KeyError for an unknown view.
    """
    return draw_on(layout(picture.puzzle, view), picture)


def draw_on(plan: Layout, picture: Picture) -> str:
    """The same, where it is known how the puzzle is laid out."""
    figure = _figure(plan, picture)
    return self_contained(figure, picture.paints) if picture.paints else on_page(figure)


def draw_alone(picture: Picture, view: str, width: int | None = None) -> str:
    """The figure, which has paints of its own, as an .svg file `width` pixels wide. KeyError as above."""
    assert picture.paints is not None
    figure = _figure(layout(picture.puzzle, view), picture)
    across = width or page.whole_number(figure.width * SCALE)
    down = page.whole_number(across * figure.height / figure.width)
    return self_contained(figure, picture.paints, xmlns=SVG, width=across, height=down)


def _figure(plan: Layout, picture: Picture) -> Figure:
    marked, numbers = marks.drawn(plan, picture.marks)
    parts: list[Part] = [
        Path(plan.body, "body"),
        *_stickers(plan, picture),
        *_centres(plan, picture),
        *(_hatches(plan, picture) if picture.patterned else []),
        *_guards(plan, picture),
        *_rings(plan, picture),
        *marked,
        *_letters(plan, picture),
        *numbers,
    ]
    return Figure(PUZZLE, picture.title, picture.description, plan.width, plan.height, parts)


def _stickers(plan: Layout, picture: Picture) -> list[Part]:
    """One path for each colour, in the order in which the colours are met."""
    alike: dict[str, list[str]] = {}
    colours, muted = picture.colours, picture.muted
    for slot, outline in plan.outlines.items():
        alike.setdefault("muted" if slot in muted else colours[slot], []).append(outline)
    paths = [Path("".join(outlines), colour) for colour, outlines in alike.items()]
    return [PartGroup("stickers", paths, width=page.whole_number(2 * plan.rounding))]


def _centres(plan: Layout, picture: Picture) -> list[Part]:
    """A core in the colour of each muted centre: it tells which way round the puzzle is held."""
    seen = [slot for slot in picture.puzzle.fixed_centres if slot in picture.muted and slot in plan.shapes]
    paths = [Path(path_text(_grooves(plan, [slot], (CORE,))), picture.colours[slot]) for slot in seen]
    return [PartGroup("cores", list(paths), width=page.whole_number(plan.rounding))] if paths else []


def _hatches(plan: Layout, picture: Picture) -> list[Part]:
    """One path for each colour that has a pattern and is in focus, in the order in which they are met."""
    width = patterns.width(plan.unit)
    strokes: dict[str, list[Command]] = {}
    for slot in plan.shapes:
        if slot not in picture.muted:
            colour = picture.colours[slot]
            strokes.setdefault(colour, []).extend(
                patterns.strokes(_hatched(plan, picture, slot), plan.unit, colour)
            )
    paths = [
        Path(path_text(drawn), "hatch pale" if patterns.pale(colour) else "hatch", _weight(colour, width))
        for colour, drawn in strokes.items()
        if drawn
    ]
    return [PartGroup("hatches", paths, width=width)] if paths else []


def _hatched(plan: Layout, picture: Picture, slot: int) -> Shape:
    """The part of a sticker that is hatched: a guarded one only within its groove, which else were lost."""
    shape = plan.shapes[slot]
    depths = [(DOUBLE[0], picture.disturbed), (GROOVE, picture.outlined | picture.away)]
    by = max((depth for depth, slots in depths if slot in slots), default=0.0)
    return page.inset(shape, by * page.inner_radius(shape) + guard_width(plan)) if by else shape


def _weight(colour: str, width: int) -> int | None:
    """How wide a colour's strokes are, where they are not as wide as others."""
    weight = patterns.PATTERNS[colour].weight
    return page.whole_number(weight * width) if weight != 1 else None


def _guards(plan: Layout, picture: Picture) -> list[Part]:
    """A groove within each guarded sticker: whole if its piece is home, broken if away, double if turned."""
    if not (picture.outlined or picture.away or picture.disturbed):
        return []
    width = guard_width(plan)
    seen = picture.outlined & plan.shapes.keys()
    kinds: list[tuple[str, frozenset[int], tuple[float, ...], str | None]] = [
        ("guard", seen - picture.muted, (GROOVE,), None),
        ("guard faint", seen & picture.muted, (GROOVE,), None),
        ("guard", picture.away & plan.shapes.keys(), (GROOVE,), f"{2 * width} {2 * width}"),
        ("guard", picture.disturbed & plan.shapes.keys(), DOUBLE, None),
    ]
    lines = [
        (path_text(_grooves(plan, sorted(slots), insets)), of, dashes)
        for of, slots, insets, dashes in kinds
        if slots
    ]
    return [
        Path(line, f"{of}{below}", page.whole_number(by * width), dashes)
        for line, of, dashes in lines
        for below, by in zip((" under", ""), GUARD_WIDTHS, strict=True)
        if not (below and of == "guard faint")
    ]


def _rings(plan: Layout, picture: Picture) -> list[Part]:
    """A dark round line with a light one below it on each sticker of a watched piece."""
    if not picture.ringed:
        return []
    slots = sorted(picture.ringed & plan.shapes.keys())
    ring, width = path_text(ringed([plan.shapes[slot] for slot in slots])), guard_width(plan)
    kinds = zip(("ring under", "ring"), RING_WIDTHS, strict=True)
    return [Path(ring, kind, page.whole_number(by * width)) for kind, by in kinds if slots]


def ringed(shapes: Iterable[Shape]) -> Iterator[Command]:
    """What is round within each shape, so that it is told at a glance from a line along its sides."""
    for shape in shapes:
        yield from oval(page.inset(shape, RING * page.inner_radius(shape)))


@lru_cache(maxsize=256)
def guard_width(plan: Layout) -> int:
    """How wide the lines of guarded stickers are, in units of the figure; thin where stickers are narrow."""
    radii = sorted(map(page.inner_radius, plan.shapes.values()))
    narrow = radii[len(radii) // 4]
    return max(1, page.whole_number(min(max(8, 0.065 * plan.unit), 0.35 * narrow)))


def _grooves(plan: Layout, slots: Sequence[int], insets: Sequence[float]) -> Iterator[Command]:
    for slot in slots:
        shape = plan.shapes[slot]
        for by in insets:
            yield from polygon(page.inset(shape, by * page.inner_radius(shape)))


def _letters(plan: Layout, picture: Picture) -> list[Part]:
    """One text with a place for each letter; cramped ones are smaller, longer ones stand by themselves."""
    words = picture.letters
    places = _places(plan, picture.muted, tuple(map(len, words)))
    if pushed := marks.pushed(plan, picture.marks):
        places = [_pushed(plan, each, pushed, words) for each in places]
    drawn = [
        Text("".join(map(words.__getitem__, each.slots)), each.xs, each.ys, each.size) for each in places
    ]
    kind = "letters shown" if picture.letters_shown else "letters"
    return [PartGroup(kind, drawn, size=usual_size(plan))] if drawn else []


@lru_cache(maxsize=KEPT)
def _places(plan: Layout, muted: frozenset[int], lengths: tuple[int, ...]) -> list[LetterPlaces]:
    """Where letters are, of which each sticker has so many."""
    alike: dict[tuple[int, int], list[int]] = {}
    for slot in _lettered(plan, muted, lengths):
        alone = slot if lengths[slot] > 1 else -1
        alike.setdefault((_letter_size(plan, slot, lengths[slot]), alone), []).append(slot)
    return [_of_one_size(plan, tuple(slots), size) for (size, _), slots in alike.items()]


def _lettered(plan: Layout, muted: frozenset[int], lengths: Sequence[int]) -> list[int]:
    """The slots in sight that carry a letter: those out of focus do so only where nothing is in focus."""
    seen = [slot for slot in plan.shapes if lengths and lengths[slot]]
    return [slot for slot in seen if slot not in muted] or seen


def _of_one_size(plan: Layout, slots: tuple[int, ...], size: int) -> LetterPlaces:
    """Letters in the middle of their stickers."""
    xs, ys = zip(*(plan.centres[slot] for slot in slots), strict=True)
    across, down = (tuple(map(page.whole_number, each)) for each in (xs, [y + BELOW * size for y in ys]))
    return LetterPlaces(slots, across, down, None if size == usual_size(plan) else size)


def _pushed(
    plan: Layout, letters: LetterPlaces, ways: Mapping[int, Point], words: Sequence[str]
) -> LetterPlaces:
    """Those on which an arrow begins or ends lie beside it, as far as there is room on the sticker."""
    xs, ys, size = list(letters.xs), list(letters.ys), letters.size or usual_size(plan)
    for at, slot in enumerate(letters.slots):
        if slot in ways:
            x, y = _beside(plan, slot, ways[slot], size, len(words[slot]))
            xs[at] += page.whole_number(x)
            ys[at] += page.whole_number(y)
    return letters._replace(xs=tuple(xs), ys=tuple(ys))


@lru_cache(maxsize=10_000)
def _beside(plan: Layout, slot: int, way: Point, size: int, length: int) -> Point:
    """How far so many letters, and so high, may go from the middle of their sticker."""
    right, up = (reach + 1 for reach in half_box(length, size))
    sticker = page.inset(plan.shapes[slot], -plan.rounding)
    x, y = plan.centres[slot]
    for share in ASIDE:
        dx, dy = (share * plan.unit * each for each in way)
        corners = [(x + dx + a * right, y + dy + b * up) for a, b in CORNERS]
        if all(page.within(sticker, at, at) for at in corners):
            return dx, dy
    return 0.0, 0.0


def usual_size(plan: Layout) -> int:
    """How high a letter is that has room, in units of the figure."""
    return page.whole_number(min(LARGER * plan.unit, max(LETTER * plan.unit, LEGIBLE)))


@lru_cache(maxsize=10_000)
def _letter_size(plan: Layout, slot: int, length: int) -> int:
    """The usual size, or the first of smaller ones at which so many capitals stand within the sticker."""
    usual = usual_size(plan)
    sticker = page.inset(plan.shapes[slot], -plan.rounding)
    roomy = sure(page.inner_radius(sticker) - 0.55 * usual) > 0
    sizes = [page.whole_number(share * usual) for share in SHARES[0 if roomy and length == 1 else 1 :]]
    x, y = plan.centres[slot]
    fitting = (
        size
        for size in sizes
        for (right, up), slack in [(half_box(length, size), 1 + SLACK * size)]
        if all(
            page.within(sticker, at, at)
            for at in [(x + a * (right + slack), y + b * (up + slack)) for a, b in CORNERS]
        )
    )
    return next(fitting, sizes[-1])
