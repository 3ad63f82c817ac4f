"""How fast finding is, as ratios measured in one run: `python tests/benchmarks/finding.py`.

Every row divides the time of a search by that of a plain one: breadth first from both ends, over tuples of
the stickers that `flips UF; keeps U except UF` speaks of, until the ends meet. The bar is 1.5, for the first
row, which asks the same. The others go further, to every sequence up to a length. Beside them stands the most
memory that their process took, Python and all; a search may take 1,000 MB.

The last row divides what `turnfolio find` takes, to the shortest sequences that twist two corners and change
nothing else, by what it took before searches were made with arrays. The bar is 0.2.
"""

from __future__ import annotations

import os
import subprocess
import sys
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path
from resource import RUSAGE_CHILDREN, RUSAGE_SELF, getrusage

from former import HERE, unpacked
from stopwatch import seconds

from sitegen.effects.claims import parse_claims
from sitegen.problems import Findings, written
from sitegen.puzzles import catalogue
from sitegen.puzzles.puzzle import Turn
from sitegen.search.find import Found, find
from sitegen.search.query import Query, query
from sitegen.search.turns import Allowed, turns

LIFTED = "flips UF; keeps U except UF"
SHORTEST = 8
KEPT = ("UR", "UB", "UL", "UFR", "UFL", "UBR", "UBL")
MEMORY = 10**9
ROWS: tuple[tuple[str, int | None], ...] = (
    (LIFTED, None),
    (LIFTED, 10),
    ("twists UFR clockwise; keeps U except UFR", 10),
    ("cycles UFR > DFR in any orientation; keeps U except UFR", 10),
    ("flips UF and UR; changes only UF and UR", 9),
    ("cycles UF > UR > UB; changes only UF, UR and UB", 9),
    ("cycles UFR > UBR > UFL; changes only UFR, UBR and UFL", 9),
)

TWISTED = "twists UFR clockwise and UFL anticlockwise; changes only UFR, UFL"

State = tuple[int, ...]


def plain() -> int:
    """The least number of face turns that flip UF and keep the rest of U."""
    cube = catalogue.puzzle("cube-3")
    tables = [list(cube.permutation(Turn(axis, 1, 1, n))) for axis in cube.axes for n in (1, 2, 3)]
    kept = tuple(cube.slots[name] for name in KEPT)
    ends: list[set[State]] = [{(cube.slots["UF"], *kept)}, {(cube.slots["FU"], *kept)}]
    seen = [set(end) for end in ends]
    for length in range(SHORTEST + 1):
        if not seen[0].isdisjoint(ends[1]) or not seen[1].isdisjoint(ends[0]):
            return length
        side = length % 2
        reached = {tuple([table[slot] for slot in state]) for state in ends[side] for table in tables}
        ends[side] = reached - seen[side]
        seen[side] |= ends[side]
    raise AssertionError("the ends have not met")


def asked(claims: str) -> Query:
    cube, passage, findings = catalogue.puzzle("cube-3"), written(claims), Findings()
    read = parse_claims([passage], cube, findings)
    findings.settle()
    return query(read, turns(cube, Allowed(), "obtm"), {}, passage)


def found(claims: str, longest: int | None) -> dict[int, int]:
    """How many sequences there are of each length."""
    known = Found(20)
    find(asked(claims), known, longest, MEMORY)
    return {length: count for length, count in known.counts.items() if count}


def measured(claims: str, longest: int | None) -> tuple[float, dict[int, int], float]:
    """Seconds, what is found, and the most megabytes that this process has taken."""
    counts: dict[int, int] = {}
    time = seconds(lambda: counts.update(found(claims, longest)), 5 if longest is None else 1)
    return time, counts, getrusage(RUSAGE_SELF).ru_maxrss / 1000


def plainly() -> float:
    assert plain() == SHORTEST
    return seconds(plain, 5)


def command(house: Path) -> tuple[float, str]:
    """Seconds of a processor that `find` takes as it is in a house, and what it prints."""
    before = getrusage(RUSAGE_CHILDREN).ru_utime
    printed = subprocess.run(
        [sys.executable, "-c", "from sitegen.cli import main; main()", "find", TWISTED],
        cwd=house / "tests",
        env={**os.environ, "PYTHONPATH": str(house)},
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
        check=True,
    ).stdout
    return getrusage(RUSAGE_CHILDREN).ru_utime - before, printed


def compared() -> tuple[float, float]:
    """Seconds of a processor, the least of three now, and of one before; both must print the same."""
    with unpacked() as former:
        earlier, printed = command(former)
        runs = [command(HERE) for _ in range(3)]
    assert {text for _, text in runs} == {printed}
    return min(time for time, _ in runs), earlier


if __name__ == "__main__":
    # A process for each row, so that memory is that of the row alone.
    with ProcessPoolExecutor(1, get_context("spawn"), max_tasks_per_child=1) as apart:
        baseline = apart.submit(plainly).result()
        for row in ROWS:
            time, counts, megabytes = apart.submit(measured, *row).result()
            claims, longest = row
            limit = "the shortest" if longest is None else f"all up to {longest}"
            print(
                f"{time / baseline:8.2f}  {claims}: {limit}"
                f" ({time:.2f} s; {megabytes:.0f} MB; {', '.join(f'{c} of {n}' for n, c in counts.items())})"
            )
    now, earlier = compared()
    print(f"{now / earlier:8.2f}  {TWISTED}: the shortest ({now:.1f} s; {earlier:.1f} s before)")
