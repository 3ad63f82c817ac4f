"""Clean steps are all there are: held against every aside and every turn, multiplied out."""

from __future__ import annotations

from itertools import product

import pytest
from deriving import sought

from sitegen.puzzles import catalogue
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.permutation import Permutation
from sitegen.search.aim import Aim
from sitegen.search.asides import clean_steps
from sitegen.search.clean_steps import CleanSteps

GOALS = [
    ("cube-2", "twists UFR clockwise", "", False, 2),
    ("cube-3", "flips UF", "", True, 2),
    ("cube-3", "twists UFR clockwise", "", False, 2),
    ("cube-3", "flips UF", "U except UF", False, 3),
    ("cube-4", "twists UFR clockwise", "", True, 1),
    ("pyraminx", "swaps FR with RL", "FL", False, 2),
    ("skewb", "twists DFR clockwise", "UBR", False, 2),
]


def by_hand(asked: Aim, longest: int) -> dict[Permutation, int]:
    """Each clean step with the fewest turns that set aside, of all words, whatever cancels in them."""
    found: dict[Permutation, int] = {}
    puzzle, turned = asked.query.puzzle, asked.query.turns.permutations
    slots = [slot for index in asked.guard for slot in puzzle.pieces[index].stickers]
    for length in range(longest + 1):
        for word in product(turned, repeat=length):
            aside = perm.successive(puzzle.identity, word)
            for turn in turned:
                done = perm.compose(perm.compose(aside, turn), perm.inverse(aside))
                if all(done[slot] == slot for slot in slots) and done != puzzle.identity:
                    found.setdefault(done, length)
    return found


def of(asked: Aim, longest: int) -> CleanSteps:
    steps = clean_steps(asked.query.turns, asked.guard, longest, 10**9)
    assert steps is not None
    return steps


@pytest.mark.parametrize(("name", "claims", "guard", "slices", "longest"), GOALS)
def test_every_clean_step_is_there_once_with_the_shortest_aside(
    name: str, claims: str, guard: str, slices: bool, longest: int
) -> None:
    asked = sought(catalogue.puzzle(name), claims, guard, slices=slices)
    listed = of(asked, longest).listed
    assert {step.permutation: len(step.aside) for step in listed} == by_hand(asked, longest)
    assert len({step.permutation for step in listed}) == len(listed)


def test_with_slices_145_steps_guard_the_upper_layer_but_for_an_edge(cube3) -> None:
    """Asides of up to two turns of faces and slices; those that do the same are one."""
    assert len(of(sought(cube3, "flips UF", slices=True), 2).listed) == 145


@pytest.mark.parametrize(("claims", "slices"), [("flips UF", True), ("twists UFR clockwise", False)])
def test_a_step_does_what_its_turns_do(cube3, turned, claims: str, slices: bool) -> None:
    for step in of(sought(cube3, claims, slices=slices), 2).listed:
        assert turned(str(step), cube3) == step.permutation
        assert perm.successive(cube3.identity, map(cube3.permutation, step.turns)) == step.permutation


def test_less_is_set_aside_in_those_that_are_said_to_be_shorter(cube3) -> None:
    steps = of(sought(cube3, "flips UF", slices=True), 2)
    assert any(steps.shorter)
    for step, less in zip(steps.listed, steps.shorter, strict=True):
        assert all(len(steps.listed[number].aside) < len(step.aside) for number in less)


def test_how_many_asides_are_looked_at_together_does_not_matter(cube3, monkeypatch) -> None:
    asked = sought(cube3, "flips UF", slices=True)
    usual = of(asked, 2)
    monkeypatch.setattr("sitegen.search.asides.AT_ONCE", 50_000)
    assert of(asked, 2) == usual


def test_steps_move_what_is_told_and_nothing_else(cube3) -> None:
    steps = of(sought(cube3, "flips UF", slices=True), 2)
    assert steps.moved == {
        slot for step in steps.listed for slot in range(54) if step.permutation[slot] != slot
    }


def test_asides_that_take_more_memory_than_is_allowed_are_not_looked_at(cube3) -> None:
    asked = sought(cube3, "flips UF")
    assert clean_steps(asked.query.turns, asked.guard, 3, 10_000) is None
