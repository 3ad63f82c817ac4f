"""What was meant for a link, a heading or a note, and is none in Markdown, is told of where it stands."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitegen.pages import literal
from sitegen.pages.literal import doubted_signs, literal_problems
from sitegen.pages.markdown import page_prose, plain_text
from sitegen.pages.unread import unread_problems
from sitegen.problems import written

SIGNS = [
    "![a](my pic.png)",
    "[a](my page.md)",
    '[a](my page.md "T")',
    "[one, two](my page.md)",
    "[a](my page)",
    "[the method][meth]",
    "[the *method*][meth]",
    "![the method][meth]",
    "[meth][]",
    "[^1]",
    "~~x~~",
    "~~two words~~",
    "==x==",
    "[a] (x.md)",
    "[R, U] (more/x.md#part)",
    "![a] (p.png)",
    "[a] (https://example.org/)",
    "[a] (#part)",
    "[a](x.md",
    "![a](p.png",
    '[a](x.md "title)',
    "[a](x.md “title”)",
    "[a](x.md title)",
    "(a)[x.md]",
    "(x.md)[a]",
    "(x.md#b)[the a]",
    "(https://example.org)[a]",
    "<x.md>",
    "<sequence: one>",
    "< sequence:one>",
    "<Method : way >",
    "[[x]]",
    "^[note]",
]
MEANT = [
    "[R, U](R U)3",
    "[A, B][C, D]",
    "[A: B] [R, U]",
    "[a](<my page.md>)",
    "[a](my%20page.md 'T')",
    "[sic]",
    "10 ~ 20 ~~ 30",
    "see #tag and #1",
    "see [1] (x.md) and [2]",
    "[sic] (and/or) [U, D] (see below)",
    "R [U, D] in a text, and {U, D}",
    "(see there) [U, D]",
    "a * b, 2 ** 3 ** 4",
    "x** and y**",
    "**a**, (**b**) and **c**: d",
    "a == b or b == c",
    "it`s $5 or $10",
    "12:30:45 :: x",
    "<x> or x < y.md",
    "a <b and c: d> e",
    "see x.md",
]
"""Moves, links, and signs that mean themselves."""
AROUND = [
    "{}",
    "Text {} text.",
    "> Text\n> {} text",
    "- an item\n\n  {}",
    "| h |\n|---|\n| {} |",
    "# {}\n",
    "**{}**",
]


def told(text: str) -> list[tuple[str, str]]:
    prose = page_prose(written(text), html=False)
    problems = [*literal_problems(prose), *unread_problems(prose, ())]
    return [(problem.passage.text, problem.message) for problem in problems]


@pytest.mark.parametrize("signs", [literal.SIGNS, literal.LINES, literal.SHORT, literal.DOUBTED])
@given(data=st.data())
def test_a_text_without_any_of_some_characters_has_no_signs(data, signs: re.Pattern[str]) -> None:
    """Most texts have none of them, and are not looked through for signs."""
    text = data.draw(st.from_regex(signs))
    assert not signs.search(text) or literal.ANY.search(text)


@pytest.mark.parametrize("around", AROUND)
@pytest.mark.parametrize("sign", SIGNS)
def test_a_sign_that_is_shown_as_letters_is_told_of_where_it_stands(sign: str, around: str) -> None:
    assert [place for place, _ in told(around.format(sign))] == [sign]


@pytest.mark.parametrize("around", AROUND)
@pytest.mark.parametrize("text", MEANT)
def test_moves_links_and_signs_that_mean_themselves_are_nobodys_business(text: str, around: str) -> None:
    assert told(around.format(text)) == []


@pytest.mark.parametrize("sign", SIGNS)
def test_code_and_what_is_escaped_are_never_touched(sign: str) -> None:
    escaped = "".join(f"\\{char}" if char in "[]()~!^*=<>" else char for char in sign)
    numbered = "".join(f"&#{ord(char)};" if char in "[]()~!^*=<>" else char for char in sign)
    for text in (f"`{sign}`", f"``{sign}``", f"```\n{sign}\n```", f"    {sign}", escaped, numbered):
        assert told(text) == []
    before = f"`{sign}` {escaped} "
    (problem,) = literal_problems(page_prose(written(before + sign), html=False))
    assert (problem.passage.text, problem.passage.start) == (sign, len(before))


def test_html_that_is_let_through_is_never_touched() -> None:
    prose = page_prose(
        written("<p title='[a][b]'>\n~~x~~ [a](b c.md)\n</p>\n\nText <b title='[a][b]'>x</b>\n"), html=True
    )
    assert list(literal_problems(prose)) == []


@pytest.mark.parametrize("before", ["", "[sic] ", "*a* ]( ", "[x] ][meth] "])
@pytest.mark.parametrize(
    "sign", ["[*a*](my page.md)", "[x][`a`]", "[*a* `b` *c*][meth]", r"[*a*](my a\|b.md)"]
)
def test_the_place_is_that_of_the_sign_alone(sign: str, before: str) -> None:
    text = f"| h |\n|---|\n| {before}{sign} |\n"
    places = [problem.passage.text for problem in literal_problems(page_prose(written(text), html=False))]
    assert places[-1:] == [sign]


def test_a_place_is_found_however_many_signs_stand_about_it() -> None:
    """To try every way from one to the next would never come to an end."""
    bold = "*a* " * 2000
    text = f"| h |\n|---|\n| [{'*a* ' * 50}](my a\\|b.md) {bold}|\n"
    prose = page_prose(written(text), html=False)
    assert len([*literal_problems(prose)]) == 1


WORDS = st.sampled_from(["one", "`two`", "*three*", "[four](x.md)", r"\[five\]", "six\n", "#8", *SIGNS])


@given(st.lists(WORDS, min_size=1, max_size=8))
def test_of_a_paragraph_each_sign_is_told_of_once_and_in_order(words: list[str]) -> None:
    assert [place for place, _ in told(" ".join(words))] == [word for word in words if word in SIGNS]


@pytest.mark.parametrize("around", ["{}", "Text {} text.", "> {}", "# {}", "| h |\n|---|\n| {} |"])
@pytest.mark.parametrize("sign", ["** bold**", "**bold **", "**two words **"])
def test_signs_that_set_nothing_bold_are_told_of(around: str, sign: str) -> None:
    assert [place for place, _ in told(around.format(sign))] == [sign]
    assert told(around.format(sign.replace("*", r"\*"))) == []


def test_so_are_those_that_a_letter_stands_too_near() -> None:
    """CommonMark 0.31.2, 6.2: a quotation mark and a letter about a ** keep it from ending anything."""
    assert [place for place, _ in told("**„bold“**ly\n")] == ["**„bold“**"]


@pytest.mark.parametrize("around", ["{}", "Text {} text.", "> {}", "# {}", "**{}**"])
@pytest.mark.parametrize("count", [1, 2, 3])
def test_code_that_nothing_ends_is_told_of(around: str, count: int) -> None:
    begun = "`" * count
    assert [place for place, _ in told(around.format(f"a {begun}R U"))] == [begun]
    assert told(around.format(f"a \\`R U and {begun}R U{begun}")) == []


DEFINING = [
    "[my page] : x.md",
    "[my page]: my page.md",
    "[a]: x.md title",
    '[a]: x.md "T" more',
    '[a]: x.md "T',
]


@pytest.mark.parametrize("around", ["{}", "> {}", "- {}", "Text\n\n{}\n\n[a]\n"])
@pytest.mark.parametrize("line", DEFINING)
def test_a_line_that_was_to_say_where_links_lead_is_told_of(around: str, line: str) -> None:
    ((place, message),) = told(around.format(line))
    assert (place, message.partition(":")[0]) == (line, "this says of no link where it leads")


def test_in_the_midst_of_a_text_no_line_says_where_links_lead() -> None:
    assert [place for place, _ in told("Text\n[a]: x.md\n")] == ["[a]: x.md"]


@pytest.mark.parametrize(
    "text", ["[sic]: so it was", "[R, U]: turns; see x.md", "[1]: x.md and more", "[a]: b"]
)
def test_other_colons_behind_brackets_are_text(text: str) -> None:
    assert [message for _, message in told(text) if "no link where" in message] == []


@pytest.mark.parametrize("around", ["{}", "Text\n{}", "> {}", "- {}"])
@pytest.mark.parametrize("line", [":::", "::: note", ":::note"])
def test_lines_of_colons_are_told_of(around: str, line: str) -> None:
    assert [place for place, _ in told(around.format(line))] == [line]


@pytest.mark.parametrize("sign", ["\\newpage", "\\clearpage", "\\pagebreak", "[pagebreak]", "[page break]"])
def test_a_sign_for_a_new_sheet_is_told_of(sign: str) -> None:
    passage = written(f"Text.\n\n{sign}\n\nText, and `{sign}`.\n")
    ((kind, place),) = doubted_signs(page_prose(passage, html=False))
    assert (kind, place.text) == ("sheet", sign)


@pytest.mark.parametrize("kind", ["[!NOTE]", "[!tip]"])
def test_the_kind_of_a_quotation_is_told_of(kind: str) -> None:
    assert [place for place, _ in told(f"> {kind}\n> Text\n")] == [kind]
    assert told(f"So \\{kind}.\n") == []


@pytest.mark.parametrize(
    "text", ["[a][nowhere][b] and [a]", "[a]\n\n```position\nmoves: R\nsay: See {}.\n```"]
)
@pytest.mark.parametrize("link", ["[a]", "[x][a]"])
def test_a_link_that_takes_no_line_of_its_page_is_told_of(problems_of, text: str, link: str) -> None:
    (problem,) = problems_of(index=f"{text.format(link)}\n\n[a]: x.md\n[b]: x.md\n\n[b]\n", x="Text.\n")
    assert problem.message.startswith("this takes no line of the page for where it leads")
    assert problem.passage.text == (link if "{}" in text else "[a]")


NOTED = [
    ("**Note: x", "**"),
    ("so (__x", "__"),
    ("- [ ] x", "[ ]"),
    ("1. [x] x", "[x]"),
    ("Two\nlines\n: what they mean", ":"),
    ("!!! note", "!!!"),
    ("so $$x^2$$", "$$x^2$$"),
    ("See https://example.org/a?b=(c).", "https://example.org/a?b=(c"),
    ("| a | b |\n|---|---|\n| http://example.org | c |", "http://example.org"),
]


ADDRESSES = [
    "<https://example.org>",
    "[see https://example.org now](https://example.org)",
    "`https://example.org`",
]


@pytest.mark.parametrize(("text", "place"), NOTED)
def test_what_may_be_meant_as_it_stands_is_a_note(guide_at, text: str, place: str) -> None:
    guide = guide_at(index=f"{text}\n\n{text}\n")
    (note,) = guide.notes
    assert guide.problems == ()
    assert note.passage.text == place
    assert note.message.startswith("note: ")
    assert note.message.endswith(": this is shown as it is written, here and in 1 more place")


@pytest.mark.parametrize(
    "text",
    [
        "**a** b",
        "`**a`",
        "\\**a",
        "a** b",
        "5**",
        "_a",
        "*a",
        "[x]",
        "Wow!!!",
        "a: b\n:) c",
        "$$ and $$$",
        *ADDRESSES,
    ],
)
def test_what_is_ordinary_is_no_note(guide_at, text: str) -> None:
    guide = guide_at(index=f"{text}\n")
    assert (guide.problems, guide.notes) == ((), ())


@pytest.mark.parametrize("around", ["{}", "Text\n{}", "> {}", "- {}", "1. {}\n2. b"])
@pytest.mark.parametrize("signs", ["#" * count for count in range(1, 7)])
def test_a_heading_without_its_blank_is_told_of(signs: str, around: str) -> None:
    ((place, message),) = told(around.format(f"{signs}Heading of words"))
    assert (place, message.partition(":")[0]) == (f"{signs}Heading", "a heading has a blank behind its #")


@pytest.mark.parametrize("text", ["#1 of 2", "A #tag", "\\#Heading", "# #tag", "#######seven", "# Heading"])
def test_other_hashes_are_no_headings(text: str) -> None:
    assert told(text) == []


@pytest.mark.parametrize(
    "mark", ["{#anchor}", "{ #anchor }", "{: .big}", "{:.big}", "{#a .big}", "{.big}", "{.wide key=x}"]
)
@pytest.mark.parametrize("text", ["# Head {}", "Text {}\n", "Text\n{}\n", "> {}\n"])
def test_what_stands_in_braces_behind_a_text_is_told_of(problems_of, text: str, mark: str) -> None:
    (problem,) = problems_of(index=text.format(mark))
    assert problem.passage.text == mark
    assert problem.message.startswith(f"{mark} says nothing of this text")
    assert problems_of(index=text.format(f"\\{mark}")) == []


def test_what_a_block_says_is_read_for_signs_too(problems_of) -> None:
    (problem,) = problems_of(index="```moves q\nmoves: R\nsay: So [the method][meth].\n```\n")
    assert (problem.passage.line, problem.passage.text) == (3, "[the method][meth]")


# Lists: CommonMark 0.31.2, 5.3: of the numbers of an ordered list only the first one counts ------------


@given(
    numbers=st.lists(st.integers(0, 12), min_size=1, max_size=5),
    sign=st.sampled_from(".)"),
    quoted=st.booleans(),
)
def test_a_number_that_is_shown_as_another_is_told_of(numbers: list[int], sign: str, quoted: bool) -> None:
    text = "".join(f"{'> ' * quoted}{number}{sign} text\n" for number in numbers)
    shown = range(numbers[0], numbers[0] + len(numbers))
    wrong = [pair for pair in zip(numbers, shown, strict=True) if pair[0] != pair[1]]
    if len(set(numbers)) == 1 or not wrong:
        assert told(text) == []
    else:
        assert told(text) == [(str(wrong[0][0]), f"{wrong[0][0]} would be shown as {wrong[0][1]}")]


def test_each_list_in_a_list_counts_by_itself() -> None:
    assert told("1. a\n   1. b\n   2. c\n2. d\n   - e\n   - f\n3. g\n") == []
    assert told("1. a\n   1. b\n   5. c\n2. d\n") == [("5", "5 would be shown as 2")]


# Links that say nothing -----------------------------------------------------------------------------------


@pytest.mark.parametrize("blank", ["", " ", "  ", "\n", "&nbsp;", " \n "])
def test_a_link_of_blanks_says_the_title_of_what_it_leads_to(blank: str) -> None:
    (_, inline, _) = page_prose(written(f"See [{blank}](x.md)."), html=False).tokens
    assert plain_text(inline, lambda target: "Title") == "See Title."
