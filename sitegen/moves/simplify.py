"""Fewer turns with the same effect: R R is R2, R R' is nothing, parallel layers turn in any order."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

from sitegen.puzzles.puzzle import Puzzle, Turn


def simplify(turns: Iterable[Turn], puzzle: Puzzle) -> tuple[Turn, ...]:
    """Turns about one line that stand together are added up, and what adds up to nothing is taken away.

    Turns of parallel layers that stand together come out in one order: by axis, then by layer.
    """
    order = list(puzzle.axes)
    runs: list[tuple[frozenset[str], dict[tuple[str, int, int], int]]] = []
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
        for layers, amount in sorted(amounts.items(), key=lambda item: (order.index(item[0][0]), item[0][1:]))
    )


def join(first: tuple[Turn, ...], then: tuple[Turn, ...], puzzle: Puzzle) -> tuple[Turn, ...]:
    """One after the other, each of them as `simplify` leaves it: only where they meet can anything cancel."""
    while first and then and puzzle.line(first[-1]) == puzzle.line(then[0]):
        ends, starts = last_run(first, puzzle), first_run(then, puzzle)
        met = _met(ends + starts, puzzle)
        first, then = first[: -len(ends)], then[len(starts) :]
        if met:
            return first + met + then
    return first + then


def first_run(turns: tuple[Turn, ...], puzzle: Puzzle) -> tuple[Turn, ...]:
    """The turns about one line that stand together at the beginning."""
    end = 1
    while end < len(turns) and puzzle.line(turns[end]) == puzzle.line(turns[0]):
        end += 1
    return turns[:end]


def last_run(turns: tuple[Turn, ...], puzzle: Puzzle) -> tuple[Turn, ...]:
    """The turns about one line that stand together at the end."""
    start = len(turns) - 1
    while start > 0 and puzzle.line(turns[start - 1]) == puzzle.line(turns[-1]):
        start -= 1
    return turns[max(start, 0) :]


@lru_cache(maxsize=1 << 16)
def _met(turns: tuple[Turn, ...], puzzle: Puzzle) -> tuple[Turn, ...]:
    return simplify(turns, puzzle)


@lru_cache(maxsize=1 << 12)
def _from_one_side(turn: Turn, puzzle: Puzzle) -> Turn:
    """A turn as told on the axis to which its layers are nearer; on the first, if they are in the middle."""
    order, behind = list(puzzle.axes), puzzle.from_behind(turn)
    sides = (turn, behind) if behind else (turn,)
    return min(sides, key=lambda side: (side.first + side.last, order.index(side.axis)))
