"""The list of contents beside a text: what its reader needs, however large the guide is."""

from __future__ import annotations

import pytest
from read_html import Document

from sitegen.problems import Problems

CHAPTERS = ["index", "one/index", "one/a", "one/b", "two/index", "two/c", "last"]


def guide(pages: list[str]) -> dict[str, str]:
    listed = f"title: T\npages: [{', '.join(pages)}]\n"
    return {"content/guide.yaml": listed, **{f"content/{name}.md": f"# Of {name}\n" for name in pages}}


def beside(text: str) -> list[str]:
    """The pages that are listed beside a text, by what they are called."""
    (contents,) = [e for e in Document.read(text).root.all("nav") if e.attributes.get("class") == "contents"]
    return [a.text.removeprefix("Of ") for a in contents.all("a")]


@pytest.mark.parametrize(
    ("page", "listed"),
    [
        ("index", ["index", "one/index", "two/index", "last"]),
        ("one/index", ["index", "one/index", "one/a", "one/b", "two/index", "last"]),
        ("one/b", ["index", "one/index", "one/a", "one/b", "two/index", "last"]),
        ("two/c", ["index", "one/index", "two/index", "two/c", "last"]),
        ("effects", ["index", "one/index", "two/index", "last"]),
    ],
)
def test_a_page_lists_its_own_chapter_and_where_the_others_begin(published, page: str, listed) -> None:
    assert beside(published(guide(CHAPTERS))[f"{page}.html"]) == [*listed, "All pages"]


def test_what_belongs_to_a_page_lists_what_that_does(published) -> None:
    pages = {**guide(CHAPTERS), "content/one/b.md": "# Of one/b\n\n```moves lift\nF E F2 E2 F E\n```\n"}
    texts = published(pages)
    assert beside(texts["sequences/lift.html"]) == beside(texts["one/b.html"])


def test_one_page_lists_all_in_reading_order(published) -> None:
    text = published(guide(CHAPTERS))["contents.html"]
    (article,) = Document.read(text).root.all("article")
    assert [a.text.removeprefix("Of ") for a in article.all("a")] == CHAPTERS


def test_the_first_page_in_reading_order_may_stand_within_a_chapter(published) -> None:
    texts = published(guide(["one/a", "one/index", "index"]))
    assert beside(texts["effects.html"]) == ["one/index", "index", "All pages"]


def test_where_every_page_lists_all_there_is_no_other_list(published) -> None:
    texts = published(guide(["index", "a", "b"]))
    assert "contents.html" not in texts
    assert beside(texts["a.html"]) == ["index", "a", "b"]


@pytest.mark.parametrize("folder", ["", "one/"])
def test_of_many_pages_in_a_row_a_page_lists_those_about_itself(published, folder: str) -> None:
    many = [f"{folder}page-{number:02}" for number in range(60)]
    texts = published(guide(["index", f"{folder}index", *many] if folder else ["index", *many]))
    for number in (0, 1, 30, 58, 59):
        listed = [name for name in beside(texts[f"{many[number]}.html"]) if "page-" in name]
        assert many[number] in listed
        assert listed == many[max(number - 8, 0) : number + 9]


def test_a_page_does_not_grow_with_the_guide(published) -> None:
    few, more = (published(guide(["index", *(f"p{n:03}" for n in range(count))])) for count in (50, 150))
    assert len(more["p025.html"]) == len(few["p025.html"])


PAGES = ["index", "a", "one/index", "one/b", "c", "d", "e"]
IN_PARTS = {
    "content/guide.yaml": """\
title: T
pages:
- index
- One half:
  - a
  - one/index
  - one/b
- "The other: half": [c, d]
""",
    **{f"content/{name}.md": f"# Of {name}\n" for name in PAGES},
}


@pytest.mark.parametrize(
    ("page", "listed"),
    [
        ("index", ["index", "One half", "The other: half", "e"]),
        ("a", ["index", "One half", "a", "one/index", "The other: half", "e"]),
        ("one/b", ["index", "One half", "a", "one/index", "one/b", "The other: half", "e"]),
        ("d", ["index", "One half", "The other: half", "c", "d", "e"]),
        ("effects", ["index", "One half", "The other: half", "e"]),
    ],
)
def test_a_page_lists_its_own_part_and_where_the_others_begin(published, page: str, listed) -> None:
    text = published(IN_PARTS)[f"{page}.html"]
    assert beside(text) == [*listed, "All pages"]
    (contents,) = [e for e in Document.read(text).root.all("nav") if e.attributes.get("class") == "contents"]
    ways = {a.text: a.attributes["href"] for a in contents.all("a")}
    assert ways["The other: half"].endswith("c.html")


@pytest.mark.parametrize(
    ("page", "way"),
    [
        ("index", []),
        ("a", [("T", "index.html"), ("One half", ""), ("Of a", "")]),
        (
            "one/b",
            [
                ("T", "../index.html"),
                ("One half", "../a.html"),
                ("Of one/index", "index.html"),
                ("Of one/b", ""),
            ],
        ),
        ("d", [("T", "index.html"), ("The other: half", "c.html"), ("Of d", "")]),
        ("e", [("T", "index.html"), ("Of e", "")]),
    ],
)
def test_the_way_to_a_page_leads_through_its_part(published, page: str, way: list[tuple[str, str]]) -> None:
    root = Document.read(published(IN_PARTS)[f"{page}.html"]).root
    steps = [li for nav in root.all("nav", class_="trail") for li in nav.all("li")]
    led = [[a.attributes["href"] for a in step.all("a")] for step in steps]
    assert [(step.text, "".join(to)) for step, to in zip(steps, led, strict=True)] == way


def test_all_parts_are_listed_with_all_that_is_in_them(published) -> None:
    (article,) = Document.read(published(IN_PARTS)["contents.html"]).root.all("article")
    listed = [a.text.removeprefix("Of ") for a in article.all("a")]
    assert listed == ["index", "One half", "a", "one/index", "one/b", "The other: half", "c", "d", "e"]


@pytest.mark.parametrize(
    ("pages", "message"),
    [
        ("- index\n- Half: [a]\n- Half: [c]", "there are two parts “Half”"),
        ("- Half: [a, c]\n- Other: [c]", "the page c is listed twice"),
        ("- Half:", "the part “Half” has no pages"),
        ("- Half: [a, x]", "there is no page x.md"),
        ("- Half: {a: b}", "Half is a list of words"),
        ("- [a, c]", "pages is a list of words"),
        ("- Half: [a]\n- {}", "pages is a list of words"),
    ],
)
def test_what_is_wrong_with_a_part_is_told(published, pages: str, message: str) -> None:
    with pytest.raises(Problems) as told:
        published({**IN_PARTS, "content/guide.yaml": f"title: T\npages:\n{pages}\n"})
    assert [message in each.message for each in told.value.problems] == [True]
