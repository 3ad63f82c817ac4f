"""How figures look: custom properties with sensible defaults, and the rules that use them.

Knows class names; knows nothing of puzzles. A theme overrides the properties in a later sheet.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

COLOURS: Mapping[str, str] = {
    "white": "#fbfaf4",
    "yellow": "#f4cf2f",
    "orange": "#f28f2d",
    "green": "#2fa563",
    "red": "#e24c4e",
    "blue": "#2456c4",
    "purple": "#7d51b8",
    "pink": "#f0a3bd",
    "grey": "#9b9fa6",
    "lime": "#abd04a",
    "sky": "#74c4e6",
    "sand": "#dcc69a",
}
"""The first six are about evenly apart in lightness, so that a grey copy still tells them apart."""

LIGHT: Mapping[str, str] = {
    "figure-body": "#121419",
    "figure-line": "#121419",
    "figure-muted": "#2a2d35",
    "figure-muted-line": "#7b808b",
    "figure-mark": "#121419",
    "figure-corner": "#6a1f93",
    "figure-halo": "#ffffff",
}

DARK: Mapping[str, str] = {"figure-line": "#767c88"}
"""Only what a dark page needs: the body's outline; what lies on the stickers stays as it is."""

RULES = """
.puzzle{overflow:visible}
.puzzle .body{fill:var(--figure-body);stroke:var(--figure-line);stroke-width:12;stroke-linejoin:round}
.puzzle .stickers{stroke-linejoin:round}
.puzzle .muted{fill:var(--figure-muted);stroke:var(--figure-muted-line);stroke-width:7}
.puzzle .guard{fill:none;stroke:var(--figure-body);stroke-linejoin:round}
.puzzle .faint{stroke:var(--figure-muted-line)}
.puzzle .marks{fill:var(--figure-mark);stroke:var(--figure-halo);stroke-width:22;stroke-linejoin:round;\
paint-order:stroke}
.puzzle .corner{fill:var(--figure-corner)}
.puzzle .turning{fill:var(--figure-halo);stroke:var(--figure-mark);stroke-width:18}
.puzzle text{font-family:system-ui,"Segoe UI",Roboto,"Helvetica Neue",Arial,sans-serif;font-weight:700;\
text-anchor:middle}
.puzzle .letters{display:none;fill:var(--figure-mark);stroke:var(--figure-halo);stroke-width:.24em;\
stroke-linejoin:round;paint-order:stroke}
.puzzle .letters.shown{display:inline}
@media print{.puzzle .letters{display:inline}}
"""


def css(more: Iterable[str] = ()) -> str:
    """The rules for figures; `more` are colour names of an author's own, taken as CSS knows them."""
    own = {name: name for name in more if name not in COLOURS}
    names = [*COLOURS, *own]
    return (
        f":root{{{_properties({**COLOURS, **own, **LIGHT})}}}\n"
        f"@media (prefers-color-scheme:dark){{:root{{{_properties(DARK)}}}}}\n"
        + "\n".join(f".puzzle .{name}{{fill:var(--{name});stroke:var(--{name})}}" for name in names)
        + RULES
    )


def _properties(values: Mapping[str, str]) -> str:
    return ";".join(f"--{name}:{value}" for name, value in values.items())
