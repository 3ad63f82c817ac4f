"""The few elements that a figure is made of, and how they are written down.

Knows the drawing library, and is the only module that does; knows nothing of puzzles.
"""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from io import StringIO
from typing import Any

import drawsvg  # type: ignore[import-untyped]

Element = Any
"""An element of the drawing library, which carries no types."""


def path(text: str, of: str | None = None, **attributes: object) -> Element:
    return drawsvg.Path(d=text, class_=of, **attributes)


def group(of: str, children: Sequence[Element], **attributes: object) -> Element:
    return drawsvg.Group(children, class_=of, **attributes)


def text(
    written: str, size: int | None, xs: Sequence[int], ys: Sequence[int], **attributes: object
) -> Element:
    """Characters, each at its own x and y; the library escapes them."""
    return drawsvg.Text(
        written,
        size,
        " ".join(map(str, xs)),
        " ".join(map(str, ys)),
        **attributes,
    )


def words(tag: str, content: str) -> Element:
    return drawsvg.Raw(f"<{tag}>{escape(content, quote=False)}</{tag}>")


def svg_text(children: Sequence[Element], label: str, **attributes: object) -> str:
    """An <svg> element with these children.

    The library's own document always states a width and a height and carries empty definitions, which a
    figure within a page must not; so the root is written here, and the library writes what is inside.
    """
    names = {name.rstrip("_"): value for name, value in attributes.items()}
    head = "".join(f' {name}="{value}"' for name, value in names.items())
    out = StringIO()
    out.write(f'<svg{head} role="img" aria-label="{escape(label)}">')
    context = drawsvg.types.Context()
    for child in children:
        local = drawsvg.types.LocalContext(context, child, None, children)
        child.write_svg_element({}, _never, out, local, False)
    out.write("</svg>")
    return out.getvalue().replace(">\n<", "><").replace(" />", "/>")


def _never(_: object) -> bool:
    """No element stands in a figure twice, so that none is ever replaced by a reference."""
    return False
