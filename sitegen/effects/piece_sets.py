"""Sets of pieces as an author names them: `U except UF`, `edges of U`, `UF, UR and UFR`.

The grammar stands in the docstrings. Shared by claims, focus and guards.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence

from sitegen.moves.notation import NotationError, layer_names, layers_of, notation_of
from sitegen.problems import Passage, Problem, is_it, shortened
from sitegen.puzzles.geometry import EPSILON, dot
from sitegen.puzzles.puzzle import Puzzle
from sitegen.tokenizer import Token, Tokenizer

Pieces = frozenset[int]
"""Indices into `Puzzle.pieces`."""
Part = tuple[Passage, Pieces]
"""What is named beside other pieces, and where."""

RULES = {
    "name": r"[0-9-]*[A-Z][A-Za-z0-9]*",
    "and": r"and\b",
    "except": r"except\b",
    "of": r"of\b",
    "all": r"all\b",
    "on face": r"face\b",
    "word": r"[a-z]+(?:-[a-z]+)*",
    ",": r",",
}
EXPECTED = "pieces, such as U, UF, edges of U or all"
PLACE_HINT = "a place is named by its faces, as UF or UFR"
JOINTS = ("and", "except", "of")
MEANT = {"everything": "all", "without": "except", "but": "except", "or": "and", "plus": "and"}
"""Words that are near in meaning and not in letters."""


def parse_pieces(passage: Passage, puzzle: Puzzle) -> Pieces:
    """The pieces that a whole text names. Raises Problem."""
    tokens = Tokenizer(passage, RULES)
    pieces = read_pieces(tokens, puzzle)
    if not tokens.at_end:
        hint = joint_hint(tokens) or "pieces are joined by “and”, and taken out by “except”"
        raise tokens.unexpected("“and”, “except” or the end", hint)
    return pieces


def parse_all(passages: Iterable[Passage], puzzle: Puzzle) -> Pieces:
    """The pieces that the items of a list name, each a text of its own. Raises Problem."""
    return united([(passage, parse_pieces(passage, puzzle)) for passage in passages])


def read_pieces(tokens: Tokenizer, puzzle: Puzzle) -> Pieces:
    """pieces := union ("except" union)?    Each of those taken out is among the others."""
    start = tokens.position
    pieces = united(_union(tokens, puzzle))
    if not tokens.read("except"):
        return pieces
    taken = _union(tokens, puzzle)
    for place, those in taken:
        if not those & pieces:
            message = f"“{shortened(place.text)}” is not among these"
            raise Problem(message, place, "take it away: nothing is left out by it")
    left = pieces - united(taken)
    if not left:
        raise Problem("no piece is left of these", tokens.since(start), "take fewer of them out")
    return left


def united(parts: Sequence[Part]) -> Pieces:
    """All pieces of the parts, of which none is named by another one. Raises Problem."""
    for number, (place, pieces) in enumerate(parts):
        for other, (where, those) in enumerate(parts):
            if pieces < those or (pieces == those and other < number):
                twice, named = (" ".join(each.text.split()) for each in (place, where))
                if twice == named:
                    raise Problem(f"“{shortened(twice)}” stands here twice", place, "take it away")
                message = f"“{shortened(twice)}” is meant by “{shortened(named)}” already"
                raise Problem(message, place, "take it away; what is left out stands behind “except”")
    return frozenset().union(*(pieces for _, pieces in parts))


def _union(tokens: Tokenizer, puzzle: Puzzle) -> list[Part]:
    """union := term (("," | "and") term)*"""
    parts = [_part(_term, tokens, puzzle)]
    while tokens.read(",", "and"):
        tokens.read("and")
        parts.append(_part(_term, tokens, puzzle))
    return parts


def _part(read: Callable[[Tokenizer, Puzzle], Pieces], tokens: Tokenizer, puzzle: Puzzle) -> Part:
    start = tokens.position
    pieces = read(tokens, puzzle)
    return tokens.since(start), pieces


def _term(tokens: Tokenizer, puzzle: Puzzle) -> Pieces:
    """term := "all" | "face" FACE | LAYER | PLACE | kinds ("of" layers)?"""
    if tokens.read("all"):
        return frozenset(range(len(puzzle.pieces)))
    if tokens.check("on face"):
        return _on_face(tokens, puzzle)
    if (layer := _read_layer(tokens, puzzle)) is not None:
        return layer
    if token := tokens.read("name"):
        return frozenset([puzzle.piece_at(slot_of(token, puzzle)).index])
    kinds = _kinds(tokens, puzzle)
    if not tokens.read("of"):
        return united(kinds)
    layers = _layers(tokens, puzzle)
    each = united(kinds), united(layers)
    empty = next(((kind, layers) for kind in kinds if not kind[1] & each[1]), None)
    empty = empty or next(((kinds[0], [layer]) for layer in layers if not layer[1] & each[0]), None)
    if empty:
        raise _none(*empty, puzzle)
    return each[0] & each[1]


def _none(kind: Part, layers: Sequence[Part], puzzle: Puzzle) -> Problem:
    """A kind that no layer has: whatever is said of such pieces is said of nothing."""
    named = " and ".join(place.text for place, _ in layers)
    pieces = frozenset().union(*(pieces for _, pieces in layers))
    there = [name for name, those in puzzle.kinds.items() if those & pieces]
    message = f"there are no {kind[0].text} of {named}"
    return Problem(message, kind[0], f"of {named} there are {', '.join(there)}")


def _on_face(tokens: Tokenizer, puzzle: Puzzle) -> Pieces:
    """The pieces with a sticker on a face, where its letter names a layer or nothing else."""
    tokens.read("on face")
    known = "faces are " + ", ".join(face.name for face in puzzle.faces)
    token = tokens.expect("a face, such as U", "name", hint=known)
    found = frozenset(sticker.piece for sticker in puzzle.stickers if sticker.face == token.text)
    if not found:
        raise Problem(f"{puzzle.name} has no face “{token.text}”", token.passage, known)
    return found


def _kinds(tokens: Tokenizer, puzzle: Puzzle) -> list[Part]:
    """kinds := KIND (("," | "and") KIND)*"""
    kinds = [_part(_kind, tokens, puzzle)]
    while True:
        mark = tokens.position
        tokens.read(",")
        tokens.read("and")
        ends = mark == tokens.position or tokens.check("all") or _next_layer(tokens, puzzle) is not None
        if ends or not tokens.check("word"):
            tokens.position = mark
            return kinds
        kinds.append(_part(_kind, tokens, puzzle))


def _kind(tokens: Tokenizer, puzzle: Puzzle) -> Pieces:
    token = tokens.expect(EXPECTED, "word", hint=_known(puzzle))
    wanted = token.text.removesuffix("s")
    if f"{wanted}s" not in _plurals(puzzle):
        hint = capitals_hint(token.text, puzzle) or near_hint(token.text, kind_words(puzzle))
        if token.text == "except":
            hint = "write all except, or other pieces before it"
        raise Problem(f"“{token.text}” names no pieces", token.passage, hint or _known(puzzle))
    return puzzle.kinds[f"{wanted}s"]


def _plurals(puzzle: Puzzle) -> list[str]:
    return sorted(puzzle.kinds)


def kind_words(puzzle: Puzzle) -> list[str]:
    """The words that pieces are named by."""
    return [*_plurals(puzzle), "all", "face"]


def piece_words(puzzle: Puzzle) -> list[str]:
    """All that a set of pieces may be written in: words, layers and places."""
    places = (piece.name for piece in puzzle.pieces)
    return list(dict.fromkeys([*kind_words(puzzle), *JOINTS, *layer_names(puzzle), *places]))


def _known(puzzle: Puzzle) -> str:
    """What pieces are named by."""
    return f"{puzzle.name} has {', '.join(_plurals(puzzle))}; all are meant by “all”"


def _layers(tokens: Tokenizer, puzzle: Puzzle) -> list[Part]:
    """layers := LAYER ("and" LAYER)*    | "face" FACE"""
    if tokens.check("on face"):
        return [_part(_on_face, tokens, puzzle)]
    layers: list[Part] = []
    while True:
        layers.append(_part(_expect_layer, tokens, puzzle))
        mark = tokens.position
        if not (tokens.read("and") and _next_layer(tokens, puzzle) is not None):
            tokens.position = mark
            return layers


def _expect_layer(tokens: Tokenizer, puzzle: Puzzle) -> Pieces:
    layer = _read_layer(tokens, puzzle)
    if layer is None:
        raise _no_layer(tokens, puzzle)
    return layer


def _no_layer(tokens: Tokenizer, puzzle: Puzzle) -> Problem:
    known = "layers are " + ", ".join(layer_names(puzzle))
    if token := tokens.check("name"):
        if any(face.name == token.text for face in puzzle.faces):
            known = f"write face {token.text}: the pieces of a face; {known}"
        return Problem(f"“{token.text}” is not a layer", token.passage, known)
    return tokens.unexpected("a layer, such as U", next_capitals_hint(tokens, puzzle) or known)


def slot_of(token: Token, puzzle: Puzzle) -> int:
    """The slot that a name means, its first letter being the sticker's face. Raises Problem."""
    slot = puzzle.slots.get(token.text)
    if slot is None:
        raise _no_place(token, puzzle)
    return slot


