"""Nothing that looks like a block or a mark stands on a page unread: it is told."""

from __future__ import annotations

import pytest

from sitegen.guide.load import OPENINGS

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
@pytest.mark.parametrize(("opens", "closes"), [("<div>", "</div>"), ("<!--", "-->")])
def test_what_stands_within_html_unread_is_told(problems_of, inside, opens, closes) -> None:
    config = {"config": "title: T\nhtml: yes\n"}
    problems = problems_of(index=f"{opens}\n{inside}\n{closes}\n", **config)
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
