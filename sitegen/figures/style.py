"""How figures look: custom properties with sensible defaults, and the rules that use them.

Knows class names; knows nothing of puzzles. A guide's own theme overrides any of it in a later
sheet: what holds in the end is asked of all sheets together, by browsers and by `cascade`.
"""

from __future__ import annotations

from collections.abc import Mapping

COLOURS: Mapping[str, str] = {
    "white": "#fbfaf4",
    "yellow": "#f5d53c",
    "orange": "#f4993c",
    "green": "#3fb56b",
    "red": "#d03a42",
    "blue": "#3a3aa6",
    "purple": "#7d51b8",
    "pink": "#f0a3bd",
    "grey": "#9b9fa6",
    "lime": "#abd04a",
    "sky": "#74c4e6",
    "sand": "#dcc69a",
}
"""The first six are evenly apart in lightness, white to blue, so that a grey copy tells them apart."""

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
}

DARK: Mapping[str, str] = {
    "figure-line": "#767c88",
    "figure-muted": "#2a2d35",
    "figure-muted-line": "#7b808b",
    "chart-bar": "#6ea6ae",
}
"""Only what a dark page needs: the body's outline, and what is out of focus near to the page's own shade."""

PRINT: Mapping[str, str] = {**{name: LIGHT[name] for name in DARK}, "chart-bar": "#8a8f98"}
"""Paper is a light page, whatever the reader's screen is; bars are grey."""

_RULES = """\
.puzzle{overflow:visible}
.puzzle .body{fill:var(--figure-body);stroke:var(--figure-line);stroke-width:12;stroke-linejoin:round}
.puzzle .stickers{stroke-linejoin:round}
.puzzle .muted{fill:var(--figure-muted);stroke:var(--figure-muted-line);stroke-width:7}
.puzzle .hatch{fill:none;stroke:var(--figure-hatch);stroke-linecap:round}
.puzzle .pale{stroke:var(--figure-hatch-pale)}
.puzzle .guard{fill:none;stroke:var(--figure-body);stroke-linejoin:round}
.puzzle .faint{stroke:var(--figure-muted-line)}
.puzzle .marks,.puzzle .letters{stroke:var(--figure-halo);stroke-linejoin:round;paint-order:stroke}
.puzzle .marks{fill:var(--figure-mark);stroke-width:22}
.puzzle .corner{fill:var(--figure-corner)}
.puzzle .turning{fill:var(--figure-halo);stroke:var(--figure-mark);stroke-width:18}
.puzzle text,.chart text{
font-family:system-ui,"Segoe UI",Roboto,"Helvetica Neue",Arial,sans-serif;text-anchor:middle}
.puzzle text{font-weight:700}
.puzzle .letters{display:none;fill:var(--figure-mark);stroke-width:.24em}
.puzzle .letters.shown{display:inline}
.chart .bar{fill:var(--chart-bar)}
.chart .axis{fill:none;stroke:currentColor;stroke-width:1}
.chart text{fill:currentColor}
@media print{
.puzzle .letters{display:inline}
.puzzle .muted{stroke-width:4}
}
"""
"""A light line lies round what is dark, below it, so that it can be read whatever lies under it."""


def css() -> str:
    """The rules for figures, as a sheet."""
    return (
        f":root{{{properties({**COLOURS, **LIGHT})}}}\n"
        f"@media (prefers-color-scheme:dark){{:root{{{properties(DARK)}}}}}\n"
        f"@media print{{:root{{{properties(PRINT)}}}}}\n"
        + "".join(f".puzzle .{name}{{fill:var(--{name});stroke:var(--{name})}}\n" for name in COLOURS)
        + _RULES
    )


def properties(values: Mapping[str, str]) -> str:
    """Custom properties as a sheet declares them."""
    return ";".join(f"--{name}:{value}" for name, value in values.items())
