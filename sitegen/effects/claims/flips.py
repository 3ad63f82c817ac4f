"""`flips UF and UR`: each of these edges is turned over in its place."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from sitegen.effects.claims.case import Case, Placing, another, fate, joined, placed, read_piece
from sitegen.puzzles.puzzle import Piece, Puzzle
from sitegen.tokenizer import Tokenizer


@dataclass(frozen=True)
class Flips:
    pieces: tuple[Piece, ...]

    def fault(self, case: Case) -> str:
        wrong = [piece for piece in self.pieces if piece not in case.effect.flips]
        return "; ".join(fate(piece, case.effect) for piece in wrong)

    def moved(self) -> Mapping[int, int]:
        return joined(
            (piece, placed(piece, piece.stickers[0], piece, piece.stickers[1])) for piece in self.pieces
        )


def read(tokens: Tokenizer, puzzle: Puzzle) -> Placing:
    """flips := "flips" EDGE (("," | "and") EDGE)*"""
    pieces = [read_piece(tokens, puzzle, 2, "an edge")]
    while another(tokens):
        pieces.append(read_piece(tokens, puzzle, 2, "an edge"))
    return Flips(tuple(pieces))
