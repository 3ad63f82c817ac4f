"""A figure that looks the same wherever it stands: how each part is painted is written on its element.

For PDFs, and for files of which any program is to know what they show, without style sheets or fonts.
Knows how parts look; knows nothing of what a figure shows.
"""

from __future__ import annotations

from collections.abc import Iterator

from sitegen.figures.capitals import CAPITALS, THICKNESS, lettering
from sitegen.figures.parts import Figure, Part, PartGroup, Path, Text
from sitegen.figures.path_text import path_text
from sitegen.figures.style import FILL, HALO, PAINTS, STROKE, TEXT, Look, Paints, look_of_part
from sitegen.figures.svg import path, svg_text, text

LINE = (STROKE, "stroke-width", "stroke-linejoin", "stroke-linecap", "stroke-dasharray")
TYPE = ("font-family", "font-size", "font-weight", "text-anchor")


def self_contained(figure: Figure, paints: Paints, **attributes: object) -> str:
    """The figure as an <svg> element that needs no rules; `attributes` are more of its own."""
    drawn = [each for part in figure.parts for each in _drawn(part, {}, figure.of, paints)]
    return svg_text(figure, drawn, overflow="visible", **attributes)


def _drawn(part: Part, above: Look, of: str, paints: Paints) -> Iterator[str]:
    """All that is painted of a part, from the lowest up; `above` holds for the group that it is in."""
    kinds = f"{TEXT} {part.kind}" if isinstance(part, Text) else part.kind
    own = _measured({**above, **look_of_part(of, kinds, paints.on_paper), **_of_its_own(part)})
    if own.get("display") == "none":
        return
    if isinstance(part, PartGroup):
        for each in part.parts:
            yield from _drawn(each, own, of, paints)
        return
    painted = {**own, **{name: paints.shades.get(own[name], "none") for name in PAINTS}}
    for layer in _layers(painted):
        yield from _path(part, layer) if isinstance(part, Path) else _text(part, layer)


def _of_its_own(part: Part) -> Look:
    said = {
        "stroke-width": None if isinstance(part, Text) else part.width,
        "stroke-dasharray": part.dashes if isinstance(part, Path) else None,
        "font-size": None if isinstance(part, Path) else part.size,
    }
    return {name: str(value) for name, value in said.items() if value is not None}


def _measured(own: Look) -> Look:
    """A width in em becomes one in units in the group that says it; what is in this has the same width."""
    width = own.get("stroke-width", "")
    if not width.endswith("em"):
        return own
    return {**own, "stroke-width": f"{float(width.removesuffix('em')) * float(own['font-size']):.4g}"}


def _layers(own: Look) -> list[Look]:
    """What is painted one over the other: a halo below what it is round."""
    if own[STROKE] == "none":
        return [{name: value for name, value in own.items() if name not in LINE}]
    if HALO not in own:
        return [own]
    return [{**own, FILL: "none"}, *_layers({**own, STROKE: "none"})]


def _path(part: Path, own: Look) -> Iterator[str]:
    yield path(part.d, **_attributes(own, (FILL, *LINE)))


def _text(part: Text, own: Look) -> Iterator[str]:
    """Capital letters, as those on stickers are, as lines; of other texts one for each place.

    Where a program knows less of SVG, a text with several places comes out with stray fragments round it.
    """
    last = len(part.xs) - 1
    words = list(zip([*part.written[:last], part.written[last:]], part.xs, part.ys, strict=True))
    if not set(part.written) <= CAPITALS.keys():
        for word, x, y in words:
            yield text(word, (x,), (y,), **_attributes(own, (FILL, *LINE, *TYPE)))
        return
    # One path for all letters, since texts are drawn slowly; its lines are wider for the halo round them.
    size = float(own["font-size"])
    halo = own[FILL] == "none"
    width = THICKNESS * size + (float(own["stroke-width"]) if halo else 0)
    yield path(
        path_text(command for word, x, y in words for command in lettering(word, x, y, size)),
        fill="none",
        stroke=own[STROKE if halo else FILL],
        stroke_width=f"{width:.4g}",
        stroke_linecap="round",
        stroke_linejoin="round",
    )


def _attributes(own: Look, names: tuple[str, ...]) -> dict[str, str]:
    """Some properties as the attributes of an element."""
    return {name.replace("-", "_"): own[name] for name in names if name in own}
