"""Sets of pieces as an author may write them, as short as can be."""

from __future__ import annotations

from sitegen.effects.piece_sets import Part, Pieces, parse_pieces
from sitegen.moves.notation import name_of_layers, outer_layers
from sitegen.problems import Findings, Problem, written
from sitegen.puzzles.puzzle import Piece, Puzzle


def part_of(pieces: Pieces, puzzle: Puzzle) -> Part:
    """Pieces as a layer or the rest of one, if they are that, or one by one."""
    for turn in outer_layers(puzzle).values():
        layer, name = puzzle.pieces_in(turn), name_of_layers(turn, puzzle)
        if pieces <= layer and 2 * len(pieces) > len(layer):
            left_out = _one_by_one(layer - pieces, puzzle)
            return written(f"{name} except {left_out}" if left_out else name), pieces
    return written(_one_by_one(pieces, puzzle)), pieces


def _one_by_one(pieces: Pieces, puzzle: Puzzle) -> str:
    named = (puzzle.pieces[index] for index in sorted(pieces))
    return ", ".join(name_alone(piece, puzzle) or piece.name for piece in named)


def shortest_text(part: Part, puzzle: Puzzle) -> str:
    """As short as can be, if it can be read again; else as the author wrote it."""
    passage, pieces = part
    shortest, _ = part_of(pieces, puzzle)
    try:
        read = parse_pieces(shortest, puzzle)
    except Problem:
        read = frozenset()
    return " ".join((shortest if read == pieces else passage).text.split())


def name_alone(piece: Piece, puzzle: Puzzle) -> str:
    """How a set of this one piece is written: the letter of a centre may mean a layer. Empty for no way."""
    names = (piece.name, f"{piece.kind}s of {piece.name}", f"{piece.kind}s of face {piece.name}")
    nothing: Pieces = frozenset()
    read = ((name, Findings().attempt(nothing, parse_pieces, written(name), puzzle)) for name in names)
    return next((name for name, pieces in read if pieces == {piece.index}), "")
