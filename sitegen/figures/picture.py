"""What a figure shows: a puzzle, the colours on it, and marks that say what happens to its pieces.

Knows slots and colour names, and for paper the shades of these; knows nothing of views or paths.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from sitegen.figures.style import Paints
from sitegen.puzzles.puzzle import Puzzle, Turn


@dataclass(frozen=True)
class Arrow:
    """A piece's way to another place: its sticker in slot `starts[i]` goes to slot `ends[i]`."""

    starts: tuple[int, ...]
    ends: tuple[int, ...]
    swap: bool = False
    """Whether the piece that is there goes the same way back."""
    leg: bool = False
    """Whether it is a part of the way of one piece, which goes on elsewhere in the figure."""
    leap: bool = False
    """Whether it leads over places where the piece stops, or may have stopped, on its way."""


@dataclass(frozen=True)
class FlipMark:
    """An edge turned over in place, by its two slots."""

    stickers: tuple[int, ...]


@dataclass(frozen=True)
class TwistMark:
    """A piece turned in place by `steps` of the `of` parts of a round, clockwise seen from outside.

    No steps where no side of it is outside, as of a core on which stickers are all round.
    """

    stickers: tuple[int, ...]
    steps: int
    of: int
    hub: int | None = None
    """The slot of the sticker that the others go round, where one stays."""

    @property
    def halfway(self) -> bool:
        return 2 * self.steps == self.of

    @property
    def clockwise(self) -> bool:
        return 2 * self.steps < self.of


Mark = Arrow | FlipMark | TwistMark | Turn
"""A turn is marked on the layers that it takes round."""


def arrows_of(marks: Iterable[Mark]) -> tuple[Arrow, ...]:
    """Those of some marks that are arrows."""
    return tuple(mark for mark in marks if isinstance(mark, Arrow))


@dataclass(frozen=True)
class Picture:
    puzzle: Puzzle
    colours: tuple[str, ...]
    """For each slot the colour of the sticker that is there now."""
    title: str
    """What it is called, for whoever hears it; empty where nothing is to be heard of it."""
    description: str
    muted: frozenset[int] = frozenset()
    """Slots out of focus."""
    outlined: frozenset[int] = frozenset()
    """Slots that are guarded, the guarded piece being home."""
    away: frozenset[int] = frozenset()
    """Slots where a guarded piece is that belongs elsewhere."""
    disturbed: frozenset[int] = frozenset()
    """Slots of a guarded piece that is in its own place, but turned."""
    ringed: frozenset[int] = frozenset()
    """Slots of a piece that is watched."""
    marks: tuple[Mark, ...] = ()
    letters: tuple[str, ...] = ()
    """For each slot the letter of the sticker that is there; empty for none."""
    letters_shown: bool = False
    """Letters on screen as well as in print."""
    patterned: bool = False
    """A pattern for each colour as well, for paper that is copied in grey."""
    paints: Paints | None = None
    """The shades, where no style sheet says them."""
