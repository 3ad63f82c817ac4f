"""The figures of a sequence: before and after, and one for each turn."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache

from markupsafe import Markup

from sitegen.blocks.drawn import Views, in_views
from sitegen.blocks.moves.cycle_figures import MOST_PIECES, ByCycle, cycle_figures, undrawn
from sitegen.blocks.moves.sequence import Sequence
from sitegen.effects.effect import Effect
from sitegen.effects.words import brief, listed
from sitegen.figures.best_view import best_view
from sitegen.figures.draw import draw
from sitegen.figures.of_position import Palette, palette, picture
from sitegen.figures.picture import Mark, Picture
from sitegen.figures.trace import MOST_MARKED
from sitegen.moves.notation import write
from sitegen.moves.spoken import spelled, spelled_places, spoken_moves, spoken_turn, without_links
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Puzzle, Turn

STEP_VIEW = "corner"
"""The view of each turn: the one in which every layer can be seen turning."""
MOST_TOLD = 8
"""Of so many pieces, at most, a turn says where each goes."""
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
    views, before = _begun(sequence, colours)
    after = _after(sequence, colours, "after")
    drawn = zip(in_views(before, views), in_views(after, views), strict=True)
    return tuple(Pair(view, begun, ended) for (view, begun), (_, ended) in drawn)


def before_alone(sequence: Sequence, colours: Palette) -> Markup:
    """Before by itself, in the first of its views; a solved puzzle without marks would say nothing."""
    views, before = _begun(sequence, colours)
    solved = sequence.before == sequence.puzzle.identity
    return Markup(draw(_before(sequence, colours) if solved else before, views[0]))


def says_nothing(sequence: Sequence) -> bool:
    """Whether before by itself would be a solved puzzle without marks, though there is something to show."""
    solved = sequence.before == sequence.puzzle.identity
    return solved and bool(sequence.effect.changed) and not _before(sequence, palette(sequence.puzzle)).marks


def after_alone(sequence: Sequence, colours: Palette) -> Markup:
    """After by itself, in the view in which before would be."""
    views, _ = _begun(sequence, colours)
    called = spelled(sequence.title, sequence.puzzle) or _said(sequence)
    position = perm.compose(sequence.before, sequence.effect.permutation)
    words = _position(sequence, position)
    return Markup(draw(_picture(sequence, position, colours, f"{called}: after", words), views[0]))


def _begun(sequence: Sequence, colours: Palette) -> tuple[tuple[str, ...], Picture]:
    """The views, and before as it is drawn in them: without marks where these would be a tangle."""
    before = _before(sequence, colours)
    views = sequence.shown.views or (best_view(sequence.puzzle, before.marks),)
    return views, replace(before, marks=()) if by_cycle(sequence, colours).figures else before


@lru_cache(maxsize=MOST_PAIRS)
def by_cycle(sequence: Sequence, colours: Palette) -> ByCycle:
    """Figures of cycles, where before and after have no marks as all at once would be a tangle."""
    count = len(sequence.effect.changed)
    if sequence.shown.arrows and sequence.shown.focus is None and count > MOST_PIECES:
        return undrawn(count)
    return cycle_figures(_before(sequence, colours, None), sequence.effect, sequence.shown.views)


@lru_cache(maxsize=MOST_PAIRS)
def _before(sequence: Sequence, colours: Palette, most_marked: int | None = MOST_MARKED) -> Picture:
    arrows = sequence.effect.permutation if sequence.shown.arrows else None
    called = spelled(sequence.title, sequence.puzzle) or _said(sequence)
    words = _position(sequence, sequence.before)
    told = f"{called}: before"
    return _picture(sequence, sequence.before, colours, told, words, moves=arrows, most_marked=most_marked)


def results(sequence: Sequence, colours: Palette) -> Views:
    """What a sequence has done, in each view that the author asked for."""
    return in_views(_after(sequence, colours, "after"), sequence.shown.views)


def _said(sequence: Sequence) -> str:
    return without_links(spoken_moves(sequence.moves, sequence.puzzle))


def _after(sequence: Sequence, colours: Palette, called: str) -> Picture:
    """At the end. From a solved puzzle it is what the moves do, which stands beside it in words."""
    position = perm.compose(sequence.before, sequence.effect.permutation)
    words = "" if sequence.before == sequence.puzzle.identity else _position(sequence, position)
    return _picture(sequence, position, colours, called, words)


def _position(sequence: Sequence, position: Permutation) -> str:
    """A position in words."""
    return _in_words(Effect(sequence.puzzle, position, sequence.effect.marked))


@lru_cache(maxsize=MOST_PAIRS)
def _in_words(away: Effect) -> str:
    return f"Position: {spelled(brief(away), away.puzzle)}" if away.changed else "Every piece is home."


def steps(sequence: Sequence, colours: Palette) -> Iterator[StepFigure]:
    """One figure for each turn, showing which layer it turns and which way, and one for the end."""
    position, puzzle = sequence.before, sequence.puzzle
    followed = _followed(sequence)
    if len(sequence.turns) > MOST_STEPS:
        return
    for number, turn in enumerate(sequence.turns, 1):
        text, turned = write(turn, puzzle), puzzle.permutation(turn)
        called, words = f"turn {number}, {spoken_turn(text)}", _change(followed, turn, puzzle)
        before = _picture(sequence, position, colours, called, words, marks=(turn,))
        yield StepFigure(number, text, Markup(draw(before, STEP_VIEW)))
        position = perm.compose(position, turned)
        followed = [turned[slot] for slot in followed]
    if sequence.turns:
        last = _after(sequence, colours, "at the end")
        yield StepFigure(len(sequence.turns) + 1, "", Markup(draw(last, STEP_VIEW)))


def _followed(sequence: Sequence) -> list[int]:
    """Where the pieces begin of which each turn says where they go: those in focus, or that end elsewhere."""
    focus, pieces = sequence.shown.focus, sequence.puzzle.pieces
    if focus is None:
        return [piece.stickers[0] for piece in sequence.effect.changed]
    return [sequence.before[pieces[index].stickers[0]] for index in sorted(focus)]


def _change(followed: list[int], turn: Turn, puzzle: Puzzle) -> str:
    """What a turn does to the pieces that are followed, by the slots they are in: `U F goes to R F.`"""
    ways = _ways(turn, puzzle)
    moved = [ways[slot] for slot in followed if slot in ways]
    if len(moved) > MOST_TOLD:
        return f"{len(moved)} pieces move."
    return f"{listed(moved).replace(' to ', ' goes to ', 1)}." if moved else ""


@lru_cache(maxsize=4096)
def _ways(turn: Turn, puzzle: Puzzle) -> Mapping[int, str]:
    """For each slot that a turn takes round the way from there: `U F to R F`."""
    names = [spelled_places(puzzle)[sticker.name] for sticker in puzzle.stickers]
    turned = puzzle.permutation(turn)
    return {
        slot: f"{name} to {names[turned[slot]]}" for slot, name in enumerate(names) if turned[slot] != slot
    }


def _picture(
    sequence: Sequence,
    position: Permutation,
    colours: Palette,
    called: str,
    description: str,
    *,
    moves: Permutation | None = None,
    marks: tuple[Mark, ...] = (),
    most_marked: int | None = MOST_MARKED,
) -> Picture:
    return picture(
        sequence.puzzle,
        position,
        colours,
        called,
        description,
        focus=sequence.shown.focus,
        moves=moves,
        marks=marks,
        marked=sequence.effect.marked,
        letters_shown=sequence.shown.letters,
        most_marked=most_marked,
    )
