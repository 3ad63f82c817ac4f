"""What a search inside a guide is asked, from the texts in which it is asked."""

from __future__ import annotations

from dataclasses import dataclass

from sitegen.effects.claims import Claim, parse_claims
from sitegen.effects.piece_sets import Part, parse_pieces
from sitegen.guide.enclosing import Enclosing
from sitegen.problems import Findings, Passage, Problem, written
from sitegen.puzzles.puzzle import Puzzle
from sitegen.search.aim import Aim, aim
from sitegen.search.query import Query, query
from sitegen.search.turns import Allowed, Turns, read_faces, refuse_beside, turns


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
    claims, allowed = _read(puzzle, asking, findings)
    findings.settle()
    passage = asking.passage
    return query(claims, allowed, around.scope(passage, puzzle).permutations, passage, asking.marked)


def aim_within(
    around: Enclosing,
    puzzle: Puzzle,
    asking: Asking,
    guard: Passage | None,
    watch: Passage | None,
    findings: Findings,
) -> Aim:
    """What is to be derived, with pieces to be guarded and watched. Raises as above."""
    claims, allowed = _read(puzzle, asking, findings)
    parts = [_part(each, puzzle, findings) for each in (guard, watch)]
    findings.settle()
    passage = asking.passage
    others = around.scope(passage, puzzle).permutations
    return aim(claims, allowed, others, passage, asking.marked, *parts)


def _read(puzzle: Puzzle, asking: Asking, findings: Findings) -> tuple[list[tuple[Passage, Claim]], Turns]:
    """The claims, and the turns that are allowed; what cannot be read goes to the findings."""
    nothing = tuple[str, ...]()
    named = (
        findings.attempt(nothing, read_faces, written(asking.faces, "--faces"), puzzle)
        if asking.faces is not None
        else nothing
    )
    for option, said in {"--slices": asking.slices, "--wide": asking.wide}.items():
        if said:
            findings.attempt(None, refuse_beside, written(option, option), puzzle)
    claims = _claims(asking.passage, puzzle, findings)
    return claims, turns(puzzle, Allowed(named, asking.slices, asking.wide), asking.metric)


def _part(passage: Passage | None, puzzle: Puzzle, findings: Findings) -> Part | None:
    """Pieces that are named, if any are."""
    if passage is None:
        return None
    return passage, findings.attempt(frozenset(), parse_pieces, passage, puzzle)


def _claims(passage: Passage, puzzle: Puzzle, findings: Findings) -> list[tuple[Passage, Claim]]:
    found = parse_claims([passage], puzzle, findings)
    if not found and not passage.text.strip(" ;"):
        findings.add(Problem("no claim is made", passage, "write for example flips UF; keeps U except UF"))
    return found
