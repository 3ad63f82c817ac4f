"""Links lead somewhere: to pages, headings, sequences and files of the guide; broken ones are told."""

from __future__ import annotations

import pytest

from sitegen.guide.links import address_of, relative
from sitegen.problems import Problem, written

SEQUENCE = "```moves lift-edge\nR U\n```\n"


@pytest.fixture
def guide(guide_at):
    return guide_at(
        files={"cube.png": b"png", "sub/data.txt": b"x"},
        index=f"# Home\n\n## Two words\n\n## Größe\n\n## Two words\n\n{SEQUENCE}",
        **{"sub/page": "# Sub\n\n## Inner\n", "other": "# Other\n"},
    )


@pytest.mark.parametrize(
    ("page", "target", "address"),
    [
        ("index", "other.md", "other.html"),
        ("index", "./other.md", "other.html"),
        ("index", "sub/page.md#inner", "sub/page.html#inner"),
        ("sub/page", "../index.md", "../index.html"),
        ("sub/page", "../index.md#two-words", "../index.html#two-words"),
        ("sub/page", "../index.md#two-words-2", "../index.html#two-words-2"),
        ("sub/page", "#inner", "#inner"),
        ("index", "index.md#two-words", "#two-words"),
        ("index", "sequence:lift-edge", "sequences/lift-edge.html"),
        ("sub/page", "sequence:lift-edge", "../sequences/lift-edge.html"),
        ("sub/page", "../index.md#sequence-lift-edge", "../index.html#sequence-lift-edge"),
        ("index", "cube.png", "cube.png"),
        ("sub/page", "../cube.png", "../cube.png"),
        ("sub/page", "data.txt", "data.txt"),
        ("sub/page", "../effects.html", "../effects.html"),
        ("index", "https://example.org/a.md", "https://example.org/a.md"),
        ("index", "mailto:someone@example.org", "mailto:someone@example.org"),
    ],
)
def test_a_target_becomes_the_address_from_the_published_page(guide, page, target, address) -> None:
    here = f"{page}.html"
    assert address_of(target, page, here, guide.targets, written(target)) == address


@pytest.mark.parametrize(
    ("page", "target", "here", "address"),
    [
        ("index", "#two-words", "sequences/lift-edge.html", "../index.html#two-words"),
        ("sub/page", "#inner", "sequences/lift-edge.html", "../sub/page.html#inner"),
        ("index", "other.md", "sequences/lift-edge.html", "../other.html"),
        ("index", "#sequence-lift-edge", "sub/sheet.html", "../index.html#sequence-lift-edge"),
    ],
)
def test_what_is_shown_on_another_page_than_it_was_written_on_leads_to_the_same_place(
    guide, page, target, here, address
) -> None:
    assert address_of(target, page, here, guide.targets, written(target)) == address


@pytest.mark.parametrize(
    ("page", "target", "message", "hint"),
    [
        ("index", "othr.md", "there is no page othr.md", "is it other.md?"),
        ("sub/page", "other.md", "there is no page sub/other.md", ""),
        ("index", "other.md#x", "other.md has no heading #x", ""),
        ("index", "#two-wrds", "index.md has no heading #two-wrds", "is it #two-words?"),
        ("index", "sequence:lift-egde", "no sequence is named lift-egde", "is it sequence:lift-edge?"),
        ("index", "cub.png", "the guide has no file cub.png", "is it cube.png?"),
        ("index", "../guide.yaml", "the guide has no file ../guide.yaml", ""),
        ("index", "guide.yaml", "the guide has no file guide.yaml", ""),
        ("index", "sub/", "the guide has no file sub", ""),
        ("index", "/etc/passwd", "the guide has no file /etc/passwd", ""),
        ("index", "Sequence:lift-edge", "sequence: leads nowhere", "is it sequence:lift-edge?"),
        ("index", "methods:all", "methods: leads nowhere", "is it method:all?"),
        ("index", "reason:why", "reason: leads nowhere", "write a page, a file, sequence:…"),
        ("index", "C:/cube.png", "c: leads nowhere", "write a page, a file"),
        ("index", "https:example.org", "https: leads nowhere", ""),
    ],
)
def test_a_target_that_is_not_there_is_told_with_a_near_one(guide, page, target, message, hint) -> None:
    with pytest.raises(Problem) as caught:
        address_of(target, page, f"{page}.html", guide.targets, written(target))
    assert caught.value.message == message
    assert hint in caught.value.hint


