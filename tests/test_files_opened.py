"""No link in somebody's guide is followed: every place that opens files is known, and why it may."""

from __future__ import annotations

import ast
import json
import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from sample_guide import write_guide

import sitegen
from sitegen.cache import PLACE

ROOT = Path(sitegen.__file__).parent
FUNCTIONS = {"open", "NamedTemporaryFile", "TemporaryDirectory", "TemporaryFile", "mkdtemp", "mkstemp"}
LOADERS = {"FileSystemLoader", "PackageLoader", "files", "as_file", "StaticFiles", "FileResponse"}
"""What other libraries have that open files by their paths."""
METHODS = {
    "read_text", "read_bytes", "write_text", "write_bytes", "open", "iterdir", "glob", "rglob", "walk",
    "mkdir", "rmdir", "unlink", "rename", "touch", "chmod", "symlink_to", "hardlink_to", "readlink",
    "exists", "lexists", "islink", "isfile", "isdir", "is_file", "is_dir", "is_symlink", "stat",
    "lstat", "samefile",
}  # fmt: skip
"""Those of paths; `replace` is one too where it is given one thing alone, since texts want two."""
OF_SYSTEM = {
    "open", "listdir", "scandir", "walk", "fwalk", "stat", "lstat", "mkdir", "makedirs", "unlink", "remove",
    "rmdir", "removedirs", "rename", "renames", "replace", "link", "symlink", "readlink", "truncate", "chmod",
    "utime", "access", "mkfifo",
}  # fmt: skip
WHOLE = {"shutil", "tempfile", "sqlite3", "fileinput", "zipfile", "tarfile", "linecache", "mmap"}
"""Modules of which everything counts."""

HERE = "folders.py"
OWN = "what comes with the program, by whoever installed it"
CACHE = "the user's own folder for results, which no guide names"
SAID = "a file that the user names in the command"
WORKSHOP = "in a folder that was just made, with a name and rights that nobody else has"
ASKED = "only asks whether something is there, and reads nothing of it"
OUTPUT = "lists output/ and its kin, and goes into no link there"
BESIDE = "moves what stands in the guide's folder itself, which the user named, and follows no link"
KNOWN = {
    "cache.Cache.keep": CACHE,
    "cache._read": CACHE,
    "cache._write": CACHE,
    "cache._prune": CACHE,
    "cache._ours": CACHE,
    "cache.kept": CACHE,
    "cache.emptied": CACHE,
    "cache._digests_of_program": OWN,
    "cli._not_done": "the system's place for what nobody reads",
    "commands.guide_commands._called": "asks where the command is, and opens nothing",
    "commands.move_commands._write": SAID,
    "commands.move_commands._write_frames": SAID,
    "commands.terminal._distrust": WORKSHOP,
    "guide.enclosing.guide_above": ASKED,
    "pages.files._new": ASKED,
    "preview.panel.own_file": OWN,
    "preview.panel._shades": OWN,
    "preview.site_files._identity": ASKED,
    "preview.watching.watch": ASKED,
    "puzzles.catalogue.definitions": OWN,
    "site.index_files.finder": OWN,
    "site.turning_files.turning_files": OWN,
    "site.output.alone": "locks the folder that the user named, and reads nothing of it",
    "site.output.replaced": WORKSHOP,
    "site.output.put_back": BESIDE,
    "site.output.NewSite.__init__": WORKSHOP,
    "site.output.NewSite.finish": WORKSHOP,
    "site.output._inside": OUTPUT,
    "site.output._is_folder": ASKED,
    "site.output._link": "a link is carried over as one, and not followed",
    "site.output._write_one": WORKSHOP,
    "site.output._make_room": WORKSHOP,
    "site.output._carry_over": WORKSHOP,
    "site.output._swap_as_one_may": BESIDE,
    "site.output._workshops": BESIDE,
    "site.output._whose": OUTPUT,
    "site.output._removed": OUTPUT,
    "site.publish._refuse_link": ASKED,
    "site.start.start": OWN,
    "site.start._take_away": "what was written just now",
    "site.theme.shipped": OWN,
}
"""Where files are opened otherwise than by `folders.py`, and why that may be."""


def opening(name: str, node: ast.Call, imported: set[str]) -> str:
    """What of files a call opens; empty for none."""
    called = node.func
    if isinstance(called, ast.Name):
        return called.id if called.id in FUNCTIONS | LOADERS or called.id in imported else ""
    if not isinstance(called, ast.Attribute):
        return ""
    of = called.value
    last = of.id if isinstance(of, ast.Name) else of.attr if isinstance(of, ast.Attribute) else ""
    if last == "os":
        return f"os.{called.attr}" if called.attr in OF_SYSTEM else ""
    if last in WHOLE:
        return f"{last}.{called.attr}"
    is_replaced = called.attr == "replace" and len(node.args) == 1 and not node.keywords and last != ""
    return called.attr if called.attr in METHODS or is_replaced else ""


