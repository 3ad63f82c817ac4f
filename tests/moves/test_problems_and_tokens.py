"""Errors as a reader sees them, and the tokenizer that finds their place."""

from __future__ import annotations

from difflib import SequenceMatcher
from unicodedata import category

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitegen.problems import EXCERPT, Passage, Problem, Problems, Source, nearest, written
from sitegen.tokenizer import Tokenizer

RULES = {"word": r"[a-z]+", "number": r"\d+", "comma": ","}


def at(text: str, part: str, **where: int) -> Passage:
    source = Source("content/page.md", text, **where)
    start = text.index(part)
    return source.passage(start, start + len(part))


def marked(passage: Passage) -> str:
    """What stands above the marker."""
    line, marks = passage.excerpt().split("\n")
    return line[marks.index("^") : marks.rindex("^") + 1]


def test_a_problem_reads_file_line_column_message_excerpt_marker_hint() -> None:
    problem = Problem("“Q” is no turn", at("R U\nF Q D", "Q"), "write B")
    assert str(problem) == (
        "content/page.md:2:3: “Q” is no turn\n"
        "    F Q D\n"
        "      ^\n"
        "    hint: write B"
    )  # fmt: skip


@pytest.mark.parametrize("char", [*"\u00a0\u2003\u3000\u200b\u200f\u202e\ufeff\u00ad\t\u2028"])
def test_a_message_tells_the_number_of_a_character_that_nobody_sees(char: str) -> None:
    problem = Problem(f"there is no key “te{char}xt size”", at("R", "R"))
    assert problem.message == f"there is no key “te[U+{ord(char):04X}]xt size”"


def test_a_message_in_any_writing_stays_as_it_is() -> None:
    message = "“é שלום 立方 🙂 — …” is no turn"
    assert Problem(message, at("R", "R")).message == message


@given(st.text(max_size=40), st.text(max_size=40), st.text(min_size=1, max_size=80), st.data())
def test_nothing_that_a_text_contains_is_obeyed_by_a_terminal(message, hint, text, data) -> None:
    start = data.draw(st.integers(0, len(text)))
    told = str(Problem(message, Source(f"{text[:9]}.md", text).passage(start), hint))
    # Unicode, general categories: controls, formats such as the turning of writing round, ends of lines.
    assert {category(char) for char in told.replace("\n", "")}.isdisjoint({"Cc", "Cf", "Zl", "Zp"})


def test_a_character_that_nobody_sees_keeps_its_room_in_the_excerpt() -> None:
    assert at("R \x1b[31mU\u202e Q", "Q").excerpt() == "    R �[31mU� Q\n              ^"


def test_a_problem_without_a_hint_has_no_hint_line() -> None:
    assert "hint" not in str(Problem("wrong", at("R", "R")))


@pytest.mark.parametrize(
    ("first_line", "indent", "headline"),
    [(1, 0, "2:3"), (10, 0, "11:3"), (10, 4, "11:7")],
)
def test_line_and_column_count_from_1_in_the_file_the_text_stands_in(first_line, indent, headline) -> None:
    problem = Problem("wrong", at("R U\nF Q D", "Q", first_line=first_line, indent=indent))
    assert problem.headline() == f"content/page.md:{headline}: wrong"


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("R U F", "U"),
        ("\tR\tUUU F", "UUU"),
        ("R\n\t\tQ", "Q"),
        ("é ü Q", "Q"),
        ("x" * 300 + " here " + "y" * 300, "here"),
        ("x" * 300 + " here", "here"),
        ("here " + "y" * 300, "here"),
    ],
)
def test_the_marker_stands_under_what_is_meant(text: str, part: str) -> None:
    passage = at(text, part)
    assert marked(passage) == part
    line, marks = passage.excerpt().split("\n")
    assert "\t" not in line + marks  # tabs would shift the marker from the column
    assert len(line) <= EXCERPT + 4


def test_the_marker_of_a_passage_over_several_lines_ends_with_its_first_line() -> None:
    passage = at("R (U\nF) D", "(U\nF)")
    assert passage.excerpt() == "    R (U\n      ^^"


def test_at_the_end_of_the_text_the_marker_is_one_wide() -> None:
    assert Source("a", "R U").passage(3).excerpt() == "    R U\n       ^"


def test_a_carriage_return_is_not_printed() -> None:
    assert "\r" not in at("R Q\r\nU", "Q").excerpt()


