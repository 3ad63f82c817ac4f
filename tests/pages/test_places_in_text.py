"""Where code, addresses and HTML stand in a text: each of several alike is found in its own place."""

import pytest

from sitegen.pages.markdown import html_shown, inline_tokens, may_show_html, page_prose
from sitegen.problems import Source


def places(text: str, kind: str) -> list[tuple[int, str]]:
    """Where all of a kind stand, as the number of signs before each, and what is written there."""
    prose = page_prose(Source("page.md", text).passage(), False)
    return [(place.start, place.text) for token, place in inline_tokens(prose) if token.type == kind]


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("`R U` and `R U`", [(1, "R U"), (11, "R U")]),
        ("` R U ` and `R U`", [(2, "R U"), (13, "R U")]),
        ("`R\nU` and `R U`", [(1, "R\nU"), (11, "R U")]),
        ("R U is `R U`", [(8, "R U")]),
        ("`R` U `R`", [(1, "R"), (7, "R")]),
        ("``R` U`` and `R2`", [(2, "R` U"), (14, "R2")]),
    ],
)
def test_code(text: str, found: list[tuple[int, str]]) -> None:
    assert places(text, "code_inline") == found


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("[a](b.md) and [c](b.md)", [(4, "b.md"), (18, "b.md")]),
        ("[a]( b.md ) and [c](b.md)", [(5, "b.md"), (20, "b.md")]),
        ('[a](b.md "B") and [c](b.md)', [(4, "b.md"), (22, "b.md")]),
        ("[a](<b c.md>) and [c](b%20c.md)", [(5, "b c.md"), (22, "b%20c.md")]),
        ("b.md is [c](b.md)", [(12, "b.md")]),
        (
            "<https://lantern.example> and [c](https://lantern.example)",
            [(1, "https://lantern.example"), (34, "https://lantern.example")],
        ),
    ],
)
def test_addresses(text: str, found: list[tuple[int, str]]) -> None:
    assert places(text, "link_open") == found


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("`<b>` and <b>bold</b>", ["<b>", "</b>"]),
        ("`<b>` and 1 < 2", []),
        ("```text\n<b>\n```\n", []),
        ("<div>\nin a block\n</div>\n", ["<div>\nin a block\n</div>\n"]),
        ("to <!-- be done -->", []),
        ("<!-- to\n\nbe <b>done</b> -->\n", []),
        ("<!-- to --> <i>be</i> done\n", ["<!-- to --> <i>be</i> done\n"]),
        ("[a <b>c</b>](d.md)", ["<b>", "</b>"]),
        ("| a | <i>b</i> |\n| --- | --- |\n", ["<i>", "</i>"]),
    ],
)
def test_html_that_is_shown(text: str, found: list[str]) -> None:
    prose = page_prose(Source("page.md", text).passage(), False)
    assert [place.text for place in html_shown(prose)] == found
    assert may_show_html(prose) == bool(found)
