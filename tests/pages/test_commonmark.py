"""Markdown is CommonMark: the 652 examples of its specification, version 0.31.2 (data/LICENSE.md)."""

from __future__ import annotations

import json
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path

import pytest
from markdown_it.token import Token

from sitegen.pages.markdown import parser

EXAMPLES = json.loads((Path(__file__).parent / "data" / "commonmark-0.31.2.json").read_text(encoding="utf-8"))
EMPTY_QUOTES = {218, 239, 240}
"""These quote nothing, and the specification sets a line break between the two tags where we set none:
white space between elements, which HTML does not show."""
OURS = {
    *("p", "a", "em", "strong", "code", "pre", "h1", "h2", "h3", "h4", "h5", "h6", "blockquote", "ul", "ol"),
    *("li", "hr", "br", "img"),
}
"""The elements that CommonMark itself makes."""


def tokens(text: str) -> Iterator[Token]:
    for token in parser(html=True).parse(text):
        yield token
        yield from token.children or []


def has_html(text: str) -> bool:
    return any(token.type in ("html_block", "html_inline") for token in tokens(text))


RAW = [example for example in EXAMPLES if has_html(example["markdown"])]
PLAIN = [example for example in EXAMPLES if not has_html(example["markdown"])]


def expected(example: dict) -> str:
    html = example["html"]
    return html.replace("<blockquote>\n</", "<blockquote></") if example["example"] in EMPTY_QUOTES else html


def number(example: dict) -> str:
    return f"{example['example']}-{example['section']}"


def test_the_specification_is_whole_and_the_examples_left_out_are_counted() -> None:
    assert [example["example"] for example in EXAMPLES] == list(range(1, 653))
    assert len(RAW) == 72  # those with raw HTML, which is off unless guide.yaml says html: yes
    assert len(PLAIN) == 580


@pytest.mark.parametrize("example", PLAIN, ids=number)
def test_an_example_without_html_is_set_as_the_specification_says(example: dict) -> None:
    assert parser().render(example["markdown"]) == expected(example)


@pytest.mark.parametrize("example", EXAMPLES, ids=number)
def test_with_html_on_every_example_is_set_as_the_specification_says(example: dict) -> None:
    assert parser(html=True).render(example["markdown"]) == expected(example)


class Tags(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.found: set[str] = set()
        self.attributes: set[str] = set()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found.add(tag)
        self.attributes.update(name for name, _ in attrs)


@pytest.mark.parametrize("example", RAW, ids=number)
def test_with_html_off_no_tag_of_the_authors_gets_through(example: dict) -> None:
    tags = Tags()
    tags.feed(parser().render(example["markdown"]))
    assert tags.found <= OURS
    assert tags.attributes <= {"href", "title", "src", "alt", "class", "start"}
