"""What an author leaves out of a card and of a sequence's page, or says otherwise there."""

from __future__ import annotations

import pytest
from read_html import Document, Element

MOVES = "```moves lift\ntitle: Lift\nmoves: R U\nclaims: order 105\n{}```\n"
THOUGHT = "```derivation\ntitle: A thought\nnames: lift\nsteps:\n- turn: R\n- turn: U\n{}```\n"


def card(texts: dict[str, str]) -> Element:
    (found,) = Document.read(texts["index.html"]).root.all("section", class_="card")
    return found


def texts_of(element: Element, tag: str, name: str) -> list[str]:
    return [each.text for each in element.all(tag, class_=name)]


@pytest.fixture(params=[MOVES, THOUGHT], ids=["moves", "derivation"])
def shown(request, published):
    """What is published of a block with some lines more: its card, and the text of its sequence's page."""
    block = request.param

    def show(lines: str = "", config: str = "") -> tuple[Element, str]:
        texts = published(
            {"content/guide.yaml": f"title: T\n{config}", "content/index.md": block.format(lines)}
        )
        return card(texts), texts["sequences/lift.html"]

    return show


def lengths(found: Element) -> list[str]:
    """Those that a card tells, beside the moves."""
    return [each.text for tag in ("a", "span") for each in found.all(tag, class_="length")]


def test_all_is_shown_where_nothing_is_said(shown) -> None:
    found, page = shown()
    assert len(texts_of(found, "p", "card-title")) == 1
    assert "UFR is twisted" in " ".join(texts_of(found, "p", "effect"))
    assert lengths(found) == ["2 OBTM"]
    assert all(f'id="{name}"' in page for name in ("layers", "lengths", "effect"))
    assert page.count("<dt>") >= 4


def test_an_effect_is_left_out(shown) -> None:
    found, page = shown("effect: no\n")
    assert not texts_of(found, "p", "effect")
    assert 'id="effect"' in page


def test_an_effect_is_said_in_the_words_of_the_author(shown) -> None:
    found, page = shown("effect: It *turns* [two faces](index.md).\n")
    (said,) = found.all("p", class_="say")
    assert said.text == "It turns two faces."
    assert [each.attributes["href"] for each in said.all("a")] == ["index.html"]
    ours = '<p class="summary">It <em>turns</em> <a href="../index.html">two faces</a>.</p>'
    assert ours in page.partition('id="effect"')[0]
    assert "turns</em>" not in page.partition('id="effect"')[2]


def test_no_in_quotation_marks_is_a_word(shown) -> None:
    found, _ = shown('effect: "no"\n')
    assert texts_of(found, "p", "say") == ["no"]


def test_lengths_are_told_in_the_metrics_that_are_named(shown) -> None:
    found, page = shown("metrics: QTM, STM\n")
    assert lengths(found) == ["2 QTM, 2 STM"]
    assert ["<dt>OBTM</dt>" in page, "<dt>QTM</dt>" in page, "<dt>STM</dt>" in page] == [False, True, True]


def test_lengths_are_left_out(shown) -> None:
    found, page = shown("metrics: no\n")
    assert not lengths(found)
    assert "OBTM" not in page


def test_parts_are_left_out(shown) -> None:
    found, page = shown("without: title, layers\n")
    assert not texts_of(found, "p", "card-title")
    assert 'id="layers"' not in page


def test_relations_are_left_out(published) -> None:
    other = "```moves back\nmoves: U' R'\n```\n"
    pages = [
        published({"content/index.md": f"{MOVES.format(line)}\n{other}"})["sequences/lift.html"]
        for line in ("", "without: related\n")
    ]
    assert ['id="related"' in page for page in pages] == [True, False]


def test_a_guide_leaves_it_out_of_all(shown) -> None:
    found, page = shown(config="blocks: {effect: no, metrics: no, without: [title, layers]}\n")
    assert not texts_of(found, "p", "effect")
    assert not lengths(found)
    assert not texts_of(found, "p", "card-title")
    assert 'id="layers"' not in page
    found, _ = shown("effect: yes\nmetrics: OBTM\n", "blocks: {effect: no, metrics: no}\n")
    assert texts_of(found, "p", "effect")
    assert lengths(found) == ["2 OBTM"]


def test_a_card_to_cut_out_follows_as_well(published) -> None:
    sheet = "---\nkind: handout\ncards: lift\n---\n# Cards\n"
    page = published({"content/index.md": MOVES.format("effect: Ours.\n"), "content/cards.md": sheet})
    assert '<p class="say">Ours.</p>' in page["cards.html"]
    page = published({"content/index.md": MOVES.format("effect: no\n"), "content/cards.md": sheet})
    assert 'class="effect"' not in page["cards.html"]


@pytest.mark.parametrize(
    ("lines", "message"),
    [
        ("effect: See [that](nowhere.md).\n", "there is no page nowhere.md"),
        ("metrics: HTM\n", "metrics cannot be “HTM”"),
        ("metrics: [no, OBTM]\n", "metrics cannot be “no”"),
        ("without: titel\n", "without cannot be “titel”"),
    ],
)
def test_what_cannot_be_is_told(problems_of, lines, message) -> None:
    for block in (MOVES, THOUGHT):
        assert [problem.message for problem in problems_of(index=block.format(lines))] == [message]


@pytest.mark.parametrize(
    "block", ["```moves\nmoves: R\n{}```\n", "```derivation\nsteps:\n- turn: R\n{}```\n"]
)
def test_a_block_without_a_page_has_nothing_there_to_leave_out(problems_of, block) -> None:
    (problem,) = problems_of(index=block.format("without: title, related\n"))
    assert problem.message == "this stands on the page of a named sequence"
    assert problem.passage.text == "related"
    assert not problems_of(index=block.format("without: title\n"))
    assert not problems_of("title: T\nblocks: {without: related}\n", index=block.format(""))


def titles(texts) -> list[tuple[str, list[str]]]:
    """Of each card its title, and where that leads."""
    found = Document.read(texts["index.html"]).root.all("p", class_="card-title")
    return [(each.text, [link.attributes["href"] for link in each.all("a")]) for each in found]


def test_a_sequence_shown_again_has_its_title_and_no_other_name(published) -> None:
    lift, there = "```moves lift\ntitle: The little one\nmoves: R U\n```\n\n", "sequences/lift.html"
    texts = published({"content/index.md": f"{lift}```moves\nmoves: @lift\n```\n"})
    assert titles(texts) == [("The little one", [there])] * 2
    assert ">lift</a>" not in texts["index.html"]
    for again, shown in [("title: Once more\nmoves: @lift", "Once more"), ("moves: @lift'", None)]:
        texts = published({"content/index.md": f"{lift}```moves\n{again}\n```\n"})
        assert titles(texts)[1:] == ([(shown, [])] if shown else [])
        assert ">lift</a>" in texts["index.html"]


def test_a_derivation_called_as_its_sequence_says_so_once(published) -> None:
    derivation = "```derivation{}\nnames: lift\n{}steps:\n- turn: R\n```\n"
    texts = published({"content/index.md": derivation.format("", "title: A lift\n")})
    assert titles(texts) == [("A lift", ["sequences/lift.html"])]
    assert "This defines" not in texts["index.html"]
    for name, line in [(" way-of-it", ""), ("", "without: title\n")]:
        texts = published({"content/index.md": derivation.format(name, line)})
        assert 'This defines <a href="sequences/lift.html">' in texts["index.html"]
