"""The figures that templates ask for, by name, as HTML."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup

from sitegen.blocks.derivation.derivation import Derivation, Stage
from sitegen.blocks.method.method import Method, StageShown, WorkedExample
from sitegen.blocks.moves.sequence import Sequence
from sitegen.blocks.position.position import Position
from sitegen.blocks.practice.practice import Exercise, Practice
from sitegen.figures.of_position import Palette, palette
from sitegen.guide.guide import Guide
from sitegen.methods.coverage import Case
from sitegen.puzzles.puzzle import Puzzle
from sitegen.site import pictures

Views = list[tuple[str, Markup]]
"""Figures by the views that they are drawn in."""


@dataclass(frozen=True)
class Figures:
    guide: Guide
    for_copies: bool
    """Whether they must be told apart on a copy in grey."""
    variant: str

    @property
    def by_name(self) -> Mapping[str, Callable[..., Any]]:
        """The functions as templates call them."""
        return {
            "pairs": self.pairs,
            "results": self.results,
            "stages": self.stages,
            "figures": self.position,
            "case_figures": self.case,
            "example_figures": self.example,
            "exercises": self.exercises,
            "answers": self.answers,
        }

    def _colours(self, puzzle: Puzzle) -> Palette:
        return palette(puzzle, self.guide.config.colours, self.for_copies)

    def pairs(self, sequence: Sequence) -> list[tuple[str, Markup, Markup]]:
        """Before and after, by view."""
        drawn = pictures.pairs(sequence, self._colours(sequence.puzzle))
        return [(pair.view, Markup(pair.before), Markup(pair.after)) for pair in drawn]

    def results(self, sequence: Sequence) -> Views:
        return _marked(pictures.results(sequence, self._colours(sequence.puzzle)))

    def position(self, position: Position) -> Views:
        return _marked(pictures.of_position(position, self._colours(position.puzzle)))

    def case(self, case: Case, stage: StageShown, method: Method) -> Views:
        return _marked(pictures.of_case(case, stage, method, self._colours(method.puzzle)))

    def example(self, example: WorkedExample) -> list[Views]:
        stages = [stage.title for stage in self.guide.methods[example.method].stages]
        return [_marked(each) for each in pictures.of_example(example, stages, self._colours(example.puzzle))]

    def stages(self, derivation: Derivation) -> list[tuple[Stage, list[Markup]]]:
        drawn = pictures.stages(derivation, self._colours(derivation.puzzle))
        figures = [[Markup(figure) for figure in each] for each in drawn]
        return list(zip(derivation.stages, figures, strict=True))

    def exercises(self, practice: Practice) -> list[tuple[Exercise, Views]]:
        """Each exercise with what is drawn of it."""
        colours = self._colours(practice.puzzle)
        made = practice.exercises(self.variant)
        return [(each, _marked(pictures.of_exercise(each, practice.shown, colours))) for each in made]

    def answers(self, practice: Practice) -> list[tuple[Exercise, list[tuple[str, Views]]]]:
        """Each exercise with the steps of its answer, and what is drawn of these."""
        colours = self._colours(practice.puzzle)
        return [
            (
                each,
                [(text, _marked(drawn)) for text, drawn in pictures.of_answer(each, practice.shown, colours)],
            )
            for each in practice.exercises(self.variant)
        ]


def _marked(drawn: list[tuple[str, str]]) -> Views:
    return [(view, Markup(figure)) for view, figure in drawn]
