"""`flips UF and UR`: each of these edges is turned over in its place."""

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
    just,
    placed,
    read_piece,
)
from sitegen.puzzles.puzzle import Piece, Puzzle
from sitegen.tokenizer import Tokenizer


@dataclass(frozen=True)
class Flips(Placing):
    pieces: tuple[Piece, ...]

    def fault(self, case: Subject) -> str:
        wrong = [piece for piece in self.pieces if piece not in case.effect.flips]
        return "; ".join(fate(piece, case.effect) for piece in wrong)

    def asks(self, reading: Reading) -> Asked:
        return all_asked(just(_flipped(piece)) for piece in self.pieces)

    def moved(self) -> Mapping[int, int]:
        return joined((piece, _flipped(piece)) for piece in self.pieces)


def _flipped(piece: Piece) -> Mapping[int, int]:
    return placed(piece, piece.stickers[0], piece, piece.stickers[1])


def read(tokens: Tokenizer, puzzle: Puzzle) -> Placing:
    """flips := "flips" EDGE (("," | "and") EDGE)*"""
    pieces = [read_piece(tokens, puzzle, (), 2, "an edge")]
    while another(tokens):
        pieces.append(read_piece(tokens, puzzle, pieces, 2, "an edge"))
    return Flips(tuple(pieces))
