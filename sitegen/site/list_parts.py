"""Long lists of sequences in parts: those of one puzzle together, and no page that grows with the guide.

Knows sequences and paths; knows nothing of what is told of each.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sitegen.blocks.moves.sequence import Sequence as MoveSequence
from sitegen.puzzles.puzzle import Puzzle

NEAR = 2
"""Of many parts each leads to the first and the last, and to so many on either side."""


@dataclass(frozen=True)
class OfPuzzle:
    """Sequences of one puzzle that stand together."""

    puzzle: Puzzle
    sequences: tuple[MoveSequence, ...]


@dataclass(frozen=True)
class ListPart:
    """A page of a list; `first` and `last` count its sequences through the list, from one."""

    path: str
    number: int
    first: int
    last: int
    groups: tuple[OfPuzzle, ...]

    @property
    def sequences(self) -> tuple[MoveSequence, ...]:
        return tuple(sequence for group in self.groups for sequence in group.sequences)


@dataclass(frozen=True)
class WholeList:
    parts: tuple[ListPart, ...]

    @property
    def count(self) -> int:
        """How many sequences there are in all parts."""
        return self.parts[-1].last

    def near(self, part: ListPart) -> list[ListPart | None]:
        """The parts that a part leads to, itself among them; None for those left out."""
        shown = [
            each
            for each in self.parts
            if each.number in (1, len(self.parts)) or abs(each.number - part.number) <= NEAR
        ]
        found: list[ListPart | None] = []
        for each in shown:
            if found and found[-1] and each.number > found[-1].number + 1:
                found.append(None)
            found.append(each)
        return found

    def beside(self, part: ListPart) -> tuple[ListPart | None, ListPart | None]:
        """The parts before and after a part."""
        around = [None, *self.parts, None]
        return around[part.number - 1], around[part.number + 1]


def in_parts(sequences: Sequence[MoveSequence], path: str, most: int) -> WholeList:
    """A list at a path below output/, in the order in which puzzles come first; more than `most` are cut up.

    The first part has the path of the list, the others stand in a folder of its name. A puzzle is only cut
    where it has more than a part can hold.
    """
    by_puzzle: dict[str, list[MoveSequence]] = {}
    for sequence in sequences:
        by_puzzle.setdefault(sequence.puzzle.name, []).append(sequence)
    pages: list[list[list[MoveSequence]]] = [[]]
    for left in by_puzzle.values():
        while left:
            room = most - sum(map(len, pages[-1]))
            if room and (len(left) <= room or len(left) > most):
                pages[-1].append(left[:room])
                left = left[room:]
            else:
                pages.append([])
    parts: list[ListPart] = []
    for number, page in enumerate(pages, 1):
        before = parts[-1].last if parts else 0
        groups = tuple(OfPuzzle(piece[0].puzzle, tuple(piece)) for piece in page)
        here = path if number == 1 else f"{path.removesuffix('.html')}/{number}.html"
        parts.append(ListPart(here, number, before + 1, before + sum(map(len, page)), groups))
    return WholeList(tuple(parts))
