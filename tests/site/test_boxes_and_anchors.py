"""Boxes that set a text apart, and names that an author gives to headings."""

from __future__ import annotations

import re
from html import unescape

import pytest

from sitegen.pages.markdown import BOXES

BOX = "::: note\nAny **text**, see [](more.md).\n\n```moves lift\nR U\n```\n:::\n\nBehind.\n"


@pytest.mark.parametrize("box", BOXES)
def test_a_box_holds_text_links_and_blocks(guide_at, box) -> None:
    guide = guide_at(index=BOX.replace("note", box), more="# More\n")
    assert not guide.problems
    assert "lift" in guide.sequences


@pytest.mark.parametrize("around", ["{}", "> {}", "- {}"])
def test_a_box_that_is_not_closed_is_told(headlines, around) -> None:
    text = "::: note\nText.\n"
    within = {"{}": "", "> {}": "> ", "- {}": "  "}[around]
    lines = "".join(f"{within if at else around[:-2]}{line}\n" for at, line in enumerate(text.splitlines()))
    (told,) = headlines(index=f"{lines}\nBehind.\n")
    assert told.endswith("this box is not closed")
    assert not headlines(index=f"{lines}{within}:::\n\nBehind.\n")


@pytest.mark.parametrize("line", ["::: tip", "::: Note", "::: Note Title", ":::"])
def test_what_begins_no_box_is_told(headlines, line) -> None:
    assert any("this begins and ends no box" in told for told in headlines(index=f"{line}\n\nText.\n"))


@pytest.mark.parametrize(
    ("line", "called"),
    [
        ("::: note", "Note"),
        ("::: warning", "Watch out"),
        ("::: idea", "An idea"),
        ("::: note Before you begin", "Before you begin"),
        (":::: warning  Vorsicht, *5* < 6 ", None),
        ("::: idea Schon fertig? <b> & R'", "Schon fertig? <b> & R'"),
    ],
)
def test_a_box_is_called_as_its_kind_is_or_as_its_author_calls_it(
    headlines, published, line: str, called: str | None
) -> None:
    text = f"{line}\nText.\n{line.split()[0]}\n"
    if called is None:
        (told,) = headlines(index=text)
        assert told.startswith("content/index.md:1:25: in what a box is called nothing is set off")
        return
    (name,) = re.findall(
        r'<p class="box-name"[^>]*>(.*?)</p>', published({"content/index.md": text})["index.html"]
    )
    assert unescape(name) == called


@pytest.mark.parametrize("title", ["{.wide}", "Before {#here}", "Before :::"])
def test_what_is_no_part_of_a_title_is_told_of(problems_of, title: str) -> None:
    (problem,) = problems_of(index=f"::: note {title}\nText.\n:::\n")
    assert problem.message == "this is no part of what a box is called, and would be seen as it is written"
    assert problem.passage.text == title.removeprefix("Before ")


def test_a_false_claim_in_a_box_is_found(headlines) -> None:
    (told,) = headlines(index="::: idea\n`R`{.moves} `order 5`{.claim}\n:::\n")
    assert told.startswith("content/index.md:2:")


def test_a_heading_is_linked_to_by_its_name(guide_at) -> None:
    guide = guide_at(
        index="[](#turning) and [so](#two)\n\n## One *thing* {#turning}\n\n## Two\n",
        more="[x](index.md#turning)\n",
    )
    assert not guide.problems
    assert [(each.anchor, each.text) for each in guide.pages[0].headings] == [
        ("turning", "One thing"),
        ("two", "Two"),
    ]


def test_the_old_address_is_none_then(headlines) -> None:
    (told,) = headlines(index="[x](#one)\n\n## One {#turning}\n")
    assert "no heading #one" in told


@pytest.mark.parametrize("heading", ["## A {#main}", "## A {#b}\n\n## C {#b}", "## B\n\n## A {#b}"])
def test_a_name_that_is_taken_is_told(headlines, heading) -> None:
    (told,) = headlines(index=f"# Home\n\n{heading}\n")
    assert told.endswith("stands on this page already")


@pytest.mark.parametrize(
    "text", ["# A {#x}\n", "# H\n\n## A {#X y}\n", "# H\n\n## {#x}\n", "# H\n\nText {#x}\n"]
)
def test_names_where_none_can_be_are_told(headlines, text) -> None:
    assert headlines(index=text)


def test_a_box_is_set_with_what_it_is(published) -> None:
    page = published({"content/index.md": BOX, "content/more.md": "# More\n"})["index.html"]
    _, _, rest = page.partition(
        '<div class="box note" role="note">\n<p class="box-name" lang="en">Note</p>\n'
    )
    assert rest.startswith('<p>Any <strong>text</strong>, see <a href="more.html">More</a>.</p>')
    assert 'id="sequence-lift"' in rest.partition("</section>\n</div>\n<p>Behind.</p>")[0]


def test_a_named_heading_is_set_without_its_sign(published) -> None:
    page = published({"content/index.md": "# Home\n\n## One *thing* {#turning}\n"})["index.html"]
    assert '<h2 id="turning">One <em>thing</em></h2>' in page
