"""The body of a block is read key by key; moves and claims stand in it as they are."""

from __future__ import annotations

import pytest

from sitegen.pages.block_body import has_fields, read_fields
from sitegen.problems import Problem, Problems, Source, written
from sitegen.settings import Setting

KEYS = ("title", "moves", "claims", "view", "say")


def fields(text: str) -> dict[str, Setting]:
    return read_fields(written(text), KEYS)


def texts(text: str) -> dict[str, str]:
    return {key: setting.as_text() for key, setting in fields(text).items()}


def items(text: str) -> list[str]:
    return [item.as_text() for item in fields(text)["claims"].as_items()]


def test_keys_and_values_are_read_line_by_line() -> None:
    assert texts("title: Lift\nmoves: R U R'\n") == {"title": "Lift", "moves": "R U R'"}


@pytest.mark.parametrize(
    "moves", ["[R, U]", "[R: U]", "@lift-edge U", "(R U)3", "[@lift-edge, U]", "R' : U", "{x}", "R U'"]
)
def test_moves_need_no_quoting_whatever_they_begin_with(moves: str) -> None:
    assert texts(f"moves: {moves}\ntitle: T") == {"moves": moves, "title": "T"}


def test_a_line_set_further_in_goes_on_from_the_one_above() -> None:
    assert texts("say: one\n  two\n    three\ntitle: T") == {"say": "one two three", "title": "T"}


def test_a_value_may_begin_on_the_next_line() -> None:
    assert texts("moves:\n  R U\n  R'\ntitle: T") == {"moves": "R U R'", "title": "T"}


def test_quotation_marks_round_a_whole_value_are_taken_off() -> None:
    assert texts('title: "Lift: the edge"\nsay: "a" and "b" too') == {
        "title": "Lift: the edge",
        "say": '"a" and "b" too',
    }


def test_a_colon_inside_a_value_makes_no_key() -> None:
    assert texts("title: Lift: the edge\nsay: see http://example.org") == {
        "title": "Lift: the edge",
        "say": "see http://example.org",
    }


@pytest.mark.parametrize(
    "text",
    [
        "claims:\n- flips UF\n- keeps U except UF\n",
        "claims:\n  - flips UF\n  - keeps U except UF\ntitle: T",
        "claims:\n\n- flips UF\n\n- keeps U except UF\n",
        "claims:\n- flips UF\n- keeps U\n  except UF\n",
        "claims:\n-\xa0flips UF\n-\xa0keeps U except UF\n",
        "claims:\n-\n  flips UF\n- keeps U except UF\n",
    ],
)
def test_a_list_is_what_stands_behind_dashes(text: str) -> None:
    assert items(text) == ["flips UF", "keeps U except UF"]


def test_a_value_without_dashes_is_a_list_of_one() -> None:
    assert items("claims: flips UF") == ["flips UF"]


@pytest.mark.parametrize(
    "text",
    [
        "# about it\nmoves: R U\ntitle: T",
        "moves: R U\n# about it\ntitle: T",
        "moves: R U\ntitle: T\n# about it",
        "moves:\n  R\n  # about it\n  U\ntitle: T",
    ],
)
def test_a_comment_line_is_no_part_of_any_value(text: str) -> None:
    assert texts(text) == {"moves": "R U", "title": "T"}


def test_a_comment_line_between_claims_is_no_part_of_a_claim() -> None:
    assert items("claims:\n- flips UF\n# why not\n- order 2\n") == ["flips UF", "order 2"]


def test_a_value_knows_the_line_and_column_where_it_was_written() -> None:
    body = Source("page.md", "title: T\nmoves:   R U\nclaims:\n - flips UF\n", first_line=10, indent=2)
    read = read_fields(body.passage(), KEYS)
    assert (read["moves"].key.line, read["moves"].key.column) == (11, 3)
    assert (read["moves"].said.line, read["moves"].said.column) == (11, 12)
    (claim,) = read["claims"].items
    assert (claim.said.line, claim.said.column) == (13, 6)


