"""Numbers by which an effect is found among very many, also where it is turned, or seen in a mirror.

Knows effects and the symmetries of puzzles. A browser works out the same numbers of what a reader types, so
that they are made of nothing but where stickers are.
"""

from __future__ import annotations

import struct
from collections.abc import Collection
from functools import cache
from typing import NamedTuple

from sitegen.effects.effect import Effect
from sitegen.effects.likeness import looks
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Puzzle

PRIME = 2**45 - 55
"""The largest below 2^45: 256 times what is left by it is a whole number that any browser knows exactly."""


class Digests(NamedTuple):
    """What is known of an effect without knowing it: effects that look alike share all three."""

    family: int
    """The same for every effect that is this one turned or in a mirror, or that ends with a turning of the
    whole puzzle, where the centres tell that; others that share it are rare."""
    home: int
    """Of the effect with its centres home."""
    whole: int
    """Of the effect as it is."""


def digests(effect: Effect) -> Digests:
    """The numbers of an effect. Pieces that look alike count as one, since nobody types which are marked."""
    puzzle, truly = effect.puzzle, effect.permutation
    home = effect.turned_back.permutation if effect.turning_back else truly
    look = _look(home, puzzle)
    size = len(look)
    weights = _weights(puzzle)
    family = sum(weights[slot * size + there] for slot, there in enumerate(look)) % PRIME
    return Digests(family, _digest(look), _digest(look if home is truly else _look(truly, puzzle)))


def _look(permutation: Permutation, puzzle: Puzzle) -> tuple[int, ...]:
    """For each slot what the sticker looks like that came there."""
    came = perm.compose(perm.inverse(permutation), _looks(puzzle))
    return tuple(came[: len(puzzle.stickers)])


@cache
def _looks(puzzle: Puzzle) -> Permutation:
    return perm.from_images(looks(puzzle))


@cache
def _weights(puzzle: Puzzle) -> tuple[int, ...]:
    """For each pair of a slot and a look what it counts: as much as every pair that a symmetry makes of it.

    That is the third power of 1 for the first pair and those like it, of 2 for the next, and so on.
    """
    size, look = len(puzzle.stickers), looks(puzzle)
    moves = [
        [each[slot] * size + look[each[there]] for slot in range(size) for there in range(size)]
        for each in generators(puzzle.symmetries, puzzle)
    ]
    numbers: dict[int, int] = {}
    orbits = perm.orbits(moves, size * size)
    return tuple((numbers.setdefault(first, len(numbers)) + 1) ** 3 for first in orbits)


def _digest(look: tuple[int, ...]) -> int:
    """The slots as digits of a number to the base of 65,536, and what is left of it when divided."""
    return int.from_bytes(struct.pack(f">{len(look)}H", *look), "big") % PRIME


def generators(group: Collection[Permutation], puzzle: Puzzle) -> list[Permutation]:
    """A few of a group from which all others come by doing them one after another."""
    found: list[Permutation] = []
    reached = {puzzle.identity}
    for each in group:
        if each not in reached:
            found.append(each)
            edge = [*reached]
            while edge:
                edge = [*{perm.compose(a, b) for a in edge for b in found} - reached]
                reached.update(edge)
    return found
