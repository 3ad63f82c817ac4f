"""What a derivation guards and watches is seen where it goes, and of the back only what it comes to."""

from __future__ import annotations

import re

import pytest
from reading_paths import outlines

from sitegen.figures.plane import area, middle

BLOCK = "```derivation {}\nguard: {}\nwatch: {}\nfails: yes\nsteps:\n- turn: {}\n- turn: {}\n```\n"


def width_over_height(html: str) -> set[str]:
    steps = html[html.index('class="stages"') :]
    return set(re.findall(r'viewBox="([^"]*)"', steps[: steps.index("</ol>")]))


@pytest.mark.parametrize(
    ("guard", "watch", "turns", "hidden"),
    [
        ("U except UF", "UF", ("F", "R"), False),  # FR and UR, which the steps carry off, stay in sight
        ("U except UF", "UF", ("F", "L2"), True),  # UL comes to DL
        ("UR", "DB", ("R", "U"), True),
    ],
)
def test_the_back_is_shown_only_where_something_comes_there(published, guard, watch, turns, hidden) -> None:
    block = BLOCK.format("shown", guard, watch, *turns)
    boxes = {}
    for view in ("", "view: corner\n", "view: corner with back\n"):
        text = block.replace("fails:", f"{view}fails:")
        boxes[view] = width_over_height(published({"content/index.md": text})["index.html"])
    assert boxes[""] == boxes["view: corner with back\n" if hidden else "view: corner\n"]
    assert boxes["view: corner\n"] != boxes["view: corner with back\n"]


def panels(html: str) -> list[str]:
    """For each step the hidden faces that are shown: L is to the left of the cube, B right, D below it."""
    steps = html[html.index('class="stages"') :]
    bodies = re.findall(r'd="([^"]*)" class="body"', steps[: steps.index("</ol>")])
    return ["".join(sorted(map(_face, *_beside(d)))) for d in bodies]


def _beside(d: str) -> tuple[list, list]:
    cube, *others = sorted((each.corners for each in outlines(d)), key=area, reverse=True)
    return [middle(cube)] * len(others), [middle(each) for each in others]


def _face(cube: tuple[float, float], panel: tuple[float, float]) -> str:
    (x, y), (at_x, at_y) = cube, panel
    return "D" if at_y - y > abs(at_x - x) else "L" if at_x < x else "B"


@pytest.mark.parametrize(
    ("view", "guard", "watch", "turns", "shown"),
    [
        # F takes UFR to DFR; L2 then takes UL to DL and UBL to DFL.
        ("corner with back", "U except UF", "UF", ("F", "L2"), ["D", "DL"]),
        # Without a view those count that nothing is seen of from the corner.
        ("", "U except UF", "UF", ("F", "L2"), ["", "DL"]),
        # R takes UR to BR, and R' home.
        ("corner with back", "UR", "UF", ("R", "R'"), ["B", ""]),
        ("", "UR", "DB", ("R", "U"), ["BD", "BD"]),
        # On its way in one step UF comes to UB, and home again; F takes DF to LF.
        ("corner with back", "DF", "UF", ("U2 U2", "F"), ["B", "L"]),
        # What stays home does not come anywhere, be it hidden or not.
        ("corner with back", "DL and DB", "UF", ("F", "F'"), ["", ""]),
        # UBL comes home by the second step.
        ("corner with back", "UBL", "UF", ("L'", "L"), ["BDL", "BL"]),
    ],
)
def test_a_face_of_the_back_is_shown_only_in_a_step_in_which_something_comes_there(
    published, view: str, guard: str, watch: str, turns: tuple[str, str], shown: list[str]
) -> None:
    block = BLOCK.format("shown", guard, watch, *turns)
    if "'" in turns[1] or turns[1] == "L":
        block = block.replace("fails: yes\n", "")
    block = block.replace("steps:", f"view: {view}\nsteps:") if view else block
    html = published({"content/index.md": block})["index.html"]
    assert panels(html) == shown
    assert len(width_over_height(html)) == 1, "the puzzle is as large in each step"
