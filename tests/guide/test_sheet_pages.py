"""Pages made for paper: what their heads say, what they show, where they are published, who mentions whom."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from marked_text import marked
from sample_methods import EDGE, SEQUENCES, moves_blocks

from sitegen.guide.guide import Guide
from sitegen.guide.mentions import mentions
from sitegen.guide.printed import printed
from sitegen.guide.proofread import published
from sitegen.guide.selection import CaseSheet, cards, case_sheets
from sitegen.pages.page import Page
from sitegen.pages.sheet import Sheet
from sitegen.problems import Findings, Problem

FIRST = moves_blocks()
PRACTICE = "```practice\nfrom: @lift\ncount: 1\n```\n"
ANSWERED = f"---\nanswers: published\n---\n{PRACTICE}"
"""An ordinary page with exercises whose answers are published."""


pytestmark = pytest.mark.usefixtures("counted_soon", "kept_in_module")


def head(text: str, kind: str = "handout", body: str = "Text.\n") -> str:
    first = f"kind: {kind}\n" if kind else ""
    return f"---\n{first}{text}\n---\n{body}"


def first(text: str) -> str:
    """The first page, with the method where a text is about its cases: going through these takes time."""
    return EDGE + FIRST if "edge" in text or "case sheet" in text else FIRST


def page_of(guide: Guide, name: str = "sheet") -> Page:
    assert [str(problem) for problem in guide.problems] == []
    return next(page for page in guide.pages if page.name == name)


@pytest.fixture
def sheet(guide_at) -> Callable[..., Sheet | None]:
    """How a page with such a head is printed."""

    def of(text: str, kind: str = "handout", config: str = "title: T\n") -> Sheet | None:
        body = PRACTICE if kind == "exercises" else "Text.\n"
        return page_of(guide_at(config, index=FIRST, sheet=head(text, kind, body))).sheet

    return of


@pytest.fixture
def shown(guide_at) -> Callable[[str], tuple[list[str], list[CaseSheet]]]:
    """The names of the cards, and the case sheets, of a page with such a head."""

    def of(text: str) -> tuple[list[str], list[CaseSheet]]:
        guide = guide_at(index=first(text), sheet=head(text))
        page, findings = page_of(guide), Findings()
        named = [sequence.name for sequence in cards(page, guide, findings)]
        return named, case_sheets(page, guide, findings)

    return of


@pytest.fixture
def told(problems_of) -> Callable[..., list[Problem]]:
    return lambda text, kind="handout", body="Text.\n": problems_of(
        index=first(text), sheet=head(text, kind, body)
    )


# What the head says ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", ["handout", "exercises"])
def test_a_sheet_is_upright_in_one_column_of_ten_points_on_the_paper_of_the_guide(sheet, kind: str) -> None:
    usual = sheet("tags: [a]", kind)
    assert (usual.paper, usual.orientation, usual.size) == ("A4", "portrait", "A4")
    assert (usual.text_columns, usual.text_size) == (1, 10)
    assert (usual.cards, usual.cases) == ((), ())
    assert sheet("tags: [a]", kind, "title: T\npaper: Letter\n").size == "letter"


@pytest.mark.parametrize("kind", ["", "page"])
def test_an_ordinary_page_is_no_sheet(sheet, kind: str) -> None:
    assert sheet("tags: [a]", kind) is None


def test_what_a_sheet_says_of_its_paper_goes_before_the_guide(sheet) -> None:
    assert sheet("paper: A4", config="title: T\npaper: Letter\n").size == "A4"
    assert sheet("paper: Letter\norientation: landscape").size == "letter landscape"
    assert sheet("orientation: portrait").size == "A4"


@pytest.mark.parametrize("columns", [1, 2, 3, 4])
def test_columns_are_of_text_and_of_cards(sheet, columns: int) -> None:
    """An exercise is as wide as a column of the text."""
    found = sheet(f"columns: {columns}\norientation: landscape")
    assert (found.text_columns, found.across) == (columns, columns)


@pytest.mark.parametrize(("orientation", "across"), [("portrait", 2), ("landscape", 3)])
def test_without_columns_as_many_cards_and_exercises_stand_side_by_side_as_suit(
    sheet, orientation: str, across: int
) -> None:
    found = sheet(f"orientation: {orientation}")
    assert (found.text_columns, found.across) == (1, across)


@pytest.mark.parametrize(
    ("text", "points"),
    [
        ("6", 6),
        ("16", 16),
        ("8.5", 8.5),
        ("8.5 pt", 8.5),
        ("9pt", 9),
        ("9 points", 9),
        ('"12 pt"', 12),
        ("010", 10),
    ],
)
def test_text_has_a_size_in_points(sheet, text: str, points: float) -> None:
    assert sheet(f"text size: {text}").text_size == points


@pytest.mark.parametrize(
    "named",
    [
        "lift, twist-pair",
        "lift,twist-pair",
        "lift twist-pair",
        "lift and twist-pair",
        "[lift, twist-pair]",
        "['@lift', \"@twist-pair\"]",
        "'@lift, @twist-pair'",
        '"@lift, twist-pair"',
        "\n- lift\n- twist-pair",
        '\n- "@lift"\n- twist-pair',
        "lift,\n  twist-pair",
        ">\n  lift,\n  twist-pair",
        "|\n  lift\n  twist-pair",
    ],
)
def test_cards_are_named_in_a_text_or_a_list_with_or_without_their_sign(shown, named: str) -> None:
    assert shown(f"cards: {named}")[0] == ["lift", "twist-pair"]


@pytest.mark.parametrize(
    ("text", "stages"),
    [
        ("edge", ["To its place", "Over"]),
        ("edge 1", ["To its place"]),
        ("edge 2", ["Over"]),
        ("edge  2", ["Over"]),
        ("edge Over", ["Over"]),
        ("edge To its place", ["To its place"]),
        ("edge To its\n  place", ["To its place"]),
        ("'edge Over'", ["Over"]),
        ('"edge To its place"', ["To its place"]),
        ("[edge Over]", ["Over"]),
        (">\n  edge Over", ["Over"]),
    ],
)
def test_a_case_sheet_is_of_a_method_and_of_all_its_stages_or_one(shown, text: str, stages: list) -> None:
    (found,) = shown(f"case sheet: {text}")[1]
    assert found.method.name == "edge"
    assert [stage.title for stage in found.stages] == stages


def test_a_page_may_have_several_case_sheets_in_their_order(shown) -> None:
    found = shown("case sheet: [edge 2, edge 1]")[1]
    assert [[stage.number for stage in each.stages] for each in found] == [[2], [1]]


def test_what_is_shown_may_be_of_another_puzzle_than_the_page(guide_at) -> None:
    small = head("puzzle: cube-2\ncards: lift\ncase sheet: edge")
    guide = guide_at(index=first(small), sheet=small)
    page, findings = page_of(guide), Findings()
    assert [sequence.puzzle.name for sequence in cards(page, guide, findings)] == ["cube-3"]
    assert [each.method.puzzle.name for each in case_sheets(page, guide, findings)] == ["cube-3"]


# Mistakes, each where it stands ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "message", "hint"),
    [
        ("paper: ‹a4›", "paper cannot be “a4”", "one of A4, Letter"),
        ("paper: ‹Leter›", "paper cannot be “Leter”", "is it Letter?"),
        ("paper: ‹[A4, Letter]›", "paper is a text", "“paper: …” with one text"),
        ("orientation: ‹Landscape›", "orientation cannot be “Landscape”", "is it landscape?"),
        ("orientation: ‹across›", "orientation cannot be “across”", "one of portrait, landscape"),
        ("columns: ‹0›", "columns is a number from 1 to 4, not “0”", "columns: 2"),
        ("columns: ‹5›", "columns is a number from 1 to 4, not “5”", "columns: 2"),
        ("columns: ‹two›", "columns is a number from 1 to 4, not “two”", "columns: 2"),
        ("text size: ‹5.9›", "a number of points from 6 to 16", "text size: 6 pt"),
        ("text size: ‹16.5 pt›", "a number of points from 6 to 16", "text size: 16 pt"),
        ("text size: ‹10 px›", "a number of points from 6 to 16", "text size: 10 pt"),
        ("text size: ‹8,5›", "a number of points from 6 to 16", "text size: 8.5"),
        ("text size: ‹small›", "a number of points from 6 to 16", "text size: 10 pt"),
        ("cards: ‹{lift: yes}›", "cards is a list of words", "[one, two]"),
        ("cards: lift, ‹lft›", "no sequence is named lft", "is it lift?"),
        ("cards: '@lift, @‹lft›'", "no sequence is named lft", "is it lift?"),
        ("cards:\n- lift\n- ‹nothing›", "no sequence is named nothing", "first line of its block"),
        ("cards: lift, ‹Lift›", "“Lift” is not the name of a sequence", "with commas between them"),
        ("cards: lift, ‹lift'›", "“lift'” is not the name of a sequence", "with commas between them"),
        ("cards: [lift, '‹edge›']", "no sequence is named edge", "edge is a method"),
        ("case sheet: ‹edg›", "no method is named edg", "methods are edge"),
        ("case sheet: ‹lift›", "no method is named lift", "methods are edge"),
        ("case sheet: [edge, ‹other› 1]", "no method is named other", "methods are edge"),
        ("case sheet: edge ‹3›", "edge has no stage “3”", "To its place, Over"),
        ("case sheet: edge ‹Ovr›", "edge has no stage “Ovr”", "is it Over?"),
        ("case sheet: edge ‹to its place›", "edge has no stage “to its place”", "is it To its place?"),
        ("case sheet: 'edge ‹Ovr›'", "edge has no stage “Ovr”", "is it Over?"),
        ("‹colums›: 2", "there is no key “colums” here", "is it columns?"),
        ("‹cases›: edge", "there is no key “cases” here", ""),
        ("columns: 2\n‹columns›: 3", "the key “columns” stands here twice", "write it once"),
    ],
)
def test_a_mistake_is_shown_where_it_stands(told, text: str, message: str, hint: str) -> None:
    written, place = marked(text, 3)  # after the line of hyphens and the kind
    (problem,) = told(written)
    assert problem.passage.source.name == "content/sheet.md"
    assert (problem.passage.line, problem.passage.column, problem.passage.text) == place
    assert message in problem.message
    assert hint in problem.hint


@pytest.mark.parametrize(
    "key", ["paper", "orientation", "columns", "text size", "cards", "case sheet", "sheet for each heading"]
)
def test_a_key_says_something(told, key: str) -> None:
    (problem,) = told(f"{key}:")
    assert problem.passage.line == 3
    assert problem.hint != ""


def test_a_name_with_its_sign_stands_in_quotation_marks(told) -> None:
    (problem,) = told("cards: @lift")
    assert (problem.passage.line, problem.passage.column) == (3, 8)
    assert "quotation marks" in problem.hint


def test_without_a_method_there_is_no_case_sheet(problems_of) -> None:
    (problem,) = problems_of(index=moves_blocks(), sheet=head("case sheet: edge"))
    assert "no method is named edge" in problem.message
    assert "block “method”" in problem.hint


def test_all_mistakes_of_a_head_are_told_at_once(told) -> None:
    keys = [
        "paper: A7",
        "orientation: up",
        "columns: 9",
        "text size: x",
        "cards: [one, two]",
        "case sheet: [a, edge 9]",
        "colour: no",
    ]
    found = told("\n".join(keys))
    assert [problem.passage.line for problem in found] == [3, 4, 5, 6, 7, 7, 8, 8, 9]


@pytest.mark.parametrize("kind", ["", "page"])
@pytest.mark.parametrize(
    "line",
    [
        "paper: A4",
        "orientation: portrait",
        "columns: 1",
        "text size: 10",
        "cards: lift",
        "case sheet: edge",
        "sheet for each heading: yes",
    ],
)
def test_what_is_for_paper_is_refused_on_an_ordinary_page(told, kind: str, line: str) -> None:
    (problem,) = told(line, kind)
    key = line.split(":")[0]
    assert (problem.passage.line, problem.passage.column) == (3 if kind else 2, 1)
    assert problem.passage.text == key
    assert problem.message == f"“{key}” is for pages that are made for paper"
    assert "kind: handout" in problem.hint
    assert "kind: exercises" in problem.hint


def test_a_kind_with_a_slip_is_told_and_nothing_that_follows_from_it(told) -> None:
    (problem,) = told("columns: 2\ncards: lift\ncase sheet: edge", "handuot")
    assert "kind cannot be “handuot”" in problem.message
    assert problem.hint == "is it handout?"


def test_what_only_follows_from_a_broken_block_is_not_told(problems_of) -> None:
    bad = "```moves bad\nR Q\n```\n\n" + EDGE.replace("any turns up to 2", "@bad")
    found = problems_of(index=bad + moves_blocks(), sheet=head("cards: bad\ncase sheet: [edge, edge 1]"))
    assert {problem.passage.source.name for problem in found} == {"content/index.md"}


def test_a_page_of_exercises_has_some(problems_of) -> None:
    (problem,) = problems_of(index=FIRST, sheet=head("columns: 2", "exercises"))
    assert problem.headline() == "content/sheet.md:5:1: there are no exercises on this page"
    assert "block “practice”" in problem.hint
    assert "kind: handout" in problem.hint


@pytest.mark.parametrize("body", ["", "\n\n"])
def test_a_sheet_has_something_on_it(problems_of, body: str) -> None:
    (problem,) = problems_of(index=FIRST, sheet=head("columns: 2", body=body))
    assert "there is nothing on this sheet" in problem.message
    assert "cards" in problem.hint


@pytest.mark.parametrize("text", ["cards: lift", "case sheet: edge"])
def test_cards_and_cases_are_something(headlines, text: str) -> None:
    assert headlines(index=first(text), sheet=head(text, body="")) == []


# Where it is published ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "paths"),
    [
        ("Text.\n", ["a/v1.2.html"]),
        (PRACTICE, ["a/v1.2.html"]),
        (ANSWERED, ["a/v1.2.html", "a/v1.2-answers.html"]),
        (head("columns: 2"), ["a/v1.2.html", "a/v1.2.pdf"]),
        (head("columns: 2", body=PRACTICE), ["a/v1.2.html", "a/v1.2.pdf"]),
        (
            head("answers: published", body=PRACTICE),
            ["a/v1.2.html", "a/v1.2-answers.html", "a/v1.2.pdf", "a/v1.2-answers.pdf"],
        ),
    ],
)
def test_a_page_is_published_with_what_is_printed_of_it_and_with_its_answers_if_that_is_asked(
    guide_at, text: str, paths: list[str]
) -> None:
    guide = guide_at(index=FIRST, **{"a/v1.2": text})
    found = published(page_of(guide, "a/v1.2"), guide)
    assert [path for path in found if "variant" not in path] == paths


@pytest.mark.parametrize(
    ("text", "files"),
    [
        (PRACTICE, ["answers/sheet-answers.pdf"]),
        (ANSWERED, []),  # they can be read where they are published
        (head("columns: 2", body=PRACTICE), ["output/sheet.pdf", "answers/sheet-answers.pdf"]),
        (head("answers: published", body=PRACTICE), ["output/sheet.pdf", "output/sheet-answers.pdf"]),
    ],
)
def test_answers_that_are_not_published_are_printed_into_a_folder_of_their_own(
    guide_at, text: str, files: list[str]
) -> None:
    guide = guide_at(index=FIRST, sheet=text)
    assert [sheet.file for sheet in printed(page_of(guide), guide, "")] == files


EXERCISES = head("answers: published", "exercises", PRACTICE)
KEPT_BACK = head("columns: 2", "exercises", PRACTICE)


@pytest.mark.parametrize(
    ("sheet", "file"),
    [
        (head("columns: 2"), "sheet.pdf"),
        (head("columns: 2"), "Sheet.PDF"),
        (EXERCISES, "sheet.pdf"),
        (EXERCISES, "sheet-answers.pdf"),
        (EXERCISES, "sheet-answers.html"),
        (EXERCISES, "sheet-variant-b.pdf"),
        (EXERCISES, "sheet-variant-b-answers.pdf"),
        (ANSWERED, "sheet-answers.html"),
    ],
)
def test_a_file_is_not_published_where_answers_or_pdfs_go(problems_of, sheet: str, file: str) -> None:
    (problem,) = problems_of(index=FIRST, sheet=sheet, files={file: b"x"})
    assert problem.passage.source.name == f"content/{file}"
    made = file.lower()
    differs = f"{made}, which differs from {file} in capitals only: on some systems they are one"
    told = f"{file} too" if made == file else differs
    assert problem.message == f"content/sheet.md is published as {told}"
    assert problem.hint == "choose another name"


@pytest.mark.parametrize(
    ("sheet", "file"),
    [
        ("Text.\n", "sheet.pdf"),
        (PRACTICE, "sheet.pdf"),
        (head("columns: 2"), "sheet-answers.pdf"),
        (EXERCISES, "sheets.pdf"),
        (KEPT_BACK, "sheet-answers.html"),
        (KEPT_BACK, "sheet-answers.pdf"),
        (KEPT_BACK, "answers/sheet-answers.pdf"),
    ],
)
def test_a_file_may_have_a_name_that_nothing_else_needs(headlines, sheet: str, file: str) -> None:
    assert headlines(index=FIRST, sheet=sheet, files={file: b"x"}) == []


def test_a_page_may_stand_where_answers_would_that_are_not_published(headlines) -> None:
    assert headlines(index=FIRST, sheet=KEPT_BACK, **{"sheet-answers": "Text.\n"}) == []


def test_answers_of_two_pages_do_not_go_into_one_file(problems_of) -> None:
    (problem,) = problems_of(index=FIRST, sheet=KEPT_BACK, **{"sheet-variant-a": PRACTICE})
    assert "is printed as sheet-variant-a-answers.pdf too" in problem.message


@pytest.mark.parametrize("sheet", [ANSWERED, EXERCISES])
def test_a_page_is_not_published_where_the_answers_of_another_go(problems_of, sheet: str) -> None:
    (problem,) = problems_of(index=FIRST, sheet=sheet, **{"sheet-answers": "Text.\n"})
    assert "is published as sheet-answers.html too" in problem.message
    assert {problem.passage.source.name, problem.message.split()[0]} == {
        "content/sheet.md",
        "content/sheet-answers.md",
    }


# Links and mentions ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("link", ["sub/sheet-answers.html", "./sub/sheet-answers.html#main"])
def test_a_page_may_link_to_the_answers_of_another(headlines, link: str) -> None:
    assert headlines(index=FIRST + f"[the answers]({link})\n", **{"sub/sheet": ANSWERED}) == []


def test_no_page_may_link_to_answers_that_are_not_published(problems_of) -> None:
    (problem,) = problems_of(index=FIRST + "[x](sheet-answers.html)\n", sheet=PRACTICE)
    assert problem.message == "the guide has no file sheet-answers.html"
    assert problem.hint == "answers are published where the head of sheet.md says “answers: published”"


@pytest.mark.parametrize("kind", ["", "handout"])
def test_answers_to_nothing_cannot_be_published(problems_of, kind: str) -> None:
    (problem,) = problems_of(index=FIRST, sheet=head("answers: published", kind))
    assert problem.passage.text == "answers"
    assert "there are no exercises on this page to answer" in problem.message


def test_of_answers_nothing_else_can_be_said(problems_of) -> None:
    (problem,) = problems_of(index=FIRST, sheet=head("answers: publisehd", "exercises", PRACTICE))
    assert (problem.passage.text, problem.hint) == ("publisehd", "is it published?")


def test_there_are_no_answers_where_nothing_is_asked(headlines) -> None:
    assert headlines(index="[x](sheet-answers.html)\n", sheet=head("columns: 2")) == [
        "content/index.md:1:5: the guide has no file sheet-answers.html"
    ]


def test_that_there_are_no_answers_yet_is_not_told_where_the_exercises_are_wrong(problems_of) -> None:
    broken = ANSWERED.replace("count: 1", "count: 0")
    (problem,) = problems_of(index=FIRST + "[x](sheet-answers.html)\n", sheet=broken)
    assert problem.passage.text == "0"


@pytest.mark.parametrize(
    "text",
    [
        head("cards: three-up, lift"),
        head("cards: ['@lift']"),
        PRACTICE,
        head("columns: 2", "exercises", PRACTICE.replace("@lift", "@three-up and @lift'")),
    ],
)
def test_a_page_that_prints_or_practises_a_sequence_mentions_it(guide_at, text: str) -> None:
    guide = guide_at(index=FIRST, sheet=text, other="Text.\n")
    page_of(guide)
    assert [page.name for page in mentions(guide)["lift"]] == ["sheet"]
    assert mentions(guide)["twist-pair"] == []
    assert mentions(guide).keys() == SEQUENCES.keys()


def test_a_page_that_uses_a_sequence_in_several_ways_mentions_it_once(guide_at) -> None:
    guide = guide_at(index=FIRST, sheet=head("cards: lift", body=PRACTICE + "`@lift`{.moves}\n"))
    assert [page.name for page in mentions(guide)["lift"]] == ["sheet"]


@pytest.mark.parametrize(
    ("text", "pages"),
    [("[x](sequence:lift)", ["sheet"]), ("<sequence:lift>", ["sheet"]), ("[a file of that name](lift)", [])],
)
def test_links_to_a_sequence_mention_it_and_no_others_do(guide_at, text: str, pages: list[str]) -> None:
    guide = guide_at(files={"lift": "A text."}, index=FIRST, sheet=f"See {text}.\n")
    assert guide.problems == ()
    assert [page.name for page in mentions(guide)["lift"]] == pages
