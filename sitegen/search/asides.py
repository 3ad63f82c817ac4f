"""All clean steps there are: every aside, and every turn that then leaves the guard alone.

Knows turns and positions; knows nothing of what steps are made for.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import numpy as np
from numpy.typing import NDArray

from sitegen.effects.piece_sets import Pieces
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.permutation import Permutation
from sitegen.search.clean_steps import CleanStep, CleanSteps
from sitegen.search.ease import Ease, ease
from sitegen.search.turns import Turns, Word

Positions = NDArray[np.int16]
"""A permutation in each row."""
BESIDES = 8
"""Bytes counted for each sticker of an aside: its row, a copy, and where the guard is."""


def clean_steps(turns: Turns, guard: Pieces, longest: int, memory: int) -> CleanSteps | None:
    """Those with asides of up to so many turns; None where looking at all of these takes too many bytes."""
    puzzle = turns.puzzle
    places = np.array([s for index in sorted(guard) for s in puzzle.pieces[index].stickers], np.intp)
    turned = np.array([list(permutation) for permutation in turns.permutations], np.int16)
    moving = turned != np.arange(turned.shape[1])
    ways: dict[Permutation, list[tuple[Word, int]]] = {}
    for words, positions in _asides(turns, turned, longest, memory):
        if words is None:
            return None
        back = np.empty_like(positions)
        np.put_along_axis(back, positions.astype(np.intp), np.arange(turned.shape[1], dtype=np.int16), axis=1)
        # A turn leaves the guard alone where it moves none of the places that the guard has come to.
        at_guard = positions[:, places]
        for number, moves in enumerate(moving):
            clean = np.flatnonzero(~moves[at_guard].any(axis=1))
            done = np.take_along_axis(back[clean], turned[number][positions[clean]].astype(np.intp), axis=1)
            for word, permutation in zip(words[clean].tolist(), _permutations(done), strict=True):
                ways.setdefault(permutation, []).append((tuple(word), number))
    ways.pop(puzzle.identity, None)
    return _listed(turns, ways)


def _permutations(positions: Positions) -> Iterable[Permutation]:
    """The rows, as permutations are kept."""
    return map(perm.from_images, positions.tolist())


def _asides(
    turns: Turns, turned: Positions, longest: int, memory: int
) -> Iterator[tuple[NDArray[np.int16] | None, Positions]]:
    """Asides of one length after the other, as words, and where each brings what is in a slot."""
    words, positions = np.zeros((1, 0), np.int16), np.arange(turned.shape[1], dtype=np.int16)[None]
    for length in range(longest + 1):
        if length:
            last = words[:, -1].tolist() if length > 1 else [-1] * len(words)
            each = [turns.following[number] for number in last]
            if sum(map(len, each)) * turned.shape[1] * BESIDES > memory:
                yield None, positions
                return
            before = np.repeat(np.arange(len(words)), [len(some) for some in each])
            after = np.array([number for some in each for number in some], np.int16)
            words = np.column_stack([words[before], after])
            positions = turned[after[:, None], positions[before]]
        yield words, positions


def _listed(turns: Turns, ways: dict[Permutation, list[tuple[Word, int]]]) -> CleanSteps:
    """Of all ways to do the same the first, in the order of the turns."""
    ranked = sorted((_first(some, turns), permutation) for permutation, some in ways.items())
    listed = tuple(
        CleanStep(turns.puzzle, turns.spelled(word), turns.listed[number], permutation)
        for (_, _, word, number), permutation in ranked
    )
    by_way = {way: place for place, (_, permutation) in enumerate(ranked) for way in ways[permutation]}
    return CleanSteps(listed, tuple(_shorter(ways[step.permutation], by_way) for step in listed))


def _least(ways: list[tuple[Word, int]]) -> list[tuple[Word, int]]:
    """Those with the shortest asides."""
    least = min(len(word) for word, _ in ways)
    return [(word, number) for word, number in ways if len(word) == least]


def _first(ways: list[tuple[Word, int]], turns: Turns) -> tuple[int, Ease, Word, int]:
    """By what a step is listed: the length of its aside, how easy it is, and its turns by number."""
    return min(
        (len(word), ease((*turns.spelled(word), turns.listed[number]), turns.puzzle), word, number)
        for word, number in _least(ways)
    )


def _shorter(ways: list[tuple[Word, int]], by_way: dict[tuple[Word, int], int]) -> frozenset[int]:
    """What is left of a step when turns of its aside are left out, however its aside may be written."""
    less = {(rest, number) for word, number in _least(ways) for rest in _parts(word)}
    return frozenset(by_way[each] for each in less if each in by_way)


def _parts(word: Word) -> set[Word]:
    """What is left of a word when some of its letters are left out, one at least."""
    parts: set[Word] = set()
    for at in range(len(word)):
        rest = word[:at] + word[at + 1 :]
        parts |= {rest} | _parts(rest)
    return parts
