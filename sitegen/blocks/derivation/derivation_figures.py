"""The figures of a derivation: one for each step, with what is guarded, and the ways of what is watched."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from markupsafe import Markup

from sitegen.blocks.derivation.derivation import Derivation, DerivationStep
from sitegen.blocks.drawn import in_views
from sitegen.effects.fares import AWAY, DISTURBED, HOME
from sitegen.figures.of_position import Palette, picture
from sitegen.figures.picture import Arrow, Picture
from sitegen.figures.trace import follow, in_focus
from sitegen.figures.views import DEFAULT_VIEW, all_round, layout
from sitegen.puzzles.puzzle import Puzzle

LEAPS = "A broken arrow leads over places where the piece stops on its way."


def stages(derivation: Derivation, colours: Palette) -> list[list[Markup]]:
    """For each step its figures, one a view: how the guard fares, and where the watched pieces went."""
    drawn = [_stage(derivation, stage, colours) for stage in derivation.stages]
    views = derivation.shown.views or (_view(derivation.puzzle, drawn),)
    return [[figure for _, figure in in_views(each, views)] for each in drawn]


def _view(puzzle: Puzzle, drawn: Sequence[Picture]) -> str:
    """One for all steps: from the corner, if all that is guarded or watched is seen from there each time."""
    visited: set[int] = set()
    for each in drawn:
        visited |= each.outlined | each.away | each.disturbed | each.ringed
    seen = layout(puzzle, DEFAULT_VIEW).shapes.keys()
    places = [piece for piece in puzzle.pieces if not visited.isdisjoint(piece.stickers)]
    return all_round(puzzle) if any(seen.isdisjoint(place.stickers) for place in places) else DEFAULT_VIEW


def _stage(derivation: Derivation, stage: DerivationStep, colours: Palette) -> Picture:
    marks = follow(derivation.puzzle, stage.watch, stage.stops)
    drawn = picture(
        derivation.puzzle,
        stage.after,
        colours,
        f"after step {stage.number}",
        LEAPS if any(isinstance(mark, Arrow) and mark.leap for mark in marks) else "",
        focus=stage.guard if stage.guard or stage.watch else None,
        marks=marks,
        marked=stage.marked,
        letters_shown=derivation.shown.letters,
    )
    # A guarded piece is as good as one that looks like it, but it is this one and no other that is followed.
    watched = in_focus(derivation.puzzle, stage.after, stage.watch, marked=True)
    return replace(
        drawn,
        muted=drawn.muted - watched,
        ringed=watched,
        outlined=stage.slots(HOME),
        away=stage.slots(AWAY),
        disturbed=stage.slots(DISTURBED),
    )
