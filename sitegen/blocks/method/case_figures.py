"""The figures of a case: in colour what matters in it."""

from __future__ import annotations

from dataclasses import replace

from sitegen.blocks.drawn import Views, in_views
from sitegen.blocks.method.method import Method, StageShown
from sitegen.figures.of_position import Palette, picture
from sitegen.methods.coverage import Case
from sitegen.moves.spoken import spelled
from sitegen.puzzles import permutation as perm


def of_case(case: Case, stage: StageShown, method: Method, colours: Palette) -> Views:
    """Each view of a case: in colour what matters in it, and centres, by which it is held."""
    slots = range(len(method.puzzle.stickers))
    sight = picture(
        method.puzzle,
        perm.from_images(case.position),
        colours,
        # Of a case without a solution the sheet says itself what it is.
        f"Case: {spelled(case.words, method.puzzle)}" if case.applications else "Case",
        "",
        letters_shown=method.shown.letters,
    )
    shown = {*case.shown, *method.puzzle.fixed_centres}
    letters = tuple(letter if slot in shown else "" for slot, letter in enumerate(sight.letters))
    sight = replace(sight, muted=frozenset(slots) - shown, letters=letters)
    return in_views(sight, stage.views)
