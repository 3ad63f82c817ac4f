"""Cases that are solved by the same thing, done with the puzzle held otherwise.

Knows steps, what each case takes, and how the puzzle may be held; knows nothing of pages.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from sitegen.effects.effect import held_by, holds
from sitegen.methods.goals import State, padded
from sitegen.methods.plan import AnyTurns, Step
from sitegen.methods.solving import Measure
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Puzzle, Turn


@dataclass(frozen=True)
class Hold:
    """A way to hold the puzzle in which all that a step uses may be used, and its goals are the same."""

    turns: tuple[Turn, ...]
    whole: Permutation
    labels: Permutation
    """What each label becomes."""

    def case(self, state: State) -> State:
        """The case that is solved, held so, by what solves a case as it is held first."""
        return perm.compose(perm.compose(self.whole, state), self.labels)


@dataclass(frozen=True)
class LikeCases:
    """A case, and ways to hold the puzzle in which its solution solves others, each of them one more."""

    state: State
    held: tuple[Hold, ...]


def kinds(step: Step, measured: Mapping[State, Measure | None]) -> Iterator[LikeCases]:
    """All the cases that were measured, those that take least first, each in just one kind.

    Two are of a kind only if they take the same: one solution is to be that of both.
    """
    open_to = ways(step)
    left = dict.fromkeys(sorted(measured, key=lambda state: (measured[state] is None, measured[state])))
    while left:
        first = next(iter(left))
        del left[first]
        shown, held = step.solver.as_taken_up(first), []
        for way in open_to:
            other = step.cases.distinct[way.case(shown)]
            if other in left and measured[other] == measured[first]:
                del left[other]
                held.append(way)
        yield LikeCases(shown, tuple(held))


def ways(step: Step) -> list[Hold]:
    """Each way to hold the puzzle otherwise in which a solution stays one that the stage allows."""
    puzzle, found = step.laws.puzzle, []
    for whole, turns in _allowed(step).items():
        back = perm.inverse(whole)
        own, earlier = (_relabelled(back, goal, puzzle) for goal in (step.reached, step.before))
        if turns and own is not None and earlier is not None:
            found.append(Hold(turns, whole, own))
    return found


def _allowed(step: Step) -> Mapping[Permutation, tuple[Turn, ...]]:
    """With named sequences those that the author allows; by any turns those that make such turns of them."""
    means, puzzle = step.stage.means, step.laws.puzzle
    if not isinstance(means, AnyTurns):
        return means.holds
    first = held_by(means.hold, puzzle).keys()
    return {
        whole: turns
        for whole, turns in holds(puzzle).items()
        if means.turns.carried(whole) is not None
        and all(perm.compose(perm.compose(whole, hold), perm.inverse(whole)) in first for hold in first)
    }


def _relabelled(symmetry: Permutation, goal: State, puzzle: Puzzle) -> Permutation | None:
    """What a symmetry makes of each label, if it makes the goal of the goal."""
    becomes = {0: 0}
    slots = range(len(puzzle.stickers))
    if any(becomes.setdefault(goal[slot], goal[symmetry[slot]]) != goal[symmetry[slot]] for slot in slots):
        return None
    if len(set(becomes.values())) < len(becomes):
        return None
    return padded((becomes.get(label, label) for label in range(max(goal) + 1)), puzzle)
