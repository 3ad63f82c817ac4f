"""Permutations of sticker slots: what is in slot i goes to slot p[i].

Up to 256 slots a permutation is 256 bytes, so that composing is one `bytes.translate`; above, it is a tuple.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from math import lcm
from operator import itemgetter
from typing import Any

Permutation = bytes | tuple[int, ...]

_IDENTITY = bytes(range(256))


def identity(size: int) -> Permutation:
    """The permutation of so many slots that leaves everything where it is."""
    return _IDENTITY if size <= 256 else tuple(range(size))


def from_images(images: Iterable[int]) -> Permutation:
    """The permutation that takes slot i to the i-th image."""
    listed = tuple(images)
    return bytes(listed) + _IDENTITY[len(listed) :] if len(listed) <= 256 else listed


def compose(first: Permutation, then: Permutation) -> Permutation:
    """First one, then the other."""
    if isinstance(first, bytes):
        return first.translate(then)  # type: ignore[arg-type]
    return itemgetter(*first)(then)  # type: ignore[no-any-return]


def successive(first: Permutation, thens: Iterable[Any]) -> Permutation:
    """First one, then all others in their order: `compose` of very many."""
    if isinstance(first, bytes):
        for then in thens:
            first = first.translate(then)
    else:
        for then in thens:
            first = itemgetter(*first)(then)
    return first


def products(firsts: Sequence[Permutation], thens: Collection[Permutation]) -> set[Permutation]:
    """Each of some first, then each of others: `compose` of all pairs, of which there may be millions."""
    return set().union(*(map(_first_then(first), thens) for first in firsts))


def products_among(
    firsts: Sequence[Permutation], thens: Collection[Permutation], some: set[Permutation]
) -> set[Permutation]:
    """Those of `products` that are among some: of all others none is kept."""
    return set().union(*(some.intersection(map(_first_then(first), thens)) for first in firsts))


def _first_then(first: Permutation) -> Callable[[Any], Permutation]:
    """What makes of any permutation the one that comes of doing another first."""
    return first.translate if isinstance(first, bytes) else itemgetter(*first)


def inverse(p: Permutation) -> Permutation:
    """The permutation that undoes it."""
    if isinstance(p, bytes):
        return bytes.maketrans(p, _IDENTITY)
    back = [0] * len(p)
    for start, end in enumerate(p):
        back[end] = start
    return tuple(back)


def cycles(p: Permutation) -> list[list[int]]:
    """The cycles of two or more slots, each from its lowest slot."""
    found, seen = [], set()
    for start in range(len(p)):
        if p[start] == start or start in seen:
            continue
        cycle, at = [start], p[start]
        while at != start:
            cycle.append(at)
            at = p[at]
        seen.update(cycle)
        found.append(cycle)
    return found


def orbits(moves: Iterable[Mapping[int, int] | Sequence[int]], size: int) -> list[int]:
    """For each of `size` points the lowest of those that the moves bring it to."""
    moves = list(moves)
    lowest = [-1] * size
    for start in range(size):
        edge = [start] if lowest[start] < 0 else []
        while edge:
            at = edge.pop()
            if lowest[at] < 0:
                lowest[at] = start
                edge += [move[at] for move in moves]
    return lowest


def order(p: Permutation) -> int:
    """How many times it must be done until everything is back."""
    return lcm(*(len(cycle) for cycle in cycles(p)))


def power(p: Permutation, exponent: int) -> Permutation:
    """Done `exponent` times, undone where negative: each cycle steps on, so that no number costs more."""
    images = list(range(len(p)))
    for cycle in cycles(p):
        step = exponent % len(cycle)
        for slot, image in zip(cycle, cycle[step:] + cycle[:step], strict=True):
            images[slot] = image
    return from_images(images)
