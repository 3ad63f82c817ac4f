"""How long a job takes, for the benchmarks beside this file."""

from __future__ import annotations

from collections.abc import Callable
from statistics import median
from time import perf_counter


def seconds(job: Callable[[], object], runs: int = 9) -> float:
    """The median time of a job."""
    return median(_once(job) for _ in range(runs))


def seconds_by_turns(
    job: Callable[[], object], other: Callable[[], object], runs: int
) -> tuple[float, float]:
    """The median times of two jobs, done by turns, so that what else the machine does slows both."""
    times = [(_once(job), _once(other)) for _ in range(runs)]
    return median(first for first, _ in times), median(second for _, second in times)


def _once(job: Callable[[], object]) -> float:
    start = perf_counter()
    job()
    return perf_counter() - start
