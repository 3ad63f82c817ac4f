"""How fast puzzles of every size are, as ratios measured in one run: `python tests/benchmarks/puzzles.py`.

The first rows divide the time of building each puzzle by that of writing its stickers as JSON and reading
them again; building may take 0.2 s. The next divide what is told of 100 turns on cube-7, and on puzzles that
are no cubes, by the same on cube-3; the bar is 3. The last divides `turnfolio --help` by importing click.
"""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from random import Random
from statistics import median

from stopwatch import seconds

from sitegen.effects.effect import Effect
from sitegen.effects.words import say
from sitegen.moves.notation import write_all
from sitegen.moves.parse import parse
from sitegen.moves.turning import permutation
from sitegen.problems import written
from sitegen.puzzles import catalogue
from sitegen.puzzles.build import build
from sitegen.puzzles.puzzle import Puzzle, Turn
from sitegen.reports.effect_report import effect_data

TURNS = 100
RUNS = 9


def building(name: str) -> tuple[float, float]:
    """The ratio, and seconds of building."""
    definition = catalogue.definitions()[name]
    listed = [(s.name, s.face, s.polygon, s.centre, s.piece) for s in build(definition).stickers]
    took = seconds(lambda: build(definition))
    return took / seconds(lambda: json.loads(json.dumps(listed))), took


def at_random(puzzle: Puzzle, random: Random) -> str:
    """Single layers turned by any amount."""
    layers = random.choices(list(puzzle.turns()), k=TURNS)
    turned = [Turn(axis, a, b, random.randrange(1, puzzle.full_turn)) for axis, a, b, _ in layers]
    return write_all(turned, puzzle)


def telling(puzzle: Puzzle, text: str) -> None:
    """From moves as text to all that is told of them, as plain data and in words."""
    turned = Effect(puzzle, permutation(parse(written(text), puzzle), puzzle))
    for effect in (turned, turned.turned_back):
        effect_data(effect)
        say(effect)
    assert turned.order > 0


def effects(name: str) -> tuple[float, float, float]:
    """The ratio to cube-3, and milliseconds for the effect of one random word on the puzzle and on cube-3.

    The two are measured in turn, so that whatever else the machine does slows both.
    """
    jobs = []
    for puzzle in map(catalogue.puzzle, (name, "cube-3")):
        words = [at_random(puzzle, Random(seed)) for seed in range(10)]
        telling(puzzle, words[0])  # what a puzzle keeps for itself is there from now on
        jobs.append(lambda puzzle=puzzle, words=words: [telling(puzzle, word) for word in words])
    times = [[seconds(job, 1) * 100 for job in jobs] for _ in range(21)]
    ratio = median(theirs / small for theirs, small in times)
    return ratio, median(theirs for theirs, _ in times), median(small for _, small in times)


def process(*arguments: str) -> float:
    """Seconds of a process of its own."""
    return seconds(lambda: subprocess.run([sys.executable, *arguments], capture_output=True, check=True))


if __name__ == "__main__":
    for name in catalogue.names():
        ratio, took = building(name)
        print(f"{ratio:8.1f}  building {name}, of its stickers to JSON and back ({took:.3f} s)")
    for name in ("cube-7", "megaminx", "pyraminx", "skewb"):
        ratio, theirs, small = effects(name)
        took = f"{theirs:.2f} ms; {small:.2f} ms"
        print(f"{ratio:8.2f}  the effect of {TURNS} turns on {name}, of the same on cube-3 ({took})")
    command = str(Path(sys.executable).with_name("turnfolio"))
    ours, bare = process(command, "--help"), process("-c", "import click")
    print(f"{ours / bare:8.2f}  turnfolio --help, of importing click ({ours:.2f} s; {bare:.2f} s)")
