"""Sequences that refer to one another by name."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from turned_text import does

from sitegen.moves.parse import parse
from sitegen.moves.references import LONGEST_CHAIN, references, resolve, resolve_one
from sitegen.moves.tree import Node
from sitegen.moves.turning import expand, permutation, turn_count
from sitegen.problems import Problem, Source, written
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Puzzle

Turned = Callable[[str, Puzzle], Permutation]


def trees(puzzle: Puzzle, **texts: str) -> dict[str, Node]:
    return {name: parse(Source(f"{name}.md", text).passage(), puzzle) for name, text in texts.items()}


def test_references_are_filled_in_whatever_the_order_of_writing(cube3: Puzzle, turned: Turned) -> None:
    done, problems = resolve(trees(cube3, top="[@middle, U]", middle="R @low' R'", low="F D"))
    assert problems == []
    assert permutation(done["top"], cube3) == turned("[R (F D)' R', U]", cube3)
    assert expand(done["top"]) == expand(parse(written("[R (F D)' R', U]"), cube3))


def test_references_are_listed_in_the_order_they_are_written(cube3: Puzzle) -> None:
    tree = parse(written("@a (@b [@c: @d])2 [R, @a]"), cube3)
    assert [reference.name for reference in references(tree)] == ["a", "b", "c", "d", "a"]


def test_a_reference_not_resolved_is_not_taken_for_nothing(cube3: Puzzle) -> None:
    with pytest.raises(LookupError, match="@lift"):
        does("R @lift", cube3)


def test_an_unknown_reference_proposes_the_nearest_name(cube3: Puzzle) -> None:
    done, problems = resolve(trees(cube3, lift="R", move="U F\n  @lfit U", other="D"))
    assert sorted(done) == ["lift", "other"]
    (problem,) = problems
    assert problem.headline() == "move.md:2:3: no sequence is named lfit"
    assert problem.hint == "is it @lift?"
    assert problem.passage.excerpt() == "      @lfit U\n      ^^^^^"


def test_an_unknown_reference_unlike_any_name_says_where_names_come_from(cube3: Puzzle) -> None:
    with pytest.raises(Problem, match="no sequence is named zzz") as caught:
        resolve_one(parse(written("R @zzz"), cube3), trees(cube3, lift="R"))
    assert "first line of its block" in caught.value.hint
    assert caught.value.passage.column == 3


def test_every_unknown_reference_is_told_not_the_first_alone(cube3: Puzzle) -> None:
    _, problems = resolve(trees(cube3, a="@x R @y", b="@z"))
    assert [problem.passage.text for problem in problems] == ["@x", "@y", "@z"]


@pytest.mark.parametrize(
    ("texts", "place", "circle"),
    [
        ({"a": "R @a"}, "a.md:1:3", "a → a"),
        ({"a": "R @b", "b": "U  @a"}, "b.md:1:4", "a → b → a"),
        ({"a": "@b", "b": "@c", "c": "(R U\n[D, @b])"}, "c.md:2:5", "b → c → b"),
    ],
)
def test_a_circle_is_told_once_where_it_closes(cube3: Puzzle, texts, place: str, circle: str) -> None:
    done, problems = resolve(trees(cube3, **texts))
    (problem,) = problems
    assert problem.headline() == f"{place}: the sequences refer to each other in a circle: {circle}"
    assert problem.passage.text.startswith("@")
    assert problem.hint
    assert done == {}


def test_every_circle_is_told_and_what_is_in_none_is_whole(cube3: Puzzle) -> None:
    done, problems = resolve(trees(cube3, a="@b", b="@a", c="R @d", d="@c U", e="@a", f="D"))
    told = [
        problem.message.removeprefix("the sequences refer to each other in a circle: ")
        for problem in problems
    ]
    assert sorted(told) == ["a → b → a", "c → d → c"]
    assert sorted(done) == ["f"]


def test_a_circle_is_told_from_the_sequence_that_was_written_first(cube3: Puzzle) -> None:
    (problem,) = resolve(trees(cube3, z="@m", m="@a", a="@z"))[1]
    assert problem.message.endswith(": z → m → a → z")


def test_unknown_names_and_circles_are_told_together(cube3: Puzzle) -> None:
    problems = resolve(trees(cube3, a="@nobody R", b="@b"))[1]
    assert [problem.passage.text for problem in problems] == ["@nobody", "@b"]


def test_both_parts_of_a_bracket_are_filled_in(cube3: Puzzle, turned: Turned) -> None:
    known = trees(cube3, a="R", b="U F")
    for text, meant in {"[@a, @b]": "[R, U F]", "[@a: @b]": "[R: U F]"}.items():
        assert permutation(resolve_one(parse(written(text), cube3), known), cube3) == turned(meant, cube3)


def test_a_number_behind_a_name_is_told_to_be_a_repeat(cube3: Puzzle) -> None:
    known = trees(cube3, lift="R")
    with pytest.raises(Problem) as caught:
        resolve_one(parse(written("U @lift12"), cube3), known)
    assert caught.value.hint == "the sequence lift is repeated as (@lift)12"
    resolve_one(parse(written("(@lift)12"), cube3), known)


def test_a_problem_in_one_sequence_leaves_the_others_whole(cube3: Puzzle) -> None:
    done, problems = resolve(trees(cube3, good="@low U", low="R", bad="@missing", worse="@bad R"))
    assert sorted(done) == ["good", "low"]
    assert len(problems) == 1


def chain(puzzle: Puzzle, references: int, start: str = "R", link: str = "@a{}") -> dict[str, Node]:
    """a0 refers to a1, a1 to a2 …, as many references as said; the last is written out."""
    texts = {f"a{i}": link.format(i + 1) for i in range(references)}
    return trees(puzzle, **texts, **{f"a{references}": start})


@pytest.mark.parametrize("last_first", [False, True])
def test_references_may_follow_references_as_often_as_said(cube3: Puzzle, last_first: bool) -> None:
    """The message says “more than 60 times”, so 60 times is allowed."""
    written_so = chain(cube3, LONGEST_CHAIN)
    order = reversed(written_so.items()) if last_first else written_so.items()
    done, problems = resolve(dict(order))
    assert problems == []
    assert permutation(done["a0"], cube3) == permutation(written_so[f"a{LONGEST_CHAIN}"], cube3)


@pytest.mark.parametrize("length", [61, 80, 5000])
@pytest.mark.parametrize("last_first", [False, True])
def test_a_chain_too_long_is_one_problem_in_any_order_of_writing(cube3, length, last_first) -> None:
    written_so = chain(cube3, length)
    order = reversed(written_so.items()) if last_first else written_so.items()
    done, problems = resolve(dict(order))
    assert [problem.message for problem in problems] == ["references follow references more than 60 times"]
    assert problems[0].hint
    assert problems[0].passage.source.name == f"a{length - 61}.md"  # the first with 61 references below it
    assert sorted(done) == sorted(f"a{i}" for i in range(length - 60, length + 1))


def test_a_chain_that_doubles_at_every_step_is_turned_at_once_and_not_written_out(cube3, turned) -> None:
    written_so = chain(cube3, LONGEST_CHAIN - 1, start="R U", link="@a{0} @a{0}")
    done, problems = resolve(written_so)
    assert problems == []
    assert turn_count(done["a0"]) == 2 * 2**59
    assert permutation(done["a0"], cube3) == turned(f"(R U){pow(2, 59, 105)}", cube3)  # order 105, Singmaster
    with pytest.raises(Problem, match=r"1,152,921,504,606,846,976|over 10"):
        expand(done["a0"])


@pytest.mark.parametrize("sequences", [2, 5, 20, 59])
def test_brackets_as_deep_as_allowed_in_every_sequence_of_a_chain_turn(cube3, turned, sequences) -> None:
    """(( … @a1 … )1)1 to the bound of one text, in each sequence."""
    link = "(" * 40 + "@a{}" + ")1" * 40
    done, problems = resolve(chain(cube3, sequences, start="R U", link=link))
    if problems:  # refused is as good as turned; breaking down is not
        assert all(problem.hint for problem in problems)
        return
    assert permutation(done["a0"], cube3) == turned("R U", cube3)
    assert turn_count(done["a0"]) == 2
