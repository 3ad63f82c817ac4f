"""How fast relations are found, as ratios measured in one run: `python tests/benchmarks/relations.py`.

Each row divides the time to relate 5,000 sequences to one another by that to turn them all once.
"""

from __future__ import annotations

from functools import reduce
from random import Random
from time import perf_counter

from sitegen.effects.relations import MOST_LISTED, relations
from sitegen.puzzles import catalogue
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Puzzle, Turn

COUNT = 5_000


def turns_at_random(cube: Puzzle, random: Random) -> list[Permutation]:
    """4 to 14 turns of any layers."""
    layers = list(cube.turns())
    return [
        cube.permutation(Turn(layer.axis, layer.first, layer.last, random.randint(1, 3)))
        for layer in random.choices(layers, k=random.randint(4, 14))
    ]


def commutators_at_random(cube: Puzzle, random: Random) -> list[Permutation]:
    """[A, B] of few outer turns after a lead-in of one, as guides have them: many are related."""
    outer = [cube.permutation(Turn(axis, 1, 1, amount)) for axis in cube.axes for amount in (1, 2, 3)]
    a, b, lead = (random.choices(outer, k=count) for count in (random.randint(1, 3), 1, 1))
    back = [[perm.inverse(p) for p in reversed(part)] for part in (a, b, lead)]
    return [*lead, *a, *b, *back[0], *back[1], *back[2]]


def measured(puzzle: str, make: str) -> tuple[float, float, int]:
    """The ratio, the seconds, and how many sequences have a relation."""
    cube, random = catalogue.puzzle(puzzle), Random(5)
    maker = {"turns": turns_at_random, "commutators": commutators_at_random}[make]
    sequences = [maker(cube, random) for _ in range(COUNT)]
    start = perf_counter()
    turned = {f"s{at}": reduce(perm.compose, turns, cube.identity) for at, turns in enumerate(sequences)}
    middle = perf_counter()
    found = relations(turned, cube)
    end = perf_counter()
    assert all(len(group.listed) <= MOST_LISTED for groups in found.values() for group in groups)
    return (end - middle) / (middle - start), end - middle, sum(map(bool, found.values()))


if __name__ == "__main__":
    for puzzle, make in [
        ("cube-2", "turns"),
        ("cube-3", "turns"),
        ("cube-3", "commutators"),
        ("cube-5", "turns"),
        ("cube-7", "turns"),
        ("cube-7", "commutators"),
    ]:
        ratio, seconds, related = measured(puzzle, make)
        print(f"{ratio:8.0f}  {puzzle}, {make} at random ({seconds:.1f} s; {related} are related)")
