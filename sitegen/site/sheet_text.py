"""What of style sheets a browser passes over without a word: what it cannot read, and what leads nowhere.

Knows CSS as it is written. Which properties and selectors there are grows from year to year and differs from
browser to browser, and sheets offer several on purpose: so a misspelt `colr` is not told of.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator, Sequence
from functools import lru_cache
from itertools import takewhile
from posixpath import dirname, join, normpath
from typing import Any, NamedTuple
from urllib.parse import unquote, urlsplit

from tinycss2 import parse_blocks_contents, parse_component_value_list, parse_stylesheet

from sitegen.problems import Passage, Problem, is_it

CLOSING = {"{} block": "}", "() block": ")", "[] block": "]", "function": ")", "comment": "*/"}
"""What ends each kind of node that can be left open."""
NOTHING_OPEN = "this closes nothing", "take it away, or write what it is to close"
WRONG = {
    **dict.fromkeys("})]", NOTHING_OPEN),
    "bad-string": ("this text is not closed in its line", "write a quotation mark at its end"),
    "bad-url": ("this is no address", "write it in quotation marks"),
}
"""Signs and kinds of errors, each with what is wrong and what to do."""
UNREAD = "no browser reads this", "a rule is “selector { … }”, and within it stands “name: value;”"
NAME = re.compile(r"(?P<asked>\bvar\(\s*)?(?P<name>--[^\W\d][\w-]*)")
ADDRESSED = ("url", "src", "image-set", "-webkit-image-set")
"""The functions in which a text is an address."""


@lru_cache(maxsize=64)
def unread(sheet: Passage) -> tuple[Problem, ...]:
    """What no browser reads: what is opened and not closed, or else what is no rule and no declaration."""
    return tuple(_unclosed(sheet)) or (*_errors(sheet), *_late_imports(sheet))


def _unclosed(sheet: Passage) -> Iterator[Problem]:
    """All in which a word would stand that was written below the sheet."""
    opened: list[Any] = []
    nodes = parse_component_value_list(f"{sheet.text}\nbelow")
    while nodes and nodes[-1].type in CLOSING:
        opened.append(nodes[-1])
        nodes = getattr(nodes[-1], "arguments", None) or getattr(nodes[-1], "content", None)
    if opened and opened[-1].type != "{} block":  # in which a brace that closes the others goes for nothing
        del opened[:-1]
    for node in opened:
        start, sign = _offset(node, sheet), CLOSING[node.type]
        end = start + len(getattr(node, "name", "")) + (2 if sign == "*/" else 1)
        hint = f"write {sign} where it ends" + (", or where a rule within it does" if sign == "}" else "")
        yield Problem("this is opened and never closed", sheet.part(start, end), hint)


def _errors(sheet: Passage) -> Iterator[Problem]:
    for node in nodes_of(sheet):
        if node.type == "error":
            place = place_of(node, sheet) if node.kind in WRONG else _before(node, sheet)
            message, hint = WRONG.get(node.kind) or WRONG.get(place.text) or UNREAD
            if place.text.strip("; \n"):  # A semicolon behind the last rule loses nothing.
                yield Problem(message, place, hint)
        elif node.type == "qualified-rule" and (sign := _sign(node.prelude, ";/")):
            hint = "take it away" if sign.value == ";" else "write a comment as /* … */"
            yield Problem("with this no browser reads the rule behind it", place_of(sign, sheet), hint)
        elif node.type == "declaration" and (sign := _sign(node.value, "!" if _gives(node) else "!:")):
            hint = "write ; at the end of each declaration" if sign.value == ":" else "is it !important?"
            yield Problem("this is no value that a browser reads", place_of(node, sheet), hint)


def _sign(nodes: Iterable[Any], signs: str) -> Any:
    """The first of some signs that stands by itself; else None."""
    return next((node for node in nodes if node.type == "literal" and node.value in tuple(signs)), None)


def _late_imports(sheet: Passage) -> Iterator[Problem]:
    """Sheets that are asked for where none can be (CSS Cascading and Inheritance 5, section 2)."""
    head = {id(node) for node in takewhile(_may_lead, rules_of(sheet))}
    for node in nodes_of(sheet):
        if _is_rule(node, "import") and id(node) not in head:
            hint = "write it above all rules"
            yield Problem("no browser loads a sheet that is asked for here", place_of(node, sheet), hint)


def _may_lead(node: Any) -> bool:
    return _is_rule(node, "import", "charset") or (_is_rule(node, "layer") and node.content is None)


def addresses_to_nothing(sheet: Passage, path: str, files: Collection[str]) -> Iterator[Problem]:
    """Relative addresses in the sheet at a path of the site, of whose files there is none at that address."""
    for node, address in _addresses(nodes_of(sheet)):
        try:
            parts = urlsplit(address)
        except ValueError:
            yield Problem("this is no address", place_of(node, sheet), "write the way to a file")
            continue
        if not (parts.scheme or parts.netloc or address.startswith("/")) and parts.path:
            there = normpath(join(dirname(path), unquote(parts.path)))
            if there not in files:
                hint = is_it(there, files) or f"put it there, or write the way to it from {path}"
                yield Problem(f"there is no file {there} on the site", place_of(node, sheet), hint)


def _addresses(nodes: Iterable[Any]) -> Iterator[tuple[Any, str]]:
    """What is written as `url(…)` or its like, and what `@import` names by a text alone."""
    for node in nodes:
        if node.type == "url":
            yield node, node.value
        elif node.type == "function" and node.lower_name in ADDRESSED:
            yield from ((part, part.value) for part in node.arguments if part.type == "string")
        elif _is_rule(node, "import"):
            yield from ((part, part.value) for part in node.prelude if part.type == "string")


def properties_of_nobody(
    sheets: Sequence[Passage], others: Iterable[str], shades: Collection[str]
) -> Iterator[Problem]:
    """Custom properties that are asked for and given nowhere, and those that are given and nobody asks for.

    What another text names, as a script may, is asked for there, and given unless in a `var()`; what a rule
    names at its head, as `@property` does, is both, and so are `shades`, which figures have.
    """
    elsewhere = [found for text in others for found in NAME.finditer(text)]
    shade_names = {f"--{shade}" for shade in shades}
    known = shade_names | {found["name"] for found in elsewhere if not found["asked"]}
    used = shade_names | {found["name"] for found in elsewhere}
    for sheet in sheets:
        known |= _properties_in(sheet).known
        used |= _properties_in(sheet).used
    for sheet in sheets:
        for node, name in _properties_in(sheet).named:
            if _gives(node) and name not in used:
                hint = is_it(name, used) or f"write var({name}) where it is meant, or take it away"
                yield Problem(f"nothing asks for {name}", place_of(node, sheet), hint)
            elif name not in known:
                hint = is_it(name, known) or f"give it, as in :root {{ {name}: … }}"
                yield Problem(f"no sheet gives {name}", place_of(node, sheet), hint)


class _Properties(NamedTuple):
    """The custom properties of a sheet."""

    known: frozenset[str]
    used: frozenset[str]
    named: tuple[tuple[Any, str], ...]
    """Where one is given, or is asked for and cannot be done without, in order."""


@lru_cache(maxsize=64)
def _properties_in(sheet: Passage) -> _Properties:
    known, used, named = set[str](), set[str](), []
    for node in nodes_of(sheet):
        known |= {node.name} if _gives(node) else _dashed(_within(getattr(node, "prelude", None) or ()))
        used |= {node.name} if node.type == "function" else _dashed([node])
        if name := node.name if _gives(node) else _demanded(node):
            named.append((node, name))
    return _Properties(frozenset(known), frozenset(used), tuple(named))


def _gives(node: Any) -> bool:
    return node.type == "declaration" and str(node.name).startswith("--")


def _dashed(nodes: Iterable[Any]) -> set[str]:
    return {node.value for node in nodes if node.type == "ident" and node.value.startswith("--")}


def _demanded(node: Any) -> str:
    """The custom property that a `var()` asks for and cannot do without; else nothing."""
    if node.type != "function" or node.lower_name != "var":
        return ""
    otherwise = any(part.type == "literal" and part.value == "," for part in node.arguments)
    return "" if otherwise else next(iter(_dashed(node.arguments)), "")


def _is_rule(node: Any, *keywords: str) -> bool:
    return node.type == "at-rule" and node.lower_at_keyword in keywords


@lru_cache(maxsize=64)
def rules_of(sheet: Passage) -> tuple[Any, ...]:
    """The rules of a sheet, in order; what is within them is not read yet."""
    return tuple(parse_stylesheet(sheet.text, skip_comments=True, skip_whitespace=True))


@lru_cache(maxsize=64)
def nodes_of(sheet: Passage) -> tuple[Any, ...]:
    """All nodes of a sheet and those within them; the contents of rules as declarations and rules."""
    return tuple(_within(rules_of(sheet)))


def _within(nodes: Iterable[Any]) -> Iterator[Any]:
    for node in nodes:
        yield node
        yield from _within(getattr(node, "prelude", None) or ())
        if node.type in ("qualified-rule", "at-rule"):
            yield from _within(parse_blocks_contents(node.content or ()))
        elif node.type == "declaration":
            yield from _within(node.value)
        else:
            yield from _within(getattr(node, "arguments", None) or getattr(node, "content", None) or ())


def place_of(node: Any, sheet: Passage) -> Passage:
    """From where a node begins to the end of what is written there."""
    start = _offset(node, sheet)
    whole = re.compile(r".[^;}\n]*|$").match(sheet.text, start)
    return sheet.part(start, whole.end() if whole else start).stripped()


def _before(node: Any, sheet: Passage) -> Passage:
    """What leads up to a node at which reading was given up."""
    at = _offset(node, sheet)
    last = re.compile(r"[\w-]+|.|$", re.DOTALL).match(sheet.text, at)
    end = len(sheet.text[: last.end() if last else at].rstrip())
    start = max(sheet.text.rfind(sign, 0, max(end - 1, 0)) for sign in ";{}") + 1
    return sheet.part(start, end).stripped()


def _offset(node: Any, sheet: Passage) -> int:
    line: int = _lines(sheet.text)[node.source_line - 1]
    column: int = node.source_column
    return min(line + column - 1, len(sheet.text))


@lru_cache(maxsize=64)
def _lines(text: str) -> tuple[int, ...]:
    """Where each line begins. To CSS a form feed ends one as well (CSS Syntax 3, section 3.3)."""
    return 0, *(found.end() for found in re.finditer(r"[\n\f]", text)), len(text)
