"""How long a job takes, for the benchmarks beside this file."""

from __future__ import annotations

from collections.abc import Callable
from statistics import median
from time import perf_counter


def seconds(job: Callable[[], object], runs: int = 9) -> float:
    """The median time of a job."""
    times = []
    for _ in range(runs):
        start = perf_counter()
        job()
        times.append(perf_counter() - start)
    return median(times)
