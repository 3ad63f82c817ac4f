"""How fast deriving is, as ratios measured in one run: `python tests/benchmarks/deriving.py`.

Each row divides the time of all ways of fewest steps to a goal by what `find` takes to the shortest sequences
that do the same. The bar is 0.5.
"""

from __future__ import annotations

from stopwatch import seconds

from sitegen.effects.claims import parse_claims
from sitegen.problems import Findings, written
from sitegen.puzzles import catalogue
from sitegen.search.aim import aim
from sitegen.search.derive import derive
from sitegen.search.find import Found, find
from sitegen.search.step_ways import StepWays
from sitegen.search.turns import Allowed, turns

GOALS = ("flips UF", "twists UFR clockwise", "twists UFR anticlockwise")
MOST = 20


def row(claims: str, slices: bool) -> str:
    cube = catalogue.puzzle("cube-3")
    passage, findings = written(claims), Findings()
    asked = aim(parse_claims(passage, cube, findings), turns(cube, Allowed((), slices), "obtm"), {}, passage)
    findings.settle()
    ways = StepWays(MOST)
    derive(asked.query, asked.guard, ways)
    deriving = seconds(lambda: derive(asked.query, asked.guard, StepWays(MOST)))
    finding = seconds(lambda: find(asked.query, Found(MOST)))
    beside = "with slices" if slices else "faces alone"
    return (
        f"{claims}, {beside}: {deriving / finding:.2f} × find ({deriving:.2f} s, {sum(ways.counts.values())} "
        f"ways of {ways.shortest} steps; find {finding:.2f} s)"
    )


if __name__ == "__main__":
    for slices in (False, True):
        for claims in GOALS:
            print(row(claims, slices), flush=True)
