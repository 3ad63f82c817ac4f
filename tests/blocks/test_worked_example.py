"""The block `worked example`: one position, solved stage by stage by a method of the guide; its mistakes."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from marked_text import marked
from sample_methods import (
    CORNER_STAGES,
    EDGE,
    SEQUENCES,
    SMALL_CUBE,
    is_home,
    is_placed,
    moves_blocks,
)

from sitegen.blocks.method.method import Method
from sitegen.blocks.worked_block import WorkedExample
from sitegen.guide.guide import Guide
from sitegen.problems import Problem
from sitegen.puzzles.permutation import Permutation, compose, from_images
from sitegen.puzzles.puzzle import Puzzle
from sitegen.site.publish import check

BLOCKS = moves_blocks()
STUCK = EDGE.replace("@lift", "@far-flips").replace("count: 5", "count: 5\nopen: yes")
CORNERS = f"```method corners\ncount: 5\n{CORNER_STAGES}```\n\n"
LOWER, UPPER = ("DFR", "DBR", "DBL", "DFL"), ("UFR", "UBR", "UBL", "UFL")


def block(body: str, head: str = "worked example w") -> str:
    return f"```{head}\n{body}\n```\n\n"


pytestmark = pytest.mark.usefixtures("counted_soon", "kept_in_module")


def examples(guide: Guide) -> list[WorkedExample]:
    assert [str(problem) for problem in guide.problems] == []
    blocks = [block for blocks in guide.blocks.values() for block in blocks]
    return [block.checked for block in blocks if isinstance(block.checked, WorkedExample)]


@pytest.fixture
def worked(guide_at) -> Callable[..., WorkedExample]:
    """The example of a block that stands below the method of one edge."""

    def of(body: str, before: str = EDGE, more: str = BLOCKS, **pages: str) -> WorkedExample:
        (example,) = examples(guide_at(index=before + block(body) + more, **pages))
        return example

    return of


@pytest.fixture
def small(worked) -> Callable[[str], WorkedExample]:
    """The same with the method that solves the small cube."""
    return lambda body: worked(body, SMALL_CUBE + CORNERS)


@pytest.fixture
def told(problems_of) -> Callable[..., list[Problem]]:
    def of(body: str, before: str = EDGE, head: str = "worked example w", **pages: str) -> list[Problem]:
        return problems_of(index=before + block(body, head) + BLOCKS, **pages)

    return of


def begun(example: WorkedExample) -> Permutation:
    return from_images(example.position)


def stage_by_stage(
    example: WorkedExample, turned_by_text, puzzle: Puzzle
) -> Iterator[tuple[int, str, Permutation]]:
    """Each step that was done, and the position after it, its moves turned as they are written."""
    position = begun(example)
    for part in example.parts:
        for step in part.steps:
            position = compose(position, turned_by_text(" ".join(step.moves), puzzle))
            assert from_images(step.after) == position
            yield part.stage, step.name, position
        yield part.stage, "", position
        assert from_images(part.after) == position


# What it shows --------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "body",
    [
        "F R U",
        "moves: F R U",
        "# one\nmoves: F R U",
        "title: T\nmoves: F R U",
        "moves:\n  F\n  R U",
        "\n F R U\n",
    ],
)
def test_moves_lead_to_the_position(worked, turned, cube3, body: str) -> None:
    example = worked(body)
    assert begun(example) == turned("F R U", cube3)
    assert (example.moves, example.seed, example.method) == ("F R U", None, "edge")


def test_each_stage_reaches_its_goal_by_what_is_written(worked, turned_by_text, cube3) -> None:
    # By hand: F takes UF to FR and R takes that to UR, its sticker of U in front, where U brings it home:
    # it is in its place and flipped.
    example = worked("F R U")
    assert is_placed(begun(example), "UF", cube3)
    assert not is_home(begun(example), "UF", cube3)
    (first, second) = example.parts
    assert first.steps == ()
    assert [(step.name, step.case, step.moves) for step in second.steps] == [("", "UF is at FU", ("@lift",))]
    (*_, (_, _, end)) = stage_by_stage(example, turned_by_text, cube3)
    assert is_home(end, "UF", cube3)


@pytest.mark.parametrize(
    "moves", ["R2 D B2", "R' D2 F L", "B D R' U2", "M E S", "x R y U z'", "(R U)3 [F, R]"]
)
def test_whatever_the_position_the_goals_are_reached_one_after_the_other(
    worked, turned_by_text, cube3, moves: str
) -> None:
    example = worked(moves)
    done = list(stage_by_stage(example, turned_by_text, cube3))
    assert {stage for stage, *_ in done} == {0, 1}
    for stage, _, position in done:
        assert is_placed(position, "UF", cube3)
        assert stage == 0 or is_home(position, "UF", cube3)
    assert example.stuck == ""
    assert done[-1][2] == compose(begun(example), turned_by_text(example.in_full, cube3))


@pytest.mark.parametrize(
    "body", ["R U2 F' R U R2 F", "(R U F)5", "seed: 1", "seed: 0\nposition: 2", "seed: 7\nposition: 30"]
)
def test_a_whole_puzzle_is_solved_stage_by_stage(small, turned_by_text, cube2, body: str) -> None:
    example = small(body)
    assert begun(example) == turned_by_text(example.moves, cube2)
    home: list[str] = []
    for stage, step, position in stage_by_stage(example, turned_by_text, cube2):
        if stage == 0 and step:
            home = [*LOWER[: LOWER.index(step) + 1]]
        assert all(is_home(position, piece, cube2) for piece in home or LOWER)
        if stage > 0:
            assert all(is_placed(position, piece, cube2) for piece in UPPER)
    assert position == cube2.identity
    assert example.home
    assert compose(turned_by_text(example.moves, cube2), turned_by_text(example.in_full, cube2)) == (
        cube2.identity
    )
    assert example.length == len(re.findall(r"[UDFBLR]", example.in_full))  # WCA 12a5: no turn counts twice


def test_moves_that_move_the_centres_lead_to_the_position_seen_with_the_centres_home(
    worked, turned, cube3
) -> None:
    # By hand: M follows L; when the middle is home again, L' and R have been turned.
    assert begun(worked("M")) == turned("R L'", cube3)
    assert begun(worked("x y")) == cube3.identity
    # Set up by these moves and held as before.
    assert worked("x y").moves == "x y y' x'"


def test_of_a_stage_of_several_steps_those_are_named_in_which_nothing_is_done(small) -> None:
    some = 0
    for position in range(1, 13):
        lower = small(f"seed: 3\nposition: {position}").parts[0]
        done = {step.name for step in lower.steps}
        left = [name for name in LOWER if name not in done]
        assert re.findall(r"[A-Z]+", lower.idle) == left
        some += bool(done and left)
    assert some


def test_a_seed_gives_a_random_position_and_its_number_another(small) -> None:
    first, again, second, other = (
        small(body) for body in ("seed: 3", "seed: 3\nposition: 1", "seed: 3\nposition: 2", "seed: 4")
    )
    assert first.position == again.position
    assert len({first.position, second.position, other.position}) == 3
    assert (first.seed, first.number, second.seed, second.number) == (3, 1, 3, 2)
    assert first.moves == again.moves != second.moves


def test_the_positions_of_a_seed_are_those_of_the_trial(guide_at) -> None:
    # Of the turns that they take, one by one, comes the count of the trial.
    page = SMALL_CUBE + CORNERS.replace("count: 5", "count: 4\nseed: 9") + BLOCKS
    page += "".join(block(f"seed: 9\nposition: {n}", "worked example") for n in range(1, 5))
    guide = guide_at(index=page)
    lengths = [example.length for example in examples(guide)]
    trial = guide.named(Method)["corners"].trial
    assert dict(trial.counts) == {length: lengths.count(length) for length in sorted(lengths)}
    assert lengths.index(max(lengths)) + 1 == trial.longest


def test_moves_may_name_sequences(worked, turned_by_text, cube3) -> None:
    example = worked("moves: R @lift’ U")
    assert begun(example) == turned_by_text("R @lift' U", cube3)
    assert example.moves == "R @lift' U"
    assert "lift" in example.refers_to


def test_where_the_method_does_not_solve_everything_no_moves_lead_to_a_random_position(worked) -> None:
    example = worked("seed: 1")
    assert (example.moves, example.home) == ("", False)


def test_an_example_keeps_what_its_author_wrote(worked) -> None:
    example = worked("title: Two\nmethod: edge\nmoves: R\nview: top, net\nletters: yes\nsay: *Hm.*")
    assert (example.title, example.shown.views, example.shown.letters) == ("Two", ("top", "net"), True)
    assert len(example.prose) == 1
    assert worked("R").title == "W"  # its name in plain words


def test_an_example_needs_no_name_and_defines_no_sequence(guide_at) -> None:
    page = EDGE + BLOCKS + block("R", "worked example") + block("seed: 2", "worked example")
    guide = guide_at(index=page)
    assert len(examples(guide)) == 2
    assert guide.sequences.keys() == SEQUENCES.keys()


def test_an_example_may_stand_before_its_method_and_on_another_page(guide_at) -> None:
    first = guide_at(index=block("F R U") + BLOCKS, later=EDGE)
    assert [page.name for page in first.pages] == ["index", "later"]
    (example,) = examples(first)
    assert (example.method, len(example.parts)) == ("edge", 2)


def test_an_example_says_by_which_of_several_methods(worked) -> None:
    place = "- stage: To its place\n  goal: UF placed\n  using: any turns up to 2\n"
    other = (
        EDGE.replace("method edge", "method other").replace(place, "").replace("UF oriented by U", "UF home")
    )
    other = other.replace("count: 5", "count: 5\nopen: yes")
    assert len(worked("method: other\nmoves: F R U", EDGE + other).parts) == 1
    assert len(worked("method: edge\nmoves: F R U", EDGE + other).parts) == 2


def test_a_method_of_another_puzzle_is_not_counted(worked) -> None:
    example = worked(
        "F R U",
        small=SMALL_CUBE
        + CORNERS.replace("three-up", "a").replace("twist-pair", "b")
        + (f"```moves a\n{SEQUENCES['three-up']}\n```\n\n```moves b\n{SEQUENCES['twist-pair']}\n```\n"),
    )
    assert example.method == "edge"


# Where a method ends --------------------------------------------------------------------------------------


def test_an_open_method_may_end_before_the_goal_and_it_is_said_where(worked, turned_by_text, cube3) -> None:
    # By hand as above: the edge is in its place, flipped, and what may be used flips others.
    example = worked("F R U", STUCK)
    assert example.stuck == "Over: UF is at FU"
    assert [(part.stage, part.steps) for part in example.parts] == [(0, ())]
    assert not example.home


def test_it_may_end_in_a_step(worked) -> None:
    steps = "goal: UF and DB placed\n  one by one: UF, DB\n  using: any turns up to 1"
    few = f"```method few\ncount: 5\nopen: yes\nstages:\n- stage: Two\n  {steps}\n```\n\n"

    def stuck(moves: str) -> str:
        return worked(moves, few).stuck

    # By hand: one turn brings UF home from UB, and none from DB. With UF home, a turn of D or B brings DB
    # home from its layer, and none does from UL, where D and L2 take it.
    assert stuck("U2") == ""
    assert stuck("U2 B2").startswith("Two, UF: UF is at ")
    assert stuck("D") == ""
    assert stuck("D L2").startswith("Two, DB: DB is at ")


# What is kept ---------------------------------------------------------------------------------------------


@pytest.fixture
def again(tmp_path: Path) -> Callable[[str], list[WorkedExample]]:
    """The examples of a page that is published in one folder, time after time."""

    def published(page: str) -> list[WorkedExample]:
        files = {"content/guide.yaml": "title: T\n", "content/index.md": page + BLOCKS}
        for name, text in files.items():
            (tmp_path / name).parent.mkdir(exist_ok=True)
            (tmp_path / name).write_text(text, encoding="utf-8")
        guide = check(tmp_path)
        return examples(guide)

    return published


def test_an_example_is_not_solved_again_when_nothing_has_changed(again, monkeypatch) -> None:
    page = EDGE + block("F R U") + block("seed: 4", "worked example")
    first = again(page)

    def never(*_: object) -> None:
        raise AssertionError("it is known")

    monkeypatch.setattr("sitegen.blocks.worked_block.solve", never)
    for one, other in zip(first, again(page.replace("To its place", "Otherwise")), strict=True):
        called = tuple(
            replace(part, title=part.title.replace("To its place", "Otherwise")) for part in one.parts
        )
        assert (one.position, called, one.in_full) == (other.position, other.parts, other.in_full)


def test_an_example_is_solved_anew_when_its_method_changes(again) -> None:
    def lines(page: str) -> list[str]:
        (example,) = again(page + block("R D F"))
        return [text for part in example.parts for step in part.steps for text in step.moves]

    # By hand: neither R nor D moves UF, and F takes it to FR, its sticker of U on R. F' brings it back;
    # without F it goes by R to UR and by U home, where that sticker comes to the front.
    assert lines(EDGE) == ["F'"]
    without = EDGE.replace("any turns up to 2", "any turns of U, D, R, L and B up to 3")
    assert lines(without) == ["R U", "@lift"]
    assert lines(without.replace("@lift", "@lift'")) == ["R U", "@lift'"]


def test_what_is_kept_does_not_hide_how_stages_are_named_now(again) -> None:
    page = STUCK + block("F R U")
    assert [example.stuck for example in again(page)] == ["Over: UF is at FU"]
    (renamed,) = again(page.replace("stage: Over", "stage: Turned over"))
    assert renamed.stuck == "Turned over: UF is at FU"


def test_what_is_kept_does_not_hide_how_steps_are_named_now(again) -> None:
    page = EDGE.replace("goal: UF placed", "goal: UF placed\n  one by one: UF") + block("F")
    names = []
    for text in (page, page.replace("one by one: UF", "one by one: FU")):
        (example,) = again(text)
        names.append([step.name for step in example.parts[0].steps])
    assert names == [["UF"], ["FU"]]


# Mistakes, each where it stands ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("body", "message", "hint"),
    [
        ("R ‹Q›", "found “Q”", ""),
        ("moves: R ‹Q›", "found “Q”", ""),
        ("moves: ‹@nothing›", "no sequence is named nothing", "first line of its block"),
        ("seed: ‹x›", "seed is a number from 0 to 999999999, not “x”", "seed: 1"),
        ("seed: ‹-1›", "seed is a number from 0 to 999999999, not “-1”", "seed: 1"),
        ("seed: 1\nposition: ‹0›", "position is a number from 1 to 100000, not “0”", "position: 2"),
        ("seed: 1\nposition: ‹100001›", "position is a number from 1 to 100000", "position: 2"),
        ("moves: R\n‹seed›: 1", "moves and seed exclude each other", "keep one"),
        ("moves: R\n‹position›: 2", "“position” counts the random ones", "a seed"),
        ("method: ‹nothing›\nmoves: R", "no method is named nothing", "methods are edge"),
        ("method: ‹lift›\nmoves: R", "no method is named lift", "methods are edge"),
        ("‹sede›: 1", "there is no key “sede” here", "is it seed?"),
        ("seed: 1\n‹count›: 5", "there is no key “count” here", ""),
        ("seed: 1\nview: ‹tpo›", "cube-3 has no view “tpo”", "views are"),
        ("seed: 1\nletters: ‹perhaps›", "letters is yes or no", "write yes or no"),
        ("seed: 1\nsay: Try `‹Q›`{.moves}", "found “Q”", ""),
    ],
)
def test_a_mistake_is_shown_where_it_stands(told, body: str, message: str, hint: str) -> None:
    text, place = marked(body, EDGE.count("\n") + 2)
    (problem,) = told(text)
    assert (problem.passage.line, problem.passage.column, problem.passage.text) == place
    assert message in problem.message
    assert hint in problem.hint


@pytest.mark.parametrize("body", ["", "# nothing", "title: T", "method: edge", "position: 2"])
def test_an_example_is_of_moves_or_of_a_seed(told, body: str) -> None:
    (problem,) = told(body)
    assert (problem.passage.line, problem.passage.column) == (EDGE.count("\n") + 1, 4)
    assert "which position" in problem.message
    assert "seed: " in problem.hint


def test_without_any_method_there_is_nothing_to_solve_it_by(told) -> None:
    (problem,) = told("R U", before="")
    assert (problem.passage.line, problem.passage.column) == (2, 1)
    assert "by which method" in problem.message
    assert "block “method”" in problem.hint


def test_with_several_methods_it_must_be_said_which(told) -> None:
    both = EDGE + EDGE.replace("method edge", "method other")
    (problem,) = told("R U", before=both)
    assert problem.passage.line == both.count("\n") + 2
    assert "by which method" in problem.message
    assert "edge, other" in problem.hint


def test_a_method_of_another_puzzle_cannot_be_used(told) -> None:
    (problem,) = told("R", small=SMALL_CUBE + block("method: edge\nmoves: R", "worked example other"))
    assert problem.passage.source.name == "content/small.md"
    assert "no method is named edge" in problem.message
    assert "cube-2" in problem.hint


def test_several_mistakes_are_told_at_once(told) -> None:
    lines = [problem.passage.line for problem in told("moves: Q\nposition: 0\nview: tpo\nletters: perhaps")]
    begun = EDGE.count("\n") + 2
    assert sorted({*lines}) == [begun, begun + 1, begun + 2, begun + 3]


# How it opens ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("head", "name"), [("worked example", ""), ("worked example the-first", "the-first")]
)
def test_a_block_opens_with_its_two_words_and_a_name_or_none(guide_at, head: str, name: str) -> None:
    (example,) = examples(guide_at(index=EDGE + BLOCKS + block("R", head)))
    assert example.name == name


@pytest.mark.parametrize(
    "head",
    [
        *("worked", "worked w", "worked-example", "worked-example w", "workedexample", "worked examples w"),
        *("worked exmaple w", "Worked example w", "work example w"),
    ],
)
def test_a_block_that_opens_nearly_so_is_told_how(told, head: str) -> None:
    (problem,) = told("R U", head=head)
    assert (problem.passage.line, problem.passage.column) == (EDGE.count("\n") + 1, 4)
    assert "there is no kind of block" in problem.message
    assert problem.hint == "is it worked example?"


@pytest.mark.parametrize(
    ("head", "message", "hint"),
    [
        ("worked example the first", "a block has one name", "the-first"),
        ("worked example The_First", "“The_First” cannot be a name", "small letters"),
        ("worked example edge", "the name edge is taken", "another name"),
        ("worked example lift", "", ""),
    ],
)
def test_a_name_is_one_word_of_its_own(told, head: str, message: str, hint: str) -> None:
    (problem,) = told("R U", head=head)
    assert message in problem.message
    assert hint in problem.hint


def test_plain_code_that_is_called_an_example_is_left_alone(told) -> None:
    assert told("R U", head="example") == []
