"""Clean steps: a turn, or one with something set aside first and brought back after; a guard is then home."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from sitegen.moves.notation import write, write_all
from sitegen.moves.turning import inverse_turns, permutation_of
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Puzzle, Turn


@dataclass(frozen=True)
class CleanStep:
    """`aside`, `turn`, and the aside undone; the guard is home after it if it was before."""

    puzzle: Puzzle
    aside: tuple[Turn, ...]
    turn: Turn
    permutation: Permutation

    @cached_property
    def turns(self) -> tuple[Turn, ...]:
        return (*self.aside, self.turn, *inverse_turns(self.aside))

    @cached_property
    def aside_alone(self) -> Permutation:
        """What setting aside does."""
        return permutation_of(self.aside, self.puzzle)

    @property
    def turn_alone(self) -> Permutation:
        return self.puzzle.permutation(self.turn)

    @property
    def aside_written(self) -> str:
        return write_all(self.aside, self.puzzle)

    @property
    def back_written(self) -> str:
        return write_all(inverse_turns(self.aside), self.puzzle)

    @property
    def turn_written(self) -> str:
        return write(self.turn, self.puzzle)

    def __str__(self) -> str:
        """`[F': E']`, or a turn alone."""
        return f"[{self.aside_written}: {self.turn_written}]" if self.aside else self.turn_written


@dataclass(frozen=True)
class CleanSteps:
    """All of them: those that do the same are one, with the shortest aside, and of these the easiest."""

    listed: tuple[CleanStep, ...]
    shorter: tuple[frozenset[int], ...]
    """For each the numbers of those in which less is set aside before the same turn."""
    moved: frozenset[int]
    """The slots out of which some of them take what is there."""

    @cached_property
    def numbers(self) -> dict[Permutation, int]:
        return {step.permutation: number for number, step in enumerate(self.listed)}
