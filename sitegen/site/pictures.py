"""The figures of a sequence, before and after and for each turn; of a derivation's steps; of a position.

Knows sequences and what pictures are made of; knows nothing of HTML.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from sitegen.bench.coverage import Case
from sitegen.effects.effect import Effect
from sitegen.effects.piece_sets import Pieces
from sitegen.effects.words import brief, where
from sitegen.figures.draw import draw
from sitegen.figures.layout import Layout
from sitegen.figures.picture import Arrow, Mark, Picture
from sitegen.figures.position import Palette, picture
from sitegen.figures.trace import trace
from sitegen.figures.views import layout
from sitegen.guide.derivation import AWAY, DISTURBED, HOME, Derivation, Stage
from sitegen.guide.method import Method, StageShown, WorkedExample
from sitegen.guide.position import Position
from sitegen.guide.practice import AFTER, SOLVED, Exercise
from sitegen.guide.sequence import Sequence, Shown
from sitegen.moves.notation import write, write_all
from sitegen.moves.turning import inverse
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Puzzle

STEP_VIEW = "corner"
"""The view of each turn: the one in which every layer can be seen turning."""
MOST_STEPS = 60
"""A sequence with more turns than this is not drawn turn by turn."""


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
    effect = sequence.effect
    after = perm.compose(sequence.before, effect.permutation)
    drawn = []
    for view in sequence.shown.views:
        marks = (
            trace(effect, layout(sequence.puzzle, view), sequence.shown.focus)
            if sequence.shown.arrows
            else ()
        )
        before = _picture(
            sequence,
            sequence.before,
            colours,
            "before",
            f"{_position(sequence, sequence.before)} The moves do this: {brief(effect)}",
            marks,
        )
        done = _picture(sequence, after, colours, "after", _position(sequence, after))
        drawn.append(Pair(view, draw(before, view), draw(done, view)))
    return drawn


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
        picture = _picture(
            sequence, position, colours, f"turn {number}", f"The next turn is {text}.", (turn,)
        )
        yield StepFigure(number, text, draw(picture, STEP_VIEW))
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
    marks: tuple[Mark, ...] = (),
) -> Picture:
    puzzle = sequence.puzzle
    return picture(
        puzzle,
        position,
        colours,
        f"{sequence.title or sequence.moves}: {what}",
        description,
        marks=marks,
        focus=sequence.shown.focus,
        letters_shown=sequence.shown.letters,
    )


def stages(derivation: Derivation, colours: Palette) -> list[list[str]]:
    """For each step its figures, one a view: how the guard fares, and where the watched pieces went."""
    views = derivation.shown.views
    return [[_stage(derivation, stage, view, colours) for view in views] for stage in derivation.stages]


def _stage(derivation: Derivation, stage: Stage, view: str, colours: Palette) -> str:
    plan = layout(derivation.puzzle, view)
    seen = [way for way in stage.paths() if set(way) <= plan.shapes.keys()]
    words = " ".join(filter(None, [f"After {stage.text}.", stage.did, stage.guarded]))
    drawn = picture(
        derivation.puzzle,
        stage.after,
        colours,
        f"{derivation.title or 'Derivation'}: step {stage.number}",
        words,
        marks=tuple(Arrow(*way) for way in _one_each(seen, derivation.puzzle)),
        focus=(stage.guard | stage.watch) or None,
        letters_shown=derivation.shown.letters,
    )
    guarded = replace(
        drawn, outlined=stage.slots(HOME), away=stage.slots(AWAY), disturbed=stage.slots(DISTURBED)
    )
    return draw(guarded, view)


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


def _one_each(ways: list[tuple[int, int]], puzzle: Puzzle) -> list[tuple[int, int]]:
    """Of the ways between two places the first alone: a piece has more stickers than arrows."""
    found: dict[tuple[int, int], tuple[int, int]] = {}
    for start, end in ways:
        found.setdefault((puzzle.stickers[start].piece, puzzle.stickers[end].piece), (start, end))
    return list(found.values())


def of_position(position: Position, colours: Palette) -> list[tuple[str, str]]:
    """Each view that the author asked for, and the position drawn in it."""
    shown, puzzle = position.shown, position.puzzle
    drawn = []
    for view in shown.views:
        marks = _ways_home(position, layout(puzzle, view)) if shown.arrows else ()
        sight = picture(
            puzzle,
            position.position,
            colours,
            position.title or "Position",
            position.words + (" The arrows and marks lead home." if marks else ""),
            marks=marks,
            focus=shown.focus,
            letters_shown=shown.letters,
        )
        drawn.append((view, draw(sight, view)))
    return drawn


def _ways_home(position: Position, plan: Layout) -> tuple[Mark, ...]:
    """A mark for each piece that is not home, from where it is to where it belongs."""
    home = perm.inverse(position.position)
    at, focus = position.puzzle.piece_at, position.shown.focus
    places = (
        None
        if focus is None
        else frozenset(
            at(position.position[piece.stickers[0]]).index
            for piece in position.puzzle.pieces
            if piece.index in focus
        )
    )
    return trace(Effect(position.puzzle, home), plan, places)


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
    puzzle = exercise.made.puzzle
    title = ", ".join(filter(None, [f"Exercise {exercise.number}", when]))
    drawn = []
    for view in shown.views:
        marks = trace(exercise.effect, layout(puzzle, view)) if marked else ()
        focus: Pieces | None = frozenset() if light else None
        sight = picture(
            puzzle, at, colours, title, words, marks=marks, focus=focus, letters_shown=shown.letters
        )
        drawn.append((view, draw(sight, view)))
    return drawn


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
