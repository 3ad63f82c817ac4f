"""What the preview sets in HTML by its own templates: its panel, its problems, and pages of its own.

The templates stand before those of the shipped theme, of which they use the parts and the looks.
"""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path
from typing import Any

from jinja2 import Environment

from sitegen.guide.guide import FILES
from sitegen.preview.block_places import PagePlaces
from sitegen.preview.republish import State
from sitegen.site.setting import with_filters
from sitegen.site.templates import environment_of
from sitegen.site.theme import BASE, shipped

HERE = Path(__file__).resolve().parent
LOOK = f"{BASE}.css"
"""The sheet of the shipped theme."""


@cache
def environment() -> Environment:
    return with_filters(environment_of((HERE, shipped() / BASE), ours=True))


def filled(template: str, **values: Any) -> str:
    """The HTML of a template; whatever it is given is escaped."""
    return environment().get_template(template).render(**values)


def panel(state: State, places: PagePlaces | None) -> str:
    """What the preview says on a page; `places` are of what stands there, if anybody has written it."""
    return filled("panel.html", state=state, places=places)


def page_instead(state: State, revision: str) -> str:
    """A page in the place of one that is not there."""
    return filled("instead.html", state=state, revision=revision)


@cache
def own_file(name: str) -> bytes | None:
    """What pages of the preview load: its own files, and the sheet of the shipped theme."""
    folder = shipped() / BASE / FILES if name == LOOK else HERE / FILES
    known = {path.name: path for path in folder.iterdir()}
    if name not in known:
        return None
    content = known[name].read_bytes()
    return _shades() + content if name == "panel.css" else content


def _shades() -> bytes:
    """The rules of the shipped theme that give its shades, for a panel that stands apart.

    They are read from its sheet, so that they stand there alone.
    """
    look = (shipped() / BASE / FILES / LOOK).read_text(encoding="utf-8")
    day, night = re.findall(r"^ *:root \{[^}]*\}", look, re.MULTILINE)[:2]
    dark = f"@media (prefers-color-scheme: dark) {{ {night} }}"
    return f"{day}\n{dark}\n".replace(":root", ":host").encode()
