"""What DEVELOPERS.md names is there: each file, and each function on the way of a block and of a turn."""

from __future__ import annotations

import importlib
import re
from functools import reduce
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
TEXT = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
QUOTED = sorted(set(re.findall(r"`([^`\n ]+)`", TEXT)))
PATHS = [name for name in QUOTED if re.fullmatch(r"[\w./-]+(?:/|\.(?:py|md|yaml|css))", name)]
STATIONS = [
    name
    for name in QUOTED
    if re.fullmatch(r"(?:[a-z_]+/)+[a-z_]+(?:\.[A-Za-z_]+)+", name) and name not in PATHS
]


@pytest.mark.parametrize("path", PATHS)
def test_a_file_that_is_named_is_there(path: str) -> None:
    """By its path, from the package on, or in a room; NAME stands for any, such as that of a theme."""
    below = [ROOT, ROOT / "sitegen", *(each for each in (ROOT / "sitegen").iterdir() if each.is_dir())]
    made = ("output/", "guide.yaml", "theme.yaml", "files/figures.css")
    assert path in made or any((folder / path.replace("NAME", "folio")).exists() for folder in below)


@pytest.mark.parametrize("station", STATIONS)
def test_a_function_that_is_named_is_there(station: str) -> None:
    module, *names = station.split(".")
    found = importlib.import_module(f"sitegen.{module.replace('/', '.')}")
    assert reduce(getattr, names, found)


def test_there_is_something_to_look_for() -> None:
    assert len(PATHS) > 40
    assert len(STATIONS) > 18
