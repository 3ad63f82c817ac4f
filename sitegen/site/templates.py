"""The templates of a theme: how they are called.

A template has the name of what it sets, in the folder of its like: `pages/handout.html`, `blocks/moves.html`.
That is all that the code knows of their names; what templates share they ask for themselves.
"""

from __future__ import annotations

PAGES, BLOCKS = "pages", "blocks"


def template_of(folder: str, name: str, ending: str = ".html") -> str:
    """The template by which a page or block is set: `pages/effect-table.html` for the effect table."""
    return f"{folder}/{name.replace(' ', '-')}{ending}"
