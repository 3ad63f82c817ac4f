"""All clean steps there are: every aside, and every turn that then leaves the guard alone.

Knows turns and positions; knows nothing of what steps are made for.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from sitegen.effects.piece_sets import Pieces
from sitegen.puzzles import permutation as perm
from sitegen.search.clean_steps import CleanStep, CleanSteps
from sitegen.search.ease import ease
from sitegen.search.turns import Turns

Positions = NDArray[np.uint16]
"""A permutation of the stickers' slots in each row."""
Words = NDArray[np.int16]
"""In each row turns by their numbers: of an aside, or of one and the turn after it."""
Way = tuple[int, ...]
"""An aside and the turn after it, by their numbers."""
BESIDES = 8
"""Bytes counted for each sticker of an aside: its row, a copy, and where the guard is."""
AT_ONCE = 1 << 20
"""About so many images are worked out at once, if every turn is clean."""


def clean_steps(turns: Turns, guard: Pieces, longest: int, memory: int) -> CleanSteps | None:
    """Those with asides of up to so many turns; None where looking at all of these takes too many bytes."""
    count = len(turns.puzzle.stickers)
    turned = np.array([list(permutation[:count]) for permutation in turns.permutations], np.uint16)
    places = np.array([s for index in sorted(guard) for s in turns.puzzle.pieces[index].stickers], np.intp)
    numbers: dict[bytes, int] = {}
    """Of each step, by where it takes what is in each slot."""
    least: list[list[Way]] = []
    """For each step all ways to do it with the shortest aside, the easiest first."""
    by_way: dict[Way, int] = {}
    """The number of the step that is done in a way."""
    layers = _numbered((turn.axis, turn.first, turn.last) for turn in turns.listed)
    lines, told = _numbered(turns.lines), np.array([ease([turn], turns.puzzle) for turn in turns.listed])
    for words, positions in _asides(turns, turned, longest, memory):
        if words is None:
            return None
        ways, done = _clean(lines, words, positions, turned, places)
        order = _easiest_first(ways, layers, told)
        known = len(least)
        for way, images in zip(map(tuple, ways[order].tolist()), _each(done[order]), strict=True):
            number = by_way[way] = numbers.setdefault(images, len(least))
            if number == len(least):
                least.append([way])
            elif number >= known:
                least[number].append(way)
    every = np.frombuffer(b"".join(numbers), np.uint16).reshape(-1, count)
    steps = tuple(_step(some[0], images, turns) for some, images in zip(least, every.tolist(), strict=True))
    moved = np.flatnonzero((every != np.arange(count)).any(axis=0)).tolist()
    return CleanSteps(steps, tuple(_shorter(some, by_way) for some in least), frozenset(moved))


def _asides(
    turns: Turns, turned: Positions, longest: int, memory: int
) -> Iterator[tuple[Words | None, Positions]]:
    """Asides of one length after the other, as words, and where each brings what is in a slot."""
    words, positions = np.zeros((1, 0), np.int16), np.arange(turned.shape[1], dtype=np.uint16)[None]
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
            starts = after[:, None] * np.intp(turned.shape[1])
            positions = turned.take(positions.take(before, axis=0) + starts)
        yield words, positions


def _clean(
    lines: NDArray[np.intp],
    words: Words,
    positions: Positions,
    turned: Positions,
    places: NDArray[np.intp],
) -> tuple[Words, Positions]:
    """Each aside with each turn that leaves the guard alone, and what it does when the aside is undone."""
    count, width = turned.shape
    moving = turned != np.arange(width)
    # A turn leaves the guard alone where it moves none of the places that the guard has come to: for each
    # place a bit says of each turn whether it moves it.
    bits = np.packbits(moving, axis=0).T
    ways, done = [], []
    many = max(1, AT_ONCE // turned.size)
    for start in range(0, len(words), many):
        some = positions[start : start + many]
        disturbed = np.bitwise_or.reduce(bits.take(some.T.take(places, axis=0), axis=0), axis=0)
        clean = moving.any(axis=1) & (np.unpackbits(disturbed, axis=1, count=count) == 0)
        if words.shape[1]:
            # What commutes with a turn is not set aside before it.
            clean &= lines[words[start : start + many, -1], None] != lines
        aside, turn = clean.nonzero()
        after = turned.take(some.take(aside, axis=0) + (turn * width)[:, None])
        done.append(_undone(some).take(after + (aside * width)[:, None]))
        ways.append(np.column_stack([words[start + aside], turn.astype(np.int16)]))
    return np.concatenate(ways), np.concatenate(done)


def _undone(positions: Positions) -> Positions:
    """What undoes each of them."""
    back = np.empty_like(positions)
    starts = np.arange(0, positions.size, positions.shape[1])[:, None]
    back.ravel()[positions + starts] = np.arange(positions.shape[1], dtype=np.uint16)
    return back


def _easiest_first(ways: Words, layers: NDArray[np.intp], told: NDArray[np.intp]) -> NDArray[np.intp]:
    """In which order ways of one length are listed: by how easy they are, then by their turns."""
    turned = layers[ways]
    again = [(turned[:, :at] == turned[:, at, None]).any(axis=1) for at in range(ways.shape[1])]
    _, away, halves = told[ways].sum(axis=1).T
    return np.lexsort((*ways.T[::-1], halves, away, -np.sum(again, axis=0)))


def _numbered(items: Iterable[Hashable]) -> NDArray[np.intp]:
    """A number for each item, the same for the same."""
    numbers: dict[Hashable, int] = {}
    return np.array([numbers.setdefault(item, len(numbers)) for item in items], np.intp)


def _each(rows: Positions) -> list[bytes]:
    """The bytes of each row."""
    whole, width = rows.tobytes(), rows.shape[1] * rows.itemsize
    return [whole[start : start + width] for start in range(0, len(whole), width)]


def _step(way: Way, images: list[int], turns: Turns) -> CleanStep:
    """What is done in a way, and takes what is in each slot to its image."""
    return CleanStep(turns.puzzle, turns.spelled(way[:-1]), turns.listed[way[-1]], perm.from_images(images))


def _shorter(ways: list[Way], by_way: dict[Way, int]) -> frozenset[int]:
    """What is left of a step when turns of its aside are left out, however its aside may be written."""
    less = {
        (*rest, turn)
        for *aside, turn in ways
        for size in range(len(aside))
        for rest in combinations(aside, size)
    }
    return frozenset(by_way[each] for each in less if each in by_way)
