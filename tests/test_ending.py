"""However a command ends, it says so in a line and by its exit status."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from sample_guide import small_guide, write_guide

from sitegen.statuses import FAULT, INTERRUPTED, MISUSE, PROBLEMS

RUN = "from sitegen.cli import main; main()"
BROKEN_OFF = """
import os, signal, sys
class WhileReading:
    def find_spec(self, name, path=None, target=None):
        if name == "sitegen.cli":
            os.kill(os.getpid(), signal.SIGINT)
sys.meta_path.insert(0, WhileReading())
from sitegen.begin import begin
begin()
"""
FAULTY = f"""
from sitegen.site import publish
def publish_(*_):
    raise ValueError("three")
publish.publish = publish_
{RUN}
"""


def ended(*args: str, code: str = RUN, **streams: object) -> tuple[int, str]:
    """The exit status of a process, and what it said of errors."""
    done = subprocess.run(
        [sys.executable, "-c", code, *args], stderr=subprocess.PIPE, text=True, check=False, **streams
    )
    return done.returncode, done.stderr


def test_done_is_nought(tmp_path: Path) -> None:
    folder = write_guide(tmp_path, small_guide())
    assert ended("check", str(folder), stdout=subprocess.DEVNULL) == (0, "")


@pytest.mark.parametrize(
    ("args", "status"),
    [
        (["check", "GUIDE"], PROBLEMS),
        (["check", "nowhere"], MISUSE),
        (["effect", "R Q"], MISUSE),
        (["nonsense"], MISUSE),
        (["draw", "R", "-o", "/dev/null/x.svg"], MISUSE),
    ],
)
def test_what_is_wrong_with_what_is_told_apart(tmp_path: Path, args: list[str], status: int) -> None:
    write_guide(tmp_path, {**small_guide(), "content/wrong.md": "[x](nowhere.md)\n"})
    code, told = ended(*(str(tmp_path) if arg == "GUIDE" else arg for arg in args))
    assert code == status
    assert "Traceback" not in told


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="the system has no full device")
@pytest.mark.parametrize("args", [["--help"], ["effect", "R"], ["puzzle"], ["find", "--help"]])
def test_a_full_disk_behind_standard_output_is_told(args: list[str]) -> None:
    with open("/dev/full", "w", encoding="utf-8") as full:
        code, told = ended(*args, stdout=full)
    assert code == MISUSE
    assert told == "Error: what was to be printed cannot be read or written: No space left on device\n"


@pytest.mark.parametrize("args", [["effect", "-"], ["editor"]])
def test_a_closed_standard_input_is_an_empty_one(args: list[str]) -> None:
    command = [sys.executable, "-c", RUN, *args]
    code, told = ended(code=f"import os; os.close(0); os.execv({sys.executable!r}, {command})")
    assert code in (0, MISUSE)
    assert "Traceback" not in told


def test_who_reads_no_more_is_left_alone() -> None:
    reading, writing = os.pipe()
    os.close(reading)
    assert ended("puzzle", stdout=writing) == (0, "")
    os.close(writing)


def test_a_fault_is_told_in_two_lines_and_shown_when_asked_for(tmp_path: Path) -> None:
    code, told = ended("publish", str(tmp_path), code=FAULTY)
    assert code == FAULT
    assert told == (
        "Fault in Turnfolio, not in your guide: ValueError: three\n"
        "Please pass on to its makers what turnfolio --traceback … shows.\n"
    )
    code, told = ended("--traceback", "publish", str(tmp_path), code=FAULTY)
    assert code != 0
    assert told.startswith("Traceback")


def test_ctrl_c_in_the_first_moments_ends_it_without_a_word() -> None:
    assert ended("puzzle", code=BROKEN_OFF, stdout=subprocess.DEVNULL) == (INTERRUPTED, "")


def test_where_interrupts_are_ignored_nothing_breaks_it_off() -> None:
    code = f"import signal; signal.signal(signal.SIGINT, signal.SIG_IGN)\n{BROKEN_OFF}"
    assert ended("puzzle", code=code, stdout=subprocess.DEVNULL) == (0, "")


@pytest.mark.parametrize("times", [1, 2])
def test_ctrl_c_ends_a_command(times: int) -> None:
    command = ["find", "cycles UF > UB > DL", "--longest", "14", "--json"]
    process = subprocess.Popen(
        [sys.executable, "-c", RUN, *command],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        text=True,
    )
    time.sleep(2)
    for _ in range(times):
        process.send_signal(signal.SIGINT)
    _, told = process.communicate(timeout=30)
    assert process.returncode == INTERRUPTED
    assert "Traceback" not in told