@pytest.mark.parametrize(
    ("text", "line", "column", "message", "hint"),
    [
        ("titel: T\nmoves: R", 1, 1, "there is no key “titel” here", "is it title?"),
        (
            "moves: R\ncolor: red",
            2,
            1,
            "there is no key “color” here",
            "keys are title, moves, claims, view, say",
        ),
        ("moves: R\ntitle: A\nmoves: U", 3, 1, "the key “moves” stands here twice", "write it once"),
        ("moves: R\nU R'", 2, 1, "expected a key and a colon, as in “title: …”", "set it in"),
        ("moves: R\ntitle:T", 2, 1, "the text runs into the key “title”", "put a space behind the colon"),
        ("moves: R\nTitle: T", 2, 1, "keys are written in small letters", "write title:"),
        ("moves:R U", 1, 1, "the text runs into the key “moves”", "put a space behind the colon"),
        ("Moves: R", 1, 1, "keys are written in small letters", "write moves:"),
        ("MOVES:R", 1, 1, "keys are written in small letters", "write moves:"),
        ("moves : R", 1, 1, "a colon stands right behind its key", "write moves:"),
        ("Titel: T", 1, 1, "there is no key “Titel” here", "is it title?"),
        ("titel:T", 1, 1, "there is no key “titel” here", "is it title?"),
        ("moves: R\nsay: see\nhttp://x.org", 3, 1, "expected a key and a colon", "set it in"),
        ("R U R' U'\nclaims:\n- order 6", 1, 1, "expected a key and a colon", "write “moves: R U"),
        ("R U\n  claims:\n  - order 6", 1, 1, "expected a key and a colon", "write “moves: R U"),
        ("- order 6\nmoves: R", 1, 1, "this list has no key", "on the line above"),
        ("claims:\n-order 6", 2, 1, "a list item begins with “- ”", "write “- order 6”"),
        ("claims:\n* order 6", 2, 1, "a list item begins with “- ”", "write “- order 6”"),
        ("claims:\n- flips UF\n– order 6", 3, 1, "a list item begins with “- ”", "write “- order 6”"),
        ("moves: R\nclaims:\ntitle: T", 2, 1, "nothing is written for “claims”", "take the key away"),
        (
            "claims: - order 6\n- flips UF",
            1,
            9,
            "an item of a list stands here in the midst",
            "write the key",
        ),
        (
            "say: x\n  - order 6",
            2,
            3,
            "an item of a list stands here in the midst of a text",
            "write the key",
        ),
        (
            "claims:\n- flips UF\n  - order 6",
            3,
            3,
            "this item is set in",
            "begin it below the first",
        ),
        ("claims:\n  - flips UF\n- order 6", 3, 1, "this item is set out", "below the first"),
        (
            "claims:\n  - flips UF\n  order 6",
            3,
            3,
            "this line is no item and goes on with none",
            "or set it in",
        ),
        ("claims:\n- flips UF\n  say: Done.", 3, 3, "the key “say” is set in", "below the first key"),
        ("claims:\n- say: Done.", 2, 3, "the items of “claims” have no keys", "without a dash"),
        ("title: T\n  moves: R", 2, 3, "the key “moves” is set in", "below the first key"),
        ("title: T\n  Moves : R", 2, 3, "the key “Moves” is set in", "below the first key"),
        ("  title: T\nmoves: R", 1, 3, "this line is set in further than the other keys", "set it out"),
        ("\u00a0title: T\nmoves: R\nsay: x\n  and y", 1, 2, "this line is set in further", "set it out"),
        ("  title: T\nmoves: R\n  say: x", 2, 1, "this line is set out", "below the first key"),
        ("moves: R\n\tview: net\n  U", 2, 1, "a tab stands before this text", "spaces in place"),
        ("moves: R\nview net", 2, 1, "expected a key and a colon", "write “view: net”; or, if it goes on"),
        ("moves: R\nview： net", 2, 1, "expected a key and a colon", "write “view: net”; or, if it goes on"),
        ("moves: R\nView = net", 2, 1, "expected a key and a colon", "write “view: net”; or, if it goes on"),
        ("moves: R\n\u200bview: net", 2, 1, "expected a key and a colon", "write “view: net”; or, if it"),
        ("title T\nmoves: R", 1, 1, "expected a key and a colon", "write “title: T”"),
        ("title: T\n\tmore", 2, 1, "a tab stands before this text", "spaces in place"),
        ("claims:\n-\torder 6", 2, 2, "a tab stands before this text", "spaces in place"),
        ("say: |\n  one", 1, 6, "here a text needs no sign before it", "take the sign away"),
        (
            'say: "one\n\n  two"',
            1,
            6,
            "there is a gap in this text in quotation marks",
            "without empty lines",
        ),
        ('say: "one\n# and\n  two"', 1, 6, "there is a gap in this text in quotation marks", "and comments"),
        ("title: Card #1", 1, 13, "this # may begin a comment or be a part of the text", "begins with “# ”"),
        ("moves: R # up", 1, 10, "this # may begin a comment or be a part of the text", "begins with “# ”"),
        ('title: "Four turns', 1, 8, "these quotation marks do not go together", "leave the mark out"),
        ("title: 'It's four'", 1, 8, "these quotation marks do not go together", "one at its end"),
        ("say: Take\n  #1 away", 2, 3, "this # may begin a comment or be a part", "in quotation marks"),
        ("title: T\n#moves: R", 2, 1, "this # may begin a comment or be a part", "begins with “# ”"),
    ],
)
def test_what_cannot_be_read_is_marked(text: str, line: int, column: int, message: str, hint: str) -> None:
    with pytest.raises(Problem) as caught:
        fields(text)
    problem = caught.value
    assert (problem.passage.line, problem.passage.column) == (line, column)
    assert problem.message.startswith(message)
    assert hint in problem.hint


