"""`twists UFR clockwise and UBL anticlockwise`: each of these corners is turned in place, so."""

from __future__ import annotations

from dataclasses import dataclass

from sitegen.effects.claims.case import Case, Claim, another, fate, read_piece
from sitegen.puzzles.puzzle import Piece, Puzzle
from sitegen.tokenizer import Tokenizer

SENSES = ("clockwise", "anticlockwise")


@dataclass(frozen=True)
class Twists:
    senses: tuple[tuple[Piece, str], ...]

    def fault(self, case: Case) -> str:
        actual = {twist.piece: twist.sense for twist in case.effect.twists}
        wrong = [piece for piece, sense in self.senses if actual.get(piece.index) != sense]
        return "; ".join(fate(piece, case.effect) for piece in wrong)


def read(tokens: Tokenizer, puzzle: Puzzle) -> Claim:
    """twists := "twists" group (("," | "and") group)*    group := CORNER (("," | "and") CORNER)* sense"""
    senses: list[tuple[Piece, str]] = []
    while True:
        pieces = [read_piece(tokens, puzzle, 0, "a corner")]
        while another(tokens):
            pieces.append(read_piece(tokens, puzzle, 0, "a corner"))
        sense = _sense(tokens)
        senses += [(piece, sense) for piece in pieces]
        if not another(tokens):
            return Twists(tuple(senses))


def _sense(tokens: Tokenizer) -> str:
    token = tokens.check("word")
    if token is None or token.text not in SENSES:
        raise tokens.unexpected(
            "“clockwise” or “anticlockwise”",
            "the sense is the one seen when looking at the corner from outside",
        )
    tokens.read("word")
    return token.text
