"""How pieces fare in a position: home, turned in their own place, or away.

Knows positions and pieces; knows nothing of what is guarded, nor why.
"""

from __future__ import annotations

from collections.abc import Mapping

from sitegen.effects.piece_sets import Pieces
from sitegen.effects.words import listed
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Piece, Puzzle

HOME, DISTURBED, AWAY = "home", "disturbed", "away"
"""A piece is home, or turned in its own place, or in another place."""


def state(piece: Piece, position: Permutation) -> str:
    """How a piece fares in a position."""
    if all(position[slot] == slot for slot in piece.stickers):
        return HOME
    return DISTURBED if position[piece.stickers[0]] in piece.stickers else AWAY


def fares(pieces: Pieces, position: Permutation, puzzle: Puzzle) -> Mapping[int, str]:
    """How each of some pieces fares in a position."""
    return {index: state(puzzle.pieces[index], position) for index in sorted(pieces)}


def fares_in_words(states: Mapping[int, str], puzzle: Puzzle) -> str:
    """How many pieces are home, and which are not: `7 of 8 home; UFR is away`; empty for none."""
    if not states:
        return ""
    count = sum(found == HOME for found in states.values())
    parts = [f"{count} of {len(states)} home"]
    for wanted in (DISTURBED, AWAY):
        names = [puzzle.pieces[i].name for i, found in states.items() if found == wanted]
        if names:
            parts.append(f"{listed(names)} {'is' if len(names) == 1 else 'are'} {wanted}")
    return "; ".join(parts)
