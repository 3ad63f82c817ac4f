"""`cycles UF > UL > UB` and `swaps UF with UB`: where pieces go, by the stickers named.

`UFR > RUB` says that the sticker on U goes to R; `in any orientation` frees that.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from itertools import pairwise

from sitegen.effects.claims.claim import (
    ANY_ORIENTATION,
    Asked,
    Placing,
    Reading,
    Subject,
    another,
    fate,
    just,
    merged,
    placed,
    read_slot,
)
from sitegen.effects.likeness import looks
from sitegen.problems import Passage, Problem
from sitegen.puzzles.puzzle import Puzzle
from sitegen.tokenizer import Tokenizer

NEXT = "“>” and the place that the piece goes to"
PATH_HINT = "write > between a place and the next, as in UF > UR"
ARROW_HINT = "write >"


@dataclass(frozen=True)
class Cycles(Placing):
    """Each path is slots that follow one another; the last step of each closes it."""

    BY_STICKERS = True

    puzzle: Puzzle
    paths: tuple[tuple[int, ...], ...]
    oriented: bool

    def fault(self, case: Subject) -> str:
        wrong = [(a, b) for a, b in self._steps if not self._goes(a, b, case)]
        told = [self._instead(a, b, case) for a, b in wrong]
        if wrong and self.oriented and not replace(self, oriented=False).fault(case):
            told.append(f"with “{ANY_ORIENTATION}” behind it the claim is true")
        return "; ".join(told)

    def moved(self) -> Mapping[int, int]:
        at = self.puzzle.piece_at
        return merged(placed(at(a), a, at(b), b) for a, b in self._steps)

    def asks(self, reading: Reading) -> Asked:
        if self.oriented:
            return just(self.moved())
        at = self.puzzle.piece_at
        return merged(dict.fromkeys(at(a).stickers, frozenset(at(b).stickers)) for a, b in self._steps)

    @property
    def _steps(self) -> list[tuple[int, int]]:
        return [step for path in self.paths for step in pairwise(path)]

    @property
    def unseen(self) -> str:
        return next((self._alike(a, b) for a, b in self._steps if self._unseen(a, b)), "")

    def _unseen(self, a: int, b: int) -> bool:
        look = looks(self.puzzle)
        return a != b and look[a] == look[b]

    def _alike(self, a: int, b: int) -> str:
        names = " and ".join(self.puzzle.stickers[slot].name for slot in (a, b))
        return f"{names} look alike, so nobody sees one go to the other; “marked: yes” tells them apart"

    def _goes(self, a: int, b: int, case: Subject) -> bool:
        there = [b] if self.oriented else case.puzzle.piece_at(b).stickers
        return any(case.effect.brings(a, slot) for slot in there)

    def _instead(self, slot: int, there: int, case: Subject) -> str:
        effect, piece = case.effect, case.puzzle.piece_at(slot)
        if not effect.marked and self._unseen(slot, there):
            return self._alike(slot, there)
        if case.puzzle.piece_at(effect.seen[slot]) is piece:
            return fate(piece, effect)
        return f"{effect.name(slot)} goes to {effect.name(effect.seen[slot])}"


def read(tokens: Tokenizer, puzzle: Puzzle) -> Placing:
    """cycles := "cycles" path (("," | "and") path)* "in any orientation"?    path := PLACE (">" PLACE)+"""
    return _read(_path, tokens, puzzle)


def read_swaps(tokens: Tokenizer, puzzle: Puzzle) -> Placing:
    """swaps := "swaps" swap (("," | "and") swap)* "in any orientation"?    swap := PLACE "with" PLACE"""
    return _read(_swap, tokens, puzzle)


def _read(
    path: Callable[[Tokenizer, Puzzle, list[int]], tuple[int, ...]], tokens: Tokenizer, puzzle: Puzzle
) -> Placing:
    told: list[int] = []
    paths = [path(tokens, puzzle, told)]
    while another(tokens):
        paths.append(path(tokens, puzzle, told))
    return Cycles(puzzle, tuple(paths), not tokens.read("orientation"))


def _path(tokens: Tokenizer, puzzle: Puzzle, told: list[int]) -> tuple[int, ...]:
    """The slots of one cycle. The last may be the first piece again, to say how it comes round.

    Its pieces are added to those that were told of before, and are none of them.
    """
    start = tokens.position
    slots = [read_slot(tokens, puzzle)]
    tokens.expect(NEXT, ">", hint=ARROW_HINT if tokens.check("arrow") else PATH_HINT)
    slots.append(read_slot(tokens, puzzle))
    while tokens.read(">"):
        slots.append(read_slot(tokens, puzzle))
    if tokens.check("arrow"):
        raise tokens.unexpected(NEXT, ARROW_HINT)
    closed = puzzle.piece_at(slots[-1]) is puzzle.piece_at(slots[0])
    hints = ("name each place of a cycle once", "a cycle is of one kind")
    _check(tokens.since(start), puzzle, slots[:-1] if closed else slots, told, hints)
    return tuple(slots) if closed else (*slots, slots[0])


def _swap(tokens: Tokenizer, puzzle: Puzzle, told: list[int]) -> tuple[int, ...]:
    """The slots of two pieces that change places, as a cycle."""
    start = tokens.position
    a = read_slot(tokens, puzzle)
    hint = "write with" if tokens.check("and", "word", ",") else "as in swaps UF with UR"
    tokens.expect("“with” and the other place", "with", hint=hint)
    b = read_slot(tokens, puzzle)
    hints = ("name two different places", "a swap is of two pieces of one kind")
    _check(tokens.since(start), puzzle, [a, b], told, hints)
    return a, b, a


def _check(place: Passage, puzzle: Puzzle, slots: list[int], told: list[int], hints: tuple[str, str]) -> None:
    """Different places, and pieces that can change places at all: a hint for each."""
    pieces = [puzzle.piece_at(slot) for slot in slots]
    indices = [piece.index for piece in pieces]
    kinds = sorted({piece.kind for piece in pieces})
    if len(set(indices)) < len(indices):
        raise Problem("a place stands here twice", place, hints[0])
    if twice := next((piece.name for piece in pieces if piece.index in told), ""):
        raise Problem(f"{twice} is named here twice", place, "say once where each piece goes")
    if len(kinds) > 1:
        message = f"pieces of different kinds ({', '.join(kinds)}) never change places"
        raise Problem(message, place, hints[1])
    told += indices
