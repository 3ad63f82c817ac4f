"""What a search inside a guide is asked, from the texts in which it is asked."""

from __future__ import annotations

from dataclasses import dataclass

from sitegen.effects.claims import Claim, parse_claims
from sitegen.guide.enclosing import Enclosing
from sitegen.problems import Findings, Passage, Problem, written
from sitegen.puzzles.puzzle import Puzzle
from sitegen.search.query import Query, query
from sitegen.search.turns import Allowed, read_faces, turns


@dataclass(frozen=True)
class Asking:
    """Claims with a semicolon between them, and which turns may be used; None where that is not said."""

    claims: str
    puzzle: str | None = None
    faces: str | None = None
    slices: bool = False
    wide: bool = False
    metric: str = "obtm"
    marked: bool = False
    longest: int | None = None

    @property
    def passage(self) -> Passage:
        """The claims as a text."""
        return written(self.claims, "claims")


def asked_within(
    around: Enclosing, puzzle: Puzzle, asking: Asking, findings: Findings | None = None
) -> Query:
    """Raises Problem or Problems, with those of the findings, for what cannot be read or cannot be."""
    findings = Findings() if findings is None else findings
    passage, nothing = asking.passage, tuple[str, ...]()
    named = (
        findings.attempt(nothing, read_faces, written(asking.faces, "--faces"), puzzle)
        if asking.faces is not None
        else nothing
    )
    claims = _claims(passage, puzzle, findings)
    findings.settle()
    allowed = turns(puzzle, Allowed(named, asking.slices, asking.wide), asking.metric)
    return query(claims, allowed, around.scope(passage, puzzle).permutations, passage, asking.marked)


def _claims(passage: Passage, puzzle: Puzzle, findings: Findings) -> list[tuple[Passage, Claim]]:
    found = parse_claims(passage, puzzle, findings)
    if not found and not passage.text.strip(" ;"):
        findings.add(Problem("no claim is made", passage, "write for example flips UF; keeps U except UF"))
    return found
