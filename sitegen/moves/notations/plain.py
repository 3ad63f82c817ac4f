"""Turns by the names of a puzzle's axes, and by the names that its definition gives.

An axis alone is its outermost layer, `2U` the layer behind it, `2-3U` that and the next, `Uw` or `3Uw` a
block from the outside, as on cubes. Where no layer is left out, as in `1-3U`, the whole puzzle turns.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache

from sitegen.moves.notations.base import Notation, NotationError, amount_text, instead
from sitegen.problems import shortened
from sitegen.puzzles.puzzle import Puzzle, Turn


@cache
def plain(puzzle: Puzzle) -> Notation:
    """The notation of a puzzle that has none of its own."""
    names = sorted({*puzzle.named_turns, *puzzle.axes, *_glued(puzzle)}, key=lambda name: (-len(name), name))
    pattern = rf"(?:[0-9]+-)?[0-9]*(?:{'|'.join(map(re.escape, names))})w?"
    return Notation(pattern, read, write, _examples, signs=(*puzzle.axes, *puzzle.named_turns))


def _examples(puzzle: Puzzle) -> str:
    names = [*puzzle.axes, *(name for name in puzzle.named_turns if name not in puzzle.axes)]
    return f"{' '.join(names)}, and inner layers like 2{names[0]}"


def _glued(puzzle: Puzzle) -> Iterator[str]:
    """Names of two letters or more as they stand in capitals: one turn, or several without blanks?"""
    return (name.upper() for name in puzzle.axes if len(name) > 1)


def read(text: str, puzzle: Puzzle) -> Turn:
    """The layers that a turn's letters name, as a turn. Raises NotationError."""
    found = re.fullmatch(r"(?:(?P<low>[0-9]+)-)?(?P<high>[0-9]+)?(?P<name>.+?)(?P<wide>w)?", text)
    if found is None:
        raise NotationError(f"“{shortened(text)}” is not a turn of {puzzle.name}", _turns_are(puzzle))
    low, high, name, wide = found.group("low", "high", "name", "wide")
    if name in _glued(puzzle):
        axis = name.capitalize()
        hint = f"write {axis} for the face"
        if all(letter in puzzle.axes for letter in name):
            hint += f", or put blanks between: {' '.join(name)}"
        raise NotationError(f"“{name}” is read in two ways on {puzzle.name}", hint)
    if not low and not high and not wide and name in puzzle.named_turns:
        return puzzle.named_turns[name]
    if name not in puzzle.axes:
        return _refuse(text, name, puzzle)
    if low and not high:
        message = f"“{text}” says where the layers begin and not where they end"
        texts = (f"{low}-{int(low[:3]) + 1}{name}", f"{name}w", name)
        raise NotationError(message, instead(texts, read, puzzle))
    return _numbered(text, name, low, high, wide, puzzle)


def _turns_are(puzzle: Puzzle) -> str:
    return f"turns are {_examples(puzzle)}"


def _refuse(text: str, name: str, puzzle: Puzzle) -> Turn:
    if name in puzzle.named_turns:
        raise NotationError(f"{name} takes no layer numbers and no w", f"write {name} alone")
    raise NotationError(
        f"{puzzle.name} has no axis {shortened(text)}", f"its axes are {', '.join(puzzle.axes)}"
    )


def _numbered(
    text: str, axis: str, low: str | None, high: str | None, wide: str | None, puzzle: Puzzle
) -> Turn:
    size = puzzle.layer_count
    last = int(high[:3]) if high else 2 if wide else 1
    first = 1 if wide else int(low[:3]) if low else last
    numbered = f"layers of {axis} are numbered from 1, the outermost, to {size}"
    if low and wide:
        hint = instead((f"{high}{axis}w", f"{low}-{high}{axis}"), read, puzzle)
        raise NotationError(f"{low} and w do not go together", hint or numbered)
    if not 1 <= first <= last <= size:
        raise NotationError(f"{puzzle.name} has no layers {text}", numbered)
    return Turn(axis, first, last, 1)


def write(turn: Turn, puzzle: Puzzle) -> str:
    """The shortest way to write a turn, on the axis it is given by or on the opposite one; without the number
    of a layer where there is one.
    """
    ways = filter(None, (turn, puzzle.from_behind(turn)))
    every = (text for way in ways for text in _spelled(way, puzzle))
    return min(every, key=lambda text: (text[0].isdigit(), len(text)))


def _spelled(turn: Turn, puzzle: Puzzle) -> Iterator[str]:
    """By a name of its own, and by the axis and layers."""
    full, size = puzzle.full_turn, puzzle.layer_count
    amount = amount_text(turn.amount, full)
    for name, named in puzzle.named_turns.items():
        if named[:3] == turn[:3] and named.amount == 1:
            yield name + amount
        elif named[:3] == turn[:3] and (named.amount - turn.amount) % full == 0:
            yield name
    first, last = turn.first, turn.last
    outer = puzzle.named_turns.get(turn.axis)
    if first == last == 1 and outer is None:
        yield turn.axis + amount
    elif first == 1 < last < size:
        yield f"{'' if last == 2 else last}{turn.axis}w{amount}"
    elif first == last:
        yield f"{first}{turn.axis}{amount}"
    else:
        yield f"{first}-{last}{turn.axis}{amount}"
