"""The figures of a sequence: before and after, and one for each turn."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from markupsafe import Markup

from sitegen.blocks.drawn import Views, in_views
from sitegen.blocks.moves.sequence import Sequence
from sitegen.effects.effect import Effect
from sitegen.effects.words import brief
from sitegen.figures.draw import draw
from sitegen.figures.of_position import Palette, picture
from sitegen.figures.picture import Mark, Picture
from sitegen.moves.notation import write
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.permutation import Permutation

STEP_VIEW = "corner"
"""The view of each turn: the one in which every layer can be seen turning."""
MOST_STEPS = 60
"""A sequence with more turns than this is not drawn turn by turn."""


MOST_PAIRS = 64
"""How many sequences have their figures kept: as many as an author's page may have."""


@dataclass(frozen=True)
class Pair:
    """Two figures of one sequence in one view."""

    view: str
    before: Markup
    after: Markup


@dataclass(frozen=True)
class StepFigure:
    """The position before one turn, and the turn; `turn` is empty for the last position."""

    number: int
    turn: str
    figure: Markup


@lru_cache(maxsize=MOST_PAIRS)
def pairs(sequence: Sequence, colours: Palette) -> tuple[Pair, ...]:
    """Before and after in each view that the author asked for; the same where a sequence stands again."""
    moves = sequence.effect.permutation
    words = f"{_position(sequence, sequence.before)} The moves do this: {brief(sequence.effect)}"
    arrows = moves if sequence.shown.arrows else None
    before = _picture(sequence, sequence.before, colours, "before", words, moves=arrows)
    at_end = perm.compose(sequence.before, moves)
    after = _picture(sequence, at_end, colours, "after", _position(sequence, at_end))
    views = sequence.shown.views
    drawn = zip(in_views(before, views), in_views(after, views), strict=True)
    return tuple(Pair(view, begun, ended) for (view, begun), (_, ended) in drawn)


def results(sequence: Sequence, colours: Palette) -> Views:
    """What a sequence has done, in each view that the author asked for."""
    after = perm.compose(sequence.before, sequence.effect.permutation)
    drawn = _picture(sequence, after, colours, "after", _position(sequence, after))
    return in_views(drawn, sequence.shown.views)


def _position(sequence: Sequence, position: Permutation) -> str:
    """A position in words."""
    return _in_words(Effect(sequence.puzzle, position, sequence.effect.marked))


@lru_cache(maxsize=MOST_PAIRS)
def _in_words(away: Effect) -> str:
    return f"Position: {brief(away)}" if away.changed else "Every piece is home."


def steps(sequence: Sequence, colours: Palette) -> Iterator[StepFigure]:
    """One figure for each turn, showing which layer it turns and which way, and one for the end."""
    position, puzzle = sequence.before, sequence.puzzle
    if len(sequence.turns) > MOST_STEPS:
        return
    for number, turn in enumerate(sequence.turns, 1):
        text = write(turn, puzzle)
        words = f"The next turn is {text}."
        before = _picture(sequence, position, colours, f"turn {number}", words, marks=(turn,))
        yield StepFigure(number, text, Markup(draw(before, STEP_VIEW)))
        position = perm.compose(position, puzzle.permutation(turn))
    if sequence.turns:
        last = _picture(sequence, position, colours, "at the end", _position(sequence, position))
        yield StepFigure(len(sequence.turns) + 1, "", Markup(draw(last, STEP_VIEW)))


def _picture(
    sequence: Sequence,
    position: Permutation,
    colours: Palette,
    what: str,
    description: str,
    *,
    moves: Permutation | None = None,
    marks: tuple[Mark, ...] = (),
) -> Picture:
    return picture(
        sequence.puzzle,
        position,
        colours,
        f"{sequence.title or sequence.moves}: {what}",
        description,
        focus=sequence.shown.focus,
        moves=moves,
        marks=marks,
        marked=sequence.effect.marked,
        letters_shown=sequence.shown.letters,
    )
