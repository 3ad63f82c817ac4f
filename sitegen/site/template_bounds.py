"""How much a template may make of little: whatever it does to texts, lists and numbers has an end.

A theme may be somebody else's. Knows what templates can do, by kinds and not one by one; nothing of pages.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import wraps
from itertools import chain
from math import prod
from typing import Any

from jinja2 import Undefined, nodes, pass_context
from jinja2.exceptions import SecurityError
from jinja2.runtime import Context
from jinja2.visitor import NodeTransformer

MOST, MOST_POWER = 1_000_000, 16
"""How large numbers are that are multiplied or say how much there is to be, and how high powers."""
ROOM = 20_000_000
"""Of so many characters is what could be made of what something is given, and what is made."""
LONG, DIGITS = 40, 400
"""So many digits are a width that nobody means, and so many has a number that is written out."""
LARGEST = 10**30
"""Numbers that are added up stay below."""
PART = 10
"""What each part of a list takes beside its characters."""
MOST_STEPS, MOST_MADE, CALL = 10_000_000, 300_000_000, 25
"""So many steps are taken for one page, a call being as long as some, and so many characters made by all."""
COUNTED, SIZED = "counted in steps", "of a size"
"""Filters that no author can name, since names have no blanks."""
CONTAINERS = (list, tuple, dict, set, frozenset)


class Bounds:
    """What has been made for one page; raises SecurityError where that is too much."""

    def __init__(self) -> None:
        self._steps = self._made = 0
        self._within = 0
        self.lengths: dict[str, int] = {}
        """Of templates, by their files."""

    def begin(self) -> None:
        """A page begins, or something within one."""
        if not self._within:
            self._steps = self._made = 0
        self._within += 1

    def end(self) -> None:
        self._within -= 1

    def spend(self, characters: int, steps: int = 1) -> None:
        """Something is done, and what it makes."""
        if self._within:
            self._steps += steps
            self._made += characters
            if self._steps > MOST_STEPS:
                raise SecurityError(f"for one page templates do {MOST_STEPS:,} steps, and no more")
            if self._made > MOST_MADE:
                raise SecurityError(f"for one page templates make {MOST_MADE:,} characters, and no more")

    def made(self, value: Any) -> Any:
        """A value that a step has made."""
        self.spend(_small(value))
        return value

    def shown(self, value: Any) -> Any:
        """A value that is put on the page."""
        if not isinstance(value, Undefined):
            self.made(value)
        return value

    def steps(self, items: Iterable[Any], characters: int) -> Iterator[Any]:
        """What is gone through, where each has so many characters around it."""
        for item in items:
            self.spend(characters)
            yield item


def _small(value: Any) -> int:
    """The size of a value. Raises SecurityError where that is too much."""
    size = size_of(value)
    if size > ROOM:
        raise SecurityError(f"this has more than {ROOM:,} characters, each part of a list taken as {PART}")
    return size


def size_of(value: Any) -> int:
    """How many characters a value has, with those of its parts; where it is much not all of them."""
    if isinstance(value, str | bytes):
        return len(value)
    if type(value) not in CONTAINERS:  # ours are as large as they are
        return PART * len(value) if isinstance(value, range) else 1
    size = PART * len(value)
    for part in chain.from_iterable(value.items()) if isinstance(value, dict) else value:
        if isinstance(part, str) or type(part) in CONTAINERS:
            size += size_of(part)
            if size > ROOM:
                break
    return size


def refuse_large(given: Iterable[Any]) -> None:
    """Raises SecurityError where too much could be made of what is given.

    That is at most as often as numbers say the largest, with another one in the place of each of its parts.
    """
    sizes, times = [1, 1], 1
    for value in given:
        if isinstance(value, int | float) and not isinstance(value, bool):
            if not abs(value) < MOST:
                raise SecurityError(f"numbers here are below {MOST:,}")
            times *= 1 + int(abs(value))
        else:
            sizes.append(1 + size_of(value))
    if times * prod(sorted(sizes)[-2:]) > ROOM:
        raise SecurityError(f"of this more than {ROOM:,} characters could be made")


def refuse_wide(text: str, given: Iterable[Any]) -> None:
    """Raises SecurityError where a text would be too long with values put into it, at the widths it says.

    A width may be one of the values too. A large number that is none takes no more than its digits.
    """
    widths = sum(int(found) if len(found) < LONG else ROOM for found in re.findall(r"\d+", text))
    among_values = "*" in text or re.search(r"\{[^}]*\{", text) is not None
    longest = max((_in_width(value, among_values) for value in given), default=0)
    if widths + len(re.findall(r"[%{]", text)) * (1 + longest) + len(text) > ROOM:
        raise SecurityError(f"of this more than {ROOM:,} characters would be made")


def _in_width(value: Any, may_be_width: bool) -> int:
    if not isinstance(value, int | float):
        return size_of(value)
    if not may_be_width:
        return DIGITS
    return int(abs(value)) if abs(value) < MOST else ROOM


def put_down(given: Iterable[Any]) -> list[Any]:
    """What would come one by one, all together, so that it can be seen how much it is."""
    return [list(value) if isinstance(value, Iterator) else value for value in given]


def bounded(name: str, does: Callable[..., Any], bounds: Bounds) -> Callable[..., Any]:
    """A filter of the template library that makes no more than it may."""
    first = 1 if hasattr(does, "jinja_pass_arg") else 0

    @wraps(does)
    def filtered(*given: Any, **options: Any) -> Any:
        values = put_down(given)
        said = (*values[first:], *options.values())
        if name == "format" and said:
            refuse_wide(str(said[0]), said[1:])
        else:
            refuse_large(said)
        return bounds.made(does(*values, **options))

    return filtered


def is_of_text(called: Any) -> bool:
    """Whether something is a method of a text or a number, which knows no bounds."""
    return isinstance(getattr(_method(called), "__self__", None), str | bytes | int | float)


def _method(called: Any) -> Any:
    return getattr(called, "__wrapped__", called)


def refuse_call(called: Any, said: Iterable[Any]) -> None:
    """Raises SecurityError where what a text or a number is asked for is too much."""
    of = _method(called).__self__
    if _method(called).__name__ in ("format", "format_map"):
        each = [value for part in said for value in (part.values() if isinstance(part, Mapping) else [part])]
        refuse_wide(str(of), each)
    else:
        refuse_large((of, *said) if isinstance(of, str | bytes) else said)


def refuse_sum(operator: str, left: Any, right: Any) -> None:
    """Raises SecurityError where what two values make together is too much."""
    if operator == "%" and isinstance(left, str):
        several = (
            right.values() if isinstance(right, Mapping) else right if isinstance(right, tuple) else [right]
        )
        refuse_wide(left, several)
    elif operator in ("*", "**"):
        numbers = all(isinstance(each, int | float) for each in (left, right))
        small = all(abs(each) < MOST for each in (left, right)) if numbers else False
        if not small or (operator == "**" and abs(right) > MOST_POWER):
            raise SecurityError(f"{operator} is for numbers below {MOST:,}, and powers to {MOST_POWER}")
    elif any(isinstance(each, int) and abs(each) > LARGEST for each in (left, right)):
        raise SecurityError(f"{operator} is for numbers below 10 to the power of 30")


def watched(template: nodes.Template) -> nodes.Template:
    """A template in which whatever is gone through, put together or listed is counted."""
    watching: nodes.Template = _Watching().visit(template)
    return watching


class _Watching(NodeTransformer):
    def visit_For(self, node: nodes.For) -> nodes.For:  # noqa: N802
        """Goes through what is counted."""
        self.generic_visit(node)
        around = sum(len(text.data) for part in node.body for text in part.find_all(nodes.TemplateData))
        own = (len(part.data) for part in node.body if isinstance(part, nodes.TemplateData))
        assert isinstance(node.iter, nodes.Expr)
        node.iter = _filter(node.iter, COUNTED, nodes.Const(around + sum(own)))
        return node

    def _sized(self, node: nodes.Expr) -> nodes.Filter:
        self.generic_visit(node)
        return _filter(node, SIZED)

    visit_Concat = visit_List = visit_Dict = _sized  # noqa: N815

    def visit_Tuple(self, node: nodes.Tuple) -> nodes.Expr:  # noqa: N802
        """Values in brackets, and not names that are given some."""
        return self._sized(node) if node.ctx == "load" else node


def _filter(node: nodes.Expr, name: str, *given: nodes.Expr) -> nodes.Filter:
    return nodes.Filter(node, name, list(given), [], None, None, lineno=node.lineno)


def watching_filters(bounds: Bounds) -> dict[str, Callable[..., Any]]:
    """What `watched` puts into a template."""

    @pass_context
    def counted(context: Context, items: Iterable[Any], characters: int) -> Iterable[Any]:
        return items if isinstance(items, Undefined) else bounds.steps(items, characters)

    @pass_context
    def sized(context: Context, value: Any) -> Any:
        return bounds.made(value)

    return {COUNTED: counted, SIZED: sized}
