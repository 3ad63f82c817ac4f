"""`keeps U except UF`: these are home afterwards. `changes only UF and UR`: nothing but these may change."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from sitegen.effects.claims.claim import Asked, Claim, Placing, Reading, Subject, fate, just
from sitegen.effects.piece_sets import Pieces, read_pieces
from sitegen.problems import Problem
from sitegen.puzzles.puzzle import Puzzle
from sitegen.tokenizer import Tokenizer

SHOWN = 4
"""At most this many offending pieces are listed one by one."""


@dataclass(frozen=True)
class Keeps(Claim):
    """None of these pieces is away or turned at the end."""

    BY_STICKERS = True

    pieces: Pieces

    def fault(self, case: Subject) -> str:
        changed = [piece for piece in case.effect.changed if piece.index in self.pieces]
        shown = [fate(piece, case.effect) for piece in changed[:SHOWN]]
        more = len(changed) - len(shown)
        return "; ".join([*shown, f"and {more} more"] if more else shown)

    def asks(self, reading: Reading) -> Asked:
        return just({slot: slot for index in self.pieces for slot in reading.puzzle.pieces[index].stickers})


@dataclass(frozen=True)
class Nothing(Keeps, Placing):
    """All pieces are home: also the position that is solved."""

    def moved(self) -> Mapping[int, int]:
        return {}


def read(tokens: Tokenizer, puzzle: Puzzle) -> Claim:
    """keeps := "keeps" pieces"""
    return Keeps(read_pieces(tokens, puzzle))


def read_changes(tokens: Tokenizer, puzzle: Puzzle) -> Claim:
    """changes := "changes only" pieces    Raises Problem where these are all that there are."""
    start = tokens.position
    others = frozenset(range(len(puzzle.pieces))) - read_pieces(tokens, puzzle)
    if not others:
        message = "these are all pieces, so that this is always true"
        raise Problem(message, tokens.since(start), "name those alone that may change")
    return Keeps(others)


def read_nothing(tokens: Tokenizer, puzzle: Puzzle) -> Placing:
    """nothing := "does nothing" """
    return Nothing(frozenset(range(len(puzzle.pieces))))
