"""Work on all cores: the same results and errors as in one process, whatever happens to the others."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from time import monotonic, sleep

import pytest

from sitegen import parallel
from sitegen.parallel import FEW, on_all_cores

PARTS = range(3 * FEW)
pytestmark = pytest.mark.skipif(not parallel.FORKS, reason="here no process is started as a copy of another")


@pytest.fixture(autouse=True)
def two_cores(monkeypatch) -> None:
    monkeypatch.setattr(parallel, "cores", lambda: 2)


def test_every_part_is_worked_once(tmp_path) -> None:
    def work(part: int) -> tuple[int, int]:
        (tmp_path / str(part)).touch(exist_ok=False)
        time.sleep(0.02)  # so that no process does all before another has begun
        return part * part, os.getpid()

    done = list(on_all_cores(work, PARTS))
    assert sorted(square for square, _ in done) == [part * part for part in PARTS]
    assert 1 < len({process for _, process in done} - {os.getpid()}) <= 2


def test_a_few_parts_are_worked_in_order_where_they_are() -> None:
    done = list(on_all_cores(lambda part: (part, os.getpid()), range(FEW - 1)))
    assert done == [(part, os.getpid()) for part in range(FEW - 1)]


def test_what_goes_wrong_is_raised_here_as_it_is() -> None:
    class Wrong(Exception):
        """Something that no process could send: it is known in this function alone."""

    def work(part: int) -> int:
        if part in (50, 40):
            raise Wrong(part)
        return part

    with pytest.raises(Wrong, match="40"):
        list(on_all_cores(work, PARTS))


def test_where_a_process_is_killed_its_parts_are_worked_here() -> None:
    me = os.getpid()

    def work(part: int) -> int:
        if part == 30 and os.getpid() != me:
            os.kill(os.getpid(), signal.SIGKILL)
        return part

    assert sorted(on_all_cores(work, PARTS)) == list(PARTS)


@pytest.mark.parametrize("error", [OSError("no more processes"), ImportError("no semaphores")])
def test_where_no_process_can_be_started_all_is_worked_here(monkeypatch, error: Exception) -> None:
    def refused(*_: object) -> None:
        raise error

    monkeypatch.setattr(parallel, "ProcessPoolExecutor", refused)
    assert list(on_all_cores(lambda part: part, PARTS)) == list(PARTS)


def test_whoever_stops_asking_stops_the_work(tmp_path) -> None:
    def work(part: int) -> int:
        (tmp_path / str(part)).touch()
        return part

    results = on_all_cores(work, range(1000))
    next(results)
    results.close()
    done = len(list(tmp_path.iterdir()))
    sleep(0.2)
    assert len(list(tmp_path.iterdir())) == done < 1000


INTERRUPTED = """
import signal
import time
from sitegen import parallel
signal.signal(signal.SIGHUP, signal.SIG_DFL)  # whoever runs the tests may be deaf to it, and what they start
parallel.cores = lambda: 2

def work(part):
    time.sleep(LONG if part > 1 else 0.05)
    return part

for part in parallel.on_all_cores(work, range(1000)):
    print(part, flush=True)
"""


def begun(seconds: float) -> subprocess.Popen[str]:
    """A process that is at work with others, each part but the first two taking so long."""
    running = subprocess.Popen(
        [sys.executable, "-c", f"LONG = {seconds}{INTERRUPTED}"],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
    )
    assert running.stdout is not None
    running.stdout.readline()
    return running


@pytest.mark.parametrize("seconds", [0.05, 60])
def test_an_interrupt_ends_every_process_whatever_it_is_at(seconds: float) -> None:
    running = begun(seconds)
    start = monotonic()
    os.killpg(running.pid, signal.SIGINT)
    _, told = running.communicate(timeout=20)
    assert monotonic() - start < 10
    assert told.count("Traceback") == 1
    assert told.rstrip().endswith("KeyboardInterrupt")
    with pytest.raises(ProcessLookupError):
        os.killpg(running.pid, 0)


@pytest.mark.parametrize("by", [signal.SIGKILL, signal.SIGTERM, signal.SIGHUP])
def test_no_process_is_left_behind_by_one_that_is_killed(by: signal.Signals) -> None:
    running = begun(60)
    running.send_signal(by)
    assert running.wait(timeout=20) == -by
    running.communicate(timeout=20)  # which whoever is left behind would keep open
