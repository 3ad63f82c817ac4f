"""`flips UF and UR`, `twists UFR clockwise and UBL anticlockwise`: each turned in its place, in a sense."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from sitegen.effects.claims.claim import (
    Asked,
    Placing,
    Reading,
    Subject,
    another,
    fate,
    merged,
    placed,
    read_slot,
)
from sitegen.effects.effect import HALFWAY, Twist
from sitegen.problems import Problem
from sitegen.puzzles.puzzle import Piece, Puzzle
from sitegen.tokenizer import Tokenizer

STEPS = {"clockwise": 1, "anticlockwise": -1, HALFWAY: 0}
"""The senses as seen from outside, and by how many stickers a piece is turned in a position given by one;
halfway is half of them, which only pieces with an even number of stickers can be turned by."""


@dataclass(frozen=True)
class TurnedInPlace(Placing):
    """Each of these pieces is turned in its place in this sense; an edge that is flipped, halfway."""

    BY_STICKERS = True

    senses: tuple[tuple[Piece, str], ...]

    def fault(self, case: Subject) -> str:
        actual = {twist.piece.index: twist.sense for twist in case.effect.turned}
        wrong = [piece for piece, sense in self.senses if actual.get(piece.index) != sense]
        return "; ".join(fate(piece, case.effect) for piece in wrong)

    def asks(self, reading: Reading) -> Asked:
        return merged(_turned_in(piece, sense) for piece, sense in self.senses)

    def moved(self) -> Mapping[int, int]:
        return merged(
            _turned(piece, STEPS[sense] or len(piece.stickers) // 2) for piece, sense in self.senses
        )


def _turned(piece: Piece, steps: int) -> dict[int, int]:
    """Where the stickers of a piece go that is turned clockwise by so many of them."""
    return placed(piece, piece.stickers[0], piece, piece.stickers[steps % len(piece.stickers)])


def _turned_in(piece: Piece, sense: str) -> Asked:
    """All ways to turn a piece in one sense: with five stickers or more there are several."""
    every = range(1, len(piece.stickers))
    ways = [_turned(piece, steps) for steps in every if Twist(piece, steps).sense == sense]
    return {slot: frozenset(way[slot] for way in ways) for slot in piece.stickers}


def read_flips(tokens: Tokenizer, puzzle: Puzzle) -> Placing:
    """flips := "flips" EDGE (("," | "and") EDGE)*"""
    pieces = _read_pieces(tokens, puzzle, [], edges=True)
    return TurnedInPlace(tuple((piece, HALFWAY) for piece in pieces))


def read_twists(tokens: Tokenizer, puzzle: Puzzle) -> Placing:
    """twists := "twists" group (("," | "and") group)*    group := CORNER (("," | "and") CORNER)* sense"""
    senses: list[tuple[Piece, str]] = []
    while not senses or another(tokens):
        pieces = _read_pieces(tokens, puzzle, [piece for piece, _ in senses], edges=False)
        sense = _read_sense(tokens, pieces)
        senses += [(piece, sense) for piece in pieces]
    return TurnedInPlace(tuple(senses))


def _read_pieces(tokens: Tokenizer, puzzle: Puzzle, told: list[Piece], edges: bool) -> list[Piece]:
    """Places of edges, of two stickers, or else of corners, of three or more; each told of once."""
    pieces: list[Piece] = []
    while not pieces or another(tokens):
        start = tokens.position
        piece = puzzle.piece_at(read_slot(tokens, puzzle))
        place, count = tokens.since(start), len(piece.stickers)
        if piece in (*told, *pieces):
            raise Problem(f"{piece.name} is named here twice", place, "say once where each piece goes")
        if count < 2 or edges != (count == 2):
            instead = {1: "", 2: f"; write flips {place.text}"}
            hint = f"{piece.name} is of the kind {piece.kind}"
            hint += instead.get(count, f"; write twists {place.text} clockwise")
            raise Problem(f"{place.text} is not {'an edge' if edges else 'a corner'}", place, hint)
        pieces.append(piece)
    return pieces


def _read_sense(tokens: Tokenizer, pieces: list[Piece]) -> str:
    token = tokens.check("word")
    if token is None or token.text not in STEPS:
        raise tokens.unexpected(
            "“clockwise” or “anticlockwise”",
            "write it behind the corner, as in UFR clockwise; it is the sense seen from outside",
        )
    tokens.read("word")
    odd = next((piece for piece in pieces if len(piece.stickers) % 2), None)
    if token.text == HALFWAY and odd:
        message = f"{odd.name} has {len(odd.stickers)} stickers, and cannot be turned halfway"
        raise Problem(message, token.passage, "write clockwise or anticlockwise")
    return token.text
