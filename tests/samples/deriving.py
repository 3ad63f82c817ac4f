"""What is to be derived, as the tests ask it."""

from __future__ import annotations

from sitegen.effects.claims import parse_claims
from sitegen.effects.piece_sets import parse_pieces
from sitegen.problems import Findings, written
from sitegen.puzzles.puzzle import Puzzle
from sitegen.search.aim import Aim, aim
from sitegen.search.derive import derive
from sitegen.search.step_ways import StepWays
from sitegen.search.turns import Allowed, turns

MANY = 100_000


def sought(puzzle: Puzzle, claims: str, guard: str = "", faces: str = "", slices: bool = False) -> Aim:
    passage, findings = written(claims), Findings()
    read = parse_claims([passage], puzzle, findings)
    findings.settle()
    allowed = turns(puzzle, Allowed(tuple(faces.split()), slices), "obtm")
    kept = (written(guard), parse_pieces(written(guard), puzzle)) if guard else None
    return aim(read, allowed, {}, passage, guard=kept)


def ways_to(asked: Aim, most: int = MANY, **more: object) -> StepWays:
    found = StepWays(most)
    derive(asked.query, asked.guard, found, **more)  # type: ignore[arg-type]
    return found
