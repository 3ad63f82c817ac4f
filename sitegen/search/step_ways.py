"""Ways by clean steps, and how many there are: what looking for them comes to."""

from __future__ import annotations

from dataclasses import dataclass

from sitegen.search.clean_steps import CleanStep
from sitegen.search.find import Answer, Ranked


@dataclass(frozen=True)
class StepWay(Answer):
    """Clean steps one after the other; their turns are in full, what cancels taken away."""

    steps: tuple[CleanStep, ...]

    def __str__(self) -> str:
        """`[F': E'] [F: E2]`"""
        return " ".join(map(str, self.steps))


@dataclass
class StepWays(Ranked[StepWay]):
    """Ways by their steps, their turns, and how easy they are; counted by how many steps they have."""

    aside: int = 0
    """By how many turns at most something is set aside."""
    longest: int | None = None
    """How many turns a way may have."""
    longer: int = 0
    """How many ways were met that have more."""
    others: int | None = 0
    """How many ways there are besides, which differ from these by a symmetry or by a longer aside; None where
    only turning each of them would tell."""
