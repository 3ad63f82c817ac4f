"""What a figure shows: a puzzle, the colours on it, and marks that say what happens to its pieces.

Knows slots and colour names; knows nothing of views, paths or style.
"""

from __future__ import annotations

from dataclasses import dataclass

from sitegen.puzzles.puzzle import Puzzle, Turn


@dataclass(frozen=True)
class Arrow:
    """A sticker's way from the slot where it is to the slot where it goes."""

    start: int
    end: int


@dataclass(frozen=True)
class Flip:
    """An edge turned over in place, by its two slots."""

    stickers: tuple[int, int]


@dataclass(frozen=True)
class Twist:
    """A piece turned in place: sticker i of `stickers` (clockwise seen from outside) goes to i + `steps`."""

    stickers: tuple[int, ...]
    steps: int

    @property
    def clockwise(self) -> bool:
        return 2 * (self.steps % len(self.stickers)) <= len(self.stickers)


Mark = Arrow | Flip | Twist | Turn
"""A turn is marked on the layers that it takes round."""


@dataclass(frozen=True)
class Picture:
    puzzle: Puzzle
    colours: tuple[str, ...]
    """For each slot the colour of the sticker that is there now."""
    title: str
    description: str
    muted: frozenset[int] = frozenset()
    """Slots out of focus."""
    outlined: frozenset[int] = frozenset()
    """Slots that are guarded, the guarded piece being home."""
    away: frozenset[int] = frozenset()
    """Slots where a guarded piece is that belongs elsewhere."""
    disturbed: frozenset[int] = frozenset()
    """Slots of a guarded piece that is in its own place, but turned."""
    marks: tuple[Mark, ...] = ()
    letters: tuple[str, ...] = ()
    """For each slot the letter of the sticker that is there; empty for none."""
    letters_shown: bool = False
    """Letters on screen as well as in print."""
    patterned: bool = False
    """A pattern for each colour as well, for paper that is copied in grey."""
