"""What marks promise: one for each changed piece, or none at all where there are too many."""

from __future__ import annotations

import pytest

from sitegen.effects.effect import Effect
from sitegen.figures.picture import Arrow
from sitegen.figures.trace import MOST_MARKED, trace
from sitegen.figures.views import VIEWS, layout
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.puzzle import Puzzle, Turn


def effect_of(puzzle: Puzzle, *turns: Turn) -> Effect:
    done = puzzle.identity
    for turn in turns:
        done = perm.compose(done, puzzle.permutation(turn))
    return Effect(puzzle, done)


def test_a_turn_of_the_top_has_an_arrow_for_each_of_its_eight_pieces(cube3: Puzzle) -> None:
    marks = trace(effect_of(cube3, Turn("U", 1, 1, 1)), layout(cube3, "top"))
    # Four edges and four corners; the centre stays where it is.
    assert len(marks) == 8 == MOST_MARKED
    assert all(isinstance(mark, Arrow) for mark in marks)


@pytest.mark.parametrize("view", VIEWS)
def test_with_too_many_changed_pieces_no_view_has_a_mark_however_few_it_shows(
    cube3: Puzzle, view: str
) -> None:
    # By hand: D and B move eight pieces each and have a row of three in common, so 13 are moved at most; from
    # the corner only a few of them can be seen.
    effect = effect_of(cube3, Turn("D", 1, 1, 1), Turn("B", 1, 1, 1))
    assert len(effect.changed) > MOST_MARKED
    assert trace(effect, layout(cube3, view)) == ()


def test_flips_and_twists_are_left_out_with_the_rest(cube3: Puzzle) -> None:
    # By hand: R U takes seven edges in a cycle, five corners in another, and turns the sixth corner in place;
    # its order is 105. After five times all six corners are home but twisted, and the edges are on their way.
    five = effect_of(cube3, *[Turn("R", 1, 1, 1), Turn("U", 1, 1, 1)] * 5)
    assert len(five.twists) == 6
    assert len(five.changed) == 13
    assert trace(five, layout(cube3, "net")) == ()


def test_what_is_asked_for_is_marked_though_much_else_is_changed(cube3: Puzzle) -> None:
    effect = effect_of(cube3, *[Turn("R", 1, 1, 1), Turn("U", 1, 1, 1)] * 5)
    pieces = frozenset(twist.piece for twist in effect.twists)
    assert len(trace(effect, layout(cube3, "net"), pieces)) == len(pieces)
