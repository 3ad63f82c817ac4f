"""What is done in a stage, in a sentence made of its goals."""

from __future__ import annotations

import pytest

from sitegen.blocks.method.method import Method
from sitegen.blocks.method.tasks import task_of
from sitegen.methods.goals import HOME, Goal, gained
from sitegen.puzzles.puzzle import Puzzle


def tasks(guide_at, *stages: str) -> list[str]:
    """The sentences of stages, each of its goal and, behind a line, its pieces one by one."""
    body = ""
    for number, text in enumerate(stages):
        goal, _, one_by_one = text.partition(" | ")
        body += f"- stage: {number}\n  goal: {goal}\n"
        body += f"  one by one: {one_by_one}\n" if one_by_one else ""
        body += "  using: any turns up to 1\n"
    block = f"```method m\ncount: 1\nopen: yes\nstages:\n{body}```\n"
    guide = guide_at(index=block)
    return [stage.task for stage in guide.named(Method)["m"].stages]


@pytest.mark.parametrize(
    ("stages", "said"),
    [
        (["UF home"], "Bring UF home."),
        (["UF and UR home"], "Bring UF and UR home."),
        (["UF placed"], "Bring UF to its place, whichever way round."),
        (["UF and UR placed"], "Bring UF and UR to their places, whichever way round."),
        (["edges of E placed"], "Bring the edges of E to their places, whichever way round."),
        (["E except FR home | FL, BL, BR"], "Bring E except FR home, in 3 steps."),
        (["M home | UF, UB, DF, DB"], "Bring the M layer home, in 4 steps."),
        (["edges oriented by U, D, F and B"], ""),
        (["UF placed; UFR home"], "Bring UF to its place, whichever way round; bring UFR home."),
        (["UF placed; UF oriented by U"], "Bring UF to its place; turn UF the right way round."),
        (["UF placed", "UF oriented by U"], "Turn UF the right way round."),
        (
            ["corners of U oriented by U"],
            "Bring the corners of U to any of their places, with their stickers of U lying right.",
        ),
        (["UF oriented by U", "UF and UR placed"], "Bring UF and UR to their places, whichever way round."),
    ],
)
def test_a_goal_is_said_as_what_is_to_be_done(guide_at, stages: list[str], said: str) -> None:
    whole = "Bring the edges to any of their places, with their stickers of U, D, F or B lying right."
    assert tasks(guide_at, *stages)[-1] == (said or whole)


def test_pieces_that_lie_right_already_are_placed_and_no_more(guide_at) -> None:
    stages = ("edges of U oriented by U", "UF and UB placed")
    assert tasks(guide_at, *stages)[-1] == "Bring UF and UB to their places."


@pytest.mark.parametrize(
    ("named", "called"),
    [
        ("all except U", "everything except U"),
        ("all", "everything"),
        ("U", "the U layer"),
        ("face U except UF", "the face U except UF"),
        ("edges of U and UFR", "the edges of U and UFR"),
        ("UF, UR and corners of D", "UF, UR and corners of D"),
    ],
)
def test_pieces_are_called_as_in_a_sentence(cube3: Puzzle, named: str, called: str) -> None:
    goal = Goal(frozenset(), HOME)
    reached = gained(cube3.identity, (goal,), cube3.identity, cube3)
    assert task_of([(named, goal)], reached, 1, cube3) == f"Bring {called} home."
