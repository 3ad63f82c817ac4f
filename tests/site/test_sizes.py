"""How large published pages may be: what is drawn on one, in bytes, whatever its author turns."""

from __future__ import annotations

import re
from random import Random

import pytest

from sitegen.moves.notation import write
from sitegen.puzzles import catalogue

TWELVE = 12
MOST = 30_000
"""Bytes of all figures on the page of a sequence of twelve turns of cube-3, but for those of its cycles."""
MOST_OF_A_CYCLE = 4_500
"""And of one of these, where it shows the back as well."""


def random_turns(seed: int) -> str:
    """Twelve turns of faces and of blocks."""
    cube, random = catalogue.puzzle("cube-3"), Random(seed)
    layers = [turn for turn in cube.turns() if turn.first == 1]
    turns = [random.choice(layers)._replace(amount=random.choice([1, 2, 3])) for _ in range(TWELVE)]
    return " ".join(write(turn, cube) for turn in turns)


@pytest.mark.parametrize(
    ("moves", "views"),
    [
        # An arrow for each of few pieces, in two views.
        ("(R U R' U')3", ["corner", "top"]),
        ("[R, U]2 [R, F]", ["corner", "top"]),
        *((random_turns(seed), ["corner", "top"]) for seed in range(6)),
        # An arrow for each layer of each block, and a number on it: more to draw than there is of others.
        ("(Rw2 Uw2 Fw2 Lw2 Dw2 Bw2)2", ["corner"]),
        ("(M2 E2 S2 Rw2)3", ["corner"]),
    ],
)
def test_the_figures_of_a_sequence_of_twelve_turns_take_less_than_30_kilobytes(
    published, moves, views
) -> None:
    keys = f"title: A title of usual length\nmoves: {moves}\nview: {', '.join(views)}\nletters: yes"
    texts = published({"content/index.md": f"```moves twelve\n{keys}\n```\n"})
    page = texts["sequences/twelve.html"]
    by_cycle = "".join(re.findall(r'<div class="cycles".*?</div>', page, re.DOTALL))
    cycles = drawn_in(by_cycle)
    figures = [figure for figure in drawn_in(page) if figure not in cycles]
    # Before and after in each view, before each turn, and at the end.
    assert len(figures) == 2 * len(views) + TWELVE + 1
    assert sum(len(figure.encode()) for figure in figures) < MOST
    assert len(cycles) <= 6
    assert all(len(figure.encode()) < MOST_OF_A_CYCLE for figure in cycles)


def drawn_in(html: str) -> list[str]:
    return re.findall(r'<svg class="puzzle".*?</svg>', html, re.DOTALL)
