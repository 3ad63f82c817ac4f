"""Cases that are one to whoever looks at them: turned by a layer, seen from another side, or in a mirror.

Knows steps and symmetries; knows nothing of solutions. A layer turned afterwards needs no mention of its own:
it is turned before, seen from another side.
"""

from __future__ import annotations

from collections.abc import Iterator

from sitegen.bench.goals import State, padded
from sitegen.bench.plan import Step
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Puzzle

Change = tuple[Permutation, Permutation]
"""Which slot the label of each slot comes from, and what each label becomes."""


def alike(step: Step) -> Iterator[tuple[State, ...]]:
    """The cases of a step, those together that are alike, in the order in which the first of them are met."""
    changes = list(_changes(step))
    left = dict.fromkeys(step.cases.states)
    while left:
        found = {next(iter(left)): None}
        for state in (waiting := list(found)):
            for source, labels in changes:
                there = perm.compose(perm.compose(source, state), labels)
                if there not in found:
                    found[there] = None
                    waiting.append(there)
        for state in found:
            del left[state]
        yield tuple(found)


def _changes(step: Step) -> Iterator[Change]:
    """Each free turn of a layer, and each symmetry that leaves the goals as they are."""
    puzzle = step.laws.puzzle
    for each in step.free:
        yield each.permutation, puzzle.identity
    for symmetry in puzzle.symmetries:
        own, earlier = (_relabelled(symmetry, state, puzzle) for state in (step.reached, step.before))
        if own is not None and earlier is not None:
            yield perm.inverse(symmetry), own


def _relabelled(symmetry: Permutation, goal: State, puzzle: Puzzle) -> Permutation | None:
    """What a symmetry makes of each label, if it makes the goal of the goal."""
    becomes = {0: 0}
    slots = range(len(puzzle.stickers))
    if any(becomes.setdefault(goal[slot], goal[symmetry[slot]]) != goal[symmetry[slot]] for slot in slots):
        return None
    if len(set(becomes.values())) < len(becomes):
        return None
    return padded((becomes.get(label, label) for label in range(max(goal) + 1)), puzzle)
