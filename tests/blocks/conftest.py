"""What the tests of blocks share: the block that a page begins with, and what is wrong on its pages."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest


@pytest.fixture
def checked(guide_at) -> Callable[..., Any]:
    """The first block of the first page of a guide without problems, checked; given as to `guide_at`."""

    def of(*config: str, **pages: str) -> Any:
        guide = guide_at(*config, **pages)
        assert [str(problem) for problem in guide.problems] == []
        return guide.blocks["index"][0].checked

    return of


@pytest.fixture
def mistakes(problems_of) -> Callable[..., list[tuple[int, int, str, str]]]:
    """Line, column, message and hint of each problem."""

    def of(*config: str, **pages: str) -> list[tuple[int, int, str, str]]:
        problems = problems_of(*config, **pages)
        return [(p.passage.line, p.passage.column, p.message, p.hint) for p in problems]

    return of
