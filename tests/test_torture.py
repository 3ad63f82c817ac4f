"""The scripts in tests/torture/, each with a few of what it tries: run by hand, they try many."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest
from sample_rendering import CHROMIUM, needs

FOLDER = Path(__file__).with_name("torture")
FEW = {
    "kills.py": ["3", "2"],
    "disk_full.py": ["1"],
    "inputs.py": ["1000", "0"],
    "preview_sockets.py": ["200", "30"],
    "many_pages.py": ["100", "40"],
    "whole_guides.py": ["60", "2"],
}

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="what they try, they try as Linux has it")


def tried(script: str, *arguments: str) -> str:
    """What a script prints, which is that all held, or why nothing was tried."""
    command = [sys.executable, str(FOLDER / script), *arguments]
    done = subprocess.run(command, capture_output=True, text=True, timeout=600)
    assert done.returncode == 0, done.stdout + done.stderr
    counts = re.findall(r"tried ([\d,]+), held ([\d,]+)", done.stdout)
    assert all(one == other for one, other in counts), done.stdout
    assert counts or "skipped: " in done.stdout
    return done.stdout


@pytest.mark.parametrize("script", FEW)
def test_what_is_tried_holds(script: str) -> None:
    told = tried(script, *FEW[script])
    if "tried" not in told:
        pytest.skip(told)


@needs(chromium=CHROMIUM)
def test_what_an_author_writes_runs_nowhere() -> None:
    assert "tried" in tried("hostile_pages.py", "15")


def test_every_script_is_tried() -> None:
    assert {path.name for path in FOLDER.glob("*.py")} == {*FEW, "hostile_pages.py", "held.py"}
