"""How notation is said aloud: a synthesizer passes over what tells `R'` from `R`, and `[R, U]` from `[R: U]`.

Knows how moves and places are written; knows nothing of pages. Said or written, a sequence that is referred
to is `@name`: a page makes a link of it, and `without_links` a name.
"""

from __future__ import annotations

import re
from functools import lru_cache

from sitegen.moves.parse import parse
from sitegen.moves.references import REFERENCE
from sitegen.moves.tree import Commutator, Conjugate, Node, Reference, Repeat, Series, SingleTurn
from sitegen.problems import Problem, written
from sitegen.puzzles.puzzle import Puzzle

_SIGNS = re.compile(r"[0-9]+|\S")
_SAID = {"'": "prime", "’": "prime", "′": "prime", "+": "plus", "-": "minus"}
_WORD = re.compile(r"(?<![\w@-])(?=\w*['’′0-9]|[A-Z])[A-Za-z0-9-]*[A-Za-z][0-9]*['’′]?(?![\w-])")
"""What may be a place, or a turn that is not said as it is written, within words."""
_BETWEEN_BRACKETS = re.compile(r"[^\s\[\](),:]+")
SINGLE = (SingleTurn, Reference)
KEPT = 1 << 14
"""How many texts are kept as they are said: a guide shows the same moves in several places."""


@lru_cache(maxsize=KEPT)
def spoken_turn(text: str) -> str:
    """One turn as it is written, sign by sign: `2-3Rw2'` is `2 to 3 R w 2 prime`, `r` is `small r`."""
    return " ".join(_said(found, text) for found in _SIGNS.finditer(text))


def _said(found: re.Match[str], text: str) -> str:
    sign, at = found.group(), found.start()
    if sign == "-" and text[at - 1 : at].isdecimal():
        return "to"
    if sign.islower() and not text[at - 1 : at].isalpha():
        return f"small {sign}"
    return _SAID.get(sign, sign)


@lru_cache(maxsize=KEPT)
def spoken_moves(text: str, puzzle: Puzzle) -> str:
    """Moves: `R' [@lift-edge, U]` is `R prime; commutator: @lift-edge, then U`.

    What cannot be read as moves, as in a draft, is said turn by turn.
    """
    # Most moves are turns with blanks between them: each is read once, and not where it stands again.
    turns = [_one_turn(word, puzzle) for word in text.split()]
    if turns and None not in turns:
        return ", ".join(filter(None, turns))
    try:
        return spoken_tree(parse(written(text), puzzle))
    except Problem:
        return _BETWEEN_BRACKETS.sub(lambda word: _unless_reference(word.group()), text)


def _unless_reference(word: str) -> str:
    return word if REFERENCE.match(word) else spoken_turn(word)


def spoken_tree(series: Series, last: bool = True) -> str:
    """Things in a row. Where something follows, and so they are not `last`, a bracket says where it ends."""
    said, before = "", None
    for item in series.items:
        joint = ", " if _is_short(before) and _is_short(item) else "; "
        said += (joint if before else "") + _item(item, last and item is series.items[-1])
        before = item
    return said or "nothing"


def _is_short(node: Node | None) -> bool:
    """Whether it is said in a breath: a turn, or a name."""
    return isinstance(node.body if isinstance(node, Repeat) and node.count == -1 else node, SINGLE)


def _item(node: Node, last: bool) -> str:
    end = "" if last else ", end"
    match node:
        case SingleTurn(passage=passage):
            return spoken_turn(passage.text)
        case Reference(name=name):
            return f"@{name}"
        case Repeat(body=Reference(name=name), count=-1):
            return f"@{name} undone"
        case Repeat(body=body, count=count):
            inner = _alone(body)
            group = "group: " + spoken_tree(inner, last=False) if isinstance(inner, Series) else ""
            return f"{group or _item(inner, last=False)}, {_times(count)}"
        case Commutator(a=Series() as a, b=Series() as b):
            return f"commutator: {spoken_tree(a, last=False)}, then {spoken_tree(b, last)}{end}"
        case Conjugate(a=Series() as a, b=Series() as b):
            return f"conjugate: {spoken_tree(a, last=False)}, then {spoken_tree(b, last)}{end}"
    assert isinstance(node, Series)
    return f"group: {spoken_tree(node, last=False)}, end"


def _alone(node: Node) -> Node:
    """What stands in brackets by itself, without these."""
    while isinstance(node, Series) and len(node.items) == 1:
        (node,) = node.items
    return node


def _times(count: int) -> str:
    often = "once" if abs(count) == 1 else f"{abs(count)} times"
    return often if count >= 0 else "undone" if count == -1 else f"undone {often}"


@lru_cache(maxsize=KEPT)
def spoken_word(text: str, puzzle: Puzzle) -> str:
    """One turn, or one place, by itself; whatever else it is, as it is written."""
    return spelled_places(puzzle).get(text) or _one_turn(text, puzzle) or text


@lru_cache(maxsize=KEPT)
def _one_turn(text: str, puzzle: Puzzle) -> str | None:
    """What is said of a turn; None where a text is something else."""
    try:
        items = parse(written(text), puzzle).items
    except Problem:
        return None
    return spoken_turn(text) if len(items) == 1 and isinstance(items[0], SingleTurn) else None


@lru_cache(maxsize=KEPT)
def spelled(text: str, puzzle: Puzzle) -> str:
    """Places and turns within words, and cycles: `UF > UR` is `U F to U R`, `with R'` is `with R prime`."""
    return _WORD.sub(lambda word: spoken_word(word.group(), puzzle), text).replace(" > ", " to ")


@lru_cache(maxsize=64)
def spelled_places(puzzle: Puzzle) -> dict[str, str]:
    """Each place of a piece or a sticker by its name: face by face, the letters of one after the other."""
    faces = sorted((face.name for face in puzzle.faces), key=len, reverse=True)
    sign = re.compile("|".join([*map(re.escape, faces), "[0-9]+", "."]))
    names = [piece.name for piece in puzzle.pieces] + [sticker.name for sticker in puzzle.stickers]
    return {name: " ".join(map(spoken_turn, sign.findall(name))) for name in names}


def without_links(said: str) -> str:
    """What is said where nothing can lead to a sequence: `@lift-edge` is `lift edge`."""
    return REFERENCE.sub(lambda found: found.group(1).replace("-", " "), said)
