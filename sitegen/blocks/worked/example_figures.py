"""The figures of a worked example: the position, and what it is after each stage."""

from __future__ import annotations

from sitegen.blocks.drawn import Views, in_views
from sitegen.blocks.method.method import WorkedExample
from sitegen.effects.effect import Effect
from sitegen.effects.words import where
from sitegen.figures.of_position import Palette, picture
from sitegen.puzzles import permutation as perm


def of_example(example: WorkedExample, colours: Palette) -> list[Views]:
    """Each view of the position, and of what it is after each stage."""
    sights = [("to begin with", example.position)]
    sights += [(f"after {part.title}", part.after) for part in example.parts]
    drawn = []
    for title, slots in sights:
        position = perm.from_images(slots)
        sight = picture(
            example.puzzle,
            position,
            colours,
            f"{example.title or 'Worked example'}: {title}",
            where(Effect(example.puzzle, position)),
            letters_shown=example.shown.letters,
        )
        drawn.append(in_views(sight, example.shown.views))
    return drawn
