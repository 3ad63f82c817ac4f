"""The figures of a case: in colour what matters in it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from sitegen.blocks.drawn import Views, in_views
from sitegen.blocks.method.method import Method, StageShown
from sitegen.figures.of_position import Palette, picture
from sitegen.figures.picture import Picture
from sitegen.methods.coverage import Case
from sitegen.moves.spoken import spelled
from sitegen.puzzles import permutation as perm


def of_case(case: Case, stage: StageShown, method: Method, colours: Palette) -> Views:
    """Each view of a case."""
    sight = picture(
        method.puzzle,
        perm.from_images(case.position),
        colours,
        # Of a case without a solution the sheet says itself what it is.
        f"Case: {spelled(case.words, method.puzzle)}" if case.applications else "Case",
        "",
        letters_shown=method.shown.letters,
    )
    return in_views(with_only(case.shown, sight), stage.views)


def with_only(shown: Iterable[int], sight: Picture) -> Picture:
    """A picture with some slots in colour, and centres, by which the puzzle is held; all others are muted."""
    slots = {*shown, *sight.puzzle.fixed_centres}
    letters = tuple(letter if slot in slots else "" for slot, letter in enumerate(sight.letters))
    return replace(sight, muted=frozenset(range(len(letters))) - slots, letters=letters)
