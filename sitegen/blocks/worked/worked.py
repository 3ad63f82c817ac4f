"""A worked example as it was checked: a position, and how a method of the guide solves it, stage by stage."""

from __future__ import annotations

from dataclasses import dataclass

from sitegen.blocks.block import CheckedBlock, Turned
from sitegen.blocks.method.method import case_sheet, stage_anchor


@dataclass(frozen=True)
class PartShown:
    """A stage of a worked example: what was done in its steps, and the position after it."""

    stage: int
    title: str
    length: int
    """In OBTM."""
    steps: tuple[tuple[str, tuple[str, ...]], ...]
    """The name of each step in which something was done, and that as it is written."""
    after: tuple[int, ...]

    @property
    def anchor(self) -> str:
        """Its place on the case sheet of the method."""
        return stage_anchor(self.stage + 1)


@dataclass(frozen=True, eq=False, kw_only=True)
class WorkedExample(CheckedBlock):
    """One position, and how a method solves it."""

    ANCHOR = "example"

    method: str
    """The name of the method."""
    method_title: str
    moves: str
    """Moves that lead to the position from the solved puzzle; empty where none are known."""
    seed: int | None
    """For a random position the seed, and its number."""
    number: int
    position: tuple[int, ...]
    parts: tuple[PartShown, ...]
    stuck: str
    """Where the method has nothing for the case, and which that is; empty where all goals are reached."""
    in_full: str
    """All turns, what cancels taken away."""
    length: int
    """In OBTM."""
    home: bool
    """Whether everything is home in the end."""

    @property
    def method_url(self) -> str:
        """The path of the method's case sheet below output/."""
        return case_sheet(self.method)

    @property
    def turned(self) -> Turned:
        return Turned(positions=0 if self.stuck else 1)
