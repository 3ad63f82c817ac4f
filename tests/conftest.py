"""What the tests of several rooms share: the cubes, turning one by text, and a guide from a few texts."""

from __future__ import annotations

import gc
import os
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from uuid import uuid4

import pytest
from hypothesis import settings
from playwright.sync_api import Browser
from sample_guide import guide_of, write_guide
from sample_methods import written_out
from sample_rendering import chromium
from turned_text import does

import sitegen.blocks.find_block as find_block
import sitegen.methods.cases
from sitegen import parallel
from sitegen.cache import PLACE
from sitegen.guide.guide import Guide
from sitegen.guide.load import read_guide
from sitegen.problems import Problem
from sitegen.puzzles import catalogue
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Puzzle

SLOW = (
    "blocks/test_cache.py",
    "blocks/test_find_block.py",
    "blocks/test_marked.py",
    "blocks/test_method_block.py",
    "blocks/test_practice_block.py",
    "blocks/test_variations.py",
    "blocks/test_worked_example.py",
    "editor/",
    "effects/test_centres.py",
    "figures/test_every_puzzle_drawn.py",
    "figures/test_last_bits.py",
    "figures/test_marks_read_back.py",
    "figures/test_patterns.py",
    "figures/test_self_contained.py",
    "figures/test_shapes_of_marks.py",
    "guide/test_any_text.py",
    "guide/test_every_line_counts.py",
    "guide/test_own_puzzles.py",
    "methods/",
    "moves/test_join.py",
    "moves/test_moves_laws.py",
    "preview/",
    "puzzles/test_published_distances.py",
    "puzzles/test_published_group_orders.py",
    "search/",
    "site/",
    "test_cli.py",
    "test_derive_command.py",
    "test_ending.py",
    "test_every_puzzle.py",
    "test_explain_command.py",
    "test_handout_command.py",
    "test_hints.py",
    "test_manual.py",
    "test_readme.py",
    "test_recipes.py",
    "test_torture.py",
    "test_trial_command.py",
)
"""What `-m "not slow"` leaves out: browsers, paper, searches, methods, commands that are broken off, and all
puzzles in all views."""


def is_slow(path: Path) -> bool:
    return path.relative_to(Path(__file__).parent).as_posix().startswith(SLOW)


def pytest_ignore_collect(collection_path: Path, config: pytest.Config) -> bool | None:
    """What the fast lane leaves out is not even read for it: that takes a tenth of its time."""
    return (config.getoption("markexpr") == "not slow" and is_slow(collection_path)) or None


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    for item in items:
        if is_slow(item.path):
            item.add_marker(pytest.mark.slow)
    # Some of these wait for half a minute: begun last, they would keep all other processes waiting too.
    items.sort(key=lambda item: item.path.name != "test_torture.py")


def pytest_configure() -> None:
    gc.set_threshold(100_000, 20, 100)
    settings.register_profile("turnfolio", deadline=None, database=None)
    settings.load_profile("turnfolio")


def pytest_collection_finish() -> None:
    """Tests stay to the end: to look among them, again and again, for what nobody needs takes long."""
    gc.collect()
    gc.freeze()


@pytest.fixture(scope="session", autouse=True)
def _shared_cache(tmp_path_factory) -> Iterator[Path]:
    """What guides keep that several tests share: it is this run's alone, and all its processes have it."""
    base: Path = tmp_path_factory.getbasetemp()
    folder = (base.parent if "PYTEST_XDIST_WORKER" in os.environ else base) / "shared-cache"
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv(PLACE, str(folder))
        yield folder


@pytest.fixture(scope="session", autouse=True)
def _compiled_once(_shared_cache: Path) -> Iterator[None]:
    """Of the many processes that tests start only the first compiles the program."""
    with pytest.MonkeyPatch.context() as patch:
        patch.delenv("PYTHONDONTWRITEBYTECODE", raising=False)
        patch.setenv("PYTHONPYCACHEPREFIX", str(_shared_cache.with_name("compiled")))
        yield


@pytest.fixture(autouse=True)
def _all_time_in_the_world(monkeypatch) -> None:
    """What a command says does not depend on how long it takes."""
    monkeypatch.setattr("sitegen.commands.terminal.PATIENCE", 10**6)


