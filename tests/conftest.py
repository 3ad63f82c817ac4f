"""What the tests of several rooms share: the cubes, and turning one by text."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import settings

from sitegen.moves.parse import parse
from sitegen.moves.turning import permutation
from sitegen.problems import written
from sitegen.puzzles import catalogue
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Puzzle

SLOW = (
    "bench/",
    "site/",
    "effects/test_centres.py",
    "figures/test_alone.py",
    "figures/test_cascade.py",
    "figures/test_every_puzzle_drawn.py",
    "figures/test_flat.py",
    "figures/test_marks_read_back.py",
    "figures/test_patterns.py",
    "guide/test_any_text.py",
    "guide/test_every_line_counts.py",
    "guide/test_find_block.py",
    "guide/test_kept.py",
    "guide/test_marked.py",
    "guide/test_method_block.py",
    "guide/test_own_puzzles.py",
    "guide/test_practice_block.py",
    "guide/test_worked_example.py",
    "moves/test_join.py",
    "moves/test_moves_laws.py",
    "puzzles/test_published_distances.py",
    "puzzles/test_published_group_orders.py",
    "test_cli.py",
    "test_every_puzzle.py",
    "test_handout_command.py",
    "test_hints.py",
    "test_manual.py",
    "test_readme.py",
    "test_trial_command.py",
)
"""What `-m "not slow"` leaves out: browsers, paper, searches, methods, and all puzzles in all views."""


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    here = Path(__file__).parent
    for item in items:
        if item.path.relative_to(here).as_posix().startswith(SLOW):
            item.add_marker(pytest.mark.slow)


def pytest_configure() -> None:
    settings.register_profile("turnfolio", deadline=None, database=None)
    settings.load_profile("turnfolio")


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
    return lambda text, puzzle: permutation(parse(written(text), puzzle), puzzle)


@pytest.fixture(scope="session")
def pyraminx() -> Puzzle:
    return catalogue.puzzle("pyraminx")


@pytest.fixture(scope="session")
def skewb() -> Puzzle:
    return catalogue.puzzle("skewb")


@pytest.fixture(scope="session")
def megaminx() -> Puzzle:
    return catalogue.puzzle("megaminx")
