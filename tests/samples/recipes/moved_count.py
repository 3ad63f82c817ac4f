"""`changes 3 pieces`: so many pieces are not home afterwards, whichever they are."""

from __future__ import annotations

from dataclasses import dataclass

from sitegen.effects.claims.claim import Claim, Subject
from sitegen.puzzles.puzzle import Puzzle
from sitegen.tokenizer import Tokenizer


@dataclass(frozen=True)
class ChangesSoMany(Claim):
    number: int

    def fault(self, case: Subject) -> str:
        count = len(case.effect.changed)
        return "" if count == self.number else f"{count} pieces are changed"


def read(tokens: Tokenizer, puzzle: Puzzle) -> Claim:
    """changes_so_many := "changes exactly" NUMBER"""
    token = tokens.expect("a number", "number", hint="write it as in changes exactly 3")
    return ChangesSoMany(tokens.number(token, len(puzzle.pieces)))
