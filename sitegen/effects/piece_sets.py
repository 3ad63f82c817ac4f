"""Sets of pieces as an author names them: `U except UF`, `edges of U`, `UF, UR and UFR`.

The grammar stands in the docstrings. Shared by claims, focus and guards.
"""

from __future__ import annotations

import re
from difflib import get_close_matches

from sitegen.moves.notation import NotationError, layer_names, layers_of, notation_of
from sitegen.problems import Passage, Problem
from sitegen.puzzles.puzzle import Puzzle
from sitegen.tokenizer import Token, Tokenizer

Pieces = frozenset[int]
"""Indices into `Puzzle.pieces`."""

RULES = {
    "name": r"[0-9-]*[A-Z][A-Za-z0-9]*",
    "and": r"and\b",
    "except": r"except\b",
    "of": r"of\b",
    "all": r"all\b",
    "word": r"[a-z]+",
    ",": r",",
}
EXPECTED = "pieces, such as U, UF, edges of U or all"


def parse_pieces(passage: Passage, puzzle: Puzzle) -> Pieces:
    """The pieces that a whole text names. Raises Problem."""
    tokens = Tokenizer(passage, RULES)
    pieces = read_pieces(tokens, puzzle)
    if not tokens.at_end:
        raise tokens.unexpected("“and”, “except” or the end")
    return pieces


def read_pieces(tokens: Tokenizer, puzzle: Puzzle) -> Pieces:
    """pieces := union ("except" union)?"""
    pieces = _union(tokens, puzzle)
    if tokens.read("except"):
        pieces -= _union(tokens, puzzle)
    return pieces


def _union(tokens: Tokenizer, puzzle: Puzzle) -> Pieces:
    """union := term (("," | "and") term)*"""
    pieces = _term(tokens, puzzle)
    while tokens.read(",", "and"):
        tokens.read("and")
        pieces |= _term(tokens, puzzle)
    return pieces


def _term(tokens: Tokenizer, puzzle: Puzzle) -> Pieces:
    """term := "all" | kinds ("of" layers)? | LAYER | PLACE"""
    if tokens.read("all"):
        return frozenset(range(len(puzzle.pieces)))
    if token := tokens.read("name"):
        return named(token, tokens, puzzle)
    kinds = _kinds(tokens, puzzle)
    if tokens.read("of"):
        return kinds & _layers(tokens, puzzle)
    return kinds


def _kinds(tokens: Tokenizer, puzzle: Puzzle) -> Pieces:
    """kinds := KIND (("," | "and") KIND)*"""
    pieces = _kind(tokens.expect(EXPECTED, "word"), tokens, puzzle)
    while True:
        mark = tokens.position
        tokens.read(",")
        tokens.read("and")
        if mark == tokens.position or tokens.check("all") or not (token := tokens.read("word")):
            tokens.position = mark
            return pieces
        pieces |= _kind(token, tokens, puzzle)


def _kind(token: Token, tokens: Tokenizer, puzzle: Puzzle) -> Pieces:
    kinds = sorted({piece.kind for piece in puzzle.pieces})
    wanted = token.text.removesuffix("s")
    if wanted not in kinds:
        plural = [f"{kind}s" for kind in kinds]
        near = get_close_matches(token.text, plural, n=1)
        hint = f"is it {near[0]}?" if near else f"{puzzle.name} has {', '.join(plural)}"
        raise tokens.problem(f"“{token.text}” names no pieces", token.start, token.end, hint)
    return frozenset(piece.index for piece in puzzle.pieces if piece.kind == wanted)


def _layers(tokens: Tokenizer, puzzle: Puzzle) -> Pieces:
    """layers := LAYER ("and" LAYER)*"""
    pieces: Pieces = frozenset()
    while True:
        token = tokens.expect("a layer, such as U", "name")
        layer = _layer(token, puzzle)
        if layer is None:
            names = ", ".join(layer_names(puzzle))
            raise tokens.problem(
                f"“{token.text}” is not a layer", token.start, token.end, f"layers are {names}"
            )
        pieces |= layer
        mark = tokens.position
        if not (tokens.read("and") and (ahead := tokens.check("name")) and _layer(ahead, puzzle) is not None):
            tokens.position = mark
            return pieces


def named(token: Token, tokens: Tokenizer, puzzle: Puzzle) -> Pieces:
    """The layer or the place that a name means."""
    layer = _layer(token, puzzle)
    if layer is not None:
        return layer
    return frozenset([puzzle.piece_at(slot_of(token, tokens, puzzle)).index])


def slot_of(token: Token, tokens: Tokenizer, puzzle: Puzzle) -> int:
    """The slot that a name means, its first letter being the sticker's face. Raises Problem."""
    slot = puzzle.slots.get(token.text)
    if slot is None:
        raise _no_place(token, tokens, puzzle)
    return slot


def _no_place(token: Token, tokens: Tokenizer, puzzle: Puzzle) -> Problem:
    faces = [face.name for face in puzzle.faces]
    letters = [letter for letter in token.text if letter in faces]
    near = get_close_matches(token.text, puzzle.slots, n=1)
    hint = f"is it {near[0]}?" if near else "a place is named by its faces, as UF or UFR"
    for a in letters:
        if puzzle.opposite.get(a) in letters:
            hint = f"{a} and {puzzle.opposite[a]} are opposite faces: no piece has both"
    strange = [letter for letter in token.text if letter.isupper() and letter not in faces]
    if strange:
        hint = f"{strange[0]} is no face; faces are {', '.join(faces)}"
    return tokens.problem(f"{puzzle.name} has no place “{token.text}”", token.start, token.end, hint)


def _layer(token: Token, puzzle: Puzzle) -> Pieces | None:
    if not re.fullmatch(notation_of(puzzle).pattern, token.text):
        return None
    try:
        turn = layers_of(token.text, puzzle)
    except NotationError:
        return None
    return puzzle.pieces_in(turn)
