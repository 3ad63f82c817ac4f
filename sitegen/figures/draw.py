"""A picture and a view in, one <svg> element out.

Knows in what order a figure is built up; knows nothing of Markdown, effects or pages.
"""

from __future__ import annotations

from functools import lru_cache

from sitegen.figures import marks, page, svg
from sitegen.figures.layout import Layout
from sitegen.figures.picture import Picture
from sitegen.figures.style import css
from sitegen.figures.views import layout

SCALE = 0.48
"""Pixels for a unit in a file that stands alone."""
LETTER = 0.46
"""Height of a letter, in stickers."""
KEPT = 4096
"""How many figures are kept: a sequence shows the same ones wherever it stands."""


@lru_cache(maxsize=KEPT)
def draw(picture: Picture, view: str, *, standalone: bool = False) -> str:
    """The figure as text: an element for a page, or a whole .svg file; KeyError for an unknown view."""
    plan = layout(picture.puzzle, view)
    children = [
        svg.words("title", picture.title),
        svg.words("desc", picture.description),
        *([svg.style(css())] if standalone else []),
        svg.path(plan.body, "body"),
        *_stickers(plan, picture),
        *_guards(plan, picture),
        *_letters(plan, picture),
        *marks.drawn(plan, picture.marks),
    ]
    return svg.written(
        children,
        picture.title,
        xmlns="http://www.w3.org/2000/svg" if standalone else None,
        class_="puzzle",
        width=round(plan.width * SCALE) if standalone else None,
        height=round(plan.height * SCALE) if standalone else None,
        viewBox=f"0 0 {plan.width} {plan.height}",
    )


def _stickers(plan: Layout, picture: Picture) -> list[svg.Element]:
    """One path for each colour, in the order in which the colours are met."""
    shapes: dict[str, list[str]] = {}
    for slot, outline in plan.outlines.items():
        colour = "muted" if slot in picture.muted else picture.colours[slot]
        shapes.setdefault(colour, []).append(outline)
    paths = [svg.path("".join(outlines), colour) for colour, outlines in shapes.items()]
    return [svg.group("stickers", paths, stroke_width=round(2 * plan.rounding))]


def _guards(plan: Layout, picture: Picture) -> list[svg.Element]:
    """A groove within each guarded sticker: whole if its piece is home, broken if away, double if turned."""
    width = max(8, round(0.065 * plan.unit))
    seen = picture.outlined & plan.shapes.keys()
    kinds: list[tuple[str, frozenset[int], tuple[float, ...], str | None]] = [
        ("guard", seen - picture.muted, (0.2,), None),
        ("guard faint", seen & picture.muted, (0.2,), None),
        ("guard", picture.away & plan.shapes.keys(), (0.2,), f"{2 * width} {2 * width}"),
        ("guard", picture.disturbed & plan.shapes.keys(), (0.12, 0.5), None),
    ]
    return [
        svg.path("".join(_groove(plan, slot, by) for slot in sorted(slots) for by in insets), of, **line)
        for of, slots, insets, dashes in kinds
        for line in [_line(width, dashes)]
        if slots
    ]


def _line(width: int, dashes: str | None) -> dict[str, object]:
    return {"stroke_width": width, **({"stroke_dasharray": dashes} if dashes else {})}


def _groove(plan: Layout, slot: int, by: float) -> str:
    shape = plan.shapes[slot]
    return page.outline(page.inset(shape, by * page.inner_radius(shape)))


def _letters(plan: Layout, picture: Picture) -> list[svg.Element]:
    """One text with a place for each letter; cramped ones are smaller, longer ones stand by themselves."""
    size = round(LETTER * plan.unit)
    texts: dict[tuple[int, int], list[int]] = {}
    for slot in _lettered(plan, picture):
        shape = plan.shapes[slot]
        own = size if page.inner_radius(shape) + plan.rounding > 0.55 * size else round(0.6 * size)
        alone = slot if len(picture.letters[slot]) > 1 else -1
        texts.setdefault((own, alone), []).append(slot)
    if not texts:
        return []
    drawn = [_text(plan, picture, slots, own, size) for (own, _), slots in texts.items()]
    return [svg.group("letters shown" if picture.letters_shown else "letters", drawn, font_size=size)]


def _lettered(plan: Layout, picture: Picture) -> list[int]:
    """The slots in sight that carry a letter: those out of focus do so only where nothing is in focus."""
    seen = [slot for slot in plan.shapes if picture.letters and picture.letters[slot]]
    return [slot for slot in seen if slot not in picture.muted] or seen


def _text(plan: Layout, picture: Picture, slots: list[int], own: int, usual: int) -> svg.Element:
    # A third of its height below the middle puts a capital letter in the middle, whatever reads the file.
    return svg.text(
        "".join(picture.letters[slot] for slot in slots),
        None if own == usual else own,
        [round(plan.centres[slot][0]) for slot in slots],
        [round(plan.centres[slot][1] + 0.36 * own) for slot in slots],
    )