def opened(module: str, text: str) -> Iterator[tuple[str, str]]:
    """Each function of a module in which files are opened, and what it calls for that."""
    tree = ast.parse(text)
    imported = {
        name.asname or name.name
        for node in ast.walk(tree)
        if isinstance(node, ast.ImportFrom) and node.module in WHOLE
        for name in node.names
    }

    def within(node: ast.AST, name: str) -> Iterator[tuple[str, str]]:
        for child in ast.iter_child_nodes(node):
            inner = isinstance(child, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef)
            called = f"{name}.{child.name}" if inner else name
            if isinstance(child, ast.Call) and (found := opening(name, child, imported)):
                yield name, found
            yield from within(child, called)

    yield from within(tree, module)


def places() -> dict[str, set[str]]:
    found: dict[str, set[str]] = {}
    for path in sorted(ROOT.rglob("*.py")):
        name = path.relative_to(ROOT).as_posix()
        if name != HERE:
            module = name.removesuffix(".py").replace("/", ".")
            for place, call in opened(module, path.read_text(encoding="utf-8")):
                found.setdefault(place, set()).add(call)
    return found


def test_every_place_that_opens_a_file_is_known() -> None:
    """Read by `sitegen/folders.py`, or write here why not."""
    found = places()
    assert {name: found[name] for name in found.keys() - KNOWN.keys()} == {}
    assert KNOWN.keys() - found.keys() == set(), "nothing is opened there any more"


@pytest.mark.parametrize(
    "line",
    [
        "open(path)",
        "path.open()",
        "path.read_text()",
        "(folder / name).is_file()",
        "os.replace(one, other)",
        "path.replace(other)",
        "shutil.copyfile(one, other)",
        "os.path.exists(path)",
        "FileSystemLoader(folder)",
        "from shutil import copy\ncopy(one, other)",
        "from tempfile import mkdtemp\nmkdtemp()",
    ],
)
def test_what_opens_a_file_is_seen(line: str) -> None:
    assert [place for place, _ in opened("module", line)] == ["module"]


@pytest.mark.parametrize("line", ["text.replace(one, other)", "replace(config, a=one)", "path.is_absolute()"])
def test_what_opens_none_is_passed_over(line: str) -> None:
    assert [*opened("module", line)] == []


PUBLISHING = """
import json, os, sys
from pathlib import Path
from sitegen.site.publish import handout, publish
folder, named, seen = Path(sys.argv[1]), [], []
def heard(event, given):
    if event in ("open", "os.listdir", "os.scandir") and isinstance(given[0], str | bytes | Path):
        named.append(os.fsdecode(given[0]))
sys.addaudithook(heard)
publish(folder)
read = tuple(f"{folder}/{each}" for each in ("content", "themes"))
print(json.dumps([name for name in named if name.startswith(read)]))
print(len(named))
"""
"""What is opened by its path is told of by that; by its last name alone what is by its folder's handle."""


@pytest.mark.skipif(os.open not in os.supports_dir_fd, reason="files are opened by their paths here")
def test_no_library_opens_a_file_of_a_guide_by_its_path(tmp_path: Path) -> None:
    """Between looking and opening anybody might put a link there."""
    files = {
        "content/guide.yaml": "title: T\ntheme: mine\n",
        "content/index.md": "# Home\n\n![A picture](a.svg)\n",
        "content/a.svg": "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 1 1'/>",
        "content/puzzles/mine.yaml": "solid: tetrahedron\naxes: faces\ndepths: [1/3]\nangle: 120\n",
        "themes/mine/theme.yaml": "based on: folio\n",
        "themes/mine/files/mine.css": "p { margin: 0 }\n",
        "themes/mine/templates/pages/page.html": '{% extends "folio/pages/page.html" %}\n',
    }
    done = subprocess.run(
        [sys.executable, "-c", PUBLISHING, str(write_guide(tmp_path.resolve(), files))],
        env={**os.environ, PLACE: str(tmp_path / "cache")},
        capture_output=True,
        text=True,
    )
    assert done.returncode == 0, done.stderr
    by_path, number = done.stdout.splitlines()
    assert json.loads(by_path) == []
    assert int(number) > 20
