"""What the tests of several rooms share: the cubes, and turning one by text."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from hypothesis import settings

from sitegen.moves.parse import parse
from sitegen.moves.turning import permutation
from sitegen.problems import written
from sitegen.puzzles import catalogue
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Puzzle


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
