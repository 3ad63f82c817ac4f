"""What figures on a card promise: arrows that can be told apart, and pieces that can be seen.

Read back from the drawings, of conjugates and commutators at random.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from itertools import chain, islice
from random import Random

import pytest
from tangles import coloured, crossing, effects, figures, lines, on_each_other

from sitegen.blocks.moves.cycle_figures import ByCycle, cycle_figures
from sitegen.effects.effect import Effect
from sitegen.effects.words import say
from sitegen.figures.best_view import best_view, view_of
from sitegen.figures.draw import draw
from sitegen.figures.marks.routes import BOW, crossings, routes, shown_best
from sitegen.figures.of_position import palette, picture
from sitegen.figures.picture import Arrow, Picture, arrows_of
from sitegen.figures.trace import MOST_MARKED, every_slot, trace
from sitegen.figures.views import available, layout
from sitegen.moves.parse import parse
from sitegen.moves.turning import permutation, permutation_of
from sitegen.problems import written
from sitegen.puzzles import catalogue
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Puzzle

MANY = 12
CUBE = catalogue.puzzle("cube-3")
EVERY = pytest.mark.parametrize("name", list(catalogue.names()))


def before(moves: str, puzzle: Puzzle = CUBE) -> tuple[Picture, Effect]:
    done = permutation(parse(written(moves), puzzle), puzzle)
    return picture(puzzle, puzzle.identity, palette(puzzle), "", "", moves=done), Effect(puzzle, done)


@EVERY
def test_hardly_any_arrows_of_a_card_cross_and_no_heads_lie_on_each_other(name: str) -> None:
    """Of figures with all arrows, each as it is seen best, more than half have crossings on a cube."""
    puzzle = catalogue.puzzle(name)
    drawn = [figures(puzzle, done) for done in effects(puzzle, MANY)]
    assert len(drawn) == MANY
    assert sum(any(map(crossing, each)) for each in drawn) <= 1
    assert not any(map(on_each_other, chain(*drawn)))


@pytest.mark.slow
def test_arrows_that_keep_off_each_other_cross_far_less_than_those_that_do_not() -> None:
    count = Counter[str]()
    for puzzle in map(catalogue.puzzle, catalogue.names()):
        for done in effects(puzzle, MANY):
            arrows = arrows_of(picture(puzzle, puzzle.identity, palette(puzzle), "", "", moves=done).marks)
            for plan in (layout(puzzle, view) for view in available(puzzle)):
                count["alone"] += crossings(plan, shown_best(plan, arrows))
                count["led"] += crossings(plan, routes(plan, arrows))
    assert count["led"] <= 0.2 * count["alone"]


def test_arrows_that_cross_nobody_run_as_they_are_seen_best() -> None:
    plan, (sight, _) = layout(CUBE, "top"), before("[M' U2 M, U2]")
    arrows = arrows_of(sight.marks)
    assert routes(plan, arrows) == shown_best(plan, arrows)
    assert all(abs(route.rise) == BOW for route in routes(plan, arrows).values())


@EVERY
def test_in_the_view_that_is_chosen_every_piece_that_moves_has_its_mark(name: str) -> None:
    puzzle = catalogue.puzzle(name)
    for done in effects(puzzle, MANY):
        marks = picture(puzzle, puzzle.identity, palette(puzzle), "", "", moves=done).marks
        plan = layout(puzzle, best_view(puzzle, marks))
        slots = [(m.starts, m.ends) if isinstance(m, Arrow) else (m.stickers,) for m in marks]
        assert all(not plan.shapes.keys().isdisjoint(some) for each in slots for some in each)


@pytest.mark.parametrize(
    ("moves", "view"),
    [
        ("R U R' U'", "corner"),
        ("M' U2 M U2", "corner"),
        ("", "corner"),
        ("U R U' L' U R' U' L", "corner"),
        ("B D B' D'", "corner with back"),
    ],
)
def test_the_easiest_view_is_chosen_that_shows_what_moves(moves: str, view: str) -> None:
    assert best_view(CUBE, before(moves)[0].marks) == view


@pytest.mark.parametrize(
    ("pieces", "rather", "view"),
    [
        ("UFR", (), "corner"),
        ("UBL", (), "top"),  # its sticker on the back is seen beside the top
        ("DBL", (), "corner with back"),
        ("DBL", ("net", "top"), "net"),
        ("UFR", ("top",), "top"),
        ("DBL", ("top",), "corner with back"),
    ],
)
def test_what_has_no_marks_is_seen_in_the_view_that_shows_most_of_it(
    pieces: str, rather: tuple[str, ...], view: str
) -> None:
    slots = frozenset(sticker.index for sticker in CUBE.stickers if {*sticker.name} == {*pieces})
    assert view_of(CUBE, slots, rather) == view


@EVERY
def test_figures_by_cycle_say_together_what_the_sentence_says_and_each_only_its_part(name: str) -> None:
    puzzle, split = catalogue.puzzle(name), 0
    for done in effects(puzzle, MANY):
        sight, effect = (
            picture(puzzle, puzzle.identity, palette(puzzle), "", "", moves=done),
            Effect(puzzle, done),
        )
        told = cycle_figures(sight, effect, ()).figures
        split += bool(told)
        if told:
            assert "; ".join(each.words for each in told).lower() in say(effect).lower()
            assert sum(len(lines(str(each.figure))) for each in told) == len(sight.marks)
            moved = {slot for slot in range(len(puzzle.stickers)) if effect.seen[slot] != slot}
            for each in told:
                assert coloured(str(each.figure), layout(puzzle, each.view)) <= moved
    assert split >= (name == "cube-3")


def test_two_arrows_have_one_figure() -> None:
    assert cycle_figures(*before("[M' U2 M, U2]"), ()) == ByCycle()


@pytest.mark.parametrize(
    ("moves", "pieces", "left_out"),
    [
        ("R U", [1, 5, 7], ""),
        ("R U F' L2 D", [3, 5, 6, 6], ""),
        ("U R2 F B R B2 R U2 L B2 R U' D' R2 F R' L B2 U2 F2", [12], ""),  # every edge is flipped
        ("x y", [], "26 pieces move, more than arrows can show."),
    ],
)
def test_of_more_pieces_than_have_marks_in_one_figure_each_cycle_is_shown(
    moves: str, pieces: list[int], left_out: str
) -> None:
    sight, effect = before(moves)
    assert sight.marks == ()
    everything = replace(sight, marks=trace(CUBE, effect.permutation, every_slot(CUBE), None))
    shown = cycle_figures(everything, effect, ())
    assert [len(coloured_pieces(str(each.figure), each.view)) for each in shown.figures] == pieces
    assert shown.left_out == left_out


def test_what_is_left_out_is_counted() -> None:
    """Of seven cycles at most six are drawn, and none that is a tangle by itself."""
    seen = set()
    for done in islice(shuffled(CUBE), 60):
        effect = Effect(CUBE, done)
        marks = trace(CUBE, done, every_slot(CUBE), None)
        shown = cycle_figures(replace(before("")[0], marks=marks), effect, ())
        if len(effect.changed) <= MOST_MARKED or not shown.figures:
            continue
        assert len(shown.figures) <= 6
        assert not any(crossing(str(each.figure)) for each in shown.figures)
        drawn = sum(len(coloured_pieces(str(each.figure), each.view)) for each in shown.figures)
        counted = sum(map(int, re.findall(r"(\d+) (?:edge|corner|centre)s", shown.left_out)))
        assert drawn + counted == len(effect.changed)
        seen.add(bool(counted))
    assert seen == {False, True}


def shuffled(puzzle: Puzzle) -> Iterator[Permutation]:
    random, turns = Random("shuffled"), list(puzzle.turns())
    while True:
        yield permutation_of(tuple(random.choices(turns, k=random.randint(2, 6))), puzzle)


def coloured_pieces(figure: str, view: str) -> set[int]:
    return {CUBE.piece_at(slot).index for slot in coloured(figure, layout(CUBE, view))}


def test_the_cycles_of_a_view_that_hides_them_are_shown_in_another() -> None:
    told = cycle_figures(*before("[R, U]"), ("top",)).figures
    assert next(each.view for each in told) != "top"
    assert "top" in [each.view for each in told]


def test_a_muted_centre_keeps_a_core_of_its_colour() -> None:
    uf = CUBE.piece_at(CUBE.slots["UF"]).index
    sight = picture(CUBE, CUBE.identity, palette(CUBE), "", "", focus=frozenset([uf]))
    cores = re.search(r'<g class="cores"[^>]*>(.*?)</g>', draw(sight, "corner"))
    assert cores
    assert re.findall(r'class="(\w+)"', cores[1]) == ["white", "green", "red"]
    everything = picture(CUBE, CUBE.identity, palette(CUBE), "", "")
    assert "cores" not in draw(everything, "corner")
