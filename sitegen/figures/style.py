"""How figures look: the shades there are, and for each kind of part which of them it is painted in.

Both ways to write a figure follow these tables: on a page by classes, with the sheet that is made here, and
for paper and files on each element. Knows kinds by name; knows nothing of puzzles.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import reduce
from operator import or_

from sitegen.figures.parts import CHART, PUZZLE

COLOURS: Mapping[str, str] = {
    "white": "#fbfaf4",
    "yellow": "#fbd21e",
    "orange": "#ee9c2a",
    "green": "#14956a",
    "red": "#b01c22",
    "blue": "#2b1d96",
    "purple": "#674db5",
    "pink": "#e68dac",
    "grey": "#585a5f",
    "lime": "#cbf59f",
    "sky": "#46a5ef",
    "sand": "#dec09c",
}
"""The first six are apart in lightness, white to blue, so that a grey copy tells them apart.

For whoever lacks one kind of cone, too, no two of those six look alike, nor any two on faces that meet, of
any puzzle that ships; these are apart in lightness too.
"""

LIGHT: Mapping[str, str] = {
    "figure-body": "#121419",
    "figure-line": "#121419",
    "figure-muted": "#dadde3",
    "figure-muted-line": "#6f747e",
    "figure-mark": "#121419",
    "figure-corner": "#6a1f93",
    "figure-halo": "#ffffff",
    "figure-hatch": "#121419",
    "figure-hatch-pale": "#ffffff",
    "chart-bar": "#4d858d",
    "chart-ink": "#20242c",
}

DARK: Mapping[str, str] = {
    "figure-line": "#767c88",
    "figure-muted": "#2a2d35",
    "figure-muted-line": "#7b808b",
    "chart-bar": "#6ea6ae",
    "chart-ink": "#e6e4de",
}
"""Only what a dark page needs: the body's outline, and what is out of focus near to the page's own shade."""

PRINT: Mapping[str, str] = {"chart-bar": "#8a8f98", "chart-ink": "#000000"}
"""Paper is a light page, with bars in grey and the ink of print."""


@dataclass(frozen=True, eq=False)
class Shades:
    """Each shade by its name, as `#rrggbb` or `none`, wherever figures are seen."""

    light: Mapping[str, str]
    dark: Mapping[str, str]
    paper: Mapping[str, str]

    def with_own(self, own: Mapping[str, str], among: Iterable[str] = ("light", "dark", "paper")) -> Shades:
        """With some shades in the place of those that there were, in some of the three places."""
        return replace(self, **{place: {**getattr(self, place), **own} for place in among})


USUAL = Shades(*({**COLOURS, **LIGHT, **own} for own in ({}, DARK, PRINT)))


@dataclass(frozen=True, eq=False)
class Paints:
    """The shades of a figure that no style sheet reaches, and whether it is seen on paper."""

    shades: Mapping[str, str]
    on_paper: bool


Look = Mapping[str, str]
"""Properties of CSS, with the name of a shade for a paint."""
FILL, STROKE = "fill", "stroke"
PAINTS = (FILL, STROKE)
HALO = "paint-order"
"""The property by which a light line lies round what is dark, below it: it is read whatever lies under it."""
_ROUND: Look = {"stroke-linejoin": "round"}
_HALO: Look = {STROKE: "figure-halo", **_ROUND, HALO: STROKE}
_TYPE: Look = {"font-family": "system-ui,DejaVu Sans,sans-serif", "text-anchor": "middle"}
TEXT = "text"
"""The kind that all texts are of, beside their own."""

LOOKS: Mapping[str, Mapping[str, Look]] = {
    PUZZLE: {
        TEXT: {**_TYPE, "font-weight": "700"},
        **{name: {FILL: name, STROKE: name} for name in COLOURS},
        "body": {FILL: "figure-body", STROKE: "figure-line", "stroke-width": "12", **_ROUND},
        "stickers": _ROUND,
        "muted": {FILL: "figure-muted", STROKE: "figure-muted-line", "stroke-width": "7"},
        "cores": _ROUND,
        "hatches": {},
        "hatch": {FILL: "none", STROKE: "figure-hatch", "stroke-linecap": "round"},
        "pale": {STROKE: "figure-hatch-pale"},
        "guard": {FILL: "none", STROKE: "figure-body", **_ROUND},
        "faint": {STROKE: "figure-muted-line"},
        "ring": {FILL: "none", STROKE: "figure-mark", **_ROUND},
        "went": {FILL: "none", STROKE: "figure-corner", "stroke-linecap": "round"},
        "beyond": {"stroke-width": "10", "stroke-dasharray": "1 24"},
        "under": {STROKE: "figure-halo"},
        "letters": {"display": "none", FILL: "figure-mark", **_HALO, "stroke-width": ".24em"},
        "shown": {"display": "inline"},
        "marks": {FILL: "figure-mark", **_HALO, "stroke-width": "22"},
        "corner": {FILL: "figure-corner"},
        "turning": {FILL: "figure-halo", STROKE: "figure-mark", "stroke-width": "18"},
        "count": {},
    },
    CHART: {
        TEXT: {**_TYPE, FILL: "chart-ink", STROKE: "none"},
        "bar": {FILL: "chart-bar", STROKE: "none"},
        "axis": {FILL: "none", STROKE: "chart-ink", "stroke-width": "1"},
        "numbers": {},
    },
}
"""For each kind of part, by what figures are of; of two kinds that a part is of the later one counts."""

ON_PAPER: Mapping[str, Mapping[str, Look]] = {
    PUZZLE: {"letters": {"display": "inline"}, "muted": {"stroke-width": "4"}},
    CHART: {},
}
"""What is otherwise on paper."""

_ALL_FIGURES = """\
overflow:visible;fill-opacity:1;stroke-opacity:1;stroke-dasharray:none;stroke-linecap:butt;stroke-linejoin:miter;\
paint-order:normal;font-style:normal"""
"""What is said of elements round a figure must not reach into it: paper would not know."""


LETTERED = "lettered"
"""The class of a page on which its reader wants letters on all stickers."""
_LETTERS = ".puzzle .letters{display:inline}"


def look_of_part(of: str, kinds: str, on_paper: bool) -> Look:
    """What holds for a part of some kinds in a figure, but for what it has from groups that it is in."""
    tables = (LOOKS[of], ON_PAPER[of]) if on_paper else (LOOKS[of],)
    own = (table[kind] for table in tables for kind in table if kind in kinds.split())
    return reduce(or_, map(dict, own), {})


def css(shades: Shades = USUAL) -> str:
    """The sheet for figures on pages, where these are the shades."""
    dark, paper = (
        {name: shade for name, shade in there.items() if shade != shades.light[name]}
        for there in (shades.dark, shades.paper)
    )
    return (
        f":root{{{_properties(shades.light)}}}\n"
        f"@media screen and (prefers-color-scheme:dark){{:root{{{_properties(dark)}}}}}\n"
        f"@media print{{:root{{{_properties(paper)}}}}}\n"
        f"{','.join(f'.{of}' for of in LOOKS)}{{{_ALL_FIGURES}}}\n"
        f"{_rules(LOOKS)}@media print{{\n{_rules(ON_PAPER)}}}\n"
        f".{LETTERED} {_LETTERS}\n"
        f"@media (prefers-contrast:more),(forced-colors:active){{{_LETTERS}}}\n"
    )


def _rules(looks: Mapping[str, Mapping[str, Look]]) -> str:
    return "".join(
        f".{of} {'' if kind == TEXT else '.'}{kind}{{{_declared(own)}}}\n"
        for of, kinds in looks.items()
        for kind, own in kinds.items()
        if own
    )


def _declared(own: Look) -> str:
    return ";".join(
        f"{name}:var(--{value})" if name in PAINTS and value != "none" else f"{name}:{value}"
        for name, value in own.items()
    )


def _properties(values: Mapping[str, str]) -> str:
    return ";".join(f"--{name}:{value}" for name, value in values.items())
