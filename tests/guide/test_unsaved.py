"""Texts that are not saved yet count in place of files: a guide is read as it would be with them saved."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pytest
from sample_guide import small_guide, write_guide

from sitegen.guide.load import read_guide
from sitegen.problems import Problem, Problems

CHANGED = {
    "a page with a false claim": {"content/index.md": "Home. `R`{.moves} `flips UF`{.claim}\n"},
    "a page that was never saved": {"content/new.md": "[](sequence:nothing-of-this-name)\n"},
    "a page of which others take a name": {"content/method/index.md": "# Empty\n"},
    "settings": {"content/guide.yaml": "title: T\npages: [index, another]\nlanguage: klingonish\n"},
    "no settings at all": {"content/guide.yaml": ""},
    "another puzzle for all": {"content/guide.yaml": "title: T\npuzzle: pyraminx\n"},
    "a puzzle that was never saved": {
        "content/puzzles/pebble.yaml": "solid: pebble\n",
        "content/other.md": "---\npuzzle: pebble\n---\nText.\n",
    },
    "a sign for machines": {"content/index.md": "Home.\x0b\n"},
    "a sign for machines in settings": {"content/guide.yaml": "title: T\x01\n"},
    "more than a file may have": {"content/index.md": "**x** " * 200_000},
    "a page of which no system can have the name": {"content/con.md": "# Con\n"},
    "pages in a folder that not every system can have": {
        "content/what?/a.md": "# A\n",
        "content/what?/b.md": "# B\n",
    },
    "a page with a line end in its name": {"content/two\nlines.md": "# Two\n"},
    "a puzzle of which no system can have the name": {"content/puzzles/aux.yaml": "solid: pebble\n"},
    "what is no page": {"content/.hidden.md": "[](nowhere.md)\n", "content/index.md~": "[](nowhere.md)\n"},
}


def told(problem: Problem) -> tuple[str, str]:
    return str(problem), problem.hint


def problems_of(folder: Path, unsaved: Mapping[str, str]) -> list[tuple[str, str]]:
    try:
        guide = read_guide(folder, unsaved=unsaved)
    except Problems as error:
        return [told(problem) for problem in error.problems]
    return [told(problem) for problem in (*guide.problems, *guide.notes)]


@pytest.mark.parametrize("texts", CHANGED.values(), ids=CHANGED)
def test_a_guide_is_read_as_it_would_be_saved(tmp_path: Path, texts: dict[str, str]) -> None:
    as_it_is = write_guide(tmp_path / "one", small_guide())
    saved = write_guide(tmp_path / "two", {**small_guide(), **texts})
    before = problems_of(as_it_is, {})
    found = problems_of(as_it_is, texts)
    assert found == problems_of(saved, {})
    assert (found == before) == ("content/.hidden.md" in texts)
    assert problems_of(as_it_is, {}) == before
