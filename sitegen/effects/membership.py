"""Which permutations some others generate: a chain of stabilisers, built by Schreier's lemma.

Knows permutations and nothing else. After C. Sims, *Computational methods in the study of permutation
groups*, 1970; the chain grows in the order of D. Knuth, *Efficient representation of perm groups*, 1991.
"""

from __future__ import annotations

from collections.abc import Container, Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from math import prod
from random import Random

from sitegen.puzzles import permutation as perm
from sitegen.puzzles.permutation import Permutation


@dataclass
class Level:
    """The permutations that keep the points of all levels above, by where they take this level's point."""

    point: int
    generators: list[Permutation] = field(default_factory=list)
    there: dict[int, Permutation] = field(default_factory=dict)
    """For each slot that the point can come to, a permutation that takes it there."""
    back: dict[int, Permutation] = field(default_factory=dict)
    """And the one that undoes it."""


class Group:
    """All that can be composed of the generators; `first` are the points of the first levels."""

    def __init__(self, generators: Iterable[Permutation], first: Iterable[int] = ()) -> None:
        listed = list(generators)
        self._identity = perm.identity(len(listed[0]))
        self._levels = [self._level(point) for point in first]
        for generator in listed:
            self._take_up(generator, 0)

    def _level(self, point: int) -> Level:
        return Level(point, [], {point: self._identity}, {point: self._identity})

    @property
    def order(self) -> int:
        """How many permutations there are in it."""
        return prod(len(level.there) for level in self._levels)

    def __contains__(self, permutation: Permutation) -> bool:
        return self._sifted(permutation, 0) == perm.identity(len(permutation))

    def any(self, random: Random) -> Permutation:
        """One of them, each as likely as any other.

        Every one is in just one way a product of factors, one from each level.
        """
        return perm.successive(self._identity, map(random.choice, self._factors))

    @cached_property
    def _factors(self) -> list[list[Permutation]]:
        """Those of each level, the last level first; they are known when the group is built."""
        return [list(level.there.values()) for level in reversed(self._levels)]

    def some(self, allowed: Mapping[int, Container[int]]) -> Permutation | None:
        """One that takes each slot to one allowed for it; slots not named may go anywhere.

        Those named must be the points that the group was built with as its `first`.
        """
        return self._some(allowed, 0, self._identity)

    def _some(
        self, allowed: Mapping[int, Container[int]], depth: int, after: Permutation
    ) -> Permutation | None:
        """`after` is what follows the factors of the levels from `depth` on."""
        if depth == len(self._levels) or self._levels[depth].point not in allowed:
            return after
        level = self._levels[depth]
        for slot, there in level.there.items():
            if after[slot] in allowed[level.point]:
                found = self._some(allowed, depth + 1, perm.compose(there, after))
                if found is not None:
                    return found
        return None

    def _sifted(self, permutation: Permutation, depth: int) -> Permutation:
        """What is left when, level by level, the point is brought back home: nothing for a member."""
        for level in self._levels[depth:]:
            back = level.back.get(permutation[level.point])
            if back is None:
                return permutation
            permutation = perm.compose(permutation, back)
        return permutation

    def _take_up(self, permutation: Permutation, depth: int) -> None:
        """Makes the levels from `depth` on hold a permutation that keeps the points of those above."""
        rest = self._sifted(permutation, depth)
        if rest == self._identity:
            return
        if depth == len(self._levels):
            self._levels.append(self._level(next(slot for slot, image in enumerate(rest) if slot != image)))
        level = self._levels[depth]
        level.generators.append(rest)
        waiting = [(slot, rest) for slot in level.there]
        while waiting:
            slot, generator = waiting.pop()
            further = perm.compose(level.there[slot], generator)
            image = further[level.point]
            if image in level.there:
                # Schreier's lemma: the permutations found so are enough to generate the next level.
                self._take_up(perm.compose(further, level.back[image]), depth + 1)
            else:
                level.there[image], level.back[image] = further, perm.inverse(further)
                waiting += [(image, g) for g in level.generators]
