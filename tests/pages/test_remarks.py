"""An author's remarks are seen by no reader, and nothing in them is read; one without an end is told."""

from __future__ import annotations

import re

import pytest
from markdown_it import MarkdownIt
from sample_guide import guide_of

from sitegen.pages.markdown import page_prose, parser
from sitegen.problems import Problem, written
from sitegen.site.publish import publish

COMMONMARK = MarkdownIt("commonmark", {"html": True})
"""Markdown that lets comments through, as CommonMark 0.31.2 has them (4.6 and 6.6): they are then cut out."""

REMARKS = [
    "One <!-- x --> two.",
    "One <!-- x -->\ntwo.",
    "# A heading <!-- x -->\n\nText.",
    "<!-- x -->\n\nText.",
    "Text.\n<!--\nx\n\n- y\n-->\nMore.",
    "Text.\n\n<!--\n```moves a\nmoves: no moves\n```\n-->\n\nMore.",
    "> <!-- x\n> y -->\n> Text.",
    "- One\n\n  <!-- x\n\n  - y\n  -->\n\n- Two",
    "1. One <!-- x -->\n2. Two",
    "`a` <!-- `b` --> `c`",
    "[a <!-- x -->](b.md) and *b <!-- y -->*",
    "A <!--> b <!---> c <!---->",
    "<!-- x -- y --->\n\nText.",
    "<!-- x --> <!-- y -->\n\nText.",
    "    <!-- code -->",
    "`<!-- code -->` and \\<!-- text -->",
]


def said(html: str) -> list[str]:
    """Tags and words, without the blanks about them."""
    return re.findall(r"<[^>]*>|[^<>\s]+", html)


@pytest.mark.parametrize("text", REMARKS)
def test_a_text_is_what_is_left_of_it_without_its_comments(text: str) -> None:
    comments = re.compile(r"<!-->|<!--->|<!--.*?-->", re.DOTALL)
    assert said(parser().render(text)) == said(comments.sub("", COMMONMARK.render(text)))


def test_a_remark_in_a_line_of_its_own_leaves_a_text_whole() -> None:
    for text in ("One\n<!-- x -->\ntwo.", "One\n<!-- x --> two."):
        assert said(parser().render(text)) == ["<p>", "One", "two.", "</p>"]


@pytest.mark.parametrize("html", ["no", "yes"])
def test_what_is_within_one_is_on_no_page_and_not_checked(tmp_path, html: str) -> None:
    block = "```moves flip-pair\nmoves: R R R\nclaims: changes only UF\n```"
    text = f"# Home\n\nText.<!-- To do! -->\n\n<!-- Later:\n\n{block}\n-->\n\nEnd.\n"
    folder = guide_of(tmp_path, f"title: T\nhtml: {html}\n", index=text)
    assert not publish(folder).notes
    for page in (folder / "output").rglob("*.*"):
        assert not re.search(rb"To do|Later|flip-pair", page.read_bytes()) or page.suffix == ".woff2"
    assert "End." in (folder / "output/index.html").read_text(encoding="utf-8")


def test_beside_a_remark_html_is_let_through_and_a_block_in_it_is_told(problems_of) -> None:
    text = "<div><!-- x -->\n```moves a\nR U\n```\n</div>\n"
    (problem,) = problems_of("title: T\nhtml: yes\n", index=text)
    assert problem.passage.text == "```moves a"


def test_whoever_writes_a_remark_as_others_do_is_told_how(problems_of) -> None:
    (problem,) = problems_of(index="Text.\n\n[//]: # (To do.)\n")
    assert problem.hint == "a remark for authors stands between <!-- and -->"


@pytest.mark.parametrize("text", REMARKS)
def test_what_stands_behind_one_is_found_in_its_place(text: str) -> None:
    prose = page_prose(written(f"{text}\n\nThe `end`.\n"), html=False)
    (place,) = [p for part in prose.paragraphs for token, p in part if token.content == "end"]
    assert place.line == text.count("\n") + 3


@pytest.mark.parametrize("html", ["no", "yes"])
@pytest.mark.parametrize(
    ("text", "line", "marked"),
    [
        ("Text.\n\n<!-- Later:\n\nMore.\n", 3, "<!-- Later:"),
        ("- One\n\n  <!-- x\n\nTwo -->\n", 3, "<!-- x"),
        ("> <!-- x\n\nTwo.\n", 1, "<!-- x"),
    ],
)
def test_one_without_an_end_is_told(problems_of, html: str, text: str, line: int, marked: str) -> None:
    problem: Problem
    (problem,) = problems_of(config=f"title: T\nhtml: {html}\n", index=text)
    assert problem.message == "this remark does not end"
    assert (problem.passage.line, problem.passage.text) == (line, marked)


def test_one_that_does_not_end_within_its_text_is_told_and_takes_nothing_away(problems_of) -> None:
    (problem,) = problems_of(index="One <!-- two.\n\n```moves a\nR U\n```\n\nThree --> four.\n")
    assert (problem.message, problem.passage.text) == ("this remark does not end", "<!-- two.")
    (problem,) = problems_of(index="| a | b |\n|---|---|\n| `c` <!-- x | y --> |\n")
    assert problem.passage.text == "<!-- x | y --> |"
