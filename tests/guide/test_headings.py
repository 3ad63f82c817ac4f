"""A link in a heading that has no text of its own says there what it says in prose: the title it leads to."""

from __future__ import annotations

import re

import pytest
from read_html import documents
from sample_guide import guide_of

from sitegen.guide.load import read_guide
from sitegen.pages.page import OF_THE_FRAME
from sitegen.site.publish import publish

BLOCKS = (
    "```moves lift-edge\ntitle: Lift the edge\nmoves: R U\n```\n\n"
    "```derivation why\nnames: found-so\nsteps:\n- turn: R U\n```\n"
)
LINKS = {
    "<sequence:lift-edge>": "Lift the edge",
    "[](sequence:lift-edge)": "Lift the edge",
    "[][lift]": "Lift the edge",
    "*<sequence:lift-edge>*": "Lift the edge",
    "<sequence:found-so>": "Found so",
    "[so](sequence:lift-edge)": "so",
    "<https://example.org/a>": "https://example.org/a",
}
"""Links, and what each says."""


def page(text: str, link: str) -> str:
    return text + "\n[lift]: sequence:lift-edge\n" * ("[lift]" in link)


@pytest.mark.parametrize(("link", "said"), LINKS.items())
def test_the_title_of_a_page_says_what_its_links_say(tmp_path, link: str, said: str) -> None:
    guide_of(tmp_path, more=page(f"# First {link}, then\n", link), blocks=BLOCKS)
    publish(tmp_path)
    guide = read_guide(tmp_path)
    (title,) = [each.title for each in guide.pages if each.name == "more"]
    assert title == f"First {said}, then"
    shown = documents(tmp_path / "output")
    (heading,) = shown["more.html"].root.all("h1")
    assert heading.text == title
    assert title in shown["index.html"].root.text


@pytest.mark.parametrize(("link", "said"), LINKS.items())
def test_a_heading_and_its_anchor_say_what_its_links_say(guide_at, link: str, said: str) -> None:
    guide = guide_at(index=page(f"# T\n\n## First {link}\n", link), blocks=BLOCKS)
    (heading,) = next(each.headings for each in guide.pages if each.name == "index")
    assert heading.text == f"First {said}"
    assert heading.anchor == "-".join(re.findall(r"\w+", heading.text.lower()))


def test_a_heading_below_the_title_takes_the_title_of_a_page(guide_at) -> None:
    guide = guide_at(
        index="# T\n\n## On to [](more.md)\n", more="# All about <sequence:lift-edge>\n", blocks=BLOCKS
    )
    (heading,) = next(each.headings for each in guide.pages if each.name == "index")
    assert heading.text == "On to All about Lift the edge"


@pytest.mark.parametrize("link", ["[](more.md)", "[](index.md)", "[](more.md#x)", "[][m]"])
def test_the_title_of_a_page_takes_no_title_of_another(headlines, link: str) -> None:
    index = f"# See {link}\n" + "\n[m]: more.md\n" * ("[m]" in link)
    told = headlines(index=index, more="# More\n\n## X\n")
    assert any("the title of a page takes no title of another page" in each for each in told)


def test_pages_that_would_take_each_others_titles_are_told_of(headlines) -> None:
    told = headlines(**{f"p{n}": f"# [](p{(n + 1) % 9}.md) [](p{(n + 1) % 9}.md)\n" for n in range(9)})
    assert len(told) == 18


def test_a_term_is_a_place_that_links_lead_to_and_takes_no_anchor_from_a_heading(tmp_path) -> None:
    terms = "Lead-in\n: what comes first\n\nTool\n: what is kept, see [](#lead-in)\n\n## Tool\n"
    guide_of(
        tmp_path, index=f"# T\n\n{terms}", more="# More\n\nSee [](index.md#tool-2), [that](index.md#tool).\n"
    )
    publish(tmp_path)
    shown = documents(tmp_path / "output")
    places = [
        (each.tag, each.attributes["id"])
        for tag in ("dt", "h2")
        for each in shown["index.html"].root.all(tag)
    ]
    assert places == [("dt", "lead-in"), ("dt", "tool-2"), ("h2", "tool")]
    leading = {each.attributes["href"] for each in shown["more.html"].root.all("a")}
    assert {"index.html#tool-2", "index.html#tool"} <= leading


def test_a_link_that_all_but_names_a_term_is_told_its_name(problems_of) -> None:
    (told,) = problems_of(index="# T\n\nLead-in\n: what comes first\n\nSee [it](#leadin).\n")
    assert told.hint == "is it #lead-in?"


def test_a_number_takes_no_anchor_from_a_heading_that_is_called_so(guide_at) -> None:
    text = "# T\n\n## Step\n\n## Step\n\n## Step 2\n\n## Step\n\nSee [it](#step-2).\n"
    guide = guide_at(index=text)
    assert guide.problems == ()
    anchors = [heading.anchor for heading in guide.pages[0].headings]
    assert anchors == ["step", "step-3", "step-2", "step-4"]


def test_what_stands_on_every_page_keeps_its_place(guide_at, tmp_path) -> None:
    folder = guide_of(tmp_path, index="# T\n\n## Contents\n\n## Main\n\nSee [it](#contents-2).\n")
    publish(folder)
    html = (folder / "output/index.html").read_text(encoding="utf-8")
    assert '<h2 id="contents-2">Contents</h2>' in html
    for name in OF_THE_FRAME:
        assert html.count(f'id="{name}"') == 1
    (problem,) = guide_at(index="# T\n\n## How {#contents}\n").problems
    assert problem.message == "#contents stands on this page already"
