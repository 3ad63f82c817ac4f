"""The figures of a derivation: one for each step, with what is guarded, and the ways of what is watched."""

from __future__ import annotations

from collections.abc import Sequence, Set
from dataclasses import replace

from markupsafe import Markup

from sitegen.blocks.derivation.derivation import Derivation, DerivationStep
from sitegen.blocks.drawn import on_plans
from sitegen.effects.fares import AWAY, DISTURBED, HOME
from sitegen.figures.layout import Layout
from sitegen.figures.of_position import Palette, picture
from sitegen.figures.picture import Arrow, Picture
from sitegen.figures.trace import follow, in_focus
from sitegen.figures.views import BACK, DEFAULT_VIEW, all_round, available, layout, with_back
from sitegen.puzzles.puzzle import Puzzle

LEAPS = "A broken arrow leads over places where the piece stops on its way."


def stages(derivation: Derivation, colours: Palette) -> list[list[Markup]]:
    """For each step its figures, one a view: how the guard fares, and where the watched pieces went."""
    drawn = [_stage(derivation, stage, colours) for stage in derivation.stages]
    visited = list(map(_visited, derivation.stages))
    plans = [_plans(derivation.puzzle, view, visited) for view in derivation.shown.views or ("",)]
    return [on_plans(each, of_step) for each, *of_step in zip(drawn, *plans, strict=True)]


def _plans(puzzle: Puzzle, view: str, visited: Sequence[frozenset[int]]) -> list[Layout]:
    """How each step is laid out in a view: of the back are seen the faces that are visited in the step.

    Without a view the back is seen where a piece is out of sight from the corner. All steps are as large.
    """
    seen = layout(puzzle, DEFAULT_VIEW).shapes.keys()
    slots = visited if view else [_out_of_sight(puzzle, each, seen) for each in visited]
    if view not in ("", BACK) or (any(slots) and BACK not in available(puzzle)):
        return [layout(puzzle, view or all_round(puzzle))] * len(visited)
    shown = [frozenset(puzzle.stickers[slot].face for slot in each - seen) for each in slots]
    room = frozenset[str]().union(*shown)
    return [with_back(puzzle, room, each) for each in shown]


def _out_of_sight(puzzle: Puzzle, slots: frozenset[int], seen: Set[int]) -> frozenset[int]:
    """Those of some slots whose pieces are not seen at all."""
    return frozenset(slot for slot in slots if seen.isdisjoint(puzzle.piece_at(slot).stickers))


def _visited(stage: DerivationStep) -> frozenset[int]:
    """Where watched pieces are in a step, and guarded ones that are not home after it as they were before."""
    puzzle = stage.puzzle
    watched = {stop[slot] for i in stage.watch for slot in puzzle.pieces[i].stickers for stop in stage.stops}
    guarded = [slot for i in stage.guard for slot in puzzle.pieces[i].stickers]
    came_home = {slot for slot in guarded if slot == stage.seen_after[slot] != stage.seen_before[slot]}
    return frozenset(watched | came_home) | stage.slots(AWAY) | stage.slots(DISTURBED)


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
