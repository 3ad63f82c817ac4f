"""How a figure on a page is written down: each part with the kinds that it is of as its classes.

Knows the drawing library, and is the only module that does; knows nothing of puzzles or shades.
"""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from typing import Any

import drawsvg  # type: ignore[import-untyped]

from sitegen.figures.parts import Figure, Part, PartGroup, Text

Element = Any
"""An element of the drawing library, which carries no types."""


def on_page(figure: Figure) -> str:
    """The figure as an element for a page, which has the rules for it."""
    return svg_text(figure, [_by_class(part) for part in figure.parts])


def _by_class(part: Part) -> Element:
    if isinstance(part, PartGroup):
        inside = [_by_class(each) for each in part.parts]
        return drawsvg.Group(inside, **_said(class_=part.kind, stroke_width=part.width, font_size=part.size))
    if isinstance(part, Text):
        return text(part.written, part.xs, part.ys, font_size=part.size, class_=part.kind)
    return path(part.d, class_=part.kind, stroke_width=part.width, stroke_dasharray=part.dashes)


def path(d: str, **attributes: object) -> Element:
    """A path from its text; attributes by name, with _ for -, but for those that say nothing."""
    return drawsvg.Path(d=d, **_said(**attributes))


def text(
    written: str, xs: Sequence[object], ys: Sequence[object], font_size: object = None, **attributes: object
) -> Element:
    """Characters at their places, in units of the figure; the library escapes them."""
    places = (" ".join(map(str, along)) for along in (xs, ys))
    return drawsvg.Text(written, font_size, *places, **_said(**attributes))


def _said(**attributes: object) -> dict[str, object]:
    return {name: value for name, value in attributes.items() if value not in (None, "")}


def _words(tag: str, content: str) -> Element:
    return drawsvg.Raw(f"<{tag}>{escape(content, quote=False)}</{tag}>")


class _Root(drawsvg.DrawingParentElement):  # type: ignore[misc]
    """An <svg> as an element like others, in the way in which the library lets one add elements."""

    TAG_NAME = "svg"


def svg_text(figure: Figure, children: Sequence[Element], **attributes: object) -> str:
    """An <svg> element with what a figure says and these children, as text; `attributes` are more of its own.

    The library's own document always states a width and a height and carries empty definitions, which a
    figure within a page must not. So the figure is the one element of such a document, and is taken out.
    """
    said = [_words("title", figure.title), _words("desc", figure.description)]
    root = _Root(
        [*said, *children],
        class_=figure.of,
        viewBox=f"0 0 {figure.width} {figure.height}",
        **attributes,
        role="img",
        aria_label=escape(figure.title),
    )
    document = drawsvg.Drawing(0, 0)
    document.append(root)
    written: str = document.as_svg(header="")
    _, _, body = written.partition("</defs>\n")
    whole = body.rstrip().removesuffix("</svg>").rstrip()
    return whole.replace(">\n<", "><").replace(" />", "/>")
