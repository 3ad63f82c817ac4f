"""What figures on a card promise: arrows that can be told apart, and pieces that can be seen.

Read back from the drawings, of conjugates and commutators at random.
"""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
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
from sitegen.figures.marks.routes import BOW, crossings, routes, shown_best, spine
from sitegen.figures.of_position import palette, picture
from sitegen.figures.picture import Arrow, Picture, arrows_of
from sitegen.figures.plane import distance
from sitegen.figures.style import USUAL, Paints
from sitegen.figures.trace import MOST_MARKED, every_slot, trace
from sitegen.figures.views import available, layout
from sitegen.moves.parse import parse
from sitegen.moves.turning import permutation, permutation_of
from sitegen.problems import written
from sitegen.puzzles import catalogue
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Puzzle, Turn

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
        ("[R2, U2]", [3, 3, 3], ""),
        ("(R U)3", [5, 7], ""),
        ("R U", [], "13 pieces move, more than arrows can show."),
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
    """At most six cycles are drawn, and none that is a tangle by itself."""
    seen = set()
    for done in islice(commutators(CUBE), 250):
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


def commutators(puzzle: Puzzle) -> Iterator[Permutation]:
    random, turns = Random("commutators"), list(puzzle.turns())
    while True:
        a, b = (
            permutation_of(tuple(random.choices(turns, k=random.randint(1, 3))), puzzle) for _ in range(2)
        )
        yield perm.compose(perm.compose(a, b), perm.compose(perm.inverse(a), perm.inverse(b)))


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


# Letters --------------------------------------------------------------------------------------------------


def letters(figure: str) -> list[tuple[float, float, float]]:
    """Where the middle of each letter that stands by itself is, and how high its font is."""
    (group,) = [each for each in ET.fromstring(figure).iter("g") if each.get("class") == "letters shown"]
    usual = float(group.get("font-size", 0))
    found = []
    for text in group.iter("text"):
        size, xs, ys = float(text.get("font-size", usual)), *(text.get(k, "").split() for k in "xy")
        found += [(float(x), float(y) - 0.36 * size, size) for x, y in zip(xs, ys, strict=True)]
    return found


@pytest.mark.parametrize(
    ("name", "view", "least"),
    [
        ("cube-3", "corner", 8.5),
        ("cube-3", "corner with back", 5.0),
        ("cube-3", "net", 5.0),
        ("cube-5", "corner", 5),
    ],
)
def test_capitals_can_be_read_where_figures_are_160_pixels_wide(name: str, view: str, least: float) -> None:
    """Seven letters in ten at least are as high; the others are on stickers that are seen from the edge."""
    puzzle = catalogue.puzzle(name)
    sight = picture(puzzle, puzzle.identity, palette(puzzle), "", "", letters_shown=True)
    high = sorted(0.72 * size * 160 / layout(puzzle, view).width for *_, size in letters(draw(sight, view)))
    assert high[3 * len(high) // 10] >= least


def test_letters_lie_over_marks_and_numbers_over_letters() -> None:
    turn = Turn("U", 1, 1, 2)
    for paints in (None, Paints(USUAL.paper, on_paper=True)):
        colours = palette(CUBE, paints=paints)
        sight = picture(CUBE, CUBE.identity, colours, "", "", marks=(turn,), letters_shown=True)
        whole, plain = draw(sight, "corner"), draw(replace(sight, marks=()), "corner")
        band = draw(replace(sight, letters=()), "corner")
        assert whole.index(marks_of(band)) < whole.index(letters_of(plain))
    order = re.findall(r'<g class="(marks|letters)', draw(replace(sight, paints=None), "corner"))
    assert order == ["marks", "letters", "marks"]


def marks_of(figure: str) -> str:
    """The path of the only mark."""
    return max(re.findall(r'd="([^"]*)"', figure), key=lambda d: d.lower().count("q"))


def letters_of(figure: str) -> str:
    """What stands last in a figure without marks: text, or lines."""
    return re.findall(r'(?:x|d)="([^"]*)"', figure)[-1]


@EVERY
def test_where_an_arrow_begins_or_ends_the_letter_makes_room(name: str) -> None:
    puzzle, nearer, ends = catalogue.puzzle(name), 0, 0
    for done in effects(puzzle, MANY):
        sight = picture(puzzle, puzzle.identity, palette(puzzle), "", "", moves=done, letters_shown=True)
        plan = layout(puzzle, best_view(puzzle, sight.marks))
        at = letters(draw(sight, best_view(puzzle, sight.marks)))
        for route in routes(plan, arrows_of(sight.marks)).values():
            curve = spine(plan, route)
            for slot, end in zip(route.line.slots or (), (curve[0], curve[-1]), strict=False):
                middle = plan.centres[slot]
                letter = min(((x, y) for x, y, _ in at), key=lambda each: distance(each, middle))
                ends += 1
                nearer += distance(letter, end) <= distance(middle, end) + 1
    assert nearer <= 0.5 * ends
