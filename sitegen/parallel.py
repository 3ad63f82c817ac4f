"""Work in parts that have nothing to do with each other, on all cores where that pays."""

from __future__ import annotations

import gc
import multiprocessing
import os
import signal
import sys
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from itertools import islice
from threading import Thread, current_thread, main_thread
from typing import Any, TypeVar

T = TypeVar("T")
FEW = 24
"""Of pages; of other parts it is for whoever has them to say."""
FORKS = sys.platform == "linux"
"""Whether a process may be started as a copy of this one; libraries of other systems do not stand that."""
AHEAD = 4
"""How many parts wait for each core, so that what is done does not pile up in memory."""

_job: tuple[Callable[[Any], Any], Sequence[Any]]
"""In a process that was started for them, the work and its parts: it came with them, so that none is sent."""


def on_all_cores(work: Callable[[T], Any], parts: Sequence[T], few: int = FEW) -> Iterator[Any]:
    """What `work` makes of each part, in any order; what it raises is that of the first part that fails.

    With less than a `few` of them other processes would take longer to start than they save. A thread beside
    the main one works alone: a copy of the process would hold what other threads were about to write.

    Results are sent from process to process, errors are not: a part that fails in another process is worked
    again in this one.
    """
    left = dict(enumerate(parts))
    if len(parts) >= few and cores() > 1 and FORKS and current_thread() is main_thread():
        for number, result in _elsewhere(work, parts):
            del left[number]
            yield result
    yield from map(work, left.values())


def cores() -> int:
    """How many this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def _elsewhere(work: Callable[[T], Any], parts: Sequence[T]) -> Iterator[tuple[int, Any]]:
    """The number and the result of each part, until one fails or there are no more processes to be had."""
    numbers = iter(range(len(parts)))
    forking = multiprocessing.get_context("fork")
    try:
        with (
            _lifeline() as line,
            ProcessPoolExecutor(cores(), forking, _begin, (line, work, parts)) as executor,
        ):
            try:
                waiting = {executor.submit(_one, number) for number in islice(numbers, AHEAD * cores())}
                while waiting:
                    done, waiting = wait(waiting, return_when=FIRST_COMPLETED)
                    waiting |= {executor.submit(_one, number) for number in islice(numbers, len(done))}
                    yield from (each.result() for each in done)
            except BaseException:
                # What they are still at is of use to nobody, and may take long.
                for process in multiprocessing.active_children():
                    process.terminate()
                raise
            finally:
                executor.shutdown(cancel_futures=True)
    except (_Failed, BrokenProcessPool, OSError, ImportError):
        return


@contextmanager
def _lifeline() -> Iterator[tuple[int, int]]:
    """A pipe that this process alone keeps open for writing: it closes with it, however it ends."""
    line = os.pipe()
    try:
        yield line
    finally:
        for end in line:
            os.close(end)


class _Failed(Exception):
    """A part raised something, whatever it is."""


def _begin(line: tuple[int, int], work: Callable[[T], Any], parts: Sequence[T]) -> None:
    """In a process that was started for it, before the first part."""
    global _job
    reading, writing = line
    os.close(writing)
    Thread(target=_end_with, args=(reading,), daemon=True).start()
    # What came with the process is of use to its end: whoever looks for what is of none need not look there.
    gc.freeze()
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    _job = work, parts


def _end_with(reading: int) -> None:
    """Ends this process as soon as the one is gone that started it: nobody would ever send it home."""
    os.read(reading, 1)
    os._exit(1)


def _one(number: int) -> tuple[int, Any]:
    work, parts = _job
    try:
        return number, work(parts[number])
    except Exception:
        raise _Failed from None
