"""A figure for renderers that know neither custom properties nor paint orders: all is said on the elements.

Knows how the rules for figures are applied on paper; knows nothing of what a figure shows.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from xml.etree.ElementTree import Element, fromstring, tostring

from sitegen.figures.capitals import CAPITALS, THICKNESS, lettering
from sitegen.figures.style import COLOURS, LIGHT, PRINT, PRINT_RULES, RULES, Rules

Style = dict[str, str]
"""Properties and their values."""

INK = "#000000"
"""What a page prints its text in, and so whatever has the colour of the text."""

_LINE = ("stroke", "stroke-width", "stroke-linejoin", "stroke-linecap", "stroke-dasharray")
_TYPE = ("font-family", "font-size", "font-weight", "text-anchor")
_INHERITED = frozenset({"fill", *_LINE, *_TYPE, "paint-order"})


def flat(svg: str, shades: Mapping[str, str]) -> str:
    """A figure as `draw` or `histogram` gives it for a page, as it looks on paper, in need of no rules.

    `shades` are custom properties that a theme or a guide gives in place of the usual ones, without dashes.
    Any other <svg> is given back as it is.
    """
    root = fromstring(svg)
    kind = root.get("class", "")
    if kind not in RULES:
        return svg
    sheets = [sheet[kind] for sheet in (RULES, PRINT_RULES) if kind in sheet]
    values = {**COLOURS, **LIGHT, **PRINT, **shades}
    declared = _declared(root, sheets, values, inside=False)
    picture = Element(root.tag, {**root.attrib, **declared})
    picture.extend([leaf for child in root for leaf in _leaves(child, {}, sheets, values)])
    return tostring(picture, encoding="unicode")


def _leaves(
    element: Element, inherited: Style, sheets: list[Rules], values: Mapping[str, str]
) -> list[Element]:
    """An element and all within it that paints, from the lowest up, each with what holds for it."""
    if element.tag in ("title", "desc"):
        return [element]
    declared = _declared(element, sheets, values)
    if declared.get("display") == "none":
        return []
    own = {name: value for name, value in {**element.attrib, **declared}.items() if name in _INHERITED}
    style = _measured({**inherited, **own})
    if element.tag == "g":
        return [leaf for child in element for leaf in _leaves(child, style, sheets, values)]
    return [painted for layer in _layers(style) for painted in _painted(element, layer)]


def _declared(
    element: Element, sheets: list[Rules], values: Mapping[str, str], *, inside: bool = True
) -> Style:
    """What the rules say of an element: the root is meant by the empty selector, and by that alone."""
    found = {
        (selector.count("."), number): declarations
        for number, (selector, declarations) in enumerate(
            entry for sheet in sheets for entry in sheet.items()
        )
        if bool(selector) == inside and _meant(element, selector)
    }
    # As in a sheet, the rule with more classes is the stronger one, and of two alike the later one.
    rules = (found[rank] for rank in sorted(found))
    return {name: _resolved(value, values) for rule in rules for name, value in rule.items()}


def _meant(element: Element, selector: str) -> bool:
    name, *classes = selector.split(".")
    return name in ("", element.tag) and set(classes) <= set(element.get("class", "").split())


def _resolved(value: str, values: Mapping[str, str]) -> str:
    value = re.sub(r"var\(--([\w-]+)\)", lambda found: values[found[1]], value)
    return INK if value == "currentColor" else value


def _measured(style: Style) -> Style:
    """A length in em becomes one in units where it is said; what inherits it has the same length."""
    width = style.get("stroke-width", "")
    if not width.endswith("em"):
        return style
    units = float(width.removesuffix("em")) * float(style["font-size"])
    return {**style, "stroke-width": f"{units:.2f}".rstrip("0").rstrip(".")}


def _layers(style: Style) -> list[Style]:
    """What is painted one over the other: a halo below what it is round, where the style asks for one."""
    if style.get("stroke", "none") == "none":
        return [{name: value for name, value in style.items() if name not in _LINE}]
    if style.get("paint-order") != "stroke":
        return [style]
    return [{**style, "fill": "none"}, *_layers({**style, "stroke": "none"})]


def _painted(element: Element, style: Style) -> list[Element]:
    """A shape; capital letters, as those on stickers are, as lines; of other texts one for each place.

    Where a renderer knows less of SVG, a text with several places comes out with stray fragments round it.
    """
    look = {name: value for name, value in style.items() if name in ("fill", *_LINE)}
    if element.tag != "text":
        return [Element(element.tag, {"d": element.get("d", ""), **look})]
    if set(element.text or "") <= CAPITALS.keys() and "font-size" in style:
        return [_lettered(element, style)]
    look |= {name: value for name, value in style.items() if name in _TYPE}
    return [_placed(word, {"x": x, "y": y, **look}) for word, x, y in _words(element)]


def _placed(written: str, attributes: Style) -> Element:
    text = Element("text", attributes)
    text.text = written
    return text


def _lettered(text: Element, style: Style) -> Element:
    """One path for all letters, since texts are drawn slowly; its lines are wider for the halo round them."""
    size = float(style["font-size"])
    d = "".join(lettering(word, float(x), float(y), size) for word, x, y in _words(text))
    halo = style.get("fill") == "none"
    width = THICKNESS * size + (float(style["stroke-width"]) if halo else 0)
    look = {"fill": "none", "stroke": style["stroke" if halo else "fill"], "stroke-width": f"{width:.4g}"}
    return Element("path", {"d": d, **look, "stroke-linecap": "round", "stroke-linejoin": "round"})


def _words(text: Element) -> list[tuple[str, str, str]]:
    """What stands at each place: a letter, and at the last place all letters left."""
    xs, ys = (text.get(name, "0").split() for name in ("x", "y"))
    written, last = text.text or "", len(xs) - 1
    return list(zip([*written[:last], written[last:]], xs, ys, strict=True))
