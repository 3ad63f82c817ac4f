"""A figure that looks the same wherever it stands: all that style sheets say is written on its elements.

For PDFs, and for files of which any program is to know what they show, without custom properties or fonts.
Knows how a figure is built up; knows nothing of what it shows.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any
from xml.etree.ElementTree import Element, SubElement, fromstring, tostring

from cssselect2 import ElementWrapper

from sitegen.figures.capitals import CAPITALS, THICKNESS, lettering
from sitegen.figures.cascade import LINE, TYPE, Cascade, Style, paint

FIGURES = frozenset({"puzzle", "chart"})
"""The classes that the roots of figures have."""
ELEMENTS = frozenset({"svg", "title", "desc", "g", "path", "text"})
"""What figures are made of."""
SVG = "http://www.w3.org/2000/svg"
SCALE = 0.48
"""Pixels for a unit in a file that stands alone, where nobody says otherwise."""


def is_figure(element: ElementWrapper) -> bool:
    """Whether an element is a figure of ours; an author's own <svg> may be anything."""
    return (
        element.local_name == "svg"
        and bool(FIGURES & element.classes)
        and all(each.local_name in ELEMENTS for each in element.iter_subtree())
    )


def alone(figure: str, cascade: Cascade, width: int | None = None) -> str:
    """A figure for a page as an .svg file, as it looks on a page with nothing else.

    `width` is in pixels.
    """
    page = Element("html")
    SubElement(page, "body").append(fromstring(figure))
    (element,) = (each for each in ElementWrapper.from_html_root(page).iter_subtree() if is_figure(each))
    across, down = (float(part) for part in element.etree_element.get("viewBox", "").split()[2:])
    picture = flat(element, cascade)
    width = width or round(across * SCALE)
    picture.attrib = {
        "xmlns": SVG,
        "width": str(width),
        "height": str(round(width * down / across)),
        **picture.attrib,
    }
    return tostring(picture, encoding="unicode")


def flat(figure: ElementWrapper, cascade: Cascade) -> Element:
    """A figure where it stands on its page, in need of no rules."""
    outer = _inherited(figure.parent, cascade) if figure.parent is not None else {}
    # How high the text of a page is says nothing of letters on stickers.
    own = cascade.style(figure, {name: value for name, value in outer.items() if name != "font-size"})
    kept = {name: value for name, value in figure.etree_element.attrib.items() if name != "style"}
    picture = Element("svg", {**kept, **({"overflow": own["overflow"]} if "overflow" in own else {})})
    picture.extend(_leaves(figure, own, cascade))
    return picture


def _inherited(element: ElementWrapper, cascade: Cascade) -> Style:
    above = _inherited(element.parent, cascade) if element.parent is not None else {}
    return cascade.style(element, above)


def _leaves(parent: ElementWrapper, inherited: Style, cascade: Cascade) -> Iterator[Element]:
    """All that paints within an element, from the lowest up, each with what holds for it."""
    for element in parent.iter_children():
        if element.local_name in ("title", "desc"):
            yield _text(element.local_name, element.etree_element.text or "", {})
            continue
        style = _measured(cascade.style(element, inherited))
        if style.get("display") == "none":
            continue
        if element.local_name == "g":
            yield from _leaves(element, style, cascade)
        elif style.get("visibility", "visible") == "visible":
            for layer in _layers(_plain(style)):
                yield from _painted(element, layer)


def _measured(style: Style) -> Style:
    """A length in em becomes one in units where it is said; what inherits it has the same length."""
    width = style.get("stroke-width", "")
    if width.endswith("px"):
        return {**style, "stroke-width": width.removesuffix("px")}
    if not width.endswith("em") or "font-size" not in style:
        return style
    units = float(width.removesuffix("em")) * float(style["font-size"].removesuffix("px"))
    return {**style, "stroke-width": f"{units:.2f}".rstrip("0").rstrip(".")}


def _plain(style: Style) -> Style:
    """Paints by number, as every renderer knows them."""
    found = dict(style)
    for name, usual in (("fill", "black"), ("stroke", "none")):
        colour, opaque = paint(style.get(name, usual), style)
        found[name] = colour
        if opaque < 1:
            found[f"{name}-opacity"] = f"{opaque * float(style.get(f'{name}-opacity', '1')):g}"
    return found


def _layers(style: Style) -> list[Style]:
    """What is painted one over the other: a halo below what it is round, where the style asks for one."""
    if style["stroke"] == "none":
        return [{name: value for name, value in style.items() if name not in LINE}]
    if not style.get("paint-order", "").startswith("stroke"):
        return [style]
    return [{**style, "fill": "none"}, *_layers({**style, "stroke": "none"})]


def _painted(element: ElementWrapper, style: Style) -> Iterator[Element]:
    """A shape; capital letters, as those on stickers are, as lines; of other texts one for each place.

    Where a renderer knows less of SVG, a text with several places comes out with stray fragments round it.
    """
    node = element.etree_element
    look = {name: style[name] for name in ("fill", "fill-opacity", *LINE) if name in style}
    if element.local_name != "text":
        yield Element("path", {"d": node.get("d", ""), **look})
    elif set(node.text or "") <= CAPITALS.keys() and "font-size" in style:
        yield _lettered(node, style)
    else:
        look |= {name: style[name] for name in TYPE if name in style}
        for word, x, y in _words(node):
            yield _text("text", word, {"x": x, "y": y, **look})


def _text(tag: str, written: str, attributes: dict[str, str]) -> Element:
    element = Element(tag, attributes)
    element.text = written
    return element


def _lettered(text: Any, style: Style) -> Element:
    """One path for all letters, since texts are drawn slowly; its lines are wider for the halo round them."""
    size = float(style["font-size"].removesuffix("px"))
    d = "".join(lettering(word, float(x), float(y), size) for word, x, y in _words(text))
    halo = style["fill"] == "none"
    width = THICKNESS * size + (float(style["stroke-width"]) if halo else 0)
    of = "stroke" if halo else "fill"
    look = {"fill": "none", "stroke": style[of], "stroke-width": f"{width:.4g}"}
    if f"{of}-opacity" in style:
        look["stroke-opacity"] = style[f"{of}-opacity"]
    return Element("path", {"d": d, **look, "stroke-linecap": "round", "stroke-linejoin": "round"})


def _words(text: Any) -> list[tuple[str, str, str]]:
    """What stands at each place: a letter, and at the last place all letters left."""
    xs, ys = (re.split(r"[\s,]+", text.get(name, "0").strip()) for name in ("x", "y"))
    written, last = text.text or "", len(xs) - 1
    return list(zip([*written[:last], written[last:]], xs, ys, strict=True))
