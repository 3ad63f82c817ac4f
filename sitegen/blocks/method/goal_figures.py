"""The figure of what a stage is to reach: in colour what is solved by then, with lines on what is new."""

from __future__ import annotations

from dataclasses import replace

from sitegen.blocks.drawn import Views, in_views
from sitegen.blocks.method.case_figures import with_only
from sitegen.blocks.method.method import Method, StageShown
from sitegen.figures.best_view import view_of
from sitegen.figures.legend import Sample, goal_legend
from sitegen.figures.of_position import Palette, picture
from sitegen.figures.trace import every_slot
from sitegen.moves.spoken import spelled


def of_goal(stage: StageShown, method: Method, colours: Palette) -> Views:
    """In one view: of those of its cases, or of all, the one that shows most of what is new."""
    puzzle, reached = method.puzzle, stage.gained
    sight = picture(
        puzzle,
        puzzle.identity,
        colours,
        # Where the author has written nothing the goal is told beside it.
        f"Goal: {spelled(stage.goal, puzzle)}" if stage.say else "Goal",
        "",
        letters_shown=method.shown.letters,
    )
    solved = stage is method.stages[-1] and method.left == 1
    sight = with_only(every_slot(puzzle) if solved else reached.asked, sight)
    sight = replace(sight, outlined=reached.new - reached.placed, disturbed=reached.placed)
    return in_views(sight, [view_of(puzzle, reached.new, stage.views)])


def legend_of(method: Method, colours: Palette) -> list[Sample]:
    """What the signs in these figures mean, as far as there are any."""
    before, new, placed = goal_legend(colours.paints)
    drawn = (len(method.stages) > 1, True, any(stage.gained.placed for stage in method.stages))
    return [sample for sample, there in zip((before, new, placed), drawn, strict=True) if there]
