"""Turns of cubes: WCA 12a1 faces, 12a2 outer blocks, 12a4 rotations; inner slices, M E S are common practice.

Knows how a turn of a cube is written; knows nothing of sequences.
"""

from __future__ import annotations

import re

from sitegen.moves.notations.base import Notation, NotationError, amount_text, instead
from sitegen.problems import shortened
from sitegen.puzzles.definition import Definition, equal_layers
from sitegen.puzzles.geometry import EPSILON
from sitegen.puzzles.puzzle import Puzzle, Turn
from sitegen.puzzles.solids import SOLIDS

_CUBE = re.compile(
    r"(?:(?P<low>[0-9]{1,3})-)?(?P<high>[0-9]{1,3})?(?P<letter>[UDFBLRudfblrMESxyz])(?P<wide>w)?"
)
_MIDDLE = {"M": "L", "E": "D", "S": "F"}
_WHOLE = {"x": "R", "y": "U", "z": "F"}


def _read_cube(text: str, puzzle: Puzzle) -> Turn:
    found = _CUBE.fullmatch(text)
    if not found:
        raise NotationError(
            f"“{shortened(text)}” is not a turn of {puzzle.name}", f"turns are {_examples(puzzle)}"
        )
    low, high, letter, wide = found.group("low", "high", "letter", "wide")
    if letter in _WHOLE or letter in _MIDDLE:
        turn = _whole(letter, puzzle) if letter in _WHOLE else _middle(letter, puzzle)
        if low or high or wide:
            raise NotationError(f"{letter} takes no layer numbers and no w", f"write {letter} alone")
        return turn
    if low and not high:
        message = f"“{text}” says where the layers begin and not where they end"
        face = letter.upper()
        texts = (f"{low}-{int(low) + 1}{face}", f"{face}w", face)
        raise NotationError(message, instead(texts, _read_cube, puzzle))
    if letter.islower():
        return _lower_case(text, low, high, wide, puzzle)
    if wide:
        return _block(letter, low, high, puzzle)
    return _slice(letter, low, high, puzzle)


def _whole(letter: str, puzzle: Puzzle) -> Turn:
    return Turn(_WHOLE[letter], 1, puzzle.layer_count, 1)


def _middle(letter: str, puzzle: Puzzle) -> Turn:
    size = puzzle.layer_count
    if size % 2 == 0:
        face = _MIDDLE[letter]
        hint = f"write the inner layers by number, as in 2{face}"
        if size == 2:
            opposite = puzzle.opposite[face]
            hint = f"a cube of two layers has no layer in the middle; turn {face} or {opposite}"
        raise NotationError(f"{puzzle.name} has no middle layer for {letter}", hint)
    middle = (size + 1) // 2
    return Turn(_MIDDLE[letter], middle, middle, 1)


def _lower_case(text: str, low: str | None, high: str | None, wide: str | None, puzzle: Puzzle) -> Turn:
    """On cube-3 `r` is Rw. Else it is refused, with each reading of it that there is on this puzzle."""
    face, size = text.rstrip("w")[-1].upper(), puzzle.layer_count
    if size == 3 and text == face.lower():
        return Turn(face, 1, 2, 1)
    depth = int(high or 2)
    block, inner = f"{'' if depth == 2 else depth}{face}w", f"{low + '-' if low else ''}{depth}{face}"
    meant = [inner] if low else [block] if wide else [block, inner]
    hint = instead(meant, _read_cube, puzzle)
    if " or " in hint:
        hint = f"write {block} for layers 1 to {depth} together, or {inner} for layer {depth} alone"
        raise NotationError(f"“{text}” is read in two ways on {puzzle.name}", hint)
    if not hint and depth > 1 and size > 2:
        return _read_cube(meant[-1], puzzle)
    raise NotationError(f"“{text}” is not a turn of {puzzle.name}", hint or f"write {face}")


