"""What an author writes behind a key means the same in a block, in guide.yaml and at the head of a page."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from sitegen.pages.block_body import read_fields
from sitegen.problems import Findings, Problem, Problems, written
from sitegen.settings import Setting, read_settings

KEYS = ("value", "other")
REFUSED = "refused"


def in_a_block(text: str) -> Setting:
    return read_fields(written(text), KEYS)["value"]


def in_yaml(text: str) -> Setting:
    findings = Findings()
    settings = read_settings(written(text), KEYS, findings)
    findings.settle()
    return settings["value"]


def read(text: str, place: Callable[[str], Setting], reader: Callable[[Setting], Any]) -> Any:
    try:
        found = reader(place(text))
    except (Problem, Problems):
        return REFUSED
    return found


def names(setting: Setting) -> list[str]:
    return [name.text for name in setting.as_names("a name", "")]


@pytest.mark.parametrize("place", [in_a_block, in_yaml])
@pytest.mark.parametrize(
    ("value", "reader", "meant"),
    [
        ("yes", Setting.as_yes, True),
        ("True", Setting.as_yes, True),
        ("on", Setting.as_yes, True),
        ("no", Setting.as_yes, False),
        ("false", Setting.as_yes, False),
        ("OFF", Setting.as_yes, False),
        ("y", Setting.as_yes, REFUSED),
        ("1", Setting.as_yes, REFUSED),
        ("12", lambda setting: setting.as_number(1, 60), 12),
        ("'12'", lambda setting: setting.as_number(1, 60), 12),
        ("61", lambda setting: setting.as_number(1, 60), REFUSED),
        ("1.5", lambda setting: setting.as_number(1, 60), REFUSED),
        ("007", Setting.as_text, "007"),
        ("one\n  and two", Setting.as_text, "one and two"),
        ('"one: two"', Setting.as_text, "one: two"),
        ("'it''s'", Setting.as_text, "it's"),
        ('"a \\"word\\" of #1"', Setting.as_text, 'a "word" of #1'),
        ("Card#1", Setting.as_text, "Card#1"),
        ("Card #1", Setting.as_text, REFUSED),
        ("Card # one", Setting.as_text, REFUSED),
        ("one\n# a comment\nother: two", Setting.as_text, "one"),
        ("one\n#two\nother: two", Setting.as_text, REFUSED),
        ("one\n  - two", Setting.as_text, REFUSED),
        ("[one, two]", Setting.as_texts, ("one", "two")),
        ("one, two", Setting.as_texts, ("one", "two")),
        ("\n- one\n- two", Setting.as_texts, ("one", "two")),
        ("\n  - one\n\n  # a comment\n  - two", Setting.as_texts, ("one", "two")),
        ("\n- one, two\n- three", Setting.as_texts, ("one", "two", "three")),
        ('"one, two"', Setting.as_texts, ("one, two",)),
        ("['one, two', three]", Setting.as_texts, ("one, two", "three")),
        ("\n- 'one, two'\n- three", Setting.as_texts, ("one, two", "three")),
        ("one,, two", Setting.as_texts, REFUSED),
        ("one, two,", Setting.as_texts, REFUSED),
        ("one, one", Setting.as_texts, REFUSED),
        ("[one, two", Setting.as_texts, REFUSED),
        ("\n- one\n  - two", Setting.as_texts, REFUSED),
        ("\n- one\n - two", Setting.as_texts, REFUSED),
        ("\n- [one, two]", Setting.as_texts, REFUSED),
        ("\n- one\n-\n- two", Setting.as_texts, REFUSED),
        ("a b", names, ["a", "b"]),
        ("a, b and c", names, ["a", "b", "c"]),
        ("a, b, and c", names, ["a", "b", "c"]),
        ("[a, b]", names, ["a", "b"]),
        ("\n- a\n- b and c", names, ["a", "b", "c"]),
        ("and-so and or", names, ["and-so", "or"]),
        ("a and", names, REFUSED),
        ("and a", names, REFUSED),
        ("a,", names, REFUSED),
        ("a; b", names, REFUSED),
        ("a b a", names, REFUSED),
        ("\n- a\n- a", names, REFUSED),
        ("", Setting.as_text, REFUSED),
        ('""', Setting.as_text, REFUSED),
    ],
)
def test_a_value_means_the_same_wherever_it_is_written(
    place: Callable[[str], Setting], value: str, reader: Callable[[Setting], Any], meant: Any
) -> None:
    assert read(f"value: {value}\n", place, reader) == meant


PIECES = st.sampled_from(
    [*"ab#,'\"[]-:@&!*|>? ", "and", " and ", ", ", "- ", "\n  ", "\n- ", "\n  - ", "\\n"]
)


@given(st.lists(PIECES, min_size=1, max_size=7).map("".join))
@example("a\n  - b")
@example('"a" b')
@example("[a] b")
@example("&a b")
@example("!a b")
@example("\n- 'a\n- '")
def test_no_value_has_two_meanings(value: str) -> None:
    """A block takes what is no YAML, as moves are; but whatever both take says the same."""
    for reader in (Setting.as_text, Setting.as_texts, names):
        block, yaml = (read(f"value: {value}\n", place, reader) for place in (in_a_block, in_yaml))
        assert REFUSED in (block, yaml) or block == yaml, (value, reader)


def test_each_name_of_a_list_stands_where_it_was_written() -> None:
    for place in (in_a_block, in_yaml):
        found = place("value:\n- one, two\n- 'three'\n").as_names("a name", "")
        assert [(name.line, name.column) for name in found] == [(2, 3), (2, 8), (3, 4)]


# In a guide -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("body", "told"),
    [
        (
            "moves: R U R' U'\nclaims:\n- order 6\nsay: Done.\n- flips UF",
            "6:1: an item of a list stands here in the midst of a text",
        ),
        ("moves: R\nsay: Done.\n  - flips UF", "4:3: an item of a list stands here in the midst of a text"),
        ("moves: R\nclaims:\n- order 4\n  title: T", "5:3: the key “title” is set in"),
        ("moves: R\nclaims:\n- order 4\n- say: Done.", "5:3: the items of “claims” have no keys"),
    ],
)
def test_a_claim_behind_another_key_is_not_printed_as_prose(headlines, body: str, told: str) -> None:
    (found,) = headlines(index=f"```moves x\n{body}\n```\n")
    assert found == f"content/index.md:{told}"


@pytest.mark.parametrize(
    ("lines", "at"),
    [
        (["- turn: F", "say: One.", "- turn: F'"], 5),
        (["- turn: F", "title: One.", "- turn: F'"], 5),
        (["- turn: F", "  say: One.", " - turn: F'"], 5),
        (["- turn: F", "  say: One.", "  - turn: F'"], 5),
        (["- turn: F", "  say: One.", "    turn: F'"], 5),
        (["  - turn: F", "- turn: F'"], 4),
    ],
)
def test_no_step_of_a_derivation_is_lost(headlines, lines: list[str], at: int) -> None:
    (found,) = headlines(index="\n".join(["```derivation x", "steps:", *lines, "```", ""]))
    assert found.startswith(f"content/index.md:{at}:")


STAGE = "- stage: {}\n  goal: {} placed\n  using: any turns of U up to 1\n"


@pytest.mark.parametrize("key", ["say: Now on.", "title: T"])
def test_no_stage_of_a_method_is_lost(headlines, key: str) -> None:
    """Without its second stage it would say “every case is solved” of the first alone."""
    stages = f"{STAGE.format('One', 'UF')}{key}\n{STAGE.format('Two', 'UR')}"
    found = headlines(index=f"```method x\nopen: yes\nstages:\n{stages}```\n")
    assert "content/index.md:8:1: an item of a list stands here in the midst of a text" in found


@pytest.mark.parametrize("tags", ["[red, blue]", "red, blue", "\n- red\n- blue"])
def test_tags_are_the_same_in_a_block_and_at_the_head_of_a_page(guide_at, tags: str) -> None:
    guide = guide_at(index=f"---\ntags: {tags}\n---\n```moves x\nmoves: R\ntags: {tags}\n```\n")
    assert guide.pages[0].tags == guide.sequences["x"].tags == ("red", "blue")


@pytest.mark.parametrize(
    ("head", "body", "told"),
    [
        ("moves", "moves: R\ntags: red", "tags stand on the page of a named sequence"),
        ("position x", "pieces: flips UF and UR\ntags: red", "there is no key “tags” here"),
        (
            "derivation x",
            "steps:\n- turn: R\ntags: red",
            "tags are about the sequence that a derivation names",
        ),
    ],
)
def test_tags_stand_only_where_a_page_shows_them(headlines, head: str, body: str, told: str) -> None:
    (found,) = headlines(index=f"```{head}\n{body}\n```\n")
    assert found.endswith(told)


def test_moves_in_quotation_marks_are_those_between_them(guide_at) -> None:
    guide = guide_at(index="```moves x\nmoves: \"R U\"\nsay: 'One #1'\n```\n\n```moves y\n'[@x, F]'\n```\n")
    assert guide.problems == ()
    assert (guide.sequences["x"].moves, guide.sequences["y"].moves) == ("R U", "[@x, F]")
    assert guide.sequences["x"].say.passage.text == "One #1"


@pytest.mark.parametrize(
    ("block", "place"),
    [
        ('moves x\nmoves: "R \\x40nowhere"', "2:11"),
        ('derivation x\nnames: y\nsteps:\n- turn: "R \\x40nowhere"', "4:12"),
    ],
)
def test_a_mistake_in_moves_with_signs_written_otherwise_is_told(headlines, block: str, place: str) -> None:
    (found,) = headlines(index=f"```{block}\n```\n")
    assert found == f"content/index.md:{place}: no sequence is named nowhere"


@pytest.mark.parametrize(
    ("block", "message", "hint"),
    [
        (
            "derivation q\nsteps:\n- turn: R\nas: one\n- turn: R'",
            "the key “as” stands outside the items of “steps”",
            "set it in",
        ),
        (
            "derivation q\nsteps:\n- turn: R\nas: one",
            "the key “as” stands outside the items of “steps”",
            "set it in",
        ),
        (
            "method m\nstages:\n- stage: One\n  goal: UF home\nusing: any turns up to 4",
            "the key “using” stands outside the items of “stages”",
            "set it in",
        ),
        (
            "moves q\nmoves: R\nclaims: order 4\n- changes only R",
            "an item of a list stands here in the midst of a text",
            "write the key of its list above it",
        ),
        ("moves q\nmoves: R\nclaims:\n- order 4\n- order 4", "“order 4” stands here twice", "write it once"),
        ("moves q\nmoves: R\nclaims: order 4; order 4", "“order 4” stands here twice", "write it once"),
        ("moves q\nmoves: R\nclaims: keeps L except L", "no piece is left of these", "take fewer"),
        ("moves q\nmoves: R\nfocus: UF except U", "no piece is left of these", "take fewer"),
    ],
)
def test_what_is_out_of_place_twice_or_empty_is_told(problems_of, block, message, hint) -> None:
    problems = problems_of(index=f"```{block}\n```\n")
    (told,) = [problem for problem in problems if problem.message == message]
    assert hint in told.hint


@pytest.mark.parametrize(
    ("lines", "message"),
    [
        ("view:\n- [corner, top]", "a list stands in a list"),
        ("view: corner,", "expected a text; the text ends here"),
        ("view: [corner, ]", "expected a text; found “]”"),
        ("view: [corner, top", "expected"),
    ],
)
def test_a_list_that_is_none_is_told_with_how_one_is_written(problems_of, lines, message) -> None:
    (problem,) = problems_of(index=f"```moves q\nmoves: R\n{lines}\n```\n")
    assert message in problem.message
    assert problem.hint.startswith(("write “corner”, or", "write “corner, top”, or"))


HEAD = ["title: A long", "summary: Some words", "tags:", "- one", "- two"]


@pytest.mark.parametrize("at", range(1, len(HEAD) + 1))
@pytest.mark.parametrize("stray", ["and more", "more", '"more"', "more words, and, more"])
def test_a_text_that_goes_on_set_out_is_told_where_it_does(problems_of, at: int, stray: str) -> None:
    """Not at the next line, which YAML sees first: at the head of a page that is often the last."""
    head = "".join(f"{line}\n" for line in [*HEAD[:at], stray, *HEAD[at:]])
    (problem,) = problems_of(index=f"---\n{head}---\nHome.\n")
    assert (problem.passage.line, problem.passage.column, problem.passage.text) == (at + 2, 1, stray)
    assert problem.message == "YAML: this line is no key, and goes on with no text"
    assert "further in" in problem.hint


def test_set_in_as_its_hint_says_it_goes_on(guide_at) -> None:
    guide = guide_at(index="---\ntitle: A long\n  and more\n---\nHome.\n")
    assert not guide.problems
    assert guide.pages[0].title == "A long and more"
