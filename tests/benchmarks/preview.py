"""How fast scratch paper answers, as ratios measured in one run: `python tests/benchmarks/preview.py`.

Each row divides the time of an answer, from moves as text to HTML with figures and what the demo guide has
like it, by that of the effect of the same moves in words. A tenth of a second is promised on cube-3.
"""

from __future__ import annotations

from pathlib import Path

from stopwatch import seconds

from sitegen.effects.effect import Effect
from sitegen.effects.words import say
from sitegen.moves.parse import parse
from sitegen.moves.turning import permutation
from sitegen.preview.scratch import Paper, Scratch, answered
from sitegen.problems import written

GUIDE = Path(__file__).parents[2]
CLAIMS = "flips UF\nkeeps U except UF\norder 10"
ASKED = [
    ("cube-3", "R U R' U'"),
    ("cube-3", "F E F2 E2 F E"),
    ("cube-3", "R U2 D' B D' " * 5),
    ("cube-3", "[[R U, F2]3, (D L')5]"),
    ("pyraminx", "R U R' U'"),
    ("cube-7", "3Rw U 2-4F'"),
    ("megaminx", "R U R' U'"),
]


def measured(puzzle: str, moves: str, paper: Paper) -> tuple[float, float]:
    """The ratio, and the seconds of an answer to moves that were never typed, so that figures are drawn."""
    turned = paper.puzzle(puzzle)
    claims = CLAIMS if puzzle == "cube-3" else ""
    numbers = iter(range(1, 10_000))

    def effect() -> str:
        return say(Effect(turned, permutation(parse(written(moves), turned), turned)))

    def answer() -> str:
        # A repeat that was not asked for yet, so that no figure of it is known.
        return answered(Scratch(f"({moves}){next(numbers)}", claims, puzzle), paper)

    answer()
    long = seconds(answer)
    return long / seconds(effect), long


if __name__ == "__main__":
    around = Paper(GUIDE)
    for puzzle, moves in ASKED:
        ratio, long = measured(puzzle, moves, around)
        print(f"{ratio:8.0f}  {puzzle}: {moves.strip()} ({1000 * long:.0f} ms)")