@pytest.mark.parametrize(
    ("text", "line", "column", "message", "hint"),
    [
        ("claims:\n  -order 6", 2, 3, "a list item begins with “- ”", "write “- order 6”"),
        ("claims:\n  – order 6\n  - flips UF", 2, 3, "a list item begins with “- ”", "write “- order 6”"),
        ("claims:\n  - flips UF\n  * order 6", 3, 3, "a list item begins with “- ”", "write “- order 6”"),
        ("claims: *order 6", 1, 9, "a list item begins with “- ”", "write “- order 6”"),
        ("claims:\n- flips UF\n- \n", 3, 1, "this item is empty", "write a text behind the dash"),
        ("claims:\n-\n- flips UF", 2, 1, "this item is empty", "write a text behind the dash"),
        ("claims:\n  -\xa0\n  - flips UF", 2, 3, "this item is empty", "write a text behind the dash"),
    ],
)
def test_what_is_no_item_of_a_list_is_marked_at_its_sign(
    text: str, line: int, column: int, message: str, hint: str
) -> None:
    with pytest.raises(Problem) as caught:
        items(text)
    problem = caught.value
    assert (problem.passage.line, problem.passage.column, problem.message) == (line, column, message)
    assert len(problem.passage.text) == 1
    assert hint in problem.hint


def test_every_bad_item_of_a_list_is_told() -> None:
    with pytest.raises(Problems) as caught:
        items("claims:\n  *order 6\n  -\n  - flips UF\n")
    assert [problem.passage.line for problem in caught.value.problems] == [2, 3]


@pytest.mark.parametrize(
    ("text", "yes"),
    [
        ("moves: R", True),
        ("\n  title: T\nmoves: R", True),
        ("R U R'", False),
        ("[R: U]", False),
        ("[R, U]: x", False),
        ("x y z", False),
        ("Moves: R", True),
        ("moves:R U", True),
        ("R U R' U'\nclaims:\n- order 6", True),
        ("R U\n  Claims :\n  - order 6", True),
        ("[R\nx y z: U]", False),
        ("[R U\nRUR: U]", False),  # turns need no space between them
        ("# about it\nmoves: R", True),
        ("", False),
    ],
)
def test_a_body_is_fields_or_a_text_of_its_own(text: str, yes: bool) -> None:
    assert has_fields(written(text)) is yes


@pytest.mark.parametrize("before", ["", "title: T\n", "title: T\nclaims:\n- order 4\n"])
@pytest.mark.parametrize(("line", "column"), [("\tview: net", 1), ("  \tview: net", 3), ("- \torder 6", 3)])
def test_a_tab_that_sets_in_is_marked_itself(problems_of, before: str, line: str, column: int) -> None:
    """Not the tabs before and behind it that stand within texts."""
    body = f"say: a\tb\n{before}{line}\tc"
    problems = [p for p in problems_of(index=f"```moves q\nmoves: R\n{body}\n```\n") if "a tab" in p.message]
    at = 3 + before.count("\n") + 1
    assert [(p.passage.line, p.passage.column, p.passage.text) for p in problems] == [(at, column, "\t")]
