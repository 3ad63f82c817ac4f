"""A figure for renderers that know neither custom properties nor paint orders: all is said on the elements.

Knows how the rules for figures are applied on paper; knows nothing of what a figure shows.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from xml.etree.ElementTree import Element, fromstring, tostring

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
    picture.extend(leaf for child in root for leaf in _leaves(child, {}, sheets, values))
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
    return [_painted(element, layer) for layer in _layers(style)]


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


def _painted(element: Element, style: Style) -> Element:
    """A shape, or a text, whose letters are each a text of their own if each has a place of its own."""
    wanted = {"fill", *_LINE, *(_TYPE if element.tag == "text" else ())}
    look = {name: value for name, value in style.items() if name in wanted}
    if element.tag != "text":
        return Element(element.tag, {"d": element.get("d", ""), **look})
    texts = _letters(element)
    if len(texts) == 1:
        texts[0].attrib.update(look)
        return texts[0]
    group = Element("g", look)
    group.extend(texts)
    return group


def _letters(text: Element) -> list[Element]:
    """One text for each place: the last place is that of all letters left."""
    xs, ys = (text.get(name, "").split() for name in ("x", "y"))
    written, last = text.text or "", len(xs) - 1
    parts = [*written[:last], written[last:]]
    return [_placed(part, x, y) for part, x, y in zip(parts, xs, ys, strict=True)]


def _placed(written: str, x: str, y: str) -> Element:
    text = Element("text", {"x": x, "y": y})
    text.text = written
    return text
