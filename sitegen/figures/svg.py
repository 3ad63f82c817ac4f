"""How a figure on a page is written down: each part with the kinds that it is of as its classes.

A guide has elements without number that differ in nothing but a path, or in letters and their places. So the
drawing library writes each of a kind once, with holes for these, which are then filled.
Knows the drawing library, and is the only module that does; knows nothing of puzzles or shades.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from functools import lru_cache
from html import escape
from typing import Any

import drawsvg  # type: ignore[import-untyped]

from sitegen.figures.parts import Figure, Part, Path, Text

Element = Any
"""An element of the drawing library, which carries no types."""
HOLE = "\ue000"
"""A character that Unicode leaves to private use, and that nothing written here has."""
OF_TEXTS = ("letters", "letters shown", "numbers")
"""Groups of texts, which are for the eye: what is heard of a figure is its title and its description."""
KEPT = 4096
"""How many elements, and rows of places, are kept."""


def on_page(figure: Figure) -> str:
    """The figure as an element for a page, which has the rules for it."""
    return svg_text(figure, map(_by_class, figure.parts))


def _by_class(part: Part) -> str:
    if isinstance(part, Path):
        before, after = _around_path(part.kind, part.width, part.dashes)
        return f"{before}{part.d}{after}"
    if isinstance(part, Text):
        return _filled_text(_around_text(part.kind, part.size), part.written, part.xs, part.ys)
    before, after = _around_group(part.kind, part.width, part.size)
    return f"{before}{''.join(map(_by_class, part.parts))}{after}"


@lru_cache(maxsize=KEPT)
def _around_path(kind: str, width: int | None, dashes: str | None) -> Sequence[str]:
    return _around(_path, class_=kind, stroke_width=width, stroke_dasharray=dashes)


@lru_cache(maxsize=KEPT)
def _around_text(kind: str, size: int | None) -> Sequence[str]:
    return _around(_text, font_size=size, class_=kind, aria_hidden="true" if kind else None)


@lru_cache(maxsize=KEPT)
def _around_group(kind: str, width: int | None, size: int | None) -> Sequence[str]:
    silent = "true" if kind in OF_TEXTS else None
    return _around(_group, class_=kind, stroke_width=width, font_size=size, aria_hidden=silent)


def path(d: str, **attributes: object) -> str:
    """A path from its text; attributes by name, with _ for -, but for those that say nothing."""
    before, after = _around(_path, **attributes)
    return f"{before}{d}{after}"


def text(written: str, xs: tuple[int, ...], ys: tuple[int, ...], **attributes: object) -> str:
    """Characters at their places, in units of the figure; attributes as of a path."""
    return _filled_text(_around(_text, **attributes), written, xs, ys)


def _filled_text(around: Sequence[str], written: str, xs: tuple[int, ...], ys: tuple[int, ...]) -> str:
    before, between, behind, after = around
    return f"{before}{_row(xs)}{between}{_row(ys)}{behind}{escape(written, quote=False)}{after}"


@lru_cache(maxsize=KEPT)
def _row(places: tuple[int, ...]) -> str:
    return " ".join(map(str, places))


def svg_text(figure: Figure, children: Iterable[str], **attributes: object) -> str:
    """An <svg> element with what a figure says and these children; `attributes` are more of its own."""
    title, description = figure.title, figure.description
    before, after = _around_root(figure.of, figure.width, figure.height, not title, tuple(attributes.items()))
    # Who cannot see an image is told its name and its description: SVG-AAM takes them from these two.
    name = f"<title>{escape(title, quote=False)}</title>" if title else ""
    told = f"<desc>{escape(description, quote=False)}</desc>" if description else ""
    return f"{before}{name}{told}{''.join(children)}{after}"


@lru_cache(maxsize=KEPT)
def _around_root(
    of: str, width: int, height: int, silent: bool, attributes: tuple[tuple[str, object], ...]
) -> Sequence[str]:
    telling = {"aria_hidden": "true"} if silent else {"role": "img"}
    return _around(_root, class_=of, viewBox=f"0 0 {width} {height}", **dict(attributes), **telling)


def _path(**attributes: object) -> Element:
    return drawsvg.Path(d=HOLE, **attributes)


def _text(font_size: object = None, **attributes: object) -> Element:
    return drawsvg.Text(HOLE, font_size, HOLE, HOLE, **attributes)


def _group(**attributes: object) -> Element:
    return drawsvg.Group([drawsvg.Raw(HOLE)], **attributes)


class _Svg(drawsvg.DrawingParentElement):  # type: ignore[misc]
    """An <svg> as an element like others, in the way in which the library lets one add elements."""

    TAG_NAME = "svg"


def _root(**attributes: object) -> Element:
    return _Svg([drawsvg.Raw(HOLE)], **attributes)


@lru_cache(maxsize=KEPT)
def _around(make: Callable[..., Element], **attributes: object) -> Sequence[str]:
    """What stands before, between and after the holes of an element with the attributes that say something.

    The library's own document always states a width and a height and carries empty definitions, which a
    figure within a page must not. So the element is the only one of such a document, and is taken out.
    """
    document = drawsvg.Drawing(0, 0)
    document.append(make(**{name: value for name, value in attributes.items() if value not in (None, "")}))
    _, _, body = document.as_svg(header="").partition("</defs>\n")
    whole = body.rstrip().removesuffix("</svg>").rstrip()
    return tuple(part.strip("\n") for part in whole.replace(" />", "/>").split(HOLE))
