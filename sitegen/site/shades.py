"""What style sheets say of figures: the shades that they give, and whatever else they must not say.

A browser knows the sheets of a page; paper and files know the shades alone. So a shade is given for all
figures at once, and a rule that would paint some of them in another way is a problem. The alternative that
lost was to work out, as a browser does, what all rules together say of every element of a figure.
Knows CSS, and of figures their shades and kinds of parts; knows nothing of guides and themes.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, NamedTuple

from tinycss2 import parse_blocks_contents, serialize
from tinycss2.color4 import parse_color

from sitegen.figures.style import LOOKS, TEXT, USUAL, Shades
from sitegen.problems import Passage, Problem, is_it
from sitegen.site.sheet_text import place_of, rules_of

EVERYWHERE = ("light", "dark", "paper")
CONDITIONS: Mapping[str, tuple[str, ...]] = {
    "all": EVERYWHERE,
    "screen": ("light", "dark"),
    "screen and (prefers-color-scheme:light)": ("light",),
    "screen and (prefers-color-scheme:dark)": ("dark",),
    "print": ("paper",),
}
"""The media for which a shade may be given, and where figures are seen then."""
HOLDING = ("media", "supports", "layer", "container", "scope", "starting-style")
"""The rules that others may stand in."""

STYLE = re.compile(r"<style\b[^>]*>(.*?)</style", re.DOTALL | re.IGNORECASE)
STYLE_OF_ONE = re.compile(r"\sstyle\s*=\s*([\"'])(.*?)\1", re.DOTALL | re.IGNORECASE)
MEANT = re.compile(r"--(figure|chart)-.*")
"""What can be meant as a shade, beside the names of colours."""
TAGS = {"svg", "g", "path", "text"}
PAINTED = {kind: own for looks in LOOKS.values() for kind, own in looks.items() if kind != TEXT}
INSIDE = PAINTED.keys()
KNOWN = INSIDE | LOOKS.keys()
"""The classes of what is within a figure, and with those of figures."""
ATTRIBUTES = {"class", "d", "x", "y", "font-size", "stroke-width", "stroke-dasharray", "viewBox", "role"}
LIST = re.compile(r":(?:is|where)\(([^()]*)\)")
STRUCTURE = re.compile(r":(?:first|last|only|nth|not)\b")
PAINT = re.compile(
    r"(?:fill|stroke|font)(?:-.*)?|paint-order|text-anchor|overflow|opacity|filter|mix-blend-mode"
)
PAINT_OR_HIDE = re.compile(rf"{PAINT.pattern}|display|visibility|transform|clip-path|mask|animation|d")


@dataclass(frozen=True)
class Declaration:
    """A property that a sheet gives to the elements of a selector.

    `seen` is where it holds; empty where that depends on more than where figures are seen.
    """

    selector: str
    seen: tuple[str, ...]
    node: Any
    sheet: Passage

    @property
    def name(self) -> str:
        """Of a custom property without its hyphens."""
        name: str = self.node.name
        return name.removeprefix("--") if name.startswith("--") else name.lower()

    @property
    def gives_shade(self) -> bool:
        custom = self.node.name.startswith("--")
        return custom and (self.name in USUAL.light or MEANT.fullmatch(self.node.name) is not None)

    @property
    def shade(self) -> str:
        return by_number(serialize(self.node.value))

    @property
    def place(self) -> Passage:
        return place_of(self.node, self.sheet)


def by_number(colour: str) -> str:
    """A colour of CSS as `#rrggbb` or `none`; empty for what is neither, or lets through what lies below."""
    found = parse_color(colour)
    if colour.strip().lower() == "none" or getattr(found, "alpha", 1) == 0:
        return "none"
    try:
        channels = found.to("srgb").coordinates
    except (AttributeError, NotImplementedError):
        return ""
    numbers = (int(255 * min(max(part or 0.0, 0.0), 1.0) + 0.5) for part in channels)
    return "#" + "".join(f"{number:02x}" for number in numbers) if found.alpha == 1 else ""


@dataclass(frozen=True)
class Given:
    """The shades of a site, and for those that a sheet gives where it does."""

    shades: Shades
    places: Mapping[str, Passage]


def given(colours: Mapping[str, str], sheets: Iterable[Passage]) -> Given:
    """The usual shades, but for those of some colours, and of sheets in which there is no problem."""
    usual = USUAL.with_own({name: by_number(colour) for name, colour in colours.items()})
    places: dict[str, Passage] = {}
    found = [each for sheet in sheets for each in declarations(sheet) if each.gives_shade]
    for each in sorted(found, key=lambda each: bool(each.node.important)):
        usual = usual.with_own({each.name: each.shade}, each.seen)
        places[each.name] = each.place
    return Given(usual, places)


def problems(sheet: Passage, gives_shades: bool) -> Iterator[Problem]:
    """What a sheet must not say of figures. It may give shades if all pages load it."""
    return _problems(declarations(sheet), gives_shades)


def problems_in_html(html: Passage) -> Iterator[Problem]:
    """What styles in a stretch of HTML, which stands on one page or some, must not say of figures."""
    for sheet in STYLE.finditer(html.text):
        yield from problems(html.part(*sheet.span(1)), gives_shades=False)
    for style in STYLE_OF_ONE.finditer(html.text):
        said = _declared(parse_blocks_contents(style[2]), "", EVERYWHERE, html.part(*style.span(2)))
        yield from _problems((each for each in said if each.gives_shade), gives_shades=False)


def _problems(said: Iterable[Declaration], gives_shades: bool) -> Iterator[Problem]:
    for each in said:
        wrong = _as_shade(each, gives_shades) if each.gives_shade else _as_paint(each)
        if wrong:
            yield Problem(wrong[0], each.place, wrong[1])


def _as_shade(each: Declaration, allowed: bool) -> tuple[str, str] | None:
    """What is wrong with a declaration that gives a shade, and what to do."""
    written = f":root {{ --{each.name}: … }}"
    if each.name not in USUAL.light:
        hint = is_it(each.name, USUAL.light) or f"shades are {', '.join(USUAL.light)}"
        return f"figures have no shade --{each.name}", hint
    if not allowed:
        hint = f"write {written} in the theme's own sheet"
        return f"--{each.name} is a shade of all figures on all pages", hint
    if each.selector != ":root":
        return f"--{each.name} is a shade of all figures", f"write {written}"
    if not each.seen:
        hint = "write it within @media print, screen, or screen and (prefers-color-scheme: dark)"
        return "a shade can be another on paper, on screens or on dark screens, and nowhere else", hint
    if not each.shade:
        hint = 'write it by number, as "#b3202c", by name, or by rgb() or hsl()'
        return f"figures cannot be printed in the shade that --{each.name} is", hint
    return None


def _as_paint(each: Declaration) -> tuple[str, str] | None:
    """What is wrong with any other declaration, if it would paint a figure, and what to do."""
    reached = [kind for selector in _each(each.selector) for kind in _reached(selector, each.name)]
    if not reached:
        return None
    shade = PAINTED.get(reached[0], {}).get(each.name, "")
    hint = f"write :root {{ --{shade}: … }} instead" if shade in USUAL.light else "give its shades on :root"
    message = "figures are painted by their shades, which paper and files have too, and by no rule"
    return message, f"{hint}; another drawing needs a class of its own"


def _each(selectors: str) -> Iterator[str]:
    """The selectors of a list, and in the place of one that holds a list in brackets one for each in that."""
    for selector in re.split(r",(?![^(]*\))", selectors):
        if held := LIST.search(selector):
            begin, end = selector[: held.start()], selector[held.end() :]
            yield from _each(",".join(f"{begin} {one.strip()}{end}" for one in held[1].split(",")))
        else:
            yield selector


@lru_cache(maxsize=2048)
def _reached(selector: str, name: str) -> tuple[str, ...]:
    """The kinds of parts that a property would paint by a selector, if it may reach a figure; else none.

    What cannot be known without the page, as what stands within what, is taken to be so.
    """
    bare = re.sub(r"\([^()]*\)|(?<=\[)\s*([\w-]+)[^\]]*", r"\1", selector)
    *above, last = [_one(part) for part in re.split(r"[\s>+~]+", bare.strip())]
    own = last.classes - KNOWN or last.attributes - ATTRIBUTES
    if own or "#" in last.text or "::" in last.text:
        return ()
    within = any(each.tag in TAGS or each.classes & KNOWN for each in above)
    if (
        last.classes & INSIDE
        or last.tag in TAGS - {"svg"}
        or (last.tag in ("", "*") and (within or last.attributes))
    ):
        counts = PAINT_OR_HIDE
    elif last.classes or last.tag in ("svg", "*") or STRUCTURE.match(last.text):
        counts = PAINT
    else:
        return ()
    return (*last.classes, last.tag)[:1] if counts.fullmatch(name) else ()


class _One(NamedTuple):
    """The part of a selector that is about one element."""

    tag: str
    classes: set[str]
    attributes: set[str]
    text: str


def _one(text: str) -> _One:
    tag = re.split(r"[^\w*-]", text)[0]
    return _One(tag, set(re.findall(r"\.([\w-]+)", text)), set(re.findall(r"\[([\w-]+)", text)), text)


@lru_cache(maxsize=64)
def declarations(sheet: Passage) -> tuple[Declaration, ...]:
    """All that a sheet says of elements, rules within rules as well."""
    return tuple(_declared(rules_of(sheet), "", EVERYWHERE, sheet))


def _declared(
    nodes: Iterable[Any], within: str, seen: tuple[str, ...], sheet: Passage
) -> Iterator[Declaration]:
    for node in nodes:
        if node.type == "declaration":
            yield Declaration(within, seen, node, sheet)
        elif node.type == "qualified-rule":
            inside = parse_blocks_contents(node.content)
            yield from _declared(inside, _nested(_plain(node.prelude), within), seen, sheet)
        elif node.type == "at-rule" and node.content is not None and node.lower_at_keyword in HOLDING:
            held = _held(_plain(node.prelude), node.lower_at_keyword)
            there = tuple(place for place in seen if place in held)
            yield from _declared(parse_blocks_contents(node.content), within, there, sheet)


def _held(condition: str, keyword: str) -> tuple[str, ...]:
    """Where figures are seen if the condition of a rule holds; nowhere if it is about anything else."""
    if keyword != "media":
        return ()
    queries = [re.sub(r"\s*([:()])\s*", r"\1", query).strip() for query in condition.lower().split(",")]
    known = [CONDITIONS.get(query.replace("and(", "and ("), ()) for query in queries]
    return tuple(place for places in known for place in places) if all(known) else ()


def _plain(prelude: Iterable[Any]) -> str:
    return " ".join(serialize(part for part in prelude if part.type != "comment").split())


def _nested(selector: str, within: str) -> str:
    if not within:
        return selector
    return selector.replace("&", f":is({within})") if "&" in selector else f":is({within}) {selector}"
