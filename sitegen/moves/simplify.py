"""Fewer turns with the same effect: R R is R2, R R' is nothing, parallel layers turn in any order."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

from sitegen.puzzles.puzzle import Puzzle, Turn

Layers = tuple[str, int, int]
"""An axis, the first and the last of the layers on it."""


def simplify(turns: Iterable[Turn], puzzle: Puzzle) -> tuple[Turn, ...]:
    """Turns about one line that stand together are added up, and what adds up to nothing is taken away.

    Turns of parallel layers that stand together come out in one order: by axis, then by layer.
    """
    order = list(puzzle.axes)
    runs: list[tuple[frozenset[str], dict[Layers, int]]] = []
    for turn in turns:
        line, told = puzzle.line(turn), _from_one_side(turn, puzzle)
        layers = told.axis, told.first, told.last
        if not runs or runs[-1][0] != line:
            runs.append((line, {}))
        amounts = runs[-1][1]
        amounts[layers] = (amounts.get(layers, 0) + told.amount) % puzzle.full_turn
        if not amounts[layers]:
            del amounts[layers]
        if not amounts:
            runs.pop()
    return tuple(
        Turn(*layers, puzzle.amounts[amount - 1])
        for _, amounts in runs
        for layers, amount in _in_order(amounts, order)
    )


def _in_order(amounts: dict[Layers, int], order: list[str]) -> Iterable[tuple[Layers, int]]:
    """Parallel layers by their axis, then by their place on it."""
    if len(amounts) == 1:
        return amounts.items()
    return sorted(amounts.items(), key=lambda item: (order.index(item[0][0]), item[0][1:]))


@lru_cache(maxsize=1 << 12)
def _from_one_side(turn: Turn, puzzle: Puzzle) -> Turn:
    """A turn as told on the axis to which its layers are nearer; on the first, if they are in the middle."""
    order, behind = list(puzzle.axes), puzzle.from_behind(turn)
    sides = (turn, behind) if behind else (turn,)
    return min(sides, key=lambda side: (side.first + side.last, order.index(side.axis)))