def _block(letter: str, low: str | None, high: str | None, puzzle: Puzzle) -> Turn:
    size, depth = puzzle.layer_count, int(high or 2)
    if low:
        message = f"an outer block begins at the face: {low}-{high}{letter}w names two layers"
        hint = instead((f"{high}{letter}w", f"{low}-{high}{letter}"), _read_cube, puzzle)
        raise NotationError(message, hint or _layers_are(letter, puzzle))
    if depth == size:
        raise NotationError(
            f"{high or ''}{letter}w turns all {size} layers of {puzzle.name}",
            f"write {_write_cube(Turn(letter, 1, size, 1), puzzle)} to turn the whole puzzle",
        )
    if not 1 < depth < size:
        raise NotationError(
            f"{puzzle.name} has no outer block of {depth} layers",
            f"blocks have 2 to {size - 1} layers" if size > 2 else f"write {letter}",
        )
    return Turn(letter, 1, depth, 1)


def _slice(letter: str, low: str | None, high: str | None, puzzle: Puzzle) -> Turn:
    size = puzzle.layer_count
    if high is None:
        return Turn(letter, 1, 1, 1)
    first, last = int(low or high), int(high)
    if size > first > last > 1:
        raise NotationError(f"the layers {first}-{last} run backwards", f"write {last}-{first}{letter}")
    if not 2 <= first <= last < size:
        message = f"{puzzle.name} has no inner slice {low + '-' if low else ''}{high}{letter}"
        raise NotationError(message, _layers_are(letter, puzzle))
    return Turn(letter, first, last, 1)


def _layers_are(letter: str, puzzle: Puzzle) -> str:
    size = puzzle.layer_count
    inner = {2: "none", 3: "2"}.get(size, f"2 to {size - 1}")
    return f"inner layers of {puzzle.name}: {inner}; {letter} alone is the outer layer"


def _write_cube(turn: Turn, puzzle: Puzzle) -> str:
    turn = _as_named(turn, puzzle)
    return _layers_text(turn, puzzle) + amount_text(turn.amount, puzzle.full_turn)


def _as_named(turn: Turn, puzzle: Puzzle) -> Turn:
    """The same turn from the axis that names it: blocks by their face, the middle by L D F, all by R U F."""
    behind = puzzle.from_behind(turn)
    assert behind is not None  # a cube has opposite faces
    names = _WHOLE if turn.last - turn.first + 1 == puzzle.layer_count else _MIDDLE
    single = turn.first == turn.last or names is _WHOLE
    central = turn.first == behind.first and single and turn.axis not in names.values()
    return behind if central or behind.first == 1 < turn.first else turn


def _layers_text(turn: Turn, puzzle: Puzzle) -> str:
    first, last, size = turn.first, turn.last, puzzle.layer_count
    if (first, last) == (1, size):
        return next(name for name, axis in _WHOLE.items() if axis == turn.axis)
    if first == 1:
        return {1: turn.axis, 2: f"{turn.axis}w"}.get(last, f"{last}{turn.axis}w")
    if first == last == (size + 1) / 2:
        return next(name for name, axis in _MIDDLE.items() if axis == turn.axis)
    return f"{first}{turn.axis}" if first == last else f"{first}-{last}{turn.axis}"


def _examples(puzzle: Puzzle) -> str:
    size = puzzle.layer_count
    slices = [*(["M"] if size % 2 else []), *(["2R"] if size > 2 else [])]
    beside = ["blocks like Rw", f"slices like {' or '.join(slices)}"] if slices else []
    return ", ".join(["R U F L D B", *beside, "rotations x y z"])


def _only_for(definition: Definition) -> str:
    layers = zip(definition.depths, equal_layers(len(definition.depths) + 1), strict=True)
    equal = all(abs(a - b) < EPSILON for a, b in layers)
    if equal and definition.angle == 90 and dict(definition.axes) == dict(SOLIDS["cube"]):
        return ""
    return "cubes of equal layers that turn by 90 about U, D, F, B, L and R"


CUBE = Notation(
    pattern=r"(?:[0-9]+-)?[0-9]*(?:[UDFBLRudfblr]w?|[MESxyz]w?)",
    read=_read_cube,
    write=_write_cube,
    examples=_examples,
    away=("B", "D"),
    signs=tuple("UDFBLRudfblrMESxyz"),
    only_for=_only_for,
)
