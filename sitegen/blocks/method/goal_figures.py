"""The figure of what a stage is to reach: in colour what is solved by then, with lines on what is new."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from sitegen.blocks.drawn import Views, in_views
from sitegen.blocks.method.case_figures import with_only
from sitegen.blocks.method.method import Method, StageShown
from sitegen.figures.best_view import view_of
from sitegen.figures.legend import Sample, goal_legend
from sitegen.figures.of_position import Palette, picture
from sitegen.figures.picture import Picture
from sitegen.figures.trace import every_slot
from sitegen.methods.goals import Gained
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
    sight = with_gained(replace(reached, asked=every_slot(puzzle)) if solved else reached, sight)
    return in_views(sight, [view_of(puzzle, reached.new, stage.views)])


def with_gained(reached: Gained, sight: Picture) -> Picture:
    """A picture in which only what is solved is in colour, with a line on what is new of it."""
    sight = with_only(reached.asked, sight)
    return replace(sight, outlined=reached.new - reached.placed, disturbed=reached.placed)


def legend_of(drawn: Sequence[Gained], colours: Palette) -> list[Sample]:
    """What the signs in such figures mean, as far as there are any."""
    before, new, placed = goal_legend(colours.paints)
    there = (
        (before, any(each.new < each.asked for each in drawn)),
        (new, any(each.placed < each.new for each in drawn)),
        (placed, any(each.placed for each in drawn)),
    )
    return [sample for sample, is_there in there if is_there]
