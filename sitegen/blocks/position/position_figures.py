"""The figures of a position, with what leads home from it where that is wanted."""

from __future__ import annotations

from dataclasses import replace

from markupsafe import Markup

from sitegen.blocks.drawn import Views
from sitegen.blocks.position.position import Position
from sitegen.figures import marks as of_marks
from sitegen.figures.draw import draw
from sitegen.figures.of_position import Palette, picture
from sitegen.figures.views import layout
from sitegen.puzzles import permutation as perm


def of_position(position: Position, colours: Palette) -> Views:
    """Each view that the author asked for, and the position drawn in it."""
    shown = position.shown
    sight = picture(
        position.puzzle,
        position.position,
        colours,
        position.title or "Position",
        position.words,
        focus=shown.focus,
        moves=perm.inverse(position.position) if shown.arrows else None,
        letters_shown=shown.letters,
    )
    led = replace(sight, description=f"{position.words} The arrows and marks lead home.")
    plans = {view: layout(position.puzzle, view) for view in shown.views}
    return [
        (view, Markup(draw(led if of_marks.drawn(plan, sight.marks) else sight, view)))
        for view, plan in plans.items()
    ]
