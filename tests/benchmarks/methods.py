"""How fast methods are gone through and tried, as ratios: `python tests/benchmarks/methods.py`.

The method is that of the demo guide. The first row divides the time of a trial of 10,000 positions, coverage
and all, by what it may take: five times turning their solutions by plain composition, and once the coverage.
The bar is 1. The second gives the seconds of the coverage, which may be 20, and the most memory that its
process took, Python and the guide's other pages not among them; that may be 1,000 MB. The next goes through
larger steps, as ratios to a plain breadth-first search of the same states over tuples. The last two divide
the processor time of a trial of 2,000 positions, without and with the coverage, by what a former commit takes
for its own demo guide, in one run: it is unpacked into a temporary folder. The bar is 0.2.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from functools import reduce
from multiprocessing import get_context
from resource import RUSAGE_SELF, getrusage
from subprocess import PIPE, run
from tempfile import TemporaryDirectory
from time import perf_counter

from former import FORMER, HERE, unpacked

from sitegen.blocks.method.method_block import MethodBlock, plan_of
from sitegen.cache import PLACE
from sitegen.guide.load import read_guide
from sitegen.methods.coverage import coverage
from sitegen.methods.goals import parse_goal
from sitegen.methods.plan import AnyTurns, Plan, Stage
from sitegen.methods.trial import positions, runs, trial
from sitegen.problems import written
from sitegen.puzzles import catalogue
from sitegen.puzzles.permutation import compose
from sitegen.search.turns import Allowed, turns

METHOD = "lantern-room"
COUNT, SEED = 10_000, 7
CROSS = "edges of D home"
ALONE = """
import methods
from time import process_time
plan, start = methods.demo(), process_time()
methods.trial(plan, 2_000, 7)
tried = process_time()
methods.coverage(plan)
print(tried - start, process_time() - start)
"""
"""A program that either commit can run: the seconds of a trial alone, and with the coverage after it."""


def demo() -> Plan:
    """The demo guide's method, nothing of it gone through yet."""
    scope = read_guide(HERE).scopes["cube-3"]
    block = scope.parsed[METHOD]
    assert isinstance(block, MethodBlock)
    plan_of.cache_clear()
    return plan_of(block, scope)


def seconds(job: Callable[[], object]) -> float:
    start = perf_counter()
    job()
    return perf_counter() - start


def tried() -> tuple[float, float, float]:
    """Seconds of a trial with its coverage, of the coverage alone, and of turning the solutions plainly."""
    plan = demo()
    whole = seconds(lambda: trial(plan, COUNT, SEED))
    covered = demo()
    alone = seconds(lambda: coverage(covered))
    cube = plan.puzzle
    words = [run.turns for run in runs(plan, COUNT, SEED)]
    start = list(positions(plan, COUNT, SEED))

    def plainly() -> None:
        for position, word in zip(start, words, strict=True):
            reduce(compose, map(cube.permutation, word), position)

    return whole, alone, seconds(plainly)


def covered() -> tuple[float, float]:
    """Seconds of the coverage, and the most megabytes that its process took."""
    plan = demo()
    return seconds(lambda: coverage(plan)), getrusage(RUSAGE_SELF).ru_maxrss / 1000


def cross() -> tuple[float, float, int]:
    """Seconds for four edges in any of 190,080 ways, plainly and by coverage; and how many were covered."""
    cube = catalogue.puzzle("cube-3")
    goal = parse_goal(written(CROSS), cube)
    stage = Stage("Cross", (goal,), (), AnyTurns(turns(cube, Allowed(), "obtm"), 8))
    found: list[int] = []
    fast = seconds(lambda: found.append(coverage(Plan(cube, (stage,)))[0].covered))
    tables = [tuple(p) for p in turns(cube, Allowed(), "obtm").permutations]
    home = tuple(cube.pieces[index].stickers[0] for index in goal.pieces)

    def plainly() -> None:
        seen = {home}
        edge = seen
        while edge:
            edge = {tuple([table[slot] for slot in state]) for state in edge for table in tables} - seen
            seen = seen | edge

    return seconds(plainly), fast, found[0]


def against_former() -> list[list[float]]:
    """The seconds that `ALONE` tells, by the former commit and by this one: the least of three of each."""
    found: list[list[list[float]]] = [[], []]
    with unpacked() as former, TemporaryDirectory() as cache:
        for _ in range(3):
            for times, tree in zip(found, (former, HERE), strict=True):
                own = os.environ | {"PYTHONPATH": str(tree), PLACE: cache}
                here, command = tree / "tests" / "benchmarks", [sys.executable, "-c", ALONE]
                told = run(command, cwd=here, env=own, stdout=PIPE, check=True)
                times.append([float(seconds_) for seconds_ in told.stdout.split()])
    return [[min(each) for each in zip(*times, strict=True)] for times in found]


if __name__ == "__main__":
    with ProcessPoolExecutor(1, get_context("spawn"), max_tasks_per_child=1) as apart:
        whole, alone, plain = apart.submit(tried).result()
        print(
            f"{whole / (5 * plain + alone):8.2f}  trial of {COUNT:,}, of 5 × turning plainly + coverage"
            f" ({whole:.2f} s; turning plainly {plain:.2f} s; coverage {alone:.2f} s)"
        )
        time, megabytes = apart.submit(covered).result()
        print(f"{time:8.2f}  seconds for the coverage of the demo's method ({megabytes:.0f} MB)")
        slow, fast, count = apart.submit(cross).result()
        print(f"{fast / slow:8.2f}  {CROSS}, {count:,} cases, of a plain search ({fast:.2f} s)")
    what = "trial of 2,000", "the same and the coverage"
    for name, before, now in zip(what, *against_former(), strict=True):
        print(f"{now / before:8.2f}  {name}, of {FORMER} ({before:.2f} s then, {now:.2f} s now)")
