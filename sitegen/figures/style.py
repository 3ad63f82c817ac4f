"""How figures look: custom properties with sensible defaults, and the rules that use them.

Knows class names; knows nothing of puzzles. A theme overrides the properties in a later sheet. The rules are
data, since two write them down: `css` as a sheet for browsers, `flat` on the elements themselves.
"""

from __future__ import annotations

from collections.abc import Mapping

COLOURS: Mapping[str, str] = {
    "white": "#fbfaf4",
    "yellow": "#f5d53c",
    "orange": "#f4993c",
    "green": "#3fb56b",
    "red": "#d03a42",
    "blue": "#1d46a8",
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
    "figure-muted": "#2a2d35",
    "figure-muted-line": "#7b808b",
    "figure-mark": "#121419",
    "figure-corner": "#6a1f93",
    "figure-halo": "#ffffff",
    "figure-hatch": "#121419",
    "figure-hatch-pale": "#ffffff",
    "chart-bar": "#4d858d",
}

DARK: Mapping[str, str] = {"figure-line": "#767c88", "chart-bar": "#6ea6ae"}
"""Only what a dark page needs: the body's outline; what lies on the stickers stays as it is."""

PRINT: Mapping[str, str] = {
    "figure-muted": "#e6e7ea",
    "figure-muted-line": "#757a84",
    "chart-bar": "#8a8f98",
}
"""On paper what is out of focus is light, which spares the reader's eye and the toner."""

Rules = Mapping[str, Mapping[str, str]]
"""What holds for an element by its name, or by its classes with a dot before each; empty for the root."""

_TYPE = 'system-ui,"Segoe UI",Roboto,"Helvetica Neue",Arial,sans-serif'
_HALO = {"stroke": "var(--figure-halo)", "stroke-linejoin": "round", "paint-order": "stroke"}
"""A light line round what is dark, below it, so that it can be read whatever lies under it."""

RULES: Mapping[str, Rules] = {
    "puzzle": {
        "": {"overflow": "visible"},
        **{f".{name}": {"fill": f"var(--{name})", "stroke": f"var(--{name})"} for name in COLOURS},
        ".body": {
            "fill": "var(--figure-body)",
            "stroke": "var(--figure-line)",
            "stroke-width": "12",
            "stroke-linejoin": "round",
        },
        ".stickers": {"stroke-linejoin": "round"},
        ".muted": {
            "fill": "var(--figure-muted)",
            "stroke": "var(--figure-muted-line)",
            "stroke-width": "7",
        },
        ".hatch": {"fill": "none", "stroke": "var(--figure-hatch)", "stroke-linecap": "round"},
        ".pale": {"stroke": "var(--figure-hatch-pale)"},
        ".guard": {"fill": "none", "stroke": "var(--figure-body)", "stroke-linejoin": "round"},
        ".faint": {"stroke": "var(--figure-muted-line)"},
        ".marks": {"fill": "var(--figure-mark)", "stroke-width": "22", **_HALO},
        ".corner": {"fill": "var(--figure-corner)"},
        ".turning": {
            "fill": "var(--figure-halo)",
            "stroke": "var(--figure-mark)",
            "stroke-width": "18",
        },
        "text": {"font-family": _TYPE, "font-weight": "700", "text-anchor": "middle"},
        ".letters": {"display": "none", "fill": "var(--figure-mark)", "stroke-width": ".24em", **_HALO},
        ".letters.shown": {"display": "inline"},
    },
    "chart": {
        ".bar": {"fill": "var(--chart-bar)"},
        ".axis": {"fill": "none", "stroke": "currentColor", "stroke-width": "1"},
        "text": {"font-family": _TYPE, "text-anchor": "middle", "fill": "currentColor"},
    },
}
"""For each kind of figure, by the class of its root, what holds within it."""

PRINT_RULES: Mapping[str, Rules] = {
    "puzzle": {".letters": {"display": "inline"}, ".muted": {"stroke-width": "4"}},
}
"""What is different on paper."""


def css() -> str:
    """The rules for figures, as a sheet."""
    return (
        f":root{{{_properties({**COLOURS, **LIGHT})}}}\n"
        f"@media (prefers-color-scheme:dark){{:root{{{_properties(DARK)}}}}}\n"
        f"@media print{{:root{{{_properties(PRINT)}}}}}\n"
        f"{_sheet(RULES)}\n"
        f"@media print{{{_sheet(PRINT_RULES)}}}\n"
    )


def _properties(values: Mapping[str, str]) -> str:
    return _declared({f"--{name}": value for name, value in values.items()})


def _sheet(rules: Mapping[str, Rules]) -> str:
    return "\n".join(
        f".{root} {selector}".rstrip() + f"{{{_declared(declarations)}}}"
        for root, within in rules.items()
        for selector, declarations in within.items()
    )


def _declared(values: Mapping[str, str]) -> str:
    return ";".join(f"{name}:{value}" for name, value in values.items())
