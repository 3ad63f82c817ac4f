"""Ways by clean steps, and how many there are: what looking for them comes to."""

from __future__ import annotations

from bisect import insort
from dataclasses import dataclass, field

from sitegen.effects.claims import Subject
from sitegen.effects.effect import Effect
from sitegen.moves.metrics import Length
from sitegen.moves.notation import write_all
from sitegen.puzzles.puzzle import Puzzle, Turn
from sitegen.search.clean_steps import CleanStep


@dataclass(frozen=True)
class StepWay:
    """Clean steps one after the other, and the case of which the claims of the goal hold."""

    steps: tuple[CleanStep, ...]
    turns: tuple[Turn, ...]
    """All of them in full, what cancels taken away."""
    case: Subject

    @property
    def puzzle(self) -> Puzzle:
        return self.case.puzzle

    @property
    def effect(self) -> Effect:
        return self.case.effect

    @property
    def length(self) -> Length:
        return self.case.length

    @property
    def moves(self) -> str:
        return write_all(self.turns, self.puzzle)

    def __str__(self) -> str:
        """`[F': E'] [F: E2]`"""
        return " ".join(map(str, self.steps))


@dataclass
class StepWays:
    """What was found so far: the first `most`, by their steps, their turns, and how easy they are."""

    most: int
    aside: int = 0
    """By how many turns at most something is set aside."""
    counts: dict[int, int] = field(default_factory=dict)
    """For each number of steps that was looked at to the end, how many ways are listed, or would be."""
    others: int | None = 0
    """How many ways there are besides, which differ from these by a symmetry or by a longer aside; None where
    only turning each of them would tell."""
    partly: int = 0
    ended: str = ""
    ranked: list[tuple[tuple[int, ...], StepWay]] = field(default_factory=list)

    @property
    def ways(self) -> list[StepWay]:
        return [way for _, way in self.ranked]

    @property
    def fewest(self) -> int | None:
        """The least number of steps of which there is a way, if one was found."""
        return next((steps for steps, number in self.counts.items() if number), None)

    def wants(self, rank: tuple[int, ...]) -> bool:
        """Whether a way is among the first so far."""
        return len(self.ranked) < self.most or rank < self.ranked[-1][0]

    def take(self, rank: tuple[int, ...], way: StepWay) -> None:
        """Counts a way, and keeps it if it is among the first."""
        self.partly += 1
        if self.wants(rank):
            insort(self.ranked, (rank, way), key=lambda entry: entry[0])
            del self.ranked[self.most :]

    def close(self, steps: int) -> None:
        """Says that all ways of so many steps were looked at."""
        self.counts[steps], self.partly = self.partly, 0
