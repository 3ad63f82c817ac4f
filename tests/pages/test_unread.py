"""Nothing that looks like a block or a mark stands on a page unread: it is told."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitegen.guide.load import OPENINGS
from sitegen.pages.markdown import page_prose
from sitegen.pages.unread import unread_problems
from sitegen.problems import written

BLOCK = "{}```{} q\n{}moves: R U\n{}```\n"


@pytest.mark.parametrize("kind", sorted(OPENINGS))
@pytest.mark.parametrize(("before", "blanks"), [("Text.\n\n", 4), ("- an item\n\n", 6), ("", 5)])
def test_a_block_set_in_so_far_that_it_is_code_is_told(problems_of, kind, before, blanks) -> None:
    indent = " " * blanks
    (problem,) = problems_of(index=before + BLOCK.format(indent, kind, indent, indent))
    assert "is shown as code" in problem.message
    assert problem.passage.text == f"```{kind} q"
    assert problem.passage.column == blanks + 1


def test_set_out_as_the_hint_says_it_is_a_block_and_behind_four_backticks_it_is_shown(headlines) -> None:
    block = BLOCK.format("", "moves", "", "")
    assert headlines(index=block) == []
    assert headlines(index=f"````\n{block}````\n") == []


@pytest.mark.parametrize(
    "inside",
    [
        "`R`{.moves} has `order 3`{.claim}.",
        "```moves q\nR U\n```",
        "```Find\nclaims: flips UF\n```",
    ],
)
def test_what_stands_within_html_unread_is_told(problems_of, inside) -> None:
    problems = problems_of("title: T\nhtml: yes\n", index=f"<div>\n{inside}\n</div>\n")
    assert problems
    assert all(problem.message == "within HTML this is not read, and not checked" for problem in problems)


def test_html_with_an_empty_line_before_a_block_hides_nothing(headlines) -> None:
    text = "<div>\n\n```moves q\nR U\n```\n\n`R`{.moves} has `order 4`{.claim}.\n\n</div>\n"
    assert headlines(index=text, config="title: T\nhtml: yes\n") == []


@pytest.mark.parametrize("info", ["Example", "example x", "EXAMPLE"])
def test_an_example_miswritten_is_told(problems_of, info) -> None:
    (problem,) = problems_of(index=f"````{info}\n```moves q\nR9\n```\n````\n")
    assert problem.hint == "write ````example and no more"


@pytest.mark.parametrize("kind", ["Find", "FIND", "Moves", "Derivation"])
def test_a_kind_with_capitals_is_told(problems_of, kind) -> None:
    (problem,) = problems_of(index=f"```{kind}\nclaims: flips UF\n```\n")
    assert problem.hint == f"is it {kind.lower()}?"


def test_other_code_is_nobodys_business(headlines) -> None:
    assert (
        headlines(index="Text.\n\n    moves: R U\n    ```python\n    x\n    ```\n\n```python\nmoves\n```\n")
        == []
    )


LOST = [
    "- an item\n\n  ```{}\n  R U\n```\n",  # the end is set out
    "- an item\n\n  ```{}\nR U\n  ```\n",  # the body is
    "> ```{}\n> R U\n```\n",
    "> ```{}\nR U\n> ```\n",
    "``{}\nR U\n```\n",  # and from here on what does not begin one
    "´´´{}\nR U\n```\n",
    "\u00a0```{}\nR U\n```\n",
    "See ```{}\nR U\n```\n",
    "```{}\nR U\n``\n",
    "```{}\nR U\n``` end\n",
    "```{}\nR U\n~~~\n",
    "```{}\nR U\n",
]
"""A block whose fences do not go together, and with which others go."""


@pytest.mark.parametrize(
    "after", ["", "Text.\n", "```moves other\nR\n```\n", "> ```moves other\n> R\n> ```\n"]
)
@pytest.mark.parametrize("lost", LOST)
@pytest.mark.parametrize("kind", ["moves", "example"])
def test_no_block_is_taken_for_code_because_of_a_fence_that_does_not_go_with_another(
    headlines, kind, lost, after
) -> None:
    text = lost.format(kind)
    assert headlines(index=f"{text}\n{after}")


def test_a_fence_is_closed_in_whatever_it_stands(headlines) -> None:
    for before in ("", "- ", "> ", "> - ", "1. ", "   "):
        further = before.replace("-", " ").replace("1.", "  ")
        lines = ["```moves q", "R", "", "U", "```"]
        text = "".join(f"{further if at else before}{line}\n" for at, line in enumerate(lines))
        assert headlines(index=text) == []
        assert headlines(index=text.rstrip("\n")) == []
    assert headlines(index="```\n```\n\n~~~~text\n```moves q\n~~~~~\n") == []


def test_the_fence_that_is_not_closed_is_shown(problems_of) -> None:
    (problem,) = problems_of(index="```moves q\nR\n")
    assert (problem.message, problem.passage.text) == ("this fence is not closed", "```moves q")
    opened, problem = problems_of(index="``python\n```\n```moves q\nR\n```\n")
    assert (opened.passage.text, opened.passage.line) == ("``", 1)
    assert problem.passage.text == "```moves q"
    assert problem.message == "this begins no block: it stands within the fence of line 2"


@pytest.mark.parametrize(
    ("fence", "braces"),
    [("~~~text {.plain}", "{.plain}"), ("``` {.moves}", "{.moves}"), ("> ````yaml {#a .b} ", "{#a .b}")],
)
def test_nothing_is_said_in_braces_of_code_that_is_only_shown(problems_of, fence: str, braces: str) -> None:
    sign = fence.lstrip("> ")[0]
    before = "> " if fence.startswith(">") else ""
    (problem,) = problems_of(index=f"{fence}\n{before}R U\n{before}{sign * 4}\n")
    assert (problem.message, problem.passage.text) == (f"{braces} says nothing of this code", braces)


def test_braces_within_what_code_is_called_are_left_alone(headlines) -> None:
    assert headlines(index="```text {a} b\nR\n```\n\n```text\n{.plain}\n```\n") == []


# Tables: GitHub Flavored Markdown 0.29, 4.10, whose rows may have any number of cells ----------------------


@pytest.mark.parametrize(
    ("text", "line", "left_out"),
    [
        ("| a | b |\n|---|---|\n| 1 | 2 | three |\n", 3, "three |"),
        ("a | b\n--|--\n1 | 2\n1 | 2 | 3 | 4\n", 4, "3 | 4"),
        ("| a |\n|---|\n| `[A | B]` |\n", 3, "B]` |"),
        ("> | a |\n> |---|\n> | 1 | 2 |\n", 3, "2 |"),
        ("- | a |\n  |---|\n  | 1 | 2 |\n", 3, "2 |"),
        ("````example\n| a |\n|---|\n| 1 | 2 |\n````\n", 4, "2 |"),
        ("| a |\n|---|\n| 1 | 2 |\n\n| a | b |\n|---|---|\n| 1 | 2 |\n", 3, "2 |"),
    ],
)
def test_a_cell_that_would_be_left_out_is_told_of(problems_of, text: str, line: int, left_out: str) -> None:
    (problem,) = problems_of(index=text)
    assert problem.message == "this row has more cells than the head of its table"
    assert (problem.passage.line, problem.passage.text) == (line, left_out)


@pytest.mark.parametrize("around", ["{}", "> {}", "- {}"])
def test_a_text_that_would_become_a_row_is_told_of(problems_of, around: str) -> None:
    further = " " * 2 if "-" in around else "> " if ">" in around else ""
    rows = "| a | b |\n|---|---|\n| 1 | 2 |\n{}Text.\n".replace("\n", f"\n{further}")
    (problem,) = problems_of(index=around.format(rows.format("")))
    assert (problem.message, problem.passage.text) == ("this would become a row of the table above", "Text.")
    assert problems_of(index=around.format(rows.format(f"\n{further}"))) == []
    assert problems_of(index="a | b\n--|--\n1 | 2\n1\n") == []


CELLS = st.lists(st.sampled_from(["one", "", "t`w`o", r"th\|ree", "*4*"]), min_size=1, max_size=4)


@given(head=st.integers(1, 3), rows=st.lists(CELLS, min_size=1, max_size=3), walls=st.booleans())
def test_just_the_words_of_cells_that_are_not_shown_are_told_of(head: int, rows, walls: bool) -> None:
    wall = "|" if walls else ""
    lines = [["h"] * head, ["---"] * head, *rows]
    text = "\n".join(f"{wall}{' | '.join(cells) or ' '}{wall}" for cells in lines) + "\n"
    prose = page_prose(written(text), html=False)
    ended = "\n \n" in text  # by an empty line, with text below
    if ended or not any(token.type == "table_open" for token in prose.tokens):
        return
    shown = sum(len((token.content or "").split()) for token in prose.tokens if token.type == "inline")
    wanted = head + sum(bool(cell) for cells in rows for cell in cells)
    problems = list(unread_problems(prose, ()))
    assert bool(problems) == (shown < wanted)
