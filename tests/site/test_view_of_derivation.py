"""Without a view, all that a derivation guards and watches is seen in its figures after every step."""

from __future__ import annotations

import re

import pytest

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
