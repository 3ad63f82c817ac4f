"""The figures of an exercise and of its answer."""

from __future__ import annotations

from sitegen.blocks.block import Shown
from sitegen.blocks.drawn import Views, in_views
from sitegen.blocks.kind import PageRenderer
from sitegen.blocks.practice.practice import AFTER, SOLVED, Exercise, Practice
from sitegen.effects.effect import Effect
from sitegen.effects.words import where
from sitegen.figures.of_position import Palette, picture
from sitegen.moves.notation import write_all
from sitegen.moves.spoken import spelled, spoken_moves, without_links
from sitegen.moves.turning import inverse_turns
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Puzzle


def exercises(practice: Practice, page: PageRenderer) -> list[tuple[Exercise, Views]]:
    """Each exercise with what is drawn of it."""
    colours = page.colours(practice.puzzle)
    return [(each, of_exercise(each, practice.shown, colours)) for each in practice.exercises(page.variant)]


def answers(practice: Practice, page: PageRenderer) -> list[tuple[Exercise, list[tuple[str, Views]]]]:
    """Each exercise with the steps of its answer, and what is drawn of these."""
    colours = page.colours(practice.puzzle)
    return [(each, of_answer(each, practice.shown, colours)) for each in practice.exercises(page.variant)]


def of_exercise(exercise: Exercise, shown: Shown, colours: Palette) -> Views:
    """Each view of what an exercise is about; nothing where it is about moves alone.

    What is to be drawn on is light, with letters and no colours.
    """
    at, puzzle = exercise.drawn, exercise.made.puzzle
    if at is None:
        return []
    # Whoever is to say what the moves do must not be told in the words for those who cannot see the figure.
    words = _seen(at, puzzle) if exercise.ask.figure == AFTER else _held(at, puzzle)
    return _exercise(exercise, at, "", words, shown, colours, light=exercise.ask.figure == SOLVED)


def of_answer(exercise: Exercise, shown: Shown, colours: Palette) -> list[tuple[str, Views]]:
    """The steps of an answer, and each view of the puzzle after them; the first has the marks."""
    if exercise.drawn is None:
        return []
    puzzle = exercise.made.puzzle
    words = _held(exercise.begin, puzzle)
    begin = _exercise(exercise, exercise.begin, "to begin with", words, shown, colours, marked=True)
    return [
        ("", begin),
        *(
            (
                text,
                _exercise(
                    exercise,
                    at,
                    f"after {without_links(spoken_moves(text, puzzle))}",
                    _held(at, puzzle),
                    shown,
                    colours,
                ),
            )
            for text, at in exercise.parts
        ),
    ]


def _exercise(
    exercise: Exercise,
    at: Permutation,
    when: str,
    words: str,
    shown: Shown,
    colours: Palette,
    *,
    marked: bool = False,
    light: bool = False,
) -> Views:
    sight = picture(
        exercise.made.puzzle,
        at,
        colours,
        ", ".join(filter(None, [f"Exercise {exercise.number}", when])),
        spelled(words, exercise.made.puzzle),
        focus=frozenset() if light else None,
        moves=exercise.effect.permutation if marked else None,
        marked=exercise.effect.marked,
        letters_shown=shown.letters,
    )
    return in_views(sight, shown.views)


def _held(at: Permutation, puzzle: Puzzle) -> str:
    """A position in words: with the centres home, and how the whole puzzle is then turned."""
    seen = Effect(puzzle, at)
    back = seen.turning_back
    turned = (
        f" The whole puzzle is turned by {spoken_moves(write_all(inverse_turns(back), puzzle), puzzle)}."
        if back
        else ""
    )
    return where(seen.turned_back) + turned


def _seen(at: Permutation, puzzle: Puzzle) -> str:
    """What is to be seen of a position, sticker by sticker."""
    home = perm.inverse(at)
    strange = [
        f"{sticker.name} shows {puzzle.stickers[home[sticker.index]].face}"
        for sticker in puzzle.stickers
        if puzzle.stickers[home[sticker.index]].face != sticker.face
    ]
    return f"Of the stickers {', '.join(strange)}; all others show their own face."
