"""How fast deriving and explaining are, in ratios measured in one run: `python tests/benchmarks/deriving.py`.

The first rows divide the time of all ways of fewest steps to a goal by what `find` takes to the shortest
sequences that do the same; the bar is 0.5. The last divides what 1,000 lines of 20 turns at random take to be
explained by what their effects take to be told; the bar is 20.
"""

from __future__ import annotations

import random

from stopwatch import seconds_by_turns

from sitegen.effects.claims import parse_claims
from sitegen.effects.effect import Effect
from sitegen.moves.metrics import length
from sitegen.moves.parse import parse
from sitegen.moves.turning import expand, permutation
from sitegen.problems import Findings, written
from sitegen.puzzles import catalogue
from sitegen.reports.account_report import account_as_data
from sitegen.reports.effect_report import effect_as_data
from sitegen.search.aim import aim
from sitegen.search.derive import derive
from sitegen.search.find import Found, find
from sitegen.search.step_ways import StepWays
from sitegen.search.stretches import account_for
from sitegen.search.structure import Structure
from sitegen.search.turns import Allowed, turns

GOALS = ("flips UF", "twists UFR clockwise", "twists UFR anticlockwise")
MOST = 20
SHOWN = 5
RUNS, LONG_RUNS = 51, 7


def row(claims: str, slices: bool) -> str:
    cube = catalogue.puzzle("cube-3")
    passage, findings = written(claims), Findings()
    asked = aim(
        parse_claims([passage], cube, findings), turns(cube, Allowed((), slices), "obtm"), {}, passage
    )
    findings.settle()
    ways = StepWays(MOST)
    derive(asked.query, asked.guard, ways)
    deriving, finding = seconds_by_turns(
        lambda: derive(asked.query, asked.guard, StepWays(MOST)), lambda: find(asked.query, Found(MOST)), RUNS
    )
    beside = "with slices" if slices else "faces alone"
    return (
        f"{claims}, {beside}: {deriving / finding:.2f} × find ({deriving:.2f} s, {sum(ways.counts.values())} "
        f"ways of {ways.shortest} steps; find {finding:.2f} s)"
    )


def lines(number: int, turns_each: int) -> list[str]:
    """At random, no layer twice in a row."""
    rng = random.Random(1)
    found = []
    for _ in range(number):
        line: list[str] = []
        while len(line) < turns_each:
            face = rng.choice([each for each in "UDFBLR" if not line or line[-1][0] != each])
            line.append(face + rng.choice(["", "2", "'"]))
        found.append(" ".join(line))
    return found


def explaining() -> str:
    cube = catalogue.puzzle("cube-3")
    asked = lines(1_000, 20)

    def tell_effects() -> None:
        for line in asked:
            tree = parse(written(line), cube)
            effect_as_data(line, Effect(cube, permutation(tree, cube)), length(tree, cube))

    def explain() -> None:
        structure = Structure(cube)
        for line in asked:
            tree = parse(written(line), cube)
            turned = expand(tree)
            account = account_for(turned, structure.forms(turned, SHOWN), cube)
            account_as_data(line, account, length(tree, cube))

    explained, told = seconds_by_turns(explain, tell_effects, LONG_RUNS)
    return (
        f"1,000 lines of 20 turns: {explained / told:.1f} × their effects ({explained:.1f} s, {told:.2f} s)"
    )


if __name__ == "__main__":
    for slices in (False, True):
        for claims in GOALS:
            print(row(claims, slices), flush=True)
    print(explaining(), flush=True)
