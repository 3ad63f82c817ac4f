"""Sheets as pages: what is set for paper, cards, cases, exercises and their answers, and links to PDFs."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path, PurePosixPath
from urllib.parse import unquote, urlsplit

import pytest
from read_html import Document, Element, unspelt
from sample_guide import write_guide
from sample_sheets import ADDRESS, LIFT, SHEETS, running, sheet_guide

from sitegen.puzzles.permutation import compose, inverse
from sitegen.puzzles.puzzle import Puzzle
from sitegen.site.publish import publish

TITLES = [
    'The "first" evening',
    r"Back\slash and \41",
    "</style><b>bold</b>",
    "100 % of {{ title }} */ }",
    "Θαῦμα, кубик",
    "It’s “quoted” & more",
]


@pytest.fixture(scope="module")
def output(tmp_path_factory) -> Path:
    """The sample without an address; read only."""
    folder = write_guide(tmp_path_factory.mktemp("sheets"), sheet_guide())
    publish(folder)
    return folder / "output"


@pytest.fixture(scope="module")
def addressed(tmp_path_factory) -> Path:
    """The sample with an address; read only."""
    files = sheet_guide(ADDRESS)
    files["content/more/Zweites Blatt ü.md"] = "---\ntitle: Second\nkind: handout\n---\nText.\n"
    folder = write_guide(tmp_path_factory.mktemp("addressed"), files)
    publish(folder)
    return folder / "output"


def read(output: Path, name: str) -> Element:
    document = Document.read((output / name).read_text(encoding="utf-8"))
    assert document.faults == []
    (main,) = document.root.all("main")
    return main


def of_class(element: Element, tag: str, name: str) -> list[Element]:
    return element.all(tag, class_=name)


def moves(element: Element) -> list[str]:
    return [code.text for code in of_class(element, "code", "moves")]


def said(element: Element) -> str:
    """All words in an element, those of its figures and attributes among them."""
    values = (value for each in element.walk() for value in each.attributes.values())
    return unspelt(" ".join([element.text, *values]))


# What is set for paper ------------------------------------------------------------------------------------


def test_a_sheet_says_its_paper_and_how_it_lies(output) -> None:
    sizes = {
        "cards.html": "A4 landscape",
        "essay.html": "A4",
        "exercises.html": "letter",
        "exercises-answers.html": "letter",
    }
    for name, size in sizes.items():
        text = (output / name).read_text()
        assert re.findall(r"@page \{\s*size: ([^;]+);", text) == [size], name
    assert "columns: 2" in (output / "essay.html").read_text()
    assert "columns:" not in (output / "cards.html").read_text()


def test_head_and_foot_name_the_guide_the_page_and_its_number(output) -> None:
    assert running((output / "essay.html").read_text()) == {
        "top-left": "A guide",
        "top-right": "How it works",
        "bottom-right": 'Page " counter(page) " of " counter(pages)',
    }
    answers = running((output / "exercises-answers.html").read_text())
    assert answers["top-right"] == "For next week: answers"


def test_with_an_address_the_foot_has_it_and_a_code(addressed) -> None:
    for name, path in [
        ("essay.html", "essay.html"),
        ("exercises-answers.html", "exercises.html"),  # no code leads to answers
        # RFC 3986: a space and a letter beyond ASCII are written as their UTF-8 bytes.
        ("more/Zweites Blatt ü.html", "more/Zweites%20Blatt%20%C3%BC.html"),
    ]:
        boxes = running((addressed / name).read_text(encoding="utf-8"))
        assert boxes["bottom-center"] == ADDRESS + path
        assert boxes["bottom-left"].startswith('url("data:image/svg+xml')


@pytest.mark.parametrize("title", TITLES)
def test_a_title_runs_along_as_it_is_written(published, title: str) -> None:
    quoted = title.replace("\\", "\\\\").replace('"', '\\"')
    head = f'---\ntitle: "{quoted}"\nkind: handout\n---\n'
    files = {"content/guide.yaml": f'title: "{quoted}"\n', "content/sheet.md": f"{head}Text.\n"}
    html = published(files)["sheet.html"]
    document = Document.read(html)
    assert document.faults == []
    assert document.root.all("h1")[0].text == title
    assert document.root.all("b") == []
    boxes = running(html)
    assert boxes["top-left"] == boxes["top-right"] == title


def test_an_ordinary_page_is_not_set_for_paper(output) -> None:
    text = (output / "index.html").read_text()
    assert "counter(page)" not in text
    assert of_class(read(output, "index.html"), "p", "made-for") == []


@pytest.mark.parametrize("name", SHEETS)
def test_figures_on_sheets_carry_letters_and_patterns(output, name: str) -> None:
    main = read(output, name)
    # What is to be drawn on is without colours.
    light = [figure for exercise in of_class(main, "div", "arrows") for figure in exercise.all("svg")]
    assert len(light) == (name == "exercises.html")
    samples = {id(figure) for legend in of_class(main, "ul", "legend") for figure in legend.all("svg")}
    figures = [figure for figure in main.all("svg") if id(figure) not in samples]
    assert len(figures) > len(light)
    for figure in figures:
        assert of_class(figure, "g", "letters")[0].text
        assert bool(of_class(figure, "g", "hatches")) == (figure not in light)


@pytest.mark.parametrize("name", ["index.html", "method.html", "sequences/lift-edge.html"])
def test_figures_on_ordinary_pages_carry_no_patterns(output, name: str) -> None:
    figures = read(output, name).all("svg", class_="puzzle")
    assert figures
    assert not any(of_class(figure, "g", "hatches") for figure in figures)


def test_exercises_on_an_ordinary_page_have_patterns_on_their_answers_alone(published) -> None:
    block = "```practice\nfrom: @quarter\ncount: 1\nview: net\n```\n"
    head = "---\nanswers: published\n---\n"
    pages = published({"content/some.md": f"{head}```moves quarter\nR U\n```\n\n{block}"})
    assert 'class="hatches"' not in pages["some.html"]
    assert 'class="hatches"' in pages["some-answers.html"]


# Links ----------------------------------------------------------------------------------------------------


def links(output: Path, name: str) -> list[str]:
    root = Document.read((output / name).read_text(encoding="utf-8")).root
    return [a.attributes["href"] for a in root.all("a") if "href" in a.attributes]


@pytest.mark.parametrize("which", ["output", "addressed"])
def test_every_link_on_a_sheet_arrives(which: str, request) -> None:
    site = request.getfixturevalue(which)
    for name in SHEETS:
        followed = [link for link in links(site, name) if not urlsplit(link).scheme]
        for link in followed:
            path = unquote(urlsplit(link).path)
            assert not path or (site / PurePosixPath(name).parent / path).is_file(), f"{name}: {link}"
        assert len(followed) > 5  # at least the contents: six pages


def test_without_a_pdf_no_page_leads_to_one(output) -> None:
    assert not list(output.rglob("*.pdf"))
    for path in output.rglob("*.html"):
        assert ".pdf" not in path.read_text(), path


# Cards and cases ------------------------------------------------------------------------------------------


def test_a_pocket_reference_has_a_card_for_each_sequence_in_the_order_chosen(output) -> None:
    cards = [card for row in of_class(read(output, "cards.html"), "ul", "pocket") for card in row.all("li")]
    titles = [of_class(card, "p", "card-title")[0].text for card in cards]
    assert titles == ["Turn two edges over", "Lift the front edge", "Send three corners round"]
    assert [moves(card)[0] for card in cards] == ["[lift edge, U]", LIFT, "R U' L' U R' U' L U"]
    assert [caption.text for caption in cards[0].all("figcaption")] == ["before", "after"]
    # By hand: [A, U] flips the edge that A flips, and then, by A undone, the one that U brings there.
    assert of_class(cards[0], "p", "effect")[0].text.startswith("UF and UR are flipped;")
    assert of_class(cards[1], "p", "effect")[0].text.startswith("UF is flipped;")


def test_a_card_shows_the_first_view_of_its_sequence(output) -> None:
    cards = of_class(read(output, "cards.html"), "ul", "pocket")[0].all("li")
    views = [[pair.attributes["data-view"] for pair in of_class(card, "div", "pair")] for card in cards]
    assert views == [["top"], ["corner"], ["top"]]


def test_before_stands_the_position_that_a_solving_sequence_solves(output) -> None:
    card = of_class(read(output, "cards.html"), "ul", "pocket")[0].all("li")[0]
    before, after = (unspelt(figure.all("desc")[0].text) for figure in card.all("figure"))
    assert before.startswith("Position: UF and UR are flipped;")
    assert after == "Every piece is home."


def test_as_many_cards_stand_side_by_side_as_columns_are_asked_for(published) -> None:
    sheet = "---\ntitle: Cards\nkind: handout\n{}cards: a, b, c, d, e\n---\n"
    files = {"content/moves.md": "".join(f"```moves {name}\nR\n```\n\n" for name in "abcde")}
    heads = {"two": "", "three": "orientation: landscape\n", "one": "columns: 1\n", "four": "columns: 4\n"}
    pages = published({**files, **{f"content/{name}.md": sheet.format(head) for name, head in heads.items()}})
    rows = {
        name: [
            len([card for card in row.all("li") if card.text])
            for row in of_class(Document.read(pages[f"{name}.html"]).root, "ul", "pocket")
        ]
        for name in heads
    }
    assert rows == {"two": [2, 2, 1], "three": [3, 2], "one": [1] * 5, "four": [4, 1]}


def test_a_case_sheet_shows_the_cases_of_its_stage_alone(output) -> None:
    main = read(output, "cases.html")
    assert [h2.text for h2 in main.all("h2")] == ["The small method: Twisted"]
    assert "The lower ones" not in main.text
    cases = of_class(main, "ul", "cases")[0].all("li")
    # Four corners, each in three ways, whose twists add up to whole turns: 27 cases, one with nothing to do.
    more = [re.search(r"(\d+) more", case.text) for case in cases]
    assert 1 + sum(1 + (int(found[1]) if found else 0) for found in more) == 27
    for case in cases:
        assert case.all("svg")
        assert "twist pair" in moves(case)[0].lower()


# Exercises and answers ------------------------------------------------------------------------------------

Asked = tuple[str, list[str], list[Element]]
"""The prompt, the moves and the figures of an exercise."""


def asked(output: Path) -> list[Asked]:
    return [
        (of_class(each, "p", "prompt")[0].text, moves(each), each.all("svg"))
        for each in of_class(read(output, "exercises.html"), "div", "exercise")
    ]


def answered(output: Path) -> list[Element]:
    return of_class(read(output, "exercises-answers.html"), "div", "answer")


def undone(text: str) -> str:
    """Moves undone, by hand: the turns backwards, each the other way."""
    other = {"'": "", "2": "2"}
    return " ".join(t[:1] + other.get(t[1:], "'") for t in reversed(text.split()))


def test_a_sheet_of_exercises_has_a_line_for_a_name_and_asks_in_words(output) -> None:
    main = read(output, "exercises.html")
    assert of_class(main, "p", "name-line")[0].text == "Name Date"
    prompts = [prompt for prompt, _, _ in asked(output)]
    assert [int(prompt.split()[0]) for prompt in prompts] == [1, 2, 3, 4, 5, 6, 7]
    assert all(prompt.endswith("Set it up and put it right.") for prompt in prompts[:3])
    assert {prompt.split(maxsplit=1)[1] for prompt in prompts[3:]} == {
        "Draw an arrow or a mark for each piece that changes.",
        "Say in words what these moves do.",
        "Write down the moves that undo these.",
        "Finish the commutator.",
    }
    assert "Set each position up on a solved cube." in main.text
    assert of_class(read(output, "essay.html"), "p", "name-line") == []


def test_what_is_set_up_is_what_the_answer_solves(
    output, turned: Callable[..., bytes], cube3: Puzzle
) -> None:
    for (_, (set_up,), figures), answer in zip(asked(output)[:3], answered(output)[:3], strict=True):
        _, in_full = moves(answer)[:2]
        position = turned(set_up, cube3)
        assert position != cube3.identity
        assert compose(position, turned(in_full, cube3)) == cube3.identity
        assert len(figures) == 1


def test_each_answer_is_worked_step_by_step_to_the_solved_puzzle(output) -> None:
    for answer in answered(output)[:3]:
        steps = of_class(answer, "ol", "worked-steps")[0].all("li")
        assert len(steps) > 1
        assert all(step.all("svg") for step in steps)
        assert steps[0].all("desc")[0].text != "Everything is home."
        assert steps[-1].all("desc")[0].text == "Everything is home."


def test_no_answer_to_a_position_stands_on_its_sheet(output) -> None:
    sheet = said(read(output, "exercises.html"))
    for answer in answered(output)[:3]:
        for text in moves(answer):
            assert text not in sheet or len(text.split()) == 1, text  # a turn alone is no answer
    assert "Turn two edges over" not in sheet
    assert "@" not in sheet


def test_a_puzzle_for_arrows_is_solved_and_unmarked_and_its_answer_has_the_marks(output) -> None:
    at = next(n for n, (prompt, _, _) in enumerate(asked(output)) if "arrow" in prompt)
    _, (line,), (figure,) = asked(output)[at]
    assert figure.all("desc")[0].text == "Everything is home."
    assert not of_class(figure, "g", "marks")
    assert line not in said(figure)
    answer = answered(output)[at]
    assert moves(answer)[0] == line
    assert of_class(answer.all("svg")[0], "g", "marks")
    effect = answer.all("p")[2].text
    assert effect.endswith("everything else is home.")
    assert effect not in said(read(output, "exercises.html"))


def test_the_words_for_a_figure_do_not_say_what_is_to_be_said(output) -> None:
    at = next(n for n, (prompt, _, _) in enumerate(asked(output)) if "Say in words" in prompt)
    _, _, (figure,) = asked(output)[at]
    effect = next(p.text for p in answered(output)[at].all("p") if p.text.endswith("else is home."))
    told = unspelt(figure.all("desc")[0].text)
    assert " shows " in told
    assert effect not in said(read(output, "exercises.html"))
    assert not re.search("flipped|twisted|goes to|change places", told)


def test_what_undoes_moves_stands_on_the_answers_alone(output) -> None:
    at = next(n for n, (prompt, _, _) in enumerate(asked(output)) if "undo" in prompt)
    _, (line,), figures = asked(output)[at]
    answer = moves(answered(output)[at])
    assert figures == []
    assert answer[0] == line
    assert sorted(answer[-1].split()) == sorted(undone(line).split())
    assert answer[-1] not in said(read(output, "exercises.html"))


def test_the_undoing_that_is_printed_undoes_the_moves(
    output, turned: Callable[..., bytes], cube3: Puzzle
) -> None:
    at = next(n for n, (prompt, _, _) in enumerate(asked(output)) if "undo" in prompt)
    line, *_, answer = moves(answered(output)[at])
    assert turned(answer, cube3) == inverse(turned(line, cube3))


def test_a_commutator_is_finished_on_the_answers_alone(output) -> None:
    at = next(n for n, (prompt, _, _) in enumerate(asked(output)) if "commutator" in prompt)
    _, (short, begun), _ = asked(output)[at]
    a, b = short.strip("[]").split(", ")
    assert begun.split() == f"{a} {b}".split()
    in_full = moves(answered(output)[at])[-1].split()
    assert sorted(in_full) == sorted(f"{a} {b} {undone(a)} {undone(b)}".split())
    assert in_full[: len(begun.split())] == begun.split()
    assert undone(a) not in said(read(output, "exercises.html"))


@pytest.mark.parametrize("name", SHEETS)
def test_a_sheet_is_a_whole_page_of_its_own(output, name: str) -> None:
    document = Document.read((output / name).read_text(encoding="utf-8"))
    assert document.faults == []
    assert document.doctype.lower() == "doctype html"
    assert len(document.root.all("h1")) == 1
    ids = [e.attributes["id"] for e in document.root.walk() if "id" in e.attributes]
    assert len(ids) == len(set(ids))
