"""The few elements that a figure is made of, and how they are written down.

Knows the drawing library, and is the only module that does; knows nothing of puzzles.
"""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from typing import Any

import drawsvg  # type: ignore[import-untyped]

Element = Any
"""An element of the drawing library, which carries no types."""


def path(text: str, of: str | None = None, **attributes: object) -> Element:
    """A path from its text, of the class `of`; attributes by name, with _ for -."""
    return drawsvg.Path(d=text, class_=of, **attributes)


def group(of: str, children: Sequence[Element], **attributes: object) -> Element:
    """A <g> of the class `of` round its children, the lowest first."""
    return drawsvg.Group(children, class_=of, **attributes)


def text(
    written: str, size: int | None, xs: Sequence[int], ys: Sequence[int], **attributes: object
) -> Element:
    """Characters, each at its own x and y in units of the figure, `size` high; the library escapes them."""
    return drawsvg.Text(
        written,
        size,
        " ".join(map(str, xs)),
        " ".join(map(str, ys)),
        **attributes,
    )


def words(tag: str, content: str) -> Element:
    """A <title> or a <desc>: `content` is plain text, and is escaped here."""
    return drawsvg.Raw(f"<{tag}>{escape(content, quote=False)}</{tag}>")


class _Root(drawsvg.DrawingParentElement):  # type: ignore[misc]
    """An <svg> as an element like others, in the way in which the library lets one add elements."""

    TAG_NAME = "svg"


def svg_text(children: Sequence[Element], label: str, **attributes: object) -> str:
    """An <svg> element with these children, as text; `attributes` are its own, in order.

    The library's own document always states a width and a height and carries empty definitions, which a
    figure within a page must not. So the figure is the one element of such a document, and is taken out.
    """
    document = drawsvg.Drawing(0, 0)
    document.append(_Root(children, **attributes, role="img", aria_label=escape(label)))
    written: str = document.as_svg(header="")
    _, _, body = written.partition("</defs>\n")
    figure = body.rstrip().removesuffix("</svg>").rstrip()
    return figure.replace(">\n<", "><").replace(" />", "/>")
