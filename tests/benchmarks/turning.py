"""How fast turning is, as ratios measured in one run: `python tests/benchmarks/turning.py`.

Every row divides the time of what the project does by that of something simple to compare with.
"""

from __future__ import annotations

from functools import reduce
from time import perf_counter

from stopwatch import seconds

from sitegen.effects.effect import Effect
from sitegen.effects.words import say
from sitegen.figures.draw import draw
from sitegen.figures.of_position import palette, picture
from sitegen.moves.parse import parse
from sitegen.moves.turning import permutation
from sitegen.problems import written
from sitegen.puzzles import catalogue
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.build import build
from sitegen.puzzles.puzzle import Turn

SEQUENCE = "F D' U L2 U2 D2 R U"


def composing() -> float:
    """1,000 turns composed, against a loop over the stickers for each of them."""
    cube = catalogue.puzzle("cube-3")
    turns = [cube.permutation(Turn(axis, 1, 1, 1)) for axis in "UDFBLR"] * 167

    def by_loop(p: list[int], q: perm.Permutation) -> list[int]:
        return [q[slot] for slot in p]

    ours = seconds(lambda: reduce(perm.compose, turns, cube.identity))
    return ours / seconds(lambda: reduce(by_loop, turns, list(range(54))))


def repeating() -> float:
    """A hundred million repeats, against ten."""
    cube = catalogue.puzzle("cube-3")
    many, few = (parse(written(f"(R U){count}"), cube) for count in (10**8, 10))
    return seconds(lambda: permutation(many, cube), 99) / seconds(lambda: permutation(few, cube), 99)


def building() -> float:
    """Building cube-3, against reading its definition file."""
    ours = seconds(lambda: build(catalogue.definitions()["cube-3"]))
    catalogue.definitions.cache_clear()
    start = perf_counter()
    catalogue.definitions()
    return ours / (perf_counter() - start)


def saying() -> float:
    """An effect worked out and said in words, against turning the sequence."""
    cube = catalogue.puzzle("cube-3")
    tree = parse(written(SEQUENCE), cube)
    turned = permutation(tree, cube)
    return seconds(lambda: say(Effect(cube, turned)), 99) / seconds(lambda: permutation(tree, cube), 99)


def drawing() -> float:
    """One corner figure, against working out and saying the effect."""
    cube = catalogue.puzzle("cube-3")
    turned = permutation(parse(written(SEQUENCE), cube), cube)
    drawn = picture(cube, turned, palette(cube), "a title", "a description")
    return seconds(lambda: draw(drawn, "corner"), 99) / seconds(lambda: say(Effect(cube, turned)), 99)


if __name__ == "__main__":
    for bench in (composing, repeating, building, saying, drawing):
        summary = (bench.__doc__ or "").rstrip(".")
        print(f"{bench():8.3f}  {summary}")
