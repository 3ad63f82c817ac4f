"""Fewer turns with the same effect: R R is R2, R R' is nothing, parallel layers turn in any order."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

from sitegen.puzzles.puzzle import Puzzle, Turn

Layers = tuple[str, int, int]


def simplify(turns: Iterable[Turn], puzzle: Puzzle) -> tuple[Turn, ...]:
    """Turns about one line that stand together are added up, and what adds up to nothing is taken away.

    Turns of parallel layers that stand together come out in one order: by axis, then by layer.
    """
    order = list(puzzle.axes)
    runs: list[tuple[frozenset[str], dict[Layers, int]]] = []
    for turn in turns:
        line, layers, amount = _canonical(turn, puzzle)
        if not runs or runs[-1][0] != line:
            runs.append((line, {}))
        amounts = runs[-1][1]
        amounts[layers] = (amounts.get(layers, 0) + amount) % puzzle.full_turn
        if not amounts[layers]:
            del amounts[layers]
        if not amounts:
            runs.pop()
    return tuple(
        Turn(*layers, _signed(amount, puzzle))
        for _, amounts in runs
        for layers, amount in sorted(amounts.items(), key=lambda item: (order.index(item[0][0]), item[0][1:]))
    )


def join(first: tuple[Turn, ...], then: tuple[Turn, ...], puzzle: Puzzle) -> tuple[Turn, ...]:
    """One after the other, each of them as `simplify` leaves it: only where they meet can anything cancel."""
    while first and then and (line := puzzle.line(first[-1])) == puzzle.line(then[0]):
        a = next((i for i in range(len(first) - 1, -1, -1) if puzzle.line(first[i]) != line), -1) + 1
        b = next((i for i, turn in enumerate(then) if puzzle.line(turn) != line), len(then))
        met = _met(first[a:] + then[:b], puzzle)
        first, then = first[:a], then[b:]
        if met:
            return first + met + then
    return first + then


def meets(last: Turn, first: Turn, puzzle: Puzzle) -> bool:
    """Whether a turn and the one after it are about one line, so that something may cancel."""
    return puzzle.line(last) == puzzle.line(first)


@lru_cache(maxsize=1 << 16)
def _met(turns: tuple[Turn, ...], puzzle: Puzzle) -> tuple[Turn, ...]:
    return simplify(turns, puzzle)


def _canonical(turn: Turn, puzzle: Puzzle) -> tuple[frozenset[str], Layers, int]:
    """The line turned about, the layers named from one side in every case, and the amount from there."""
    other, line = puzzle.opposite.get(turn.axis), puzzle.line(turn)
    if other is None:
        return line, (turn.axis, turn.first, turn.last), turn.amount
    size, order = puzzle.layer_count, list(puzzle.axes)
    here, there = (turn.first, turn.last), (size + 1 - turn.last, size + 1 - turn.first)
    if (sum(here), order.index(turn.axis)) < (sum(there), order.index(other)):
        return line, (turn.axis, *here), turn.amount
    return line, (other, *there), -turn.amount


def _signed(amount: int, puzzle: Puzzle) -> int:
    return amount if amount <= puzzle.full_turn / 2 else amount - puzzle.full_turn
