"""What style sheets say of an element, as a browser would: media, selectors, inheritance, custom properties.

Knows CSS, and of properties those that figures are painted by; knows nothing of figures or pages.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Any

from cssselect2 import ElementWrapper, Matcher, SelectorError, compile_selector_list
from tinycss2 import parse_blocks_contents, parse_component_value_list, parse_stylesheet, serialize
from tinycss2.color4 import parse_color

Style = Mapping[str, str]
"""Properties and custom properties with their values, in which nothing is left to be looked up."""
Declared = tuple[str, list[Any], bool]
"""A property, the parts of its value, and whether it is important."""

SCREEN, PRINT = "screen", "print"
FEATURES = ("(prefers-color-scheme:light)",)
"""What is so wherever a figure is drawn once for all; nothing is known of how wide a page is."""
LINE = (
    "stroke",
    "stroke-opacity",
    "stroke-width",
    "stroke-linejoin",
    "stroke-linecap",
    "stroke-dasharray",
    "stroke-miterlimit",
)
TYPE = ("font-family", "font-size", "font-weight", "font-style", "text-anchor")
INHERITED = frozenset({"color", "fill", "fill-opacity", "fill-rule", "paint-order", *LINE, *TYPE})
OWN = frozenset({"display", "visibility", "overflow"})


class Cascade:
    """Some sheets, each read after the one before, as they hold in one medium."""

    def __init__(self, sheets: Iterable[str], medium: str) -> None:
        self._medium = medium
        self._matcher = Matcher()
        for sheet in sheets:
            self._add(parse_stylesheet(sheet, skip_comments=True, skip_whitespace=True))

    def style(self, element: ElementWrapper, inherited: Style) -> Style:
        """What holds for an element in one of which `inherited` holds."""
        attributes = element.etree_element.attrib
        declared: list[Declared] = [
            (name, parse_component_value_list(value), False)
            for name, value in attributes.items()
            if name in INHERITED or name in OWN
        ]
        for *_, pseudo, said in self._matcher.match(element):
            declared += said if pseudo is None else []
        declared += _declarations(parse_blocks_contents(attributes.get("style", "")))
        # What comes later counts, but for what is important.
        values = {name: value for name, value, _ in sorted(declared, key=lambda entry: entry[2])}
        kept = {name: value for name, value in inherited.items() if name not in OWN}
        return {**kept, **dict(_resolved(values, kept))}

    def _add(self, rules: Iterable[Any], within: str = "") -> None:
        """Rules, which may stand in others: `within` is the selector of the rule that they stand in."""
        for rule in rules:
            if rule.type == "qualified-rule":
                selector = _nested(serialize(rule.prelude).strip(), within)
                inside = parse_blocks_contents(rule.content)
                self._select(selector, inside)
                self._add(inside, selector)
            elif rule.type == "at-rule" and rule.content is not None and self._holds(rule):
                inside = parse_blocks_contents(rule.content)
                if within:
                    self._select(within, inside)
                self._add(inside, within)

    def _select(self, selector: str, inside: Iterable[Any]) -> None:
        declared = _declarations(inside)
        try:
            for each in compile_selector_list(selector) if declared else ():
                self._matcher.add_selector(each, declared)
        except SelectorError:
            return  # As a browser passes over a rule that it does not know.

    def _holds(self, rule: Any) -> bool:
        """Whether the rules in a block hold: those for other media do not, nor what is no rule of style."""
        words = " ".join(serialize(rule.prelude).lower().split())
        if rule.lower_at_keyword == "supports":
            return not words.startswith("not ")
        return rule.lower_at_keyword == "media" and applies(words, self._medium)


def applies(media: str, medium: str) -> bool:
    """Whether a list of media queries asks for a medium."""
    return any(_asks(query.strip(), medium) for query in media.lower().split(","))


def _asks(query: str, medium: str) -> bool:
    first, *others = (part.strip() for part in re.split(r"\band\b", query))
    parts = [re.sub(r"^(?:not|only)\b\s*", "", first), *others]
    known = ("", "all", medium, *FEATURES)
    return all(re.sub(r"\s", "", part) in known for part in parts) != first.startswith("not ")


def _nested(selector: str, within: str) -> str:
    if not within:
        return selector
    return selector.replace("&", f":is({within})") if "&" in selector else f":is({within}) {selector}"


def _declarations(contents: Iterable[Any]) -> list[Declared]:
    return [
        (each.name if each.name.startswith("--") else each.lower_name, each.value, each.important)
        for each in contents
        if each.type == "declaration"
        and (each.name.startswith("--") or each.lower_name in INHERITED or each.lower_name in OWN)
    ]


def _resolved(declared: Mapping[str, list[Any]], inherited: Style) -> Iterator[tuple[str, str]]:
    """The value of each property; none where it has none to speak of, and the inherited one holds."""
    asked: set[str] = set()

    def custom(name: str) -> str | None:
        if name not in declared:
            return inherited.get(name)
        if name in asked:
            return None  # It is what it is said to be by itself.
        asked.add(name)
        found = _substituted(declared[name], custom)
        asked.discard(name)
        return found

    for name in declared:
        value = custom(name)
        if value is not None and value.lower() not in ("inherit", "unset", "revert"):
            yield name, value


def _substituted(parts: Iterable[Any], custom: Callable[[str], str | None]) -> str | None:
    """A value as text, with what each `var()` stands for; None where one stands for nothing."""
    texts: list[str] = []
    for part in parts:
        if part.type == "function" and part.lower_name == "var":
            text = _variable(part.arguments, custom)
        elif part.type == "function":
            inside = _substituted(part.arguments, custom)
            text = None if inside is None else f"{part.name}({inside})"
        else:
            text = part.serialize()
        if text is None:
            return None
        texts.append(text)
    return "".join(texts).strip()


def _variable(arguments: list[Any], custom: Callable[[str], str | None]) -> str | None:
    names = [part.value for part in arguments if part.type == "ident"]
    found = custom(names[0]) if names else None
    comma = next((n for n, part in enumerate(arguments) if part == ","), None)
    if found is None and comma is not None:
        return _substituted(arguments[comma + 1 :], custom)
    return found


def paint(value: str, style: Style) -> tuple[str, float]:
    """A paint as SVG 1.1 writes it, by number or `none`, and how opaque it is.

    What cannot be read as a colour is given back as it is.
    """
    if value.lower() == "none":
        return "none", 1.0
    colour = parse_color(style.get("color", "black") if value.lower() == "currentcolor" else value)
    try:
        red, green, blue = colour.to("srgb").coordinates
    except (AttributeError, NotImplementedError):
        return value, 1.0
    if not colour.alpha:
        return "none", 1.0
    channels = (int(255 * min(max(part or 0.0, 0.0), 1.0) + 0.5) for part in (red, green, blue))
    return f"#{''.join(f'{channel:02x}' for channel in channels)}", colour.alpha