@pytest.mark.parametrize(
    ("text", "line", "column", "message"),
    [
        ("See [there](nowhere.md).\n", 1, 13, "there is no page nowhere.md"),
        ("See\nthe [picture ![](cube.pgn)](other.md).\n", 2, 18, "the guide has no file cube.pgn"),
        ("- a\n  - [x](sequence:lift)\n", 2, 9, "no sequence is named lift"),
        ("> [x](#top)\n", 1, 7, "index.md has no heading #top"),
        ("Text.\n\n| a |\n|---|\n| [x](nowhere.md) |\n", 5, 7, "there is no page nowhere.md"),
        ("See nowhere.md or [there](nowhere.md).\n", 1, 27, "there is no page nowhere.md"),
        ("See\n<sequence:lift>.\n", 2, 2, "no sequence is named lift"),
        ("| a |\n|---|\n| b, <sequence:lift> |\n", 3, 7, "no sequence is named lift"),
        ("[x](other.md) and [y](other.m)\n", 1, 23, "the guide has no file other.m"),
    ],
)
def test_a_broken_link_is_shown_where_its_target_stands(
    problems_of, text: str, line: int, column: int, message: str
) -> None:
    (problem,) = problems_of(index=text, other="# Other\n")
    assert problem.message == message
    assert (problem.passage.line, problem.passage.column) == (line, column)


def test_links_in_what_a_block_says_are_checked(problems_of) -> None:
    (problem,) = problems_of(index="```moves x\nmoves: R\nsay: see [there](nowhere.md)\n```\n")
    assert problem.message == "there is no page nowhere.md"
    assert (problem.passage.line, problem.passage.column) == (3, 18)


def test_a_broken_autolink_in_what_a_block_says_is_shown_where_it_stands(problems_of) -> None:
    found = problems_of(
        index="```moves lift-edge\nmoves: R\nsay: <sequence:lift-edge>, <sequence:lift>\n```\n"
    )
    assert [(p.message, p.passage.line, p.passage.text) for p in found] == [
        ("no sequence is named lift", 3, "sequence:lift")
    ]
    assert found[0].passage.column == 29


@pytest.mark.parametrize(
    "text",
    [
        "[x](#größe)\n\n## Größe\n",
        "[x](#gr%C3%B6%C3%9Fe)\n\n## Größe\n",
        "[x](größe.md)\n",
        "[x](<my notes.txt>)\n",
        "[x](my%20notes.txt)\n",
        "[x](a%23b.txt)\n",
        "[x][ref]\n\n[ref]: other.md\n",
        "[x](other.md?print#there)\n",
        "<https://example.org/[x]>\n",
        "[x](http://[::1]:8000/)\n",
        "[x](other.md 'A title')\n",
    ],
)
def test_good_links_of_every_shape_hold(headlines, text: str) -> None:
    assert (
        headlines(
            files={"my notes.txt": b"", "a#b.txt": b""}, index=text, größe="# G\n", other="# O\n\n## There\n"
        )
        == []
    )


@pytest.mark.parametrize(
    "text", ["[x](http://[)\n", "[x](//[oops)\n", "[x](<http://[bad>)\n", "![x](http://[x)\n"]
)
def test_an_address_that_is_none_is_passed_on_or_told_but_breaks_nothing(headlines, text: str) -> None:
    assert all("content/index.md:1:" in line for line in headlines(index=text))


@pytest.mark.parametrize(
    ("url", "here", "way"),
    [
        ("a.html", "b.html", "a.html"),
        ("a.html", "s/b.html", "../a.html"),
        ("s/a.html", "b.html", "s/a.html"),
        ("s/a.html", "s/b.html", "a.html"),
        ("s/a.html", "t/u/b.html", "../../s/a.html"),
    ],
)
def test_the_way_from_page_to_page_is_relative(url: str, here: str, way: str) -> None:
    assert relative(url, here) == way


def test_headings_have_anchors_of_their_own(guide_at) -> None:
    guide = guide_at(index="## A\n\n## A\n\n## A 2\n\n## A\n\n## !\n\n## ?\n")
    (page,) = guide.pages
    anchors = [heading.anchor for heading in page.headings]
    assert anchors[0] == "a"
    assert len(set(anchors)) == len(anchors) == 6


@pytest.mark.parametrize(
    ("text", "message", "hint"),
    [
        ("![x](https://example.org/x.png)\n", "pages load nothing from elsewhere", "into content/"),
        ("![x](//example.org/x.png)\n", "pages load nothing from elsewhere", "into content/"),
        ("![x](other.md)\n", "this is a page and no picture", "no ! before it"),
        ("[x]()\n", "this leads nowhere", "round brackets"),
        ("[x](other.html)\n", "the guide has no file other.html", "a page is linked to as other.md"),
    ],
)
def test_a_link_of_the_wrong_kind_is_told(problems_of, text: str, message: str, hint: str) -> None:
    (problem,) = problems_of(index=text, other="# Other\n")
    assert problem.message == message
    assert hint in problem.hint


