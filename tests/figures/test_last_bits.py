"""No figure depends on the last bits of a float, which differ from machine to machine."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest
from last_bits import figures

SCRIPT = Path(__file__).parents[1] / "samples/last_bits.py"


@pytest.mark.slow
def test_figures_are_the_same_where_computing_loses_other_bits() -> None:
    told = subprocess.run([sys.executable, SCRIPT, "one"], capture_output=True, check=True, text=True)
    there, drawn = json.loads(told.stdout), figures()
    assert there.keys() == drawn.keys()
    assert [name for name in drawn if there[name] != drawn[name]] == []
