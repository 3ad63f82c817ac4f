"""A bar across a sticker: its piece is to be looked at."""

from __future__ import annotations

from collections.abc import Sequence

from sitegen.figures.layout import Layout
from sitegen.figures.parts import Part, Path
from sitegen.figures.picture import BarMark, Mark


def bar(layout: Layout, mark: BarMark, _: Sequence[Mark]) -> list[Part]:
    places = [layout.centres[slot] for slot in layout.visible([mark.slot])]
    half, thick = round(0.3 * layout.unit), round(0.1 * layout.unit)
    return [Path(f"M{round(x) - half},{round(y)}h{2 * half}v{thick}h{-2 * half}z") for x, y in places]
