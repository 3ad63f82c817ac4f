"""What may be done in a stage, and which way is taken, in sentences."""

from __future__ import annotations

import pytest

from sitegen.blocks.method.method import Method

FEWEST = "Here are as few of these as can be, and of such ways one in few turns."


def terms(guide_at, keys: str, puzzle: str = "cube-3") -> tuple[str, ...]:
    """Of a stage that says these beside its goal."""
    stage = "- stage: A\n  goal: UFR home\n" + "".join(f"  {line}\n" for line in keys.split("; "))
    block = f"```method m\ncount: 1\nopen: yes\nstages:\n{stage}```\n"
    guide = guide_at(index=f"---\npuzzle: {puzzle}\n---\n```moves one\nR U R'\n```\n\n{block}")
    return guide.named(Method)["m"].stages[0].terms


@pytest.mark.parametrize(
    ("keys", "said"),
    [
        ("using: any turns up to 2", ["Any turns may be done, 2 at most: here are as few as can be."]),
        (
            "using: any turns of R and U, up to 2",
            ["Any turns of R and U may be done, 2 at most: here are as few as can be."],
        ),
        ("using: @one", [FEWEST]),
        (
            "using: @one; lead-in: 1 turn",
            [FEWEST, "Before each one turn may be done, and is undone after it."],
        ),
        (
            "using: @one; lead-in: up to 2 turns of F, L and D",
            [FEWEST, "Before each up to 2 turns of F, L and D may be done, and are undone after it."],
        ),
        (
            "using: @one; layer turns: U",
            [FEWEST, "U may be turned before that and after it."],
        ),
        (
            "using: @one; hold: y",
            [FEWEST, "The puzzle may be held as y leads to, and is then held as before."],
        ),
        (
            "using: @one; hold: y and x2",
            [FEWEST, "The puzzle may be held as y and x2 lead to, and is then held as before."],
        ),
    ],
)
def test_what_may_be_done_is_said_in_sentences(guide_at, keys: str, said: list[str]) -> None:
    assert list(terms(guide_at, keys)) == said


def test_a_puzzle_without_fixed_centres_may_first_be_turned_as_a_whole(guide_at) -> None:
    first, *_ = terms(guide_at, "using: any turns of R and U up to 2; hold: y", "cube-2")
    assert first == "The whole puzzle may first be turned by y."