def test_a_link_without_a_text_takes_the_title_of_what_it_leads_to(guide) -> None:
    assert guide.titles.of("other.md", "index") == "Other"
    assert guide.titles.of("../other.md#x", "sub/page") == "Other"
    assert guide.titles.of("sequence:lift-edge", "index") == "Lift edge"


@pytest.mark.parametrize(
    ("place", "called"),
    [
        ("deep-well", "Deep well"),
        ("kept", "Kept under a name"),
        ("fare", "Fare"),
        ("sequence-q", "Queue"),
        ("position-p", "P"),
        ("sequence-back", "Back"),
        ("nowhere", ""),
    ],
)
def test_it_says_what_stands_at_a_place_on_a_page(guide_at, place: str, called: str) -> None:
    block = "```moves q\ntitle: Queue\nmoves: R2 U\n```\n\n```position p\nmoves: R\n```\n\n"
    block += "```derivation\nwatch: UFR\nnames: back\nsteps:\n- turn: U'\n```\n"
    text = f"# Other\n\n## Deep *well*\n\n## Kept under a name {{#kept}}\n\nFare\n: what it is\n\n{block}"
    titles = guide_at(index="Home.\n", other=text).titles
    assert titles.of(f"#{place}", "other") == called
    assert titles.of(f"other.md#{place}", "index") == (called or "Other")


# Definitions of links: CommonMark 0.31.2, 4.7 ---------------------------------------------------------------


def places(problems: list[Problem]) -> list[tuple[int, str, str]]:
    return [(problem.passage.line, problem.passage.text, problem.message) for problem in problems]


@pytest.mark.parametrize("link", ["[x][y]", "[y][]", "[y]", "![x][y]", "[*x*\nz][Y]"])
@pytest.mark.parametrize("definition", ["[y]: gone.md", "[y]: <gone.md>", "[Y]:\n  gone.md 'a title'"])
def test_a_target_that_a_definition_gives_is_told_of_where_it_stands(problems_of, link, definition) -> None:
    text = f"# A page\n\nSome words.\n\nMore of them\nand {link}.\n\n{definition}\n"
    line = 1 + text[: text.index("gone.md")].count("\n")
    assert (line, "gone.md", "there is no page gone.md") in places(problems_of(index=text))


def test_a_target_in_an_example_is_told_of_in_its_own_line(problems_of) -> None:
    text = "Words.\n\n````example\nSee [x][y].\n\n[y]: gone.md\n````\n"
    assert places(problems_of(index=text)) == [(6, "gone.md", "there is no page gone.md")]


def test_what_stands_behind_a_link_with_a_label_is_told_of_at_the_link(problems_of) -> None:
    text = "Words.\n\nMore words\nand [x][y]{.moves}.\n\n[y]: index.md\n"
    assert places(problems_of(index=text)) == [(4, "y", "“.moves” says nothing of a link")]


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        ("[y]: index.md\n", [1]),
        ("Words [x][z].\n\n[y]: index.md\n[z]: index.md\n", [3]),
        ("Words [y].\n\n[y]: index.md\n[Y]: other.md\n", [4]),
        ("Words.\n\n> [y]: index.md\n", [3]),
        ("`[y]` and \\[y]\n\n[y]: index.md\n", [3]),
        ("# [y]\n\n[y]: index.md#x 'a title'\n\n## X\n", []),
        ("| a |\n|---|\n| [y] |\n\n[y]: index.md\n", []),
        ("> [x][y]\n\n[y]: index.md\n", []),
    ],
)
def test_no_definition_of_a_link_goes_unused_in_silence(problems_of, text, lines) -> None:
    found = [problem for problem in problems_of(index=text) if "heading" not in problem.message]
    there = [(line, text.split("\n")[line - 1]) for line in lines]
    assert places(found) == [(*each, "no link takes this definition") for each in there]


def test_a_link_to_a_block_that_has_a_problem_has_none(problems_of) -> None:
    (problem,) = problems_of(
        index="# T\n\n[it](#position-p)\n\n```position p\npieces: flips UF and UR\nview: topp\n```\n",
        more="# M\n\n[it](index.md#position-p) and [that](position:p)\n",
    )
    assert problem.message == "cube-3 has no view “topp”"