@pytest.fixture(autouse=True)
def cache(tmp_path_factory, monkeypatch) -> Path:
    """The folder in which a test keeps results, empty at first; nothing of other tests is known there."""
    folder: Path = tmp_path_factory.getbasetemp() / "caches" / uuid4().hex
    monkeypatch.setenv(PLACE, str(folder))
    return folder


@pytest.fixture
def kept_in_module(cache, _shared_cache, monkeypatch, request) -> None:
    """For tests that are not about how results come about: what one of a module has found is known to others.

    Modules have a folder each, since some change what results follow from beside what they are kept by.
    """
    monkeypatch.setenv(PLACE, str(_shared_cache / request.module.__name__))


@pytest.fixture
def demo(tmp_path, cache, _shared_cache, monkeypatch) -> Path:
    """The demo guide, to be changed; what takes long about it is found once in a run."""
    shutil.copytree(Path(__file__).parents[1] / "content", tmp_path / "content")
    monkeypatch.setenv(PLACE, str(_shared_cache / "demo"))
    return tmp_path


@pytest.fixture(scope="session")
def cube2() -> Puzzle:
    return catalogue.puzzle("cube-2")


@pytest.fixture(scope="session")
def cube3() -> Puzzle:
    return catalogue.puzzle("cube-3")


@pytest.fixture(scope="session")
def cube4() -> Puzzle:
    return catalogue.puzzle("cube-4")


@pytest.fixture(scope="session")
def cube5() -> Puzzle:
    return catalogue.puzzle("cube-5")


@pytest.fixture(scope="session")
def cube7() -> Puzzle:
    return catalogue.puzzle("cube-7")


@pytest.fixture(scope="session")
def turned() -> Callable[[str, Puzzle], Permutation]:
    """Moves as text, and a puzzle, to where each slot's sticker goes."""
    return does


@pytest.fixture(scope="session")
def turned_by_text() -> Callable[[str, Puzzle], Permutation]:
    """The same, of moves in which sequences are named: by putting their moves in the place of the names."""
    return lambda text, puzzle: does(written_out(text), puzzle)


@pytest.fixture(scope="module")
def counted_soon() -> Iterator[None]:
    """Counting what a method leaves open ends sooner than usual: it takes time, and is not asked about."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(sitegen.methods.cases, "MOST_CASES", 5_000)
        yield


@pytest.fixture(scope="session")
def _chromium() -> Iterator[Browser]:
    with chromium() as running:
        yield running


@pytest.fixture(scope="module")
def browser(_chromium: Browser) -> Iterator[Browser]:
    """Chromium, started once; what a module has opened in it is closed for the next one."""
    yield _chromium
    for context in _chromium.contexts:
        context.close()


@pytest.fixture(scope="session")
def pyraminx() -> Puzzle:
    return catalogue.puzzle("pyraminx")


@pytest.fixture(scope="session")
def skewb() -> Puzzle:
    return catalogue.puzzle("skewb")


@pytest.fixture(scope="session")
def megaminx() -> Puzzle:
    return catalogue.puzzle("megaminx")


@pytest.fixture
def guide_at(tmp_path: Path) -> Callable[..., Guide]:
    """Pages by name to a guide, which has a first page in any case; `files` are all others."""

    def read(config: str = "title: T\n", files: dict[str, str | bytes] | None = None, **pages: str) -> Guide:
        guide_of(tmp_path, config, **pages)
        write_guide(tmp_path / "content", files or {})
        return read_guide(tmp_path)

    return read


@pytest.fixture
def searches(monkeypatch) -> list[list[str]]:
    """The claims of each search there was in this process, to which all are left."""
    monkeypatch.setattr(parallel, "cores", lambda: 1)
    told: list[list[str]] = []
    search = find_block.find

    def counted(asked, *others) -> None:
        told.append(asked.texts)
        search(asked, *others)

    monkeypatch.setattr(find_block, "find", counted)
    return told


@pytest.fixture
def problems_of(guide_at) -> Callable[..., list[Problem]]:
    return lambda *args, **pages: list(guide_at(*args, **pages).problems)


@pytest.fixture
def headlines(problems_of) -> Callable[..., list[str]]:
    return lambda *args, **pages: [problem.headline() for problem in problems_of(*args, **pages)]
