"""How long the demo guide takes the first time: `python tests/benchmarks/first_publish.py`.

A former commit publishes its own demo guide and this one its own, by turns, with nothing kept. The ratio is
that of the median times; the bar is 0.3. How many files each has written is printed too, since the guide has
grown meanwhile.
"""

from __future__ import annotations

import os
import shutil
import sys
from pathlib import Path
from statistics import median
from subprocess import DEVNULL, run
from tempfile import TemporaryDirectory
from time import perf_counter

from former import FORMER, HERE, unpacked

from sitegen.cache import PLACE

RUNS = 3
PROGRAM = "from sitegen.cli import main; main()"


def first(tree: Path) -> tuple[float, int]:
    """The seconds that a commit takes for its own demo guide, and how many files it has written."""
    with TemporaryDirectory() as name:
        guide, kept = Path(name, "guide"), Path(name, "cache")
        shutil.copytree(tree / "content", guide / "content")
        own = os.environ | {"PYTHONPATH": str(tree), PLACE: str(kept)}
        start = perf_counter()
        run([sys.executable, "-c", PROGRAM, "publish", guide], env=own, cwd=name, stdout=DEVNULL, check=True)
        taken = perf_counter() - start
        return taken, sum(path.is_file() for path in (guide / "output").rglob("*"))


if __name__ == "__main__":
    with unpacked() as former:
        runs = [(first(former), first(HERE)) for _ in range(RUNS)]
    before, now = (median(times) for times in zip(*((one[0], two[0]) for one, two in runs), strict=True))
    (_, files_before), (_, files) = runs[0]
    print(
        f"{now / before:8.2f}  the demo's first publishing, of {FORMER}"
        f" ({before:.1f} s for {files_before} files, {now:.1f} s for {files})"
    )
