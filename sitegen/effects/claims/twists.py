"""`twists UFR clockwise and UBL anticlockwise`: each of these corners is turned in place, so."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from sitegen.effects.claims.claim import (
    Asked,
    Placing,
    Reading,
    Subject,
    all_asked,
    another,
    fate,
    joined,
    placed,
    read_piece,
)
from sitegen.effects.effect import Twist
from sitegen.puzzles.puzzle import Piece, Puzzle
from sitegen.tokenizer import Tokenizer

SENSES = ("clockwise", "anticlockwise", "halfway")
"""As seen from outside; only pieces with an even number of stickers can be turned halfway."""


@dataclass(frozen=True)
class Twists(Placing):
    senses: tuple[tuple[Piece, str], ...]

    def fault(self, case: Subject) -> str:
        actual = {twist.piece: twist.sense for twist in case.effect.twists}
        wrong = [piece for piece, sense in self.senses if actual.get(piece.index) != sense]
        return "; ".join(fate(piece, case.effect) for piece in wrong)

    def asks(self, reading: Reading) -> Asked:
        return all_asked(_turned_in(piece, sense) for piece, sense in self.senses)

    def moved(self) -> Mapping[int, int]:
        return joined((piece, _turned(piece, _steps(piece, sense))) for piece, sense in self.senses)


def read(tokens: Tokenizer, puzzle: Puzzle) -> Placing:
    """twists := "twists" group (("," | "and") group)*    group := CORNER (("," | "and") CORNER)* sense"""
    senses: list[tuple[Piece, str]] = []
    while True:
        told = [piece for piece, _ in senses]
        pieces = [read_piece(tokens, puzzle, told, 0, "a corner")]
        while another(tokens):
            pieces.append(read_piece(tokens, puzzle, [*told, *pieces], 0, "a corner"))
        sense = _sense(tokens, pieces)
        senses += [(piece, sense) for piece in pieces]
        if not another(tokens):
            return Twists(tuple(senses))


def _steps(piece: Piece, sense: str) -> int:
    """By how many stickers clockwise a piece is turned where a position is given by a sense."""
    return {"clockwise": 1, "anticlockwise": -1, "halfway": len(piece.stickers) // 2}[sense]


def _turned(piece: Piece, steps: int) -> Mapping[int, int]:
    return placed(piece, piece.stickers[0], piece, piece.stickers[steps % len(piece.stickers)])


def _turned_in(piece: Piece, sense: str) -> Asked:
    """All ways to turn a piece in one sense: with five stickers or more there are several."""
    of = len(piece.stickers)
    ways = [_turned(piece, steps) for steps in range(1, of) if Twist(piece.index, steps, of).sense == sense]
    return {slot: frozenset(way[slot] for way in ways) for slot in piece.stickers}


def _sense(tokens: Tokenizer, pieces: list[Piece]) -> str:
    token = tokens.check("word")
    if token is None or token.text not in SENSES:
        raise tokens.unexpected(
            "“clockwise” or “anticlockwise”",
            "write it behind the corner, as in UFR clockwise; it is the sense seen from outside",
        )
    tokens.read("word")
    odd = next((piece for piece in pieces if len(piece.stickers) % 2), None)
    if token.text == "halfway" and odd:
        message = f"{odd.name} has {len(odd.stickers)} stickers, and cannot be turned halfway"
        raise tokens.problem(message, token.start, token.end, "write clockwise or anticlockwise")
    return token.text
