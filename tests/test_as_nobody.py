"""What a user may not read or write is told of, whoever runs the tests; nothing is half done."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from nobody import as_nobody, folder_of_nobody
from running import ended_well, run
from sample_guide import write_guide

from sitegen.statuses import MISUSE, PROBLEMS

GUIDE = {
    "content/guide.yaml": "title: T\ntheme: mine\n",
    "content/index.md": "# Home\n\n![A picture](a.svg)\n",
    "content/a.svg": "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 1 1'/>",
    "content/chapter/x.md": "# X\n\nText.\n",
    "content/puzzles/mine.yaml": "solid: tetrahedron\naxes: faces\ndepths: [1/3]\nangle: 120\n",
    "themes/mine/theme.yaml": "name: mine\n",
    "themes/mine/files/mine.css": "p { margin: 0 }\n",
    "themes/mine/templates/pages/page.html": '{% extends "folio/pages/page.html" %}\n',
}

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="files say otherwise who may read them there")


@pytest.fixture(scope="module", autouse=True)
def _all_is_loaded(_shared_cache: Path, tmp_path_factory: pytest.TempPathFactory) -> None:
    """What the program reads of itself when it is first asked: nobody may have no right to where it lies."""
    folder = write_guide(tmp_path_factory.mktemp("loaded"), GUIDE)
    assert run("publish", str(folder)).exit_code == 0
    assert run("publish", str(folder / "nowhere")).exit_code == MISUSE


@pytest.fixture
def folder() -> Iterator[Path]:
    """A guide of nobody."""
    with folder_of_nobody() as made:
        with as_nobody():
            write_guide(made, GUIDE)
        yield made


def publish(folder: Path) -> tuple[int, str]:
    """The exit status, and what is said of what is wrong."""
    with as_nobody():
        done = run("publish", str(folder))
    assert ended_well(done)
    return done.exit_code, done.stderr


def test_nobody_can_publish(folder: Path) -> None:
    assert publish(folder) == (0, "")


CANNOT = "cannot be read: Permission denied"
FOLDER, FILE = f"this folder {CANNOT}", f"this {CANNOT}"
UNREADABLE = {
    "content": ("content/guide.yaml", FILE),
    "content/guide.yaml": ("content/guide.yaml", FILE),
    "content/a.svg": ("content/a.svg", FILE),
    "content/chapter": ("content/chapter", FOLDER),
    "content/chapter/x.md": ("content/chapter/x.md", FILE),
    "content/puzzles": ("content/puzzles", FOLDER),
    "content/puzzles/mine.yaml": ("content/puzzles/mine.yaml", FILE),
    "themes": ("themes/mine", FOLDER),
    "themes/mine": ("themes/mine", FOLDER),
    "themes/mine/theme.yaml": ("themes/mine/theme.yaml", FILE),
    "themes/mine/files": ("themes/mine/files", FOLDER),
    "themes/mine/files/mine.css": ("themes/mine/files/mine.css", FILE),
    "themes/mine/templates/pages": ("themes/mine/templates/pages", FOLDER),
    "themes/mine/templates/pages/page.html": ("themes/mine/templates/pages/page.html", FILE),
}
"""What nobody may read, and what is told of that, and where."""


@pytest.mark.parametrize("name", UNREADABLE)
def test_what_cannot_be_read_is_told_in_its_place(folder: Path, name: str) -> None:
    (folder / name).chmod(0)
    place, message = UNREADABLE[name]
    said = f"{place}:1:1: {message}\n    hint: see who may read it\n"
    assert publish(folder) == (PROBLEMS, said)
    assert sorted(path.name for path in folder.iterdir()) == ["content", "themes"]
    (folder / name).chmod(0o700)
    assert publish(folder) == (0, "")


def standing(folder: Path) -> dict[Path, tuple[int, ...]]:
    """Of each file below a folder which it is, whose, and when it was written, whoever has read it."""
    found = {path: path.stat() for path in folder.rglob("*")}
    return {
        path: (at.st_ino, at.st_mode, at.st_uid, at.st_gid, at.st_size, at.st_mtime_ns)
        for path, at in found.items()
    }


def test_a_site_of_another_user_is_left_as_it_is(folder: Path) -> None:
    """As after publishing once as one who may do everything."""
    if os.geteuid() != 0:
        pytest.skip("only one who may do everything makes files of others")
    assert run("publish", str(folder)).exit_code == 0
    before = standing(folder / "output")
    (folder / "content/index.md").write_text("# Another\n\nText.\n")
    status, said = publish(folder)
    assert status == MISUSE
    assert f"{folder}/output cannot be moved" in said
    assert "remove it, or let the user publish to whom it belongs" in said
    assert standing(folder / "output") == before
    assert sorted(path.name for path in folder.iterdir()) == ["content", "output", "themes"]


@pytest.mark.parametrize("mode", [0o500, 0])
def test_a_folder_of_ones_own_within_a_site_is_kept_or_named(folder: Path, mode: int) -> None:
    publish(folder)
    with as_nobody():
        write_guide(folder, {"output/mine/a.txt": "mine", "content/index.md": "# Another\n\nText.\n"})
    (folder / "output/mine").chmod(mode)
    status, said = publish(folder)
    kept = (folder / "output/mine").stat().st_mode & 0o777
    (folder / "output/mine").chmod(0o700)
    assert (kept, (folder / "output/mine/a.txt").read_text()) == (mode, "mine")
    published = "Another" in (folder / "output/index.html").read_text()
    assert published == (mode != 0)
    named = f"Error: {folder}/output/mine cannot be read or written: Permission denied\n"
    assert (status, said) == ((0, "") if published else (MISUSE, named))
    assert sorted(path.name for path in folder.iterdir()) == ["content", "output", "themes"]


@pytest.mark.parametrize("command", [["start", "{}/new"], ["draw", "R", "-o", "{}/new.svg"]])
def test_where_nobody_may_write_nothing_is_begun(folder: Path, command: list[str]) -> None:
    folder.chmod(0o500)
    with as_nobody():
        done = run(*(each.format(folder) for each in command))
    assert ended_well(done)
    assert done.exit_code == MISUSE
    assert (
        done.stderr == f"Error: {command[-1].format(folder)} cannot be read or written: Permission denied\n"
    )
    assert sorted(path.name for path in folder.iterdir()) == ["content", "themes"]
