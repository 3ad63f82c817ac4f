"""A position as it was checked: where the pieces are, the laws that this breaks, and what solves it."""

from __future__ import annotations

from dataclasses import dataclass

from sitegen.blocks.block import CheckedBlock, Turned
from sitegen.effects.effect import Effect
from sitegen.effects.laws import Broken
from sitegen.effects.words import where
from sitegen.moves.notation import write_all
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Turn


@dataclass(frozen=True, eq=False, kw_only=True)
class Position(CheckedBlock):
    """A position, with the laws that it breaks and what solves it."""

    ANCHOR = "position"

    position: Permutation
    """Where the sticker of each slot is."""
    moves: str
    """The moves that lead to it, as written; empty where it was given otherwise."""
    effect: Effect
    """What is not home."""
    broken: tuple[Broken, ...]
    solve: str
    """The moves that solve it, as written; empty for none."""
    solved_hold: tuple[Turn, ...] | None
    """How the whole puzzle is to be turned after these moves; None where they do not solve it."""

    @property
    def words(self) -> str:
        """Where the pieces are, as a sentence."""
        return where(self.effect)

    @property
    def turning_back(self) -> str:
        """The turns of the whole puzzle that bring its centres home; empty where they are."""
        return write_all(self.effect.turning_back, self.puzzle)

    @property
    def words_turned_back(self) -> str:
        """Where the pieces are after that."""
        return where(self.effect.turned_back)

    @property
    def solved_after(self) -> str:
        """The turns of the whole puzzle that are left when it is solved; empty for none."""
        return write_all(self.solved_hold or (), self.puzzle)

    @property
    def laws(self) -> tuple[str, ...]:
        """The laws that it breaks, each as a sentence with its sums."""
        return tuple(f"{text[0].upper()}{text[1:]}." for text in map(str, self.broken))

    @property
    def turned(self) -> Turned:
        return Turned(positions=0 if self.solved_hold is None else 1)
