"""The figures of a sequence, before and after and for each turn; of a derivation's steps; of a position.

Knows sequences and what pictures are made of; knows nothing of HTML.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from sitegen.blocks.derivation.derivation import AWAY, DISTURBED, HOME, Derivation, Stage
from sitegen.blocks.method.method import Method, StageShown, WorkedExample
from sitegen.blocks.moves.sequence import Sequence, Shown
from sitegen.blocks.position.position import Position
from sitegen.blocks.practice.practice import AFTER, SOLVED, Exercise
from sitegen.effects.effect import Effect
from sitegen.effects.words import brief, where
from sitegen.figures import marks as of_marks
from sitegen.figures.draw import draw
from sitegen.figures.of_position import Palette, picture
from sitegen.figures.picture import Arrow, Mark, Picture
from sitegen.figures.trace import follow, in_focus
from sitegen.figures.views import layout
from sitegen.methods.coverage import Case
from sitegen.moves.notation import write, write_all
from sitegen.moves.turning import inverse
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Puzzle

STEP_VIEW = "corner"
"""The view of each turn: the one in which every layer can be seen turning."""
MOST_STEPS = 60
"""A sequence with more turns than this is not drawn turn by turn."""
LEAPS = "A broken arrow leads over places where the piece stops on its way."


@dataclass(frozen=True)
class Pair:
    """Two figures of one sequence in one view."""

    view: str
    before: str
    after: str


@dataclass(frozen=True)
class StepFigure:
    """The position before one turn, and the turn; `turn` is empty for the last position."""

    number: int
    turn: str
    figure: str


def pairs(sequence: Sequence, colours: Palette) -> list[Pair]:
    """Before and after in each view that the author asked for."""
    moves = sequence.effect.permutation
    words = f"{_position(sequence, sequence.before)} The moves do this: {brief(sequence.effect)}"
    arrows = moves if sequence.shown.arrows else None
    before = _picture(sequence, sequence.before, colours, "before", words, moves=arrows)
    at_end = perm.compose(sequence.before, moves)
    after = _picture(sequence, at_end, colours, "after", _position(sequence, at_end))
    return [Pair(view, draw(before, view), draw(after, view)) for view in sequence.shown.views]


def results(sequence: Sequence, colours: Palette) -> list[tuple[str, str]]:
    """What a sequence has done, in each view that the author asked for."""
    after = perm.compose(sequence.before, sequence.effect.permutation)
    drawn = _picture(sequence, after, colours, "after", _position(sequence, after))
    return [(view, draw(drawn, view)) for view in sequence.shown.views]


def _position(sequence: Sequence, position: Permutation) -> str:
    """A position in words."""
    away = Effect(sequence.puzzle, position, sequence.effect.marked)
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
        yield StepFigure(number, text, draw(before, STEP_VIEW))
        position = perm.compose(position, puzzle.permutation(turn))
    if sequence.turns:
        last = _picture(sequence, position, colours, "at the end", _position(sequence, position))
        yield StepFigure(len(sequence.turns) + 1, "", draw(last, STEP_VIEW))


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


def stages(derivation: Derivation, colours: Palette) -> list[list[str]]:
    """For each step its figures, one a view: how the guard fares, and where the watched pieces went."""
    drawn = [_stage(derivation, stage, colours) for stage in derivation.stages]
    return [[draw(each, view) for view in derivation.shown.views] for each in drawn]


def _stage(derivation: Derivation, stage: Stage, colours: Palette) -> Picture:
    marks = follow(derivation.puzzle, stage.watch, stage.stops)
    leaps = LEAPS if any(isinstance(mark, Arrow) and mark.leap for mark in marks) else ""
    words = " ".join(filter(None, [f"After {stage.text}.", stage.did, leaps, stage.guarded]))
    drawn = picture(
        derivation.puzzle,
        stage.after,
        colours,
        f"{derivation.title or 'Derivation'}: step {stage.number}",
        words,
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
        outlined=stage.slots(HOME),
        away=stage.slots(AWAY),
        disturbed=stage.slots(DISTURBED),
    )


def of_case(case: Case, stage: StageShown, method: Method, colours: Palette) -> list[tuple[str, str]]:
    """Each view of a case: in colour what matters in it, and centres, by which it is held."""
    slots = range(len(method.puzzle.stickers))
    sight = picture(
        method.puzzle,
        perm.from_images(case.position),
        colours,
        f"{method.title}, {stage.title}: a case",
        f"{case.words[0].upper()}{case.words[1:]}.",
        letters_shown=method.shown.letters,
    )
    shown = {*case.shown, *method.puzzle.fixed_centres}
    letters = tuple(letter if slot in shown else "" for slot, letter in enumerate(sight.letters))
    sight = replace(sight, muted=frozenset(slots) - shown, letters=letters)
    return [(view, draw(sight, view)) for view in stage.views]


def of_example(example: WorkedExample, stages: list[str], colours: Palette) -> list[list[tuple[str, str]]]:
    """Each view of the position, and of what it is after each stage; `stages` are the titles of all."""
    sights = [("to begin with", example.position)]
    sights += [(f"after {stages[part.stage]}", part.after) for part in example.parts]
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
        drawn.append([(view, draw(sight, view)) for view in example.shown.views])
    return drawn


def of_position(position: Position, colours: Palette) -> list[tuple[str, str]]:
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
        (view, draw(led if of_marks.drawn(plan, sight.marks) else sight, view))
        for view, plan in plans.items()
    ]


def of_exercise(exercise: Exercise, shown: Shown, colours: Palette) -> list[tuple[str, str]]:
    """Each view of what an exercise is about; nothing where it is about moves alone.

    What is to be drawn on is light, with letters and no colours.
    """
    at, puzzle = exercise.drawn, exercise.made.puzzle
    if at is None:
        return []
    # Whoever is to say what the moves do must not be told in the words for those who cannot see the figure.
    words = _seen(at, puzzle) if exercise.ask.figure == AFTER else _held(at, puzzle)
    return _exercise(exercise, at, "", words, shown, colours, light=exercise.ask.figure == SOLVED)


def of_answer(exercise: Exercise, shown: Shown, colours: Palette) -> list[tuple[str, list[tuple[str, str]]]]:
    """The steps of an answer, and each view of the puzzle after them; the first has the marks."""
    if exercise.drawn is None:
        return []
    puzzle = exercise.made.puzzle
    words = f"{_held(exercise.begin, puzzle)} The moves do this: {brief(exercise.effect)}"
    begin = _exercise(exercise, exercise.begin, "to begin with", words, shown, colours, marked=True)
    return [
        ("", begin),
        *(
            (text, _exercise(exercise, at, f"after {text}", _held(at, puzzle), shown, colours))
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
) -> list[tuple[str, str]]:
    sight = picture(
        exercise.made.puzzle,
        at,
        colours,
        ", ".join(filter(None, [f"Exercise {exercise.number}", when])),
        words,
        focus=frozenset() if light else None,
        moves=exercise.effect.permutation if marked else None,
        marked=exercise.effect.marked,
        letters_shown=shown.letters,
    )
    return [(view, draw(sight, view)) for view in shown.views]


def _held(at: Permutation, puzzle: Puzzle) -> str:
    """A position in words: with the centres home, and how the whole puzzle is then turned."""
    seen = Effect(puzzle, at)
    back = seen.turning_back
    turned = f" The whole puzzle is turned by {write_all(inverse(back), puzzle)}." if back else ""
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