def _no_place(token: Token, puzzle: Puzzle) -> Problem:
    hint = (
        _face_hint(token.text, puzzle)
        or capitals_hint(token.text, puzzle)
        or _there_hint(token.text, puzzle)
        or near_hint(token.text, [piece.name for piece in puzzle.pieces])
        or near_hint(token.text, puzzle.slots)
        or PLACE_HINT
    )
    return Problem(f"{puzzle.name} has no place “{token.text}”", token.passage, hint)


def _face_hint(text: str, puzzle: Puzzle) -> str:
    """Why no place can have the faces that a text names; empty where one might."""
    known = {face.name: face.towards for face in puzzle.faces}
    named = _faces_in(text, puzzle)
    for a in named:
        if a not in known:
            return f"{a} is no face; faces are {', '.join(known)}"
        for b in named:
            if b in known and dot(known[a], known[b]) < EPSILON - 1:
                return f"{a} and {b} are opposite faces: no piece has both"
    return ""


def _there_hint(text: str, puzzle: Puzzle) -> str:
    """The places that have just the faces of a text, as UFl and UFr have those of UF; empty for none."""
    wanted = sorted(_faces_in(text, puzzle))
    there = [piece.name for piece in puzzle.pieces if sorted(_faces_in(piece.name, puzzle)) == wanted]
    return f"places there: {', '.join(there)}" if there else ""


