"""What is kept for later can be looked at, taken away, and done without."""

from __future__ import annotations

import os
from pathlib import Path

from click.testing import CliRunner, Result
from sample_guide import small_guide, write_guide

from sitegen.cache import PLACE
from sitegen.cli import main


def run(*arguments: str) -> Result:
    return CliRunner().invoke(main, arguments)


def kept_in(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir()) if folder.exists() else []


def test_it_says_how_much_is_kept_and_where(tmp_path: Path, monkeypatch) -> None:
    monkeypatch.setenv(PLACE, str(tmp_path / "kept"))
    assert run("cache").output == f"0 results, 0.0 MB, in {tmp_path / 'kept'}\n"
    assert run("publish", str(write_guide(tmp_path / "guide", small_guide()))).exit_code == 0
    count = len(kept_in(tmp_path / "kept"))
    assert count
    assert run("cache").output.startswith(f"{count} result")


def test_clearing_takes_away_what_was_kept_and_nothing_else(tmp_path: Path, monkeypatch) -> None:
    place = tmp_path / "kept"
    monkeypatch.setenv(PLACE, str(place))
    guide = write_guide(tmp_path / "guide", small_guide())
    run("publish", str(guide))
    (place / "letter.txt").write_text("mine")
    assert "taken away from" in run("cache", "--clear").output
    assert kept_in(place) == ["letter.txt"]
    assert run("publish", str(guide)).exit_code == 0


def test_without_a_cache_all_is_made_anew_and_nothing_kept(tmp_path: Path, monkeypatch) -> None:
    place = tmp_path / "kept"
    monkeypatch.setenv(PLACE, str(place))
    guide = write_guide(tmp_path / "guide", small_guide())
    assert ", 0 kept as they were" in run("publish", str(guide)).output
    assert "0 rendered, " in run("publish", str(guide)).output
    before = {path.name: path.stat().st_mtime_ns for path in place.iterdir()}
    assert ", 0 kept as they were" in run("publish", "--no-cache", str(guide)).output
    assert {path.name: path.stat().st_mtime_ns for path in place.iterdir()} == before
    assert os.environ[PLACE] == str(place)
