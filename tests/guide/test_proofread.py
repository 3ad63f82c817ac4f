"""What is wrong with a guide as a whole, beyond its single blocks."""

from __future__ import annotations

import pytest


@pytest.mark.parametrize(
    ("text", "place", "message"),
    [
        ("Do `R U` {.moves} now.\n", "1:10", "{.moves} stands behind no code"),
        ("Do `R Q`{.move} now.\n", "1:9", "{.move} says nothing of the code before it"),
    ],
)
def test_inline_moves_do_not_go_unchecked_by_a_slip(headlines, text: str, place: str, message: str) -> None:
    assert headlines(index=text) == [f"content/index.md:{place}: {message}"]


def test_a_heading_that_is_the_title_is_read_like_any_text(headlines) -> None:
    assert headlines(index="# Try `R Q`{.moves} [x](nowhere.md)\n") == [
        "content/index.md:1:10: expected a turn, a group, a bracket or a reference; found “Q”",
        "content/index.md:1:25: there is no page nowhere.md",
    ]


def test_a_heading_that_says_nothing_is_no_title(guide_at) -> None:
    (page,) = guide_at(index="# ![](x.png)\n", files={"x.png": b""}).pages
    assert page.title == "Index"


def test_a_picture_in_a_heading_says_its_description(guide_at) -> None:
    (page,) = guide_at(index="# ![A cube](x.png)\n", files={"x.png": b""}).pages
    assert page.title == "A cube"


def test_settings_that_are_not_closed_are_not_taken_for_text(headlines) -> None:
    told = headlines(index="---\ntitle: Two\n\nText.\n")
    assert told == ["content/index.md:1:1: the settings at the head are not closed"]


def test_a_rule_at_the_head_of_a_page_is_a_rule(headlines) -> None:
    assert headlines(index="---\n\nText.\n") == []


def test_a_sequence_of_another_puzzle_is_said_to_be_one(problems_of) -> None:
    (problem,) = problems_of(
        index="```moves small\n@large U\n```\n", big="---\npuzzle: cube-4\n---\n```moves large\n2R\n```\n"
    )
    assert problem.headline() == "content/index.md:2:1: no sequence is named large"
    assert "it is a sequence of cube-4" in problem.hint


SETTINGS = "kind: handout\ncards: lift-edge\n"


@pytest.mark.parametrize(
    "head",
    [
        "\n---\n{}---\n",
        " ---\n{}---\n",
        "\ufeff\ufeff---\n{}---\n",
        "----\n{}----\n",
        "—\n{}—\n",
        "+++\n{}+++\n",
        "---\u00a0\n{}---\n",
        "---\n# To be printed.\n{}\n",
        "---\n\n{}",
        "***\n{}",
        "{}---\n",
        "{}",
        "\ufeff\ufeff{}---\n",
        "---\u2028{}---\n",
    ],
)
@pytest.mark.parametrize(
    "settings", [SETTINGS, SETTINGS.replace("kind", "Kind"), "text size: 9 pt\n" + SETTINGS]
)
def test_settings_that_do_not_stand_at_the_head_as_they_should_are_not_taken_for_text(
    headlines, head: str, settings: str
) -> None:
    (told,) = headlines(sheet=head.format(settings) + "Text.\n")
    assert "settings" in told


@pytest.mark.parametrize(
    "text",
    [
        "---\n\nA line, and then a text: this one.\n",
        "***\n\nText.\n\n---\n",
        "Summary: turn twice.\n\nThen: look.\n",
        "# Cards\n\ncards: they are cut out.\n",
        "Title\n---\n",
    ],
)
def test_text_with_lines_and_colons_is_text(headlines, text: str) -> None:
    assert headlines(sheet=text) == []


def test_tags_that_differ_in_capitals_are_shown_where_they_are_written(guide_at) -> None:
    head = "---\ntitle: One\nsummary: None of edges\ntags:\n- corners\n- edges\n---\n"
    block = "```moves m\nmoves: R U\ntags: first, Edges\n```\n"
    guide = guide_at(index=f"{head}Text.\n", more=f"# More\n\n{block}")
    (note,) = guide.notes
    assert note.headline().startswith("content/more.md:5:14: note: “edges” and “Edges” are two tags")
    assert note.hint == "write both one way: the other stands in content/index.md:6"