@given(st.text(alphabet="RU \tQ\n", min_size=1, max_size=300), st.data())
def test_every_excerpt_has_a_marker_inside_its_line(text: str, data) -> None:
    start = data.draw(st.integers(0, len(text) - 1))
    end = data.draw(st.integers(start + 1, len(text)))
    passage = Source("a", text).passage(start, end)
    line, marks = passage.excerpt().split("\n")
    first = text[start:end].split("\n")[0].replace("\t", " ")
    assert marks.strip() == "^" * len(marks.strip())
    assert len(line) <= EXCERPT + 4
    if first:
        assert first.startswith(marked(passage))
        assert marks.count("^") == len(first) or len(line) == EXCERPT + 4


@given(st.text(alphabet="RU\n ", max_size=60), st.integers(1, 50), st.data())
def test_line_and_column_lead_back_to_the_character(text: str, first_line: int, data) -> None:
    start = data.draw(st.integers(0, len(text)))
    source = Source("a", text, first_line)
    passage = source.passage(start)
    assert source.line_start(passage.line) + passage.column - 1 == start


def test_the_start_of_a_line_past_the_end_is_the_end() -> None:
    assert Source("a", "R\nU", first_line=5).line_start(9) == 3


def test_a_part_and_a_stripped_passage_stand_where_they_did() -> None:
    passage = at("R  (U F )", "  (U F )")
    assert passage.stripped().text == "(U F )"
    assert passage.stripped().column == 4
    assert passage.part(3, 4).text == "U"


def test_problems_are_told_in_reading_order() -> None:
    a, b = Source("a.md", "R\nU F"), Source("b.md", "R")
    found = Problems(
        [
            Problem("fourth", b.passage(0, 1)),
            Problem("third", a.passage(4, 5)),
            Problem("second", a.passage(2, 3)),
            Problem("first", a.passage(0, 1)),
        ]
    )
    assert [problem.message for problem in found.problems] == ["first", "second", "third", "fourth"]
    assert str(found).index("first") < str(found).index("second") < str(found).index("fourth")


def test_problems_in_one_file_are_sorted_by_number_not_by_text() -> None:
    source = Source("a.md", "\n" * 11)
    found = Problems([Problem("later", source.passage(10)), Problem("sooner", source.passage(1))])
    assert [problem.passage.line for problem in found.problems] == [2, 11]


# --- the tokenizer --------------------------------------------------------------------------------


def test_tokens_are_read_one_at_a_time_without_the_white_space_between() -> None:
    tokens = Tokenizer(written("  ab 12,\n c "), RULES)
    read = [tokens.read("word", "number", "comma") for _ in range(4)]
    assert [(t.rule, t.text, t.passage.start, t.passage.end) for t in read if t] == [
        ("word", "ab", 2, 4),
        ("number", "12", 5, 7),
        ("comma", ",", 7, 8),
        ("word", "c", 10, 11),
    ]
    assert tokens.at_end
    assert tokens.read("word") is None


def test_checking_a_token_does_not_read_it() -> None:
    tokens = Tokenizer(written("ab 1"), RULES)
    assert tokens.check("word") == tokens.check("word") == tokens.read("word")
    assert tokens.check("word") is None


def test_a_tight_token_follows_without_white_space() -> None:
    tokens = Tokenizer(written("a1 b 2"), RULES)
    tokens.read("word")
    assert tokens.read_tight("number") is not None
    tokens.read("word")
    assert tokens.read_tight("number") is None
    assert tokens.read("number") is not None


def test_what_is_expected_is_said_and_the_word_met_is_marked() -> None:
    source = Source("page.md", "one a ??b c", first_line=3)
    tokens = Tokenizer(source.passage(4), RULES)  # a passage that begins inside its source
    tokens.read("word")
    with pytest.raises(Problem) as caught:
        tokens.expect("a number", "number", hint="write 1")
    assert str(caught.value) == (
        "page.md:3:7: expected a number; found “??b”\n"
        "    one a ??b c\n"
        "          ^^^\n"
        "    hint: write 1"
    )  # fmt: skip


def test_at_the_end_the_problem_says_that_the_text_ends() -> None:
    tokens = Tokenizer(written("ab"), RULES)
    tokens.read("word")
    with pytest.raises(Problem, match="expected a comma; the text ends here"):
        tokens.expect("a comma", "comma")


@given(st.text("abc-", max_size=8), st.lists(st.text("abc-", max_size=8), unique=True), st.floats(0.3, 0.9))
def test_the_nearest_are_those_whose_ratio_is_the_largest(text: str, known: list[str], cutoff: float) -> None:
    """Of the standard library, asked for each word."""
    ratios = {word: SequenceMatcher(None, word, text).ratio() for word in known}
    best = max(ratios.values(), default=0.0)
    assert nearest(text, known, cutoff) == [word for word in known if ratios[word] == best >= cutoff]
