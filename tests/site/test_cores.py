"""A site is the same, and so is what is wrong with it, on however many cores it is made."""

from __future__ import annotations

from pathlib import Path
from shutil import rmtree

import pytest
from sample_guide import write_guide

from sitegen import parallel
from sitegen.problems import Problems
from sitegen.site.publish import publish

TURNS = ("R", "U", "F'", "R2", "D", "L'")


def guide() -> dict[str, str | bytes]:
    """As many pages as are worth a second process, with a sequence on each."""
    pages = {
        f"content/p{n}.md": f"# P {n}\n\n```moves s{n}\n{TURNS[n % 6]} {TURNS[n // 6 % 6]}\n```\n"
        for n in range(parallel.FEW)
    }
    return {"content/guide.yaml": "title: T\n", "content/index.md": "Home.\n", **pages}


def made(folder: Path, monkeypatch, cores: int) -> dict[str, bytes]:
    monkeypatch.setattr(parallel, "cores", lambda: cores)
    output = folder / "output"
    rmtree(output, ignore_errors=True)
    publish(folder)
    return {path.relative_to(output).as_posix(): path.read_bytes() for path in output.rglob("*.html")}


def test_its_pages_are_the_same(tmp_path: Path, monkeypatch) -> None:
    write_guide(tmp_path, guide())
    alone = made(tmp_path, monkeypatch, 1)
    assert len(alone) > 2 * parallel.FEW
    assert made(tmp_path, monkeypatch, 2) == alone


def test_a_mistake_in_a_template_is_the_same(tmp_path: Path, monkeypatch) -> None:
    mine = {
        "content/guide.yaml": "title: T\ntheme: mine\n",
        "themes/mine/theme.yaml": "based on: folio\n",
        "themes/mine/templates/pages/sequence.html": "<!doctype html>\n{{ sequence.nothing }}\n",
    }
    write_guide(tmp_path, {**guide(), **mine})
    told = []
    for cores in (1, 2):
        with pytest.raises(Problems) as raised:
            made(tmp_path, monkeypatch, cores)
        told.append(str(raised.value))
    assert told[0].startswith("themes/mine/templates/pages/sequence.html:2:1: ")
    assert told[1] == told[0]
