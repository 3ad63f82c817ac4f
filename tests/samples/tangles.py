"""How far the arrows of figures keep off each other, read from the drawings; and sequences to draw."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from functools import cache
from itertools import combinations, islice, pairwise
from random import Random

from reading_marks import Stroke
from reading_paths import outlines

from sitegen.blocks.moves.cycle_figures import cycle_figures
from sitegen.effects.effect import Effect
from sitegen.figures.best_view import best_view
from sitegen.figures.draw import draw
from sitegen.figures.layout import Layout
from sitegen.figures.of_position import palette, picture
from sitegen.figures.path_text import whole
from sitegen.figures.plane import Point, distance
from sitegen.moves.turning import inverse_turns, permutation_of
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Puzzle

HEADS_APART = 25.0
"""Units: the tips of two arrows nearer than this lie on each other, as heads are 30 and more long."""


@cache
def effects(puzzle: Puzzle, number: int) -> tuple[Permutation, ...]:
    """What conjugates and commutators of turns at random do, as far as that can be drawn with marks."""
    return tuple(islice(_effects(puzzle), number))


def _effects(puzzle: Puzzle) -> Iterator[Permutation]:
    random, turns = Random(f"tangles of {puzzle.name}"), list(puzzle.turns())
    while True:
        a, b = (tuple(random.choices(turns, k=random.choice((1, 1, 2, 3)))) for _ in range(2))
        words = (a + b, a + b + inverse_turns(a), a + b + inverse_turns(a) + inverse_turns(b))
        done = permutation_of(random.choice(words), puzzle)
        if picture(puzzle, puzzle.identity, palette(puzzle), "", "", moves=done).marks:
            yield done


def figures(puzzle: Puzzle, done: Permutation) -> list[str]:
    """Those on a card that show what was done, where no view is asked for."""
    before = picture(puzzle, puzzle.identity, palette(puzzle), "", "", moves=done)
    apart = cycle_figures(before, Effect(puzzle, done), ())
    return [str(each.figure) for each in apart.figures] or [draw(before, best_view(puzzle, before.marks))]


def lines(figure: str) -> list[list[Point]]:
    """The middles of all arrows of a figure, from their tails to their tips."""
    groups = [group for group in ET.fromstring(figure).iter("g") if group.get("class") == "marks"]
    strokes = [Stroke(path.get("d", ""), "") for group in groups for path in group.iter("path")]
    return [stroke.spine for stroke in strokes if len(stroke.spine) > 1]


def crossing(figure: str) -> int:
    """How many pairs of arrows cross."""
    return sum(
        any(_cross(a, b, c, d) for a, b in pairwise(one) for c, d in pairwise(other))
        for one, other in combinations(lines(figure), 2)
    )


def coloured(figure: str, plan: Layout) -> set[int]:
    """The slots in sight that are not muted."""
    muted = re.search(r'<path d="([^"]*)" class="muted"', figure)
    grey = {outline.corners for outline in outlines(muted[1])} if muted else set()
    return {slot for slot, shape in plan.shapes.items() if tuple(map(whole, shape)) not in grey}


def on_each_other(figure: str) -> int:
    """How many pairs of heads lie on each other."""
    return sum(distance(one[-1], other[-1]) < HEADS_APART for one, other in combinations(lines(figure), 2))


def _cross(a: Point, b: Point, c: Point, d: Point) -> bool:
    return _side(a, b, c) * _side(a, b, d) < 0 and _side(c, d, a) * _side(c, d, b) < 0


def _side(a: Point, b: Point, point: Point) -> float:
    return (b[0] - a[0]) * (point[1] - a[1]) - (b[1] - a[1]) * (point[0] - a[0])