def _faces_in(text: str, puzzle: Puzzle) -> list[str]:
    """The faces that a name is made of, the longest first where one begins another, and other capitals."""
    names = sorted((face.name for face in puzzle.faces), key=len, reverse=True)
    return re.findall("|".join([*map(re.escape, names), "[A-Z]"]), text)


def _read_layer(tokens: Tokenizer, puzzle: Puzzle) -> Pieces | None:
    """The pieces of the layer that is named next; nothing is read where none is."""
    layer = _next_layer(tokens, puzzle)
    if layer is not None:
        tokens.read("name", "word")
    return layer


def _next_layer(tokens: Tokenizer, puzzle: Puzzle) -> Pieces | None:
    """The pieces of the layer whose name comes next, if one does."""
    token = tokens.check("name", "word")
    return _layer(token, puzzle) if token else None


def _layer(token: Token, puzzle: Puzzle) -> Pieces | None:
    """Small letters name one only where the puzzle itself calls a turn so: on a cube `u` may well mean U."""
    small = token.rule == "word"
    if small and token.text not in puzzle.named_turns:
        return None
    if not re.fullmatch(notation_of(puzzle).pattern, token.text):
        return None
    try:
        pieces = puzzle.pieces_in(layers_of(token.text, puzzle))
    except NotationError:
        return None
    return None if small and len(pieces) == len(puzzle.pieces) else pieces


# Hints ----------------------------------------------------------------------------------------------------


def near_hint(text: str, known: Iterable[str]) -> str:
    """The word that is meant, by its letters or by its meaning; empty where none is near."""
    words = list(known)
    return f"is it {MEANT[text]}?" if MEANT.get(text) in words else is_it(text, words)


def capitals_hint(text: str, puzzle: Puzzle) -> str:
    """How to write a place or layer that stands in small letters; empty for anything else."""
    large = text.upper()
    faces = {face.name for face in puzzle.faces}
    named = large in puzzle.slots or large in layer_names(puzzle) or faces.issuperset(large)
    if large == text or not named or len(set(large)) < len(large):
        return ""
    return f"{'places' if len(large) > 1 else 'layers'} are written in capitals: {large}"


def next_capitals_hint(tokens: Tokenizer, puzzle: Puzzle) -> str:
    """What `capitals_hint` says of the word that comes next; empty where none comes."""
    word = tokens.check("word")
    return capitals_hint(word.text, puzzle) if word else ""


def joint_hint(tokens: Tokenizer) -> str:
    """What to do about something that stands right behind pieces; empty where nothing comes to mind."""
    if tokens.text[tokens.position :].strip() == ".":
        return "take the full stop away"
    if tokens.check("name"):
        return "put a comma or “and” between them"
    word = tokens.check("word")
    known = (*JOINTS, "with")
    return near_hint(word.text, known) if word and word.text not in known else ""
