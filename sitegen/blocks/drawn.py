"""Figures by the views that they are drawn in, ready to stand in HTML."""

from __future__ import annotations

from collections.abc import Iterable

from markupsafe import Markup

from sitegen.figures.draw import draw
from sitegen.figures.picture import Picture

Views = list[tuple[str, Markup]]
"""Each view by its name, with the figure as `<svg>`."""


def in_views(picture: Picture, views: Iterable[str]) -> Views:
    """A picture, drawn in each of some views."""
    return [(view, Markup(draw(picture, view))) for view in views]
