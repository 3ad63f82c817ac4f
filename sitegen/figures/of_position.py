"""A picture of a position: the sticker in each slot shows the colour of the face that it came from.

Knows which pieces are in focus, and so both in colour and marked; knows nothing of views.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from sitegen.effects.piece_sets import Pieces
from sitegen.figures.picture import Mark, Picture
from sitegen.figures.style import Paints
from sitegen.figures.trace import MOST_MARKED, every_slot, goes, in_focus, trace
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.definition import COLOURS
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Puzzle


@dataclass(frozen=True)
class Palette:
    stickers: tuple[str, ...]
    """The colour name of each sticker, which is that of its face."""
    for_copies: bool = False
    """Whether each colour has its letter and a pattern as well, for paper that is copied in grey."""
    paints: Paints | None = None
    """The shades, where no style sheet says them."""


def faces_coloured(puzzle: Puzzle, own: Mapping[str, str] | None = None) -> dict[str, str]:
    """The colour name of each face: that of its author, or else one that a guide gives, or the puzzle's.

    A guide gives them to the puzzles that have all faces that it names; its shades for colours are no faces.
    """
    usual = {face.name: face.colour for face in puzzle.faces}
    given = {name: colour for name, colour in (own or {}).items() if name not in COLOURS}
    return usual if puzzle.coloured or not given.keys() <= usual.keys() else usual | given


def palette(
    puzzle: Puzzle,
    own: Mapping[str, str] | None = None,
    for_copies: bool = False,
    paints: Paints | None = None,
) -> Palette:
    """The colours of a puzzle's stickers, where a guide gives its faces some of its own."""
    faces = faces_coloured(puzzle, own)
    return Palette(tuple(faces[sticker.face] for sticker in puzzle.stickers), for_copies, paints)


def picture(
    puzzle: Puzzle,
    position: Permutation,
    colours: Palette,
    title: str,
    description: str,
    *,
    focus: Pieces | None = None,
    moves: Permutation | None = None,
    marks: tuple[Mark, ...] = (),
    marked: bool = False,
    letters_shown: bool = False,
    most_marked: int | None = MOST_MARKED,
) -> Picture:
    """A position in colours: the slot that a sticker is in shows the colour of the face it came from.

    Of the pieces in focus, which are named by where they belong, marks show what `moves` do to them, if there
    are any; all others are muted. `marks` are more of them; pieces that look alike may be `marked`. Title and
    description are as they are heard.
    """
    home = perm.inverse(position)[: len(puzzle.stickers)]
    slots, stickers, letters = in_focus(puzzle, position, focus, marked), colours.stickers, puzzle.letters
    traced = (
        trace(puzzle, goes(puzzle, position, moves, marked), slots, most_marked) if moves is not None else ()
    )
    return Picture(
        puzzle=puzzle,
        colours=tuple([stickers[slot] for slot in home]),
        title=title,
        description=description,
        muted=frozenset() if focus is None else every_slot(puzzle) - slots,
        marks=traced + marks,
        letters=tuple([letters[slot] for slot in home]),
        letters_shown=letters_shown or colours.for_copies,
        patterned=colours.for_copies,
        paints=colours.paints,
    )
