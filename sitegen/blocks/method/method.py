"""A method as it was checked: its stages with all their cases, and how it fared on random positions.

Knows plans and what was computed of them; knows nothing of how methods are written or drawn.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from functools import cached_property

from sitegen.blocks.block import CheckedBlock, Turned, UnknownBlock
from sitegen.blocks.played import Played
from sitegen.methods.coverage import Case, Coverage
from sitegen.methods.goals import Gained
from sitegen.methods.plan import Plan
from sitegen.methods.trial import StageTrial, Trial
from sitegen.moves.notation import write_all
from sitegen.pages.markdown import Prose
from sitegen.problems import Passage, Problem

MOST_IN_TILE = 40
"""With more turns than this a sequence is only named."""


def case_sheet(method: str) -> str:
    """The path below output/ of the case sheet of a method, by its name."""
    return f"methods/{method}.html"


def stage_anchor(number: int) -> str:
    """The anchor of a stage on a case sheet; stages are counted from 1."""
    return f"stage-{number}"


@dataclass(frozen=True, eq=False)
class ToolShown:
    """A named sequence as a stage uses it."""

    text: str
    """As it is named there, with what brings the centres home."""
    played: Played

    @property
    def turns(self) -> str:
        """Turn by turn; empty where they are too many for a tile."""
        (turns,) = self.played.parts
        return write_all(turns, self.played.puzzle) if len(turns) <= MOST_IN_TILE else ""


@dataclass(frozen=True, eq=False)
class StageShown:
    """A stage in the author's words, with what was found of it."""

    number: int
    title: str
    goal: str
    gained: Gained
    """What is solved when it ends, and what of it is new."""
    task: str
    """What is done, in a sentence made of its goals."""
    order: str
    """The pieces of its steps as they come; empty where there is one step."""
    using: str
    tools: tuple[ToolShown, ...]
    """The named sequences that are used; none where any turns may be."""
    terms: tuple[str, ...]
    """What may be done with these, or with turns, and which way is taken, in sentences."""
    say: Prose | None
    views: tuple[str, ...]
    steps: tuple[Coverage, ...]
    trial: StageTrial

    @property
    def anchor(self) -> str:
        return stage_anchor(self.number)

    @property
    def by_tools(self) -> bool:
        """Whether named sequences are used, so that applications are worth counting."""
        return bool(self.tools)

    @property
    def cases(self) -> int:
        """The number of cases of all its steps."""
        return sum(step.cases for step in self.steps)

    @property
    def covered(self) -> int:
        """The number of those that are solved."""
        return sum(step.covered for step in self.steps)

    @cached_property
    def turns(self) -> Mapping[int, int]:
        """How many cases, of all its steps, take so many turns."""
        together = sum((Counter(dict(step.turns)) for step in self.steps), Counter())
        return dict(sorted(together.items()))

    @property
    def uncovered(self) -> tuple[Case, ...]:
        """The cases that are not solved and are drawn, each with its stage and step."""
        return tuple(case for step in self.steps for case in step.uncovered.drawn)

    @property
    def more_uncovered(self) -> bool:
        """Whether there are more than these, and those that they stand for."""
        missing = sum(step.uncovered.number for step in self.steps)
        return missing > sum(case.stands_for for case in self.uncovered)


class UnknownMethod(UnknownBlock):
    """A name that no method has; empty where none is named."""


@dataclass(frozen=True, eq=False, kw_only=True)
class Method(CheckedBlock):
    """A method, with all its cases gone through and some positions tried."""

    ANCHOR = "method"
    LINK = "method"

    plan: Plan
    stages: tuple[StageShown, ...]
    trial: Trial
    left: int | None
    """In how many ways the puzzle can be when all goals are reached; None for very many."""
    open: bool
    compact: bool
    """Whether cases stand in a close grid, with little beside their figures."""

    @classmethod
    def unknown(cls, name: str, passage: Passage, known: Collection[str]) -> Problem:
        hint = f"methods are {', '.join(known)}" if known else "the guide has no block “method”"
        return UnknownMethod(f"no method is named {name}", name, passage, hint)

    @property
    def prose(self) -> tuple[Prose, ...]:
        return (*super().prose, *(stage.say for stage in self.stages if stage.say))

    @property
    def cases(self) -> int:
        """The number of cases of all its steps."""
        return sum(stage.cases for stage in self.stages)

    @property
    def covered(self) -> int:
        """The number of those that are solved."""
        return sum(stage.covered for stage in self.stages)

    @property
    def uncovered(self) -> tuple[tuple[StageShown, Coverage, Case], ...]:
        return tuple(
            (stage, step, case)
            for stage in self.stages
            for step in stage.steps
            for case in step.uncovered.drawn
        )

    @classmethod
    def page_of(cls, name: str) -> str:
        """The path of its case sheet below output/."""
        return case_sheet(name)

    @property
    def turned(self) -> Turned:
        return Turned(positions=self.trial.solved, cases=self.covered)

    @property
    def full_lists(self) -> tuple[tuple[str, StageShown, Coverage], ...]:
        """Each step with more cases than its sheet shows, behind the path of the file that lists them all."""
        return tuple(
            (self.full_list_url(stage, step), stage, step)
            for stage in self.stages
            for step in stage.steps
            if step.packed
        )

    def full_list_url(self, stage: StageShown, step: Coverage) -> str:
        """The path below output/ of what lists all cases of a step."""
        number = next(n for n, each in enumerate(stage.steps, 1) if each is step)
        of_several = f"-step-{number}" if len(stage.steps) > 1 else ""
        return f"methods/{self.name}/stage-{stage.number}{of_several}.txt"
