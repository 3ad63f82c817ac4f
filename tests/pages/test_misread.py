"""Lines that Markdown takes for something else than they look like are told of: lists, tables, headings.

What Markdown makes of them is seen in its tokens: CommonMark 0.31.2, chapters 4 and 5, and the tables of
GitHub Flavored Markdown 0.29, 4.10.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitegen.pages.markdown import page_prose
from sitegen.pages.misread import misread_problems
from sitegen.problems import Problem, written


def problems(text: str) -> list[Problem]:
    return [*misread_problems(page_prose(written(text), html=False))]


def told(text: str) -> list[tuple[str, str]]:
    return [(problem.passage.text, problem.message) for problem in problems(text)]


def places(text: str) -> list[str]:
    return [place for place, _ in told(text)]


def kinds(text: str) -> list[str]:
    return [token.type for token in page_prose(written(text), html=False).tokens]


AROUND = ["{}", "Before.\n\n{}\nBehind.\n", "> {}", "- {}"]
"""Where the text stands: in the last two its further lines are set in or quoted too."""


def within(around: str, text: str) -> str:
    further = {"> {}": "> ", "- {}": "  "}.get(around, "")
    return around.format(text.replace("\n", f"\n{further}").removesuffix(further))


# Lists that run on ----------------------------------------------------------------------------------------

RUN_ON = [
    ("Text\n2. a\n3. b\n", "3. b"),
    ("Then do this:\n2. a\n", "2. a"),
    ("1.one\n2.two\n", "2.two"),
    ("a. one\nb. two\n", "b. two"),
    ("a) one\nb) two\n", "b) two"),
    ("Text\n• one\n• two\n", "• two"),
    ("– one\n– two\n", "– two"),
    ("-one\n-two\n", "-two"),
    ("*one\n*two\n", "*two"),
]


@pytest.mark.parametrize("around", AROUND)
@pytest.mark.parametrize(("text", "place"), RUN_ON)
def test_lines_that_look_like_a_list_and_are_none_are_told_of(around: str, text: str, place: str) -> None:
    assert told(within(around, text)) == [(place, "these lines run on as one text")]


def test_so_is_an_item_that_runs_on_in_the_one_above() -> None:
    assert places("1. one\n2.two\n") == ["2.two"]
    assert places("- one\n-two\n") == ["-two"]
    assert places("- Text\n      - one\n") == ["- one"]
    assert places("Text\n    - one\n    - two\n") == ["- two"]


@pytest.mark.parametrize("around", AROUND)
@pytest.mark.parametrize(
    "text",
    [
        "- a\n- b\n",
        "1. a\n2. b\n",
        "*First* of two\n*second* of two\n",
        "**Note** one\n**Other** two\n",
        "It was in\n2026. Then it\nwas over.\n",
        "It was over in this year:\n2026. And then\nit began.\n",
        "– So it is, he said,\nand not – so she – otherwise.\n",
        "a. one\\\nb. two\n",
        "– one  \n– two\n",
        "-5 degrees\n-3 degrees\n",
        "z. B.\nso\n",
        "R U\nR' U'\n",
        "`- a\n- b`\n",
        "1.5 cm\n2.5 cm\n",
    ],
)
def test_other_lines_run_on_as_they_are_meant_to(around: str, text: str) -> None:
    assert told(within(around, text)) == []


# Lists beside each other ----------------------------------------------------------------------------------


@given(
    number=st.integers(0, 200),
    indent=st.integers(0, 6),
    sign=st.sampled_from(["- ", "* ", "1. ", "1) "]),
    quote=st.sampled_from(["", "> "]),
    blank=st.booleans(),
)
def test_a_list_that_is_set_in_is_within_the_item_above_or_is_told_of(
    number: int, indent: int, sign: str, quote: str, blank: bool
) -> None:
    lines = [f"{number}. a", *([""] if blank else []), f"{' ' * indent}{sign}b"]
    text = "".join(f"{quote}{line}\n" for line in lines)
    depth = deepest = 0
    for kind in kinds(text):
        depth += (kind in ("bullet_list_open", "ordered_list_open")) - kind.endswith("_list_close")
        deepest = max(deepest, depth)
    is_list = sum(kind == "list_item_open" for kind in kinds(text)) == 2
    same_list = sum(kind.endswith("_list_open") for kind in kinds(text)) == 1
    wanted = is_list and deepest == 1 and indent > same_list
    assert [place for place in places(text) if wanted or place] == [f"{sign}b"] * wanted


@pytest.mark.parametrize(
    "text",
    [
        " 9. a\n10. b\n",
        "- a\n  - b\n    - c\n- d\n",
        "1. a\n   - b\n2. c\n",
        "- a\n\t- b\n",
        "- - a\n  - b\n",
        "- a\n\n1. b\n",
        "- a\n\nText\n\n  - b\n",
        "- a\n\n  more\n\n  - c\n- d\n",
        "> - a\n>   - b\n",
    ],
)
def test_lists_within_lists_and_below_each_other_are_nobodys_business(text: str) -> None:
    assert told(text) == []


@pytest.mark.parametrize("around", AROUND[:3])
@pytest.mark.parametrize("item", ["1. a\n2. b\n", "1. a\n\n2. b\n", "10. a\n"])
@pytest.mark.parametrize(
    "below", ["more", "```moves\n  R U\n  ```", "> more", "## More", "| a | b |\n  |---|---|\n  | 1 | 2 |"]
)
def test_what_is_set_in_by_less_than_a_number_takes_is_told_of(around: str, item: str, below: str) -> None:
    text = within(around, f"{item}\n  {below}\n")
    by = 4 if item.startswith("10") else 3
    line = below.partition("\n")[0].lstrip("> ")
    assert [(problem.passage.text, problem.hint) for problem in problems(text)] == [
        (line, f"set it in by {by}, so that it is within the item above it, or as far as that one")
    ]
    assert told(within(around, f"{item}\n{' ' * by}{below.replace('  ', ' ' * by)}\n")) == []


@pytest.mark.parametrize(
    "text",
    [
        "- a\n\n  more\n",
        "- - a\n\n  more\n",
        "1. - a\n\n   more\n",
        "- a\n  - b\n\n  more\n\nMore\n",
        "- a\n\nMore\n\n  More\n",
        "- a\n\n# More\n",
        "1. a\n\n> More\n",
        "> 1. a\n>\n> > More\n",
    ],
)
def test_what_is_within_an_item_or_not_set_in_is_nobodys_business(text: str) -> None:
    assert told(text) == []


# Tables ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("around", AROUND)
@pytest.mark.parametrize(
    ("text", "place"),
    [
        ("| a | b |\n|---|\n| 1 | 2 |\n", "|---|"),
        ("| a | b |\n|---|---|---|---|\n| 1 | 2 |\n", "|---|---|---|---|"),
        ("| a | b |\n|—|—|\n| 1 | 2 |\n", "|—|—|"),
        ("| a | b |\n| 1 | 2 |\n", "| a | b |"),
        ("| a | b |\n|---|---|\n\n| 1 | 2 |\n", "| 1 | 2 |"),
        ("| a | b |\n\n|---|---|\n| 1 | 2 |\n", "|---|---|"),
    ],
)
def test_what_looks_like_a_table_and_is_none_is_told_of(around: str, text: str, place: str) -> None:
    assert (place, "this is no table: it is shown as it is written") in told(within(around, text))


@given(head=st.integers(1, 4), rule=st.integers(1, 4), rows=st.integers(0, 2), gap=st.booleans())
def test_a_line_of_hyphens_makes_a_table_or_is_told_of(head: int, rule: int, rows: int, gap: bool) -> None:
    lines = ["a", "---", *["1"] * rows]
    cells = [head, rule, *[head] * rows]
    text = "".join(
        f"| {' | '.join([line] * count)} |\n{chr(10) * (gap and not at)}"
        for at, (line, count) in enumerate(zip(lines, cells, strict=True))
    )
    assert bool(told(text)) == ("table_open" not in kinds(text))


@pytest.mark.parametrize("text", ["x | y\n", "|x| is |y|\n", "|a| + |b|\n", "`| a |\n| b |`\n", "- | -\n"])
def test_other_bars_are_text(text: str) -> None:
    assert told(text) == []


# Headings -------------------------------------------------------------------------------------------------


@given(lines=st.integers(1, 3), sign=st.sampled_from("-="), count=st.integers(1, 5), quoted=st.booleans())
def test_a_heading_by_a_line_below_it_has_one_line_and_three_signs(
    lines: int, sign: str, count: int, quoted: bool
) -> None:
    """CommonMark 0.31.2, 4.3: any number of lines, and of signs, makes one."""
    text = "".join(f"{'> ' * quoted}{line}\n" for line in [*["word"] * lines, sign * count])
    assert "heading_open" in kinds(text)
    wanted = [(sign * count, "the text above would become a heading")]
    assert told(text) == (wanted if lines > 1 or count < 3 else [])


def test_of_a_head_that_is_not_read_only_that_is_told(headlines) -> None:
    (problem,) = headlines(index="title: T\nsummary: S\n---\nText.\n")
    assert "settings seem to be meant here" in problem


# Blanks ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("blank", ["\u00a0", "\u202f", "\u200b", "\ufeff", "\u3000"])
@pytest.mark.parametrize(
    ("text", "place"),
    [("-{}a\n", "-{}"), ("##{}Head\n", "##{}"), ("{}- a\n", "{}"), ("{}# Head\n", "{}"), ("{}1. a\n", "{}")],
)
def test_a_blank_that_keeps_a_sign_from_being_one_is_told_of(blank: str, text: str, place: str) -> None:
    assert "heading_open" not in kinds(text.format(blank))
    assert told(text.format(blank)) == [
        (place.format(blank), "a blank that Markdown does not read stands here")
    ]


@pytest.mark.parametrize("text", ["\u3000Text\n", "a\u00a0– b\n", "in\n2.\u00a0part\n", "50\u202f%\n"])
def test_other_blanks_are_part_of_the_text(text: str) -> None:
    assert told(text) == []


# Signs between numbers ------------------------------------------------------------------------------------


@pytest.mark.parametrize(("text", "place"), [("so 2*3*4 is", "2*3*4"), ("2**10**3\n", "2**10**3")])
def test_stars_between_numbers_that_would_vanish_are_told_of(text: str, place: str) -> None:
    assert places(text) == [place]


@pytest.mark.parametrize("text", ["2 * 3 * 4", "*2* 3", "2×3×4", "`2*3*4`", r"2\*3\*4", "un*frigging*likely"])
def test_other_stars_are_emphasis_or_stay(text: str) -> None:
    assert told(text) == []
