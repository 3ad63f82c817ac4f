"""Which permutations some others generate: a chain of stabilisers, built by Schreier's lemma.

Knows permutations and nothing else. After C. Sims, *Computational methods in the study of permutation
groups*, 1970; the chain grows in the order of D. Knuth, *Efficient representation of perm groups*, 1991.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from math import prod

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
    """All that can be composed of the generators."""

    def __init__(self, generators: Iterable[Permutation]) -> None:
        self._levels: list[Level] = []
        for generator in generators:
            self._take_up(generator, 0)

    @property
    def order(self) -> int:
        """How many permutations there are in it."""
        return prod(len(level.there) for level in self._levels)

    def __contains__(self, permutation: Permutation) -> bool:
        return self._sifted(permutation, 0) == perm.identity(len(permutation))

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
        identity = perm.identity(len(rest))
        if rest == identity:
            return
        if depth == len(self._levels):
            point = next(slot for slot, image in enumerate(rest) if slot != image)
            self._levels.append(Level(point, [], {point: identity}, {point: identity}))
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
