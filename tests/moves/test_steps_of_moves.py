"""The steps of moves, which their structure parts: one after another they are the moves written out."""

from __future__ import annotations

import pytest

from sitegen.moves.notation import write_all
from sitegen.moves.parse import parse
from sitegen.moves.references import resolve_one
from sitegen.moves.turning import expand, in_steps
from sitegen.problems import written
from sitegen.puzzles import catalogue

CUBE = catalogue.puzzle("cube-3")
LIFT = parse(written("F D'"), CUBE)


@pytest.mark.parametrize(
    ("moves", "steps"),
    [
        ("R U F", ["R U F"]),
        ("[R, U F]", ["R", "U F", "R'", "F' U'"]),
        ("[R: U]", ["R", "U", "R'"]),
        ("[F: [R, U]]", ["F", "R", "U", "R'", "U'", "F'"]),
        ("R U [F, D] L", ["R U", "F D F' D'", "L"]),
        ("(R U)2 F", ["R U R U", "F"]),
        ("@lift", ["F D'"]),
        ("[@lift, U]", ["F D'", "U", "D F'", "U'"]),
        ("U @lift @lift'", ["U", "F D'", "D F'"]),
        ("(R U)'", ["U' R'"]),
    ],
)
def test_steps(moves: str, steps: list[str]) -> None:
    tree = resolve_one(parse(written(moves), CUBE), {"lift": LIFT})
    found = list(in_steps(tree))
    assert [write_all(step, CUBE) for step in found] == steps
    assert sum(found, ()) == expand(tree)
