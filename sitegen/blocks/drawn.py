"""Figures by the views that they are drawn in, ready to stand in HTML."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from markupsafe import Markup

from sitegen.figures.draw import draw
from sitegen.figures.picture import Picture

Views = list[tuple[str, Markup]]
"""Each view by its name, with the figure as `<svg>`."""


def in_views(picture: Picture, views: Sequence[str]) -> Views:
    """A picture, drawn in each of some views: whoever listens hears of the first, and nothing twice."""
    first, *others = views
    silent = replace(picture, title="", description="") if others else picture
    drawn = [(first, picture), *((view, silent) for view in others)]
    return [(view, Markup(draw(each, view))) for view, each in drawn]
