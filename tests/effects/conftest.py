"""What the tests of effects share: the effect of moves written as text, on any cube."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from sitegen.effects.claims import Case, parse_claim
from sitegen.effects.effect import Effect, Report, report
from sitegen.moves.metrics import length
from sitegen.moves.parse import parse
from sitegen.moves.turning import permutation
from sitegen.problems import written
from sitegen.puzzles import catalogue


@pytest.fixture(scope="session")
def seen() -> Callable[..., Report]:
    """Moves to their effect, as turned and relative to the centres."""

    def of(moves: str, puzzle: str = "cube-3") -> Report:
        cube = catalogue.puzzle(puzzle)
        return report(cube, permutation(parse(written(moves), cube), cube))

    return of


@pytest.fixture(scope="session")
def effect(seen) -> Callable[..., Effect]:
    return lambda moves, puzzle="cube-3": seen(moves, puzzle).turned


@pytest.fixture(scope="session")
def fault(seen) -> Callable[..., str]:
    """What is wrong with a claim about moves; empty where the claim is true."""

    def of(claim: str, moves: str, puzzle: str = "cube-3", **others: str) -> str:
        cube = catalogue.puzzle(puzzle)
        known = {
            name.replace("_", "-"): seen(text, puzzle).turned.permutation for name, text in others.items()
        }
        case = Case(seen(moves, puzzle), length(parse(written(moves), cube), cube), known)
        return parse_claim(written(claim), cube).fault(case)

    return of


@pytest.fixture(scope="session")
def cases(seen) -> Callable[..., list[Case]]:
    """The readings of some moves, the likelier first."""

    def of(moves: str, puzzle: str = "cube-3") -> list[Case]:
        cube = catalogue.puzzle(puzzle)
        return Case(seen(moves, puzzle), length(parse(written(moves), cube), cube), {}).readings()

    return of
