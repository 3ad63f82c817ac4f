"""How far a long job is: a bar on a terminal that can draw one, and else a line now and then."""

from __future__ import annotations

import os
import subprocess
import sys

import pytest

from sitegen.commands import terminal

JOB = """
from sitegen.commands.terminal import progress
for _ in progress(range(3), 3, "Turning"):
    pass
"""


@pytest.fixture
def clock(monkeypatch) -> list[float]:
    """A clock that is put forward by hand."""
    now = [0.0]
    monkeypatch.setattr(terminal, "monotonic", lambda: now[0])
    monkeypatch.setattr(terminal, "PATIENCE", 5)
    return now


def test_who_watches_no_terminal_is_told_in_lines_when_it_takes_long(clock, capsys) -> None:
    for _ in terminal.progress(range(5), 5, "Turning"):
        clock[0] += 3
    assert capsys.readouterr().err == "Turning: 2 of 5\nTurning: 4 of 5\nTurning: done\n"


def test_what_takes_long_is_named(clock, capsys) -> None:
    class Method:
        label = "the method of edges"

    for _ in terminal.progress([0, Method()], 2, "Checking"):
        clock[0] += 7
    assert "Checking: 1 of 2, the method of edges\n" in capsys.readouterr().err


def test_nothing_is_said_of_what_is_done_soon(clock, capsys) -> None:
    for _ in terminal.progress(range(1000), 1000, "Turning"):
        clock[0] += 0.001
    assert capsys.readouterr().err == ""


@pytest.mark.skipif(sys.platform == "win32", reason="there are no such terminals")
@pytest.mark.parametrize(("term", "drawn"), [("xterm", True), ("dumb", False)])
def test_only_a_terminal_that_can_draw_a_bar_gets_one(term: str, drawn: bool) -> None:
    ours, its = os.openpty()
    subprocess.run([sys.executable, "-c", JOB], stderr=its, env={**os.environ, "TERM": term}, check=True)
    os.close(its)
    try:
        shown = os.read(ours, 10_000)
    except OSError:  # Linux says so where nothing was written and nobody is there to write.
        shown = b""
    os.close(ours)
    assert (b"Turning" in shown and b"\x1b" in shown) == drawn
    assert drawn or shown == b""
