"""Figures by the views that they are drawn in, ready to stand in HTML."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import repeat

from markupsafe import Markup

from sitegen.figures.draw import draw, draw_on
from sitegen.figures.layout import Layout
from sitegen.figures.picture import Picture

Views = list[tuple[str, Markup]]
"""Each view by its name, with the figure as `<svg>`."""


def in_views(picture: Picture, views: Sequence[str]) -> Views:
    """A picture, drawn in each of some views: whoever listens hears of the first, and nothing twice."""
    told = _told_once(picture, len(views))
    return [(view, Markup(draw(each, view))) for view, each in zip(views, told, strict=True)]


def on_plans(picture: Picture, plans: Sequence[Layout]) -> list[Markup]:
    """The same, where it is known how the puzzle is laid out in each view."""
    told = _told_once(picture, len(plans))
    return [Markup(draw_on(plan, each)) for plan, each in zip(plans, told, strict=True)]


def _told_once(picture: Picture, times: int) -> list[Picture]:
    silent = replace(picture, title="", description="") if times > 1 else picture
    return [picture, *repeat(silent, times - 1)]
