"""Which turns a sequence may be made of, and in what order turns of parallel layers are written.

Knows layers, notation and metrics; knows nothing of positions.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import groupby
from operator import itemgetter

from sitegen.effects.effect import holds
from sitegen.effects.words import listed
from sitegen.moves.metrics import turn_length
from sitegen.moves.notation import is_turn, layer_names, layers_of, name_of_layers, with_names
from sitegen.names import names_in
from sitegen.problems import Passage, Problem, shortened
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Piece, Puzzle, Turn

OUTER = 2
"""Of all layers in a line the first and the last."""
Word = tuple[int, ...]
"""Turns by their numbers in `Turns.listed`; those about one line that stand together are in order."""


@dataclass(frozen=True)
class Allowed:
    """What an author lets a sequence be made of: turns of layers named, or of all outer ones.

    Slices and wide turns come beside those of the outer layers that they are named after.
    """

    faces: tuple[str, ...] = ()
    slices: bool = False
    wide: bool = False

    def __str__(self) -> str:
        beside = ["inner layers"] * self.slices + ["outer blocks"] * self.wide
        return listed([*(self.faces or ["outer layers"]), *beside])


@dataclass(frozen=True, eq=False)
class Turns:
    """The turns allowed, those about one line together and these by their layers."""

    puzzle: Puzzle
    allowed: Allowed
    metric: str
    listed: tuple[Turn, ...]

    @cached_property
    def lengths(self) -> tuple[int, ...]:
        """How much each turn counts in the metric; all count something."""
        return tuple(getattr(turn_length(turn, self.puzzle), self.metric) for turn in self.listed)

    def most(self, number: int, metric: str) -> int:
        """How long a sequence can be that has a length in another metric."""
        others: list[int] = [getattr(turn_length(turn, self.puzzle), metric) for turn in self.listed]
        return max(number * length // other for length, other in zip(self.lengths, others, strict=True))

    @cached_property
    def permutations(self) -> tuple[Permutation, ...]:
        """Where each turn takes what is in each slot."""
        return tuple(map(self.puzzle.permutation, self.listed))

    @cached_property
    def lines(self) -> tuple[frozenset[str], ...]:
        """What each turn turns about: parallel layers have one line."""
        return tuple(self.puzzle.line(turn) for turn in self.listed)

    @cached_property
    def following(self) -> tuple[tuple[int, ...], ...]:
        """After each turn those that may come next, and at the end of the list those that may come first.

        Turns about one line do the same in any order, so that they stand in one: each layer once, by number.
        """
        every, lines = range(len(self.listed)), self.lines
        layers = [_layers(turn) for turn in self.listed]
        after = [
            tuple(j for j in every if lines[j] != lines[i] or (j > i and layers[j] != layers[i]))
            for i in every
        ]
        return (*after, tuple(every))

    @cached_property
    def moves_centres(self) -> bool:
        """Whether some turn takes a centre elsewhere that turns of faces leave alone."""
        return any(p[slot] != slot for p in self.permutations for slot in self.puzzle.fixed_centres)

    @cached_property
    def longest(self) -> int | None:
        """How long a word can be at most; None where there is no end."""
        if len(set(self.lines)) > 1:
            return None
        layers = zip(map(_layers, self.listed), self.lengths, strict=True)
        return sum(max(n for _, n in same) for _, same in groupby(layers, key=itemgetter(0)))

    def spelled(self, word: Word) -> tuple[Turn, ...]:
        """The turns of a word."""
        return tuple(self.listed[number] for number in word)

    def carried(self, symmetry: Permutation) -> tuple[int, ...] | None:
        """What each turn becomes when the puzzle is turned or mirrored; None if that is not allowed."""
        back = perm.inverse(symmetry)
        known = {p: number for number, p in enumerate(self.permutations)}
        images = [known.get(perm.compose(perm.compose(back, p), symmetry)) for p in self.permutations]
        found = tuple(image for image in images if image is not None)
        return found if len(found) == len(images) else None

    def leaving(self, piece: Piece) -> Turns | None:
        """Those that leave a piece alone, if each other turn is one of them and a turn of the whole puzzle.

        Then they do all that the others do, but for how it is held; for all may be done however it is held.
        """
        wholes = holds(self.puzzle)
        moved = [any(p[slot] != slot for slot in piece.stickers) for p in self.permutations]
        stay = {p for p, moves in zip(self.permutations, moved, strict=True) if not moves}
        others = [p for p in self.permutations if p not in stay]
        if not all(any(perm.compose(p, whole) in stay for whole in wholes) for p in others):
            return None
        if any(self.carried(whole) is None for whole in wholes):
            return None
        return replace(
            self, listed=tuple(t for t, moves in zip(self.listed, moved, strict=True) if not moves)
        )

    def ordered(self, word: Word) -> Word:
        """The same word with turns about one line in their order."""
        runs = groupby(word, key=self.lines.__getitem__)
        return tuple(number for _, run in runs for number in sorted(run))


def turns(puzzle: Puzzle, allowed: Allowed, metric: str) -> Turns:
    """The turns that are allowed and can be written, in every amount."""
    found: dict[frozenset[int], Turn] = {}
    for turn in sorted(_blocks(puzzle, allowed), key=lambda turn: turn.first + turn.last):
        # From the side that they are named by: those in the middle turn as M, E and S.
        named = layers_of(name_of_layers(turn, puzzle), puzzle)
        if puzzle.pieces_in(named) == puzzle.pieces_in(turn):
            found.setdefault(puzzle.pieces_in(turn), named)
    axes = list(puzzle.axes)
    size = puzzle.layer_count

    def place(turn: Turn) -> tuple[int, int, int]:
        line = min(axes.index(axis) for axis in puzzle.line(turn))
        return line, axes.index(turn.axis), size * turn.first + turn.last

    ordered = sorted(found.values(), key=place)
    amounts = range(1, puzzle.full_turn)
    return Turns(puzzle, allowed, metric, tuple(turn.by(amount) for turn in ordered for amount in amounts))


def read_faces(passage: Passage, puzzle: Puzzle) -> tuple[str, ...]:
    """faces := names, each of a face or a block of layers    Raises Problem."""
    return check_faces(names_in(passage, "a face", faces_hint(puzzle)), puzzle)


def check_faces(named: Iterable[Passage], puzzle: Puzzle) -> tuple[str, ...]:
    """What the names are. Raises Problem for one that does not turn a part of the puzzle."""
    faces = tuple(named)
    for face in faces:
        if not _turns_a_part(face.text, puzzle):
            message = f"{puzzle.name} has no face “{shortened(face.text)}” to turn"
            raise Problem(message, face, faces_hint(puzzle))
    return tuple(face.text for face in faces)


def has_beside(puzzle: Puzzle) -> bool:
    """Whether a puzzle has layers beside the outer ones, which may be turned alone or with these."""
    return puzzle.layer_count > OUTER


def refuse_beside(option: Passage, puzzle: Puzzle) -> None:
    """Raises Problem where a puzzle has none, so that saying that they are turned says nothing."""
    if not has_beside(puzzle):
        raise Problem(f"{puzzle.name} has no layers between the outer ones", option, "take it away")


def faces_hint(puzzle: Puzzle) -> str:
    """What may be written where faces are asked for."""
    return f"write some of {', '.join(puzzle.axes)}, with commas between them"


def _turns_a_part(text: str, puzzle: Puzzle) -> bool:
    """Whether a text names layers, and not all of them."""
    return is_turn(text, puzzle) and len(puzzle.pieces_in(layers_of(text, puzzle))) < len(puzzle.pieces)


def read_layer(passage: Passage, puzzle: Puzzle) -> Turn:
    """A layer by its name, as a turn by the smallest amount. Raises Problem."""
    layer = layer_names(puzzle).get(passage.text.strip())
    if layer is None:
        hint = f"layers are {', '.join(layer_names(puzzle))}; one is turned, by every amount"
        raise Problem(f"“{shortened(passage.text)}” is no layer of {puzzle.name}", passage, hint)
    return layer


def _blocks(puzzle: Puzzle, allowed: Allowed) -> Iterator[Turn]:
    """Each block of layers that may be turned, by the smallest amount."""
    size = puzzle.layer_count
    yield from (layers_of(name, puzzle) for name in allowed.faces if name not in puzzle.axes)
    if not allowed.faces:
        yield from with_names(puzzle)
    for axis in [axis for axis in puzzle.axes if axis in allowed.faces or not allowed.faces]:
        yield layers_of(axis, puzzle)
        if allowed.wide:
            yield from (Turn(axis, 1, last, 1) for last in range(2, size))
        if allowed.slices:
            inner = range(2, size)
            yield from (Turn(axis, first, last, 1) for first in inner for last in inner if first <= last)


def _layers(turn: Turn) -> tuple[str, int, int]:
    return turn.axis, turn.first, turn.last