def test_of_what_a_fence_without_an_end_has_taken_in_nothing_else_is_told(headlines) -> None:
    text = "```moves a\nR U\n\nSome more text, and `R Q`{.moves}.\n"
    assert headlines(index=text) == ["content/index.md:1:1: this fence is not closed"]
    told = headlines(index=f"{text}\n```moves b\nR Q\n", other="```moves\nR Q\n```\n")
    assert sorted(line.partition(": ")[0] for line in told) == [
        "content/index.md:1:1",
        "content/index.md:6:1",  # which begins no block
        "content/other.md:2:3",
    ]


@pytest.mark.parametrize(
    ("begins", "ends", "more"),
    [
        ("```moves a", "``` and more", ""),
        ("```moves a", "``` and more", "```moves b\nR\n```\n"),  # which then ends the first
        ("  ````moves a", "  ```", ""),
        ("~~~~moves a", "~~~", ""),
        ("> ```text", "> ``` more", ""),
    ],
)
def test_a_line_that_was_to_end_a_fence_is_told_of_where_it_stands(
    problems_of, begins: str, ends: str, more: str
) -> None:
    sign = "> " if begins.startswith(">") else ""
    (problem,) = problems_of(index=f"Text.\n\n{begins}\n{sign}R Q\n{ends}\n{sign}[x](nowhere.md)\n{more}")
    assert problem.message == "this does not end what begins in line 3"
    assert (problem.passage.line, problem.passage.text) == (5, ends.strip("> "))


def test_the_line_that_ends_a_fence_by_being_set_in_less_is_told(problems_of) -> None:
    text = "- item\n\n  ```text\n one\n  two\n  ```\n"
    assert (
        problems_of(index=text)[0].hint == "line 4 is set in less, which ends it: set that in as this one is"
    )
    assert problems_of(index=text.replace(" one", "  one")) == []


@pytest.mark.parametrize("inside", ["``` text", "```moves b", "```"])
def test_a_longer_fence_may_show_others(headlines, inside: str) -> None:
    assert headlines(index=f"````text\n{inside}\n````\n") == []


@pytest.mark.parametrize(
    ("wrong", "message"),
    [
        ("claims:\n- length 8\nsteps:\n- turn: R\n", "expected a turn metric; the text ends here"),
        ("steps:\n- turn: R\n  nmae: aside\n", "there is no key “nmae” here"),
        ("steps:\n- turn: R\n : x\n", ""),
    ],
)
def test_what_a_derivation_would_name_is_known_though_it_cannot_be_read(
    problems_of, wrong: str, message: str
) -> None:
    derivation = f"```derivation\nnames: ring\n{wrong}```\n\n"
    others = "```moves a\n@ring U\n```\n\n`@ring`{.moves} and <sequence:ring>, `order 4`{.claim of=ring}.\n"
    (problem,) = problems_of(index=derivation + others)
    assert message in problem.message


WAY = "```method way\ncount: 5\nstages:\n- stage: A\n  goal: UF placed\n  using: any turns up to 2\n```\n"


@pytest.mark.parametrize(
    "text",
    [
        "```worked example\nmethod: way\nseed: 1\n```\n",
        "See [it](method:way).\n",
    ],
)
def test_what_stands_on_a_draft_is_said_to_be_there(problems_of, text: str) -> None:
    (problem,) = problems_of(index=text, later=f"---\ndraft: yes\n---\n{WAY}")
    assert "draft" in problem.hint
    assert "later.md" in problem.hint


def test_a_place_of_a_block_is_among_those_that_a_page_has(problems_of) -> None:
    derivation = "```derivation thought\nnames: ring\nsteps:\n- turn: R\n```\n\n"
    (problem,) = problems_of(index=f"{derivation}See [it](#elsewhere).\n")
    assert problem.hint == "places there: #derivation-thought"
    (problem,) = problems_of(index=f"{derivation}See <sequence:thought>.\n")
    assert problem.hint == "thought is a derivation: name ring in its place"
