"""What the tests of effects share: the effect of moves written as text, on any cube."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from turned_text import does

from sitegen.effects.claims import Subject, parse_claim
from sitegen.effects.effect import Effect
from sitegen.moves.metrics import length
from sitegen.moves.parse import parse
from sitegen.problems import written
from sitegen.puzzles import catalogue


@pytest.fixture(scope="session")
def effect() -> Callable[..., Effect]:
    """Moves to their effect."""

    def of(moves: str, puzzle: str = "cube-3") -> Effect:
        cube = catalogue.puzzle(puzzle)
        return Effect(cube, does(moves, cube))

    return of


@pytest.fixture(scope="session")
def fault(effect) -> Callable[..., str]:
    """What is wrong with a claim about moves; empty where the claim is true."""

    def of(claim: str, moves: str, puzzle: str = "cube-3", **others: str) -> str:
        cube = catalogue.puzzle(puzzle)
        known = {name.replace("_", "-"): effect(text, puzzle).permutation for name, text in others.items()}
        case = Subject(effect(moves, puzzle), length(parse(written(moves), cube), cube), known)
        return parse_claim(written(claim), cube).fault(case)

    return of
