"""The block `method`: the cases that it goes through, every mistake shown where it stands, what is kept."""

from __future__ import annotations

import re
import shutil
import tempfile
import time
from collections.abc import Callable
from dataclasses import replace
from math import comb
from pathlib import Path

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from marked_text import marked
from sample_guide import guide_of
from sample_methods import (
    CORNER_STAGES,
    SEQUENCES,
    SMALL_CUBE,
    is_home,
    moves_blocks,
    slots_of,
    written_out,
)

import sitegen.blocks.method.solved as solved_once
import sitegen.methods.cases
import sitegen.methods.solving
from sitegen.blocks.method.method import Method
from sitegen.cache import PLACE
from sitegen.guide.load import read_guide
from sitegen.methods.coverage import Case
from sitegen.methods.trial import Trial
from sitegen.problems import Problem, Problems
from sitegen.puzzles.permutation import Permutation, compose, from_images
from sitegen.puzzles.puzzle import Puzzle
from sitegen.site.publish import check, publish

ALL = SEQUENCES | {
    "quarter": "U",
    "right": "R",
    "back": "U'",
    "slice": "M",
    "held-otherwise": "R y",
}
BLOCKS = moves_blocks(ALL, ALL)
SMALL_BLOCKS = moves_blocks([name for name in ALL if name != "slice"], ALL)  # which has no middle layer
TO_ITS_PLACE = "- stage: To its place\n  goal: UF placed\n  using: any turns up to 2\n"
OVER = "- stage: Over\n  goal: UF oriented by U\n  using: @lift\n"
CORNERS = f"{CORNER_STAGES}count: 20\n"


def block(body: str, name: str = "m") -> str:
    return f"```method {name}\n{body}\n```\n\n"


def stages(*texts: str) -> str:
    return "count: 20\nstages:\n" + "".join(texts)


def stage(*lines: str) -> str:
    """A stage with such lines in the place of its usual ones, or beside them."""
    keys = {"stage": "stage: A", "goal": "goal: UF placed", "using": "using: any turns up to 2"}
    keys |= {re.sub("[‹›]", "", line).split(":")[0]: line for line in lines}
    return "- " + "\n  ".join(keys.values()) + "\n"


@pytest.fixture
def soon(monkeypatch) -> None:
    """Counting what a method leaves open ends sooner than usual: it takes time, and is not asked about."""
    monkeypatch.setattr(sitegen.methods.cases, "MOST_CASES", 7_000)


@pytest.fixture
def method(guide_at, soon) -> Callable[..., Method]:
    """The method of a block; its guide has no problems."""

    def of(body: str, more: str = BLOCKS, front: str = "", **pages: str) -> Method:
        guide = guide_at(index=front + block(body) + more, **pages)
        assert [str(problem) for problem in guide.problems] == []
        return guide.named(Method)["m"]

    return of


@pytest.fixture
def told(problems_of, soon) -> Callable[..., list[Problem]]:
    """The problems of a guide with a block."""
    return lambda body, more=BLOCKS, name="m", **pages: problems_of(index=block(body, name) + more, **pages)


@pytest.fixture
def turned_by_text(turned) -> Callable[[str, Puzzle], Permutation]:
    """What moves do in which sequences are named, by putting their moves in the place of the names."""

    def of(text: str, puzzle: Puzzle) -> Permutation:
        return turned(written_out(text, ALL), puzzle)

    return of


def solved_by_its_text(case: Case, turned_by_text, puzzle: Puzzle) -> Permutation:
    """The position of a case, after what is said to solve it."""
    done = turned_by_text(" ".join(case.applications), puzzle)
    return compose(from_images(case.position), done)


def cases_of(method: Method) -> list[tuple[int, int]]:
    """All and covered cases of each step."""
    return [(step.cases, step.covered) for stage in method.stages for step in stage.steps]


# Cases ----------------------------------------------------------------------------------------------------


def test_a_method_that_solves_every_case_has_no_problem(method) -> None:
    # By hand: the edge is in one of twelve places; in its place it lies right or is flipped.
    whole = method(stages(TO_ITS_PLACE, OVER))
    assert cases_of(whole) == [(12, 12), (2, 2)]
    assert (whole.covered, whole.cases, whole.open) == (14, 14, False)
    assert whole.trial.solved == whole.trial.tried == 20


@pytest.mark.parametrize(
    ("goal", "cases"),
    [
        ("UF placed", 12),  # the places of edges
        ("UF home", 12 * 2),
        ("UFR placed", 8),  # the places of corners
        ("UFR home", 8 * 3),
        ("UFR oriented by R", 8 * 3),  # its sticker of R may be at every slot of a corner
        ("UF and UR placed", 12 * 11),
        ("UF and UR home", 12 * 2 * 11 * 2),
        ("UF placed; UFR placed", 12 * 8),
        ("UF and UB oriented by U", 12 * 11 // 2 * 2 * 2),  # one is not told from the other
        ("corners oriented by U and D", 3**7),  # twists add up to whole turns
        ("edges oriented by U, D, F and B", 2**11),  # flips come in pairs
        ("UF placed; DB placed", 12 * 11),
        ("UF placed; UF oriented by U", 12 * 2),
        ("\n  - UF placed\n  - UF oriented by U", 12 * 2),
        ("\n  - UF placed; UF oriented by U;\n  - DB placed", 12 * 2 * 11),
    ],
)
def test_every_case_is_gone_through(method, goal: str, cases: int) -> None:
    open_one = method(f"{stages(stage(f'goal: {goal}', 'using: any turns up to 1'))}open: yes")
    assert open_one.cases == cases
    assert 1 < open_one.covered < cases


def test_a_case_keeps_what_earlier_stages_reached(method) -> None:
    # By hand: a corner by which the cube is picked up, the next in one of 7 places in one of 3 ways; then 4
    # in one of 4! orders, the small cube having odd ones too; and 4 twisted, the last as the others want it.
    corners = method(CORNERS, SMALL_BLOCKS, SMALL_CUBE)
    assert cases_of(corners) == [(n, n) for n in (1, 7 * 3, 6 * 3, 5 * 3, 4 * 3 * 2, 3**3)]
    assert corners.left == 1
    assert corners.trial.solved == 20


def test_the_turns_that_cases_take_are_the_fewest(method, turned, cube3) -> None:
    """Computed here: where each sequence of up to two turns takes the corner DFR."""
    turns = [face + amount for face in "UDFBLR" for amount in ("", "2", "'")]
    corner = slots_of("DFR", cube3)
    fewest: dict[tuple[int, ...], int] = {}
    for count, texts in enumerate([[""], turns, [f"{a} {b}" for a in turns for b in turns]]):
        for text in texts:
            done = turned(text, cube3)
            fewest.setdefault(tuple(done[slot] for slot in corner), count)
    assert len(fewest) == 24
    (step,) = method(stages(stage("goal: DFR home", "using: any turns up to 2"))).stages[0].steps
    assert dict(step.turns) == {n: [*fewest.values()].count(n) for n in (0, 1, 2)}


def test_pieces_one_by_one_are_steps_and_pieces_joined_are_one(method) -> None:
    pair = ("goal: UF and UR placed", "using: any turns up to 4")
    apart = method(stages(stage(*pair, "one by one: UF, UR")))
    assert [(s.name, s.cases) for s in apart.stages[0].steps] == [("UF", 12), ("UR", 11)]  # by hand
    together = method(stages(stage(*pair, "one by one: UF and UR")))
    assert [(s.name, s.cases) for s in together.stages[0].steps] == [("UF and UR", 12 * 11)]
    lines = method(stages(stage(*pair, "one by one:\n  - UF\n  - UR")))
    assert [(s.name, s.cases) for s in lines.stages[0].steps] == [("UF", 12), ("UR", 11)]


def test_centres_need_not_be_named_one_by_one(method) -> None:
    # The layer U holds its middle too, by which the puzzle is held.
    whole = stage(
        "goal: U except edges, UFR, UFL and UBR home", "one by one: UBL", "using: any turns up to 3"
    )
    assert [(s.name, s.cases) for s in method(stages(whole)).stages[0].steps] == [("UBL", 8 * 3)]


# What may be used -----------------------------------------------------------------------------------------

FAR = "- stage: Over\n  goal: UF oriented by U\n  using: @far-flips\n"


@pytest.mark.parametrize(
    "applied",
    [
        # By hand: the sequence flips UB and UL. A turn of U brings the edge there, or the puzzle is held so.
        "lead-in: 1 turn",
        "lead-in: 1 turn of U",
        "lead-in: up to 2 turns of R and U",
        "layer turns: U",
        "hold: y",
        "hold: y2",
        "hold: x and y",
    ],
)
def test_what_a_sequence_does_not_solve_alone_it_solves_where_it_may_be_applied_so(
    method, told, turned_by_text, cube3, applied: str
) -> None:
    assert len(told(stages(TO_ITS_PLACE, FAR))) == 1
    over = method(stages(TO_ITS_PLACE, f"{FAR}  {applied}\n")).stages[1].steps[0]
    assert (over.cases, over.covered) == (2, 2)
    (case,) = over.sheet.drawn
    assert case.words == "UF is at FU"
    assert is_home(solved_by_its_text(case, turned_by_text, cube3), "UF", cube3)


@pytest.mark.parametrize("applied", ["lead-in: 1 turn of R", "layer turns: D", "hold: x2"])
def test_what_does_not_bring_the_piece_to_the_sequence_does_not_help(told, applied: str) -> None:
    # By hand: neither R nor D holds UF, and x2 brings UB and UL to DF and DL.
    (problem,) = told(stages(TO_ITS_PLACE, f"{FAR}  {applied}\n"))
    assert "1 of 2 cases" in problem.message


def test_a_sequence_is_written_with_its_hold_its_layer_and_its_lead_in(method) -> None:
    def written(applied: str) -> tuple[str, ...]:
        return (
            method(stages(TO_ITS_PLACE, f"{FAR}  {applied}\n")).stages[1].steps[0].sheet.drawn[0].applications
        )

    # Of turns of U the quarter and the half turns bring UF to a place where it is flipped.
    assert written("lead-in: 1 turn of U")[0] in ("[U: @far-flips]", "[U2: @far-flips]")
    assert written("hold: y2") == ("[y2: @far-flips]",)
    assert re.fullmatch(r"U(2?) @far-flips U(2|')", written("layer turns: U")[0])


def test_what_breaks_an_earlier_goal_is_not_used(told) -> None:
    # By hand: R brings UR home from FR, DR and BR. U takes UF out of its place, and so is not used; with both
    # of them UR would come home from UL and UB too.
    second = stage("goal: UR placed", "using: @quarter and @right")
    (problem,) = told(stages(TO_ITS_PLACE, second))
    assert "7 of 11 cases" in problem.message


def test_a_sequence_is_used_in_the_direction_that_is_named(method) -> None:
    # By hand: U goes clockwise seen from above, and brings UR to UF; UB comes there in two, UL in three.
    def found(using: str) -> tuple[dict[int, int], dict[str, int]]:
        open_one = method(f"{stages(stage(f'using: {using}'))}open: yes")
        (step,) = open_one.stages[0].steps
        return dict(step.applications), {case.words: len(case.applications) for case in step.sheet.drawn}

    there = {"UF is at UR": 1, "UF is at UB": 2, "UF is at UL": 3}
    assert found("@quarter") == ({0: 1, 1: 1, 2: 1, 3: 1}, there)
    back = {"UF is at UL": 1, "UF is at UB": 2, "UF is at UR": 3}
    assert found("@quarter'") == ({0: 1, 1: 1, 2: 1, 3: 1}, back)
    for both in (
        "@quarter, @quarter'",
        "@quarter and @quarter’",
        "@quarter @back",
        "\n  - @quarter\n  - @back",
    ):
        assert found(both)[0] == {0: 1, 1: 2, 2: 1}


@pytest.mark.parametrize(
    ("using", "done"),
    [
        # By hand: M takes the middle along; when that is home again, R L' has been turned.
        ("@slice", "R L'"),
        ("@held-otherwise", "R"),
    ],
)
def test_a_sequence_that_moves_the_centres_is_used_with_the_centres_home_at_its_end(
    method, turned, turned_by_text, cube3, using: str, done: str
) -> None:
    # By hand: R takes UR to its four places; M itself, and y, would take it nowhere or everywhere.
    found = method(f"{stages(stage('goal: UR home', f'using: {using}'))}open: yes").stages[0].steps[0]
    assert (found.cases, found.covered) == (24, 4)
    for case in found.sheet.drawn:
        turns = turned(case.turns, cube3)
        assert turns == turned_by_text(" ".join(case.applications), cube3)
        assert all(turns[slot] == slot for slot in slots_of("U", cube3) + slots_of("F", cube3))
        assert turns == turned(f"({done}){len(case.applications)}", cube3)
        assert is_home(compose(from_images(case.position), turns), "UR", cube3)


def test_any_turns_may_be_kept_to_some_faces(method, told) -> None:
    # By hand: U and F hold seven of the places of edges, and these alone are changed by them.
    few = method(f"{stages(stage('using: any turns of U and F up to 4'))}open: yes")
    assert cases_of(few) == [(12, 7)]
    for case in few.stages[0].steps[0].sheet.drawn:
        assert {turn[0] for turn in case.turns.split()} <= {"U", "F"}


@pytest.mark.parametrize("hold", [(), ("hold: x and y",)])
def test_how_a_cube_without_fixed_centres_is_held_is_no_case(
    method, turned, cube2, hold: tuple[str, ...]
) -> None:
    # Common knowledge: a cube can be held in 24 ways, each with another corner, or that corner otherwise, in
    # front; held the right way, no turn is needed. Of the next corner there are 7 places, in 3 ways each.
    corners = stage("goal: UFR and UFL home", "one by one: UFR, UFL", "using: any turns up to 3", *hold)
    first, second = method(stages(corners), "", SMALL_CUBE).stages[0].steps
    assert (first.cases, first.covered, dict(first.turns)) == (1, 1, {0: 1})
    assert (second.cases, second.covered, sum(second.turns.values())) == (21, 21, 21)
    for case in second.sheet.drawn:
        done = compose(from_images(case.position), turned(" ".join(case.applications), cube2))
        assert is_home(done, "UFR", cube2)
        assert is_home(done, "UFL", cube2)


def test_the_corners_of_a_pyraminx_are_counted_as_they_can_be_turned(method) -> None:
    # By hand: each of four corners in three ways; so many cases take n turns as there are ways to choose n of
    # the four, and one of two turns for each.
    corners = stage("goal: corners home", "using: any turns of U, L, R and B up to 4")
    (step,) = method(stages(corners), "", "---\npuzzle: pyraminx\n---\n").stages[0].steps
    assert (step.cases, step.covered) == (81, 81)
    assert dict(step.turns) == {n: comb(4, n) * 2**n for n in range(5)}


def test_a_title_or_else_the_name_is_what_readers_see(method) -> None:
    assert method(stages(TO_ITS_PLACE, OVER)).title == "M"
    told_all = method(
        "title: One edge\nsay: A\nview: corner with back, top\nseed: 7\n"
        f"{stages(TO_ITS_PLACE, OVER)}  view: net\n  say: B"
    )
    assert (told_all.title, told_all.trial.seed, told_all.trial.tried) == ("One edge", 7, 20)
    assert [each.views for each in told_all.stages] == [("corner with back", "top"), ("net",)]
    assert len(told_all.prose) == 2
    assert [each.title for each in told_all.stages] == ["To its place", "Over"]
    assert told_all.refers_to == ("lift",)


# Cases that are not solved --------------------------------------------------------------------------------


def test_a_case_that_is_not_solved_is_a_problem_where_it_is_said_what_may_be_used(told) -> None:
    body, place = marked(stages(TO_ITS_PLACE, FAR.replace("@far-flips", "‹@far-flips›")))
    (problem,) = told(body)
    assert (problem.passage.line, problem.passage.column, problem.passage.text) == place
    assert "Over: 1 of 2 cases" in problem.message
    assert "UF is at FU" in problem.hint
    assert "open: yes" in problem.hint


def test_each_step_with_such_cases_is_told_by_its_name(told) -> None:
    pair = stage("goal: UF and UR placed", "one by one: UF, UR", "using: @quarter")
    first, second = told(stages(pair))
    # By hand: U brings the edge home from four places; with UF in its own, no turn of U is allowed.
    assert "A, UF: 8 of 12 cases" in first.message
    assert "A, UR: 10 of 11 cases" in second.message
    for problem, place in ((first, "UF is at "), (second, "UR is at ")):
        assert (problem.passage.line, problem.passage.column) == (6, 10)
        named = re.findall(place + "([A-Z]{2})", problem.hint)
        assert 1 <= len(named) <= 3
        assert {*named}.isdisjoint({"UF", "UL", "UB", "UR"} if problem is first else {"UF", "UR"})


@pytest.mark.parametrize(
    ("goal", "few"),
    [("goal: UF placed", 1), ("goal: UF home", 1), ("goal: UFR home", 1), ("goal: UF and UR home", 2)],
)
def test_how_many_turns_solve_every_case_is_told_and_true(told, goal: str, few: int) -> None:
    """However many more than are allowed: with so many nothing is wrong, with one less still something."""

    def allowing(turns: int) -> list[Problem]:
        return told(stages(stage(goal, f"using: any turns up to {turns}")))

    (problem,) = allowing(few)
    found = re.search(r"write using: any turns up to (\d), and all are solved", problem.hint)
    assert found
    assert allowing(int(found[1])) == []
    assert len(allowing(int(found[1]) - 1)) == 1


def test_where_cases_are_many_more_turns_are_asked_for_and_not_sequences(told) -> None:
    (problem,) = told(stages(stage("goal: UF and UR home; UFR placed", "using: any turns up to 1")))
    assert "; allow more turns, or write open: yes" in problem.hint


def test_an_open_method_is_published_with_them(method, turned_by_text, cube3) -> None:
    open_one = method(f"{stages(TO_ITS_PLACE, FAR)}open: yes")
    assert open_one.open
    assert cases_of(open_one) == [(12, 12), (2, 1)]
    ((stage_shown, _, case),) = open_one.uncovered
    assert (stage_shown.title, case.words, case.held, case.applications) == ("Over", "UF is at FU", (), ())
    position = from_images(case.position)
    assert (position[cube3.slots["UF"]], position[cube3.slots["FU"]]) == (
        cube3.slots["FU"],
        cube3.slots["UF"],
    )
    trial = open_one.trial
    assert 0 < sum(trial.counts.values()) == trial.solved < trial.tried == 20
    assert 1 <= trial.first_stuck <= 20


def test_open_on_a_method_that_solves_every_case_is_a_problem(told, method) -> None:
    body, place = marked(f"{stages(TO_ITS_PLACE, OVER)}open: ‹yes›")
    (problem,) = told(body)
    assert (problem.passage.line, problem.passage.column, problem.passage.text) == place
    assert "every case is covered" in problem.message
    assert "open" in problem.hint
    assert not method(f"{stages(TO_ITS_PLACE, OVER)}open: no").open


def test_a_trial_that_fails_where_every_case_is_solved_is_a_problem(told, monkeypatch) -> None:
    whole = solved_once.trial

    def failing(*args: object) -> Trial:
        return replace(whole(*args), first_stuck=3)

    monkeypatch.setattr(solved_once, "trial", failing)
    (problem,) = told(f"{stages(TO_ITS_PLACE)}seed: 5\n")
    assert "position 3 of seed 5 is not solved" in problem.message


# Mistakes, each where it stands ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("line", "message", "hint"),
    [
        ("‹colour›: x", "there is no key “colour” here", "keys are stage, goal"),
        ("‹usin›: x", "there is no key “usin” here", "is it using?"),
        # goals
        ("goal: UF‹›", "expected “home”, “placed” or “oriented”", "edges of U placed"),
        ("goal: UF ‹plcaed›", "found “plcaed”", "edges of U placed"),
        ("goal: ‹;›", "nothing stands before this", "take it away"),
        ("goal: UF placed;‹;› UR placed", "nothing stands before this", "take it away"),
        ("goal: UF placed; ‹UF placed›", "stands here twice", "write it once"),
        ("goal: UF placed ‹home›", "expected the end", "a line of its own"),
        ("goal: ‹UX› placed", "cube-3 has no place “UX”", "X is no face"),
        ("goal: ‹edgs› of U placed", "“edgs” names no pieces", "is it edges?"),
        ("goal: ‹UF except UF› placed", "no piece is left of these", "take fewer of them out"),
        ("goal: UF oriented‹›", "expected “by”", "oriented by U and D"),
        ("goal: UF oriented by‹›", "expected a face", "faces are U, D, F, B, L, R"),
        ("goal: UF oriented by ‹Q›", "cube-3 has no face Q", "faces are U, D, F, B, L, R"),
        ("goal: ‹UF and DF oriented by U›", "DF has no sticker of U", "name more faces"),
        ("goal: UF oriented by U ‹or› D", "has no face or", ""),
        ("goal: UF placed; ‹UX› home", "cube-3 has no place “UX”", "X is no face"),
        ("goal:\n  - UF placed\n  - ‹UX› home", "cube-3 has no place “UX”", "X is no face"),
        # one by one
        ("one by one: ‹UF, UR›", "does not ask for UR", "put it into the goal"),
        ("one by one: UF, ‹UF›", "“UF” stands here twice", "once"),
        ("one by one: UF, ‹UX›", "cube-3 has no place “UX”", "X is no face"),
        ("goal: UF and UR placed\n  one by one: ‹UF›", "asks for UR, too", "name all pieces"),
        ("goal: edges of U placed\n  one by one: ‹UF, UR and UF, UB, UL›", "UF stands here twice", "once"),
        # what may be used
        ("using: ‹quarter›", "expected a named sequence; found “quarter”", "any turns up to 8"),
        ("using: @quarter ‹R›", "expected a named sequence; found “R”", "any turns up to 8"),
        ("using: ‹@nothing›", "no sequence is named nothing", "first line of its block"),
        ("using: @quarter and ‹@nothing›", "no sequence is named nothing", "first line of its block"),
        ("using: ‹@quarter2›", "no sequence is named quarter2", "(@quarter)2"),
        ("using: ‹any turns›", "how many turns", "any turns up to 8"),
        ("using: ‹any turns of R and U›", "how many turns", "any turns of R, U and F up to 8"),
        ("using: any ‹face›", "expected “turns”", "any turns up to 8"),
        ("using: any turns up to ‹many›", "a number from 1 to 12; found “many”", "any turns up to 8"),
        ("using: any turns up to ‹0›", "a number from 1 to 12; found “0”", "any turns up to 8"),
        ("using: any turns up to ‹13›", "a number from 1 to 12; found “13”", "any turns up to 8"),
        ("using: any turns of ‹Q› up to 2", "cube-3 has no face “Q” to turn", "write some of U, D, F"),
        ("using: any turns of ‹M› up to 2", "move the centres", "name faces"),
        ("using: any turns of ‹R, M and U› up to 2", "move the centres", "name faces"),
        # how it may be applied
        ("‹lead-in›: 1 turn", "“lead-in” is about named sequences", "take it away"),
        ("‹layer turns›: U", "“layer turns” is about named sequences", "take it away"),
        ("‹hold›: y", "“hold” is about named sequences", "take it away"),
        (
            "using: @quarter\n  lead-in: ‹many›",
            "expected a number from 1 to 4; found “many”",
            "2 turns of R, U and F",
        ),
        (
            "using: @quarter\n  lead-in: ‹R›",
            "expected a number from 1 to 4; found “R”",
            "2 turns of R, U and F",
        ),
        ("using: @quarter\n  lead-in: ‹two› turns", "a number from 1 to 4; found “two”", "2 turns"),
        ("using: @quarter\n  lead-in: ‹0› turns", "a number from 1 to 4; found “0”", "2 turns"),
        ("using: @quarter\n  lead-in: ‹5› turns", "a number from 1 to 4; found “5”", "2 turns"),
        ("using: @quarter\n  lead-in: 1 turn of ‹Q›", "cube-3 has no face “Q” to turn", "write some of"),
        ("using: @quarter\n  layer turns: ‹Q›", "“Q” is no layer of cube-3", "U, D, F"),
        ("using: @quarter\n  layer turns: ‹U2›", "“U2” is no layer of cube-3", "by every amount"),
        ("using: @quarter\n  layer turns: ‹M›", "move the centres", "name a face"),
        ("goal: UF oriented by U\n  ‹one by one›: UF", "oriented pieces may be in any", "write home"),
        ("using: @quarter\n  hold: ‹U›", "“U” does not turn the whole puzzle", "hold: y"),
        ("using: @quarter\n  hold: y, ‹R›", "“R” does not turn the whole puzzle", "hold: y"),
        ("using: @quarter\n  hold: ‹@quarter›", "“@quarter” does not turn the whole puzzle", "hold: y"),
        ("using: @quarter\n  hold: ‹q›", "“q” does not turn the whole puzzle", "hold: y"),
        ("view: ‹tpo›", "cube-3 has no view “tpo”", "views are"),
        ("say: Try `‹Q›`{.moves}", "found “Q”", ""),
    ],
)
def test_a_mistake_in_a_stage_is_shown_where_it_stands(told, line, message, hint) -> None:
    body, place = marked(stages(stage(line)))
    (problem,) = told(body)
    assert (problem.passage.line, problem.passage.column, problem.passage.text) == place
    assert message in problem.message
    assert hint in problem.hint


@pytest.mark.parametrize(
    ("line", "message", "hint"),
    [
        ("count: ‹0›", "count is a number from 1 to 100000, not “0”", "count: 2"),
        ("count: ‹100001›", "count is a number from 1 to 100000, not “100001”", "count: 2"),
        ("count: ‹many›", "count is a number from 1 to 100000, not “many”", "count: 2"),
        ("seed: ‹-1›", "seed is a number from 0 to 999999999, not “-1”", "seed: 1"),
        ("seed: ‹1000000000›", "seed is a number from 0 to 999999999", "seed: 1"),
        ("open: ‹perhaps›", "open is yes or no", "write yes or no"),
        ("letters: ‹perhaps›", "letters is yes or no", "write yes or no"),
        ("view: ‹tpo›", "cube-3 has no view “tpo”", "views are"),
        ("‹moves›: R U", "there is no key “moves” here", ""),
        ("‹stage›: A", "there is no key “stage” here", "is it stages?"),
        ("say: Try `‹Q›`{.moves}", "found “Q”", ""),
    ],
)
def test_a_mistake_beside_the_stages_is_shown_where_it_stands(told, line, message, hint) -> None:
    body, place = marked(f"{line}\nstages:\n{TO_ITS_PLACE}")
    (problem,) = told(body)
    assert (problem.passage.line, problem.passage.column, problem.passage.text) == place
    assert message in problem.message
    assert hint in problem.hint


@pytest.mark.parametrize("body", ["", "# nothing", "title: T", "count: 2\nseed: 1"])
def test_a_method_needs_stages(told, body: str) -> None:
    (problem,) = told(body)
    assert (problem.passage.line, problem.passage.column) == (1, 4)
    assert "no stages" in problem.message
    assert "- stage: " in problem.hint


def test_a_stage_begins_with_a_dash(told) -> None:
    body, place = marked("stages: ‹UF placed›")
    (problem,) = told(body)
    assert (problem.passage.line, problem.passage.column, problem.passage.text) == place
    assert "a stage begins with “- ”" in problem.message
    assert "- stage: " in problem.hint


@pytest.mark.parametrize(
    ("key", "what", "hint"),
    [
        ("stage", "say its name", "stage: "),
        ("goal", "say its goal", "goal: "),
        ("using", "say what may be used", "using: any turns up to 8"),
    ],
)
def test_a_stage_needs_a_name_a_goal_and_means(told, key: str, what: str, hint: str) -> None:
    keys = {"stage": "A", "goal": "UF placed", "using": "any turns up to 2"}
    lines = [f"{name}: {text}" for name, text in keys.items() if name != key]
    (problem,) = told("stages:\n- " + "\n  ".join(lines))
    assert (problem.passage.line, problem.passage.column) == (3, 3)  # where the stage begins
    assert what in problem.message
    assert hint in problem.hint


def test_all_that_a_stage_lacks_is_told(told) -> None:
    messages = [problem.message for problem in told("stages:\n- stage: A\n  view: top")]
    assert [message.split()[-1] for message in messages] == ["goal", "used"]


@pytest.mark.parametrize(
    "line",
    [
        *("‹goal›:", "‹using›:", "‹one by one›:", "‹view›:", "‹say›:"),
        *(f"using: @quarter\n  ‹{key}›:" for key in ("lead-in", "layer turns", "hold")),
    ],
)
def test_a_key_without_a_text_is_a_mistake(told, line: str) -> None:
    body, place = marked(stages(stage(line)))
    (problem,) = told(body)
    assert (problem.passage.line, problem.passage.column, problem.passage.text) == place
    assert "nothing is written" in problem.message


def test_a_method_needs_a_name(told) -> None:
    (problem,) = told(stages(TO_ITS_PLACE), name="")
    assert (problem.passage.line, problem.passage.column) == (1, 4)
    assert "needs a name" in problem.message
    assert "method " in problem.hint


@pytest.mark.parametrize(
    ("name", "message"), [("Our_Way", "“Our_Way” cannot be a name"), ("our way", "a block has one name")]
)
def test_a_name_is_small_letters_digits_and_hyphens(told, name: str, message: str) -> None:
    (problem,) = told(stages(TO_ITS_PLACE), name=name)
    assert message in problem.message
    assert (problem.passage.line, problem.passage.column) == (1, 4)


def test_a_name_can_be_given_once_in_the_whole_guide(told) -> None:
    (problem,) = told(stages(TO_ITS_PLACE), a="```moves m\nR\n```\n")
    assert problem.headline() == "content/index.md:1:4: the name m is taken, in content/a.md:1" or (
        problem.headline() == "content/a.md:1:4: the name m is taken, in content/index.md:1"
    )


def test_a_sequence_of_another_puzzle_cannot_be_used(told) -> None:
    body, place = marked(stages(stage("using: ‹@small›")))
    (problem,) = told(body, small=f"{SMALL_CUBE}```moves small\nU\n```\n")
    assert (problem.passage.line, problem.passage.column, problem.passage.text) == place
    assert "no sequence is named small" in problem.message
    assert "cube-2" in problem.hint


def test_a_block_of_another_kind_cannot_be_used(told) -> None:
    (problem,) = told(stages(stage("using: @turned")), BLOCKS + "```position turned\nflips UF and UR\n```\n")
    assert "no sequence is named turned" in problem.message
    assert "turned is a position" in problem.hint


def test_several_mistakes_are_told_at_once(told) -> None:
    first = stage("goal: UX placed; UY home", "using: foo", "view: tpo")
    second = stage(
        "goal: UF", "using: any turns", "hold: R", "lead-in: x", "layer turns: Q", "one by one: UX"
    )
    body = f"open: perhaps\nseed: x\nstages:\n{first}{second}count: 0"
    places = [(p.passage.line, p.passage.column) for p in told(body)]
    lines = body.split("\n")
    wrong = ["perhaps", "x", "UX", "UY", "foo", "tpo", None, "any", "R", "x", "Q", "UX", "0"]
    assert len(places) == len(wrong)
    for (line, column), word in zip(places, wrong, strict=True):
        assert word is None or lines[line - 2][column - 1 :].startswith(word)


def test_each_sequence_that_is_not_there_is_told(told) -> None:
    """As in moves, where `@nothing @nowhere` are two problems."""
    problems = told(stages(stage("using: @nothing, @quarter and @nowhere")))
    assert [problem.passage.text for problem in problems] == ["@nothing", "@nowhere"]


# What only follows is not told ----------------------------------------------------------------------------

EXAMPLE = "```worked example\nR U\n```\n\n"
LINK = "See [](method:m).\n"


def test_a_mistake_in_a_sequence_is_told_once_and_not_where_it_is_used(told) -> None:
    broken = "```moves broken\nR Q\n```\n\n"
    (problem,) = told(stages(stage("using: @broken")), broken)
    assert "found “Q”" in problem.message
    (problem,) = told(stages(stage("using: @broken")), broken + EXAMPLE)
    assert "found “Q”" in problem.message


@pytest.mark.parametrize(
    "used",
    [EXAMPLE, EXAMPLE.replace("R U", "method: m\nmoves: R"), LINK],
    ids=["example", "example-with-name", "link"],
)
@pytest.mark.parametrize(
    "wrong",
    [
        "using: @nothing",  # what only shows when all sequences are known
        "goal: UX placed",  # what shows at once
        "goal: corners home; edges home",  # what shows when cases are counted
    ],
)
def test_a_mistake_in_a_method_is_told_once_and_not_where_the_method_is_used(told, wrong, used) -> None:
    body = stages(stage(wrong))
    (alone,) = told(body)
    assert [problem.headline() for problem in told(body, BLOCKS + used)] == [alone.headline()]


# Too much -------------------------------------------------------------------------------------------------


def test_too_many_cases_are_told_soon_with_what_to_do(problems_of) -> None:
    # 8! 3^7 orders and twists of the corners, and as many as that of the edges and more.
    body, place = marked(stages(stage("goal: ‹corners home; edges home›")))
    begun = time.process_time()
    (problem,) = problems_of(index=block(body))
    assert time.process_time() - begun < 30  # about three on a slow machine
    assert (problem.passage.line, problem.passage.column, problem.passage.text) == place
    # By hand: that is more than may be listed of the corners alone.
    assert "more than 400,000 ways to look at in which the corners might lie" in problem.message
    assert "one by one" in problem.hint


def test_too_many_ways_to_the_cases_are_told_too(told, monkeypatch) -> None:
    monkeypatch.setattr(sitegen.methods.solving, "MOST_STATES", 100)
    body, place = marked(stages(stage("goal: ‹UF home›", "using: any turns up to 4")))
    (problem,) = told(body)
    assert (problem.passage.line, problem.passage.column, problem.passage.text) == place
    # By hand: UF is at one of 24 slots.
    assert "between its 24 cases and its goal there are more than 100 positions" in problem.message
    assert "fewer turns" in problem.hint


def test_too_many_cases_of_one_step_are_told_with_their_number(told, monkeypatch) -> None:
    monkeypatch.setattr(sitegen.methods.cases, "MOST_CASES", 500)
    (problem,) = told(stages(stage("goal: UF home; UFR home", "using: any turns up to 4")))
    assert f"{24 * 24} cases, and no more than 500" in problem.message  # by hand


def test_too_many_trials_of_sequences_are_told_with_their_factors(told, monkeypatch) -> None:
    monkeypatch.setattr(sitegen.methods.solving, "MOST_APPLIED", 20)
    (problem,) = told(stages(stage("goal: UF placed", "using: @quarter and @back")))
    assert "2 ways to apply its sequences" in problem.message
    assert "12 cases" in problem.message
    assert "more than 20 trials" in problem.message


def test_too_many_ways_to_apply_a_sequence_are_told_with_their_number(told) -> None:
    applied = ("lead-in: 4 turns", "layer turns: U", "hold: x, y")
    body, place = marked(stages(stage("using: ‹@lift›", *applied)))
    (problem,) = told(body)
    assert (problem.passage.line, problem.passage.column, problem.passage.text) == place
    # 18 turns of faces; no turn of U and three of them, before and behind; 24 ways to hold a cube.
    ways = sum(18**n for n in range(4 + 1)) * 4**2 * 24
    assert f"{ways:,} ways" in problem.message
    assert "lead-in" in problem.hint


# What is kept ---------------------------------------------------------------------------------------------


@pytest.fixture
def write(tmp_path: Path, soon) -> Callable[..., Path]:
    """A guide of one page in a folder: a method, and a sequence that it uses."""

    def written(body: str, moves: str = SEQUENCES["lift"], front: str = "", more: str = "") -> Path:
        return guide_of(tmp_path, index=f"{front}{block(body)}```moves tool\n{moves}\n```\n\n{more}")

    return written


@pytest.fixture
def computed(monkeypatch) -> list[str]:
    """What was computed, in order. Nothing is drawn, since no picture is asked about."""
    done: list[str] = []
    monkeypatch.setattr("sitegen.site.publish.render_site", lambda *_: iter([("index.html", b"")]))

    def watch(name: str) -> None:
        job = getattr(solved_once, name)
        monkeypatch.setattr(solved_once, name, lambda *args: (done.append(name), job(*args))[1])

    watch("coverage")
    watch("trial")
    return done


TOOL = "- stage: Over\n  goal: UF oriented by U\n  using: @tool\n"
KEPT = f"count: 20\nseed: 3\nstages:\n{TO_ITS_PLACE}{TOOL}"


@pytest.fixture(scope="module")
def of_kept(tmp_path_factory) -> Path:
    """What is kept when that method has been computed; read only."""
    folder: Path = tmp_path_factory.mktemp("of-kept")
    page = f"{block(KEPT)}```moves tool\n{SEQUENCES['lift']}\n```\n\n"
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv(PLACE, str(folder / "cache"))
        check(guide_of(folder, index=page))
    return folder / "cache"


@pytest.fixture
def known(of_kept: Path, cache: Path) -> None:
    """It is known what follows from that method."""
    shutil.copytree(of_kept, cache)


def test_what_was_computed_is_not_computed_when_the_guide_is_published_again(write, monkeypatch) -> None:
    folder = write(KEPT)
    fresh = check(folder)
    publish(folder)
    before = {p.name: p.read_bytes() for p in (folder / "output").rglob("*") if p.is_file()}

    def never(*_: object) -> None:
        raise AssertionError("it is known")

    monkeypatch.setattr(solved_once, "coverage", never)
    monkeypatch.setattr(solved_once, "trial", never)
    known = read_guide(folder)
    publish(folder)
    assert {p.name: p.read_bytes() for p in (folder / "output").rglob("*") if p.is_file()} == before
    one, other = fresh.named(Method)["m"], known.named(Method)["m"]
    assert [stage.steps for stage in one.stages] == [stage.steps for stage in other.stages]
    assert [stage.trial for stage in one.stages] == [stage.trial for stage in other.stages]
    assert (one.trial, one.left) == (other.trial, other.left)


def test_that_cases_are_not_solved_is_kept_too(write, computed) -> None:
    told = []
    for _ in range(2):
        with pytest.raises(Problems) as caught:
            publish(write(KEPT, moves="R"))
        told.append(str(caught.value))
    assert told[0] == told[1]
    assert computed == ["coverage", "trial"]


@pytest.mark.parametrize(
    "change",
    [
        ("count: 20", "title: Other\ncount: 20"),
        ("count: 20", "say: Other\ncount: 20"),
        ("count: 20", "view: net\nletters: yes\ncount: 20"),
        ("count: 20", "open: no\ncount: 20"),
        ("stage: Over", "stage: Turned over"),
        ("goal: UF placed", "goal: FU placed"),
        ("using: @tool", "using: @tool\n  say: Other"),
        ("using: @tool", "using: @tool\n  view: top"),
    ],
)
def test_words_and_pictures_may_change_without_computing_anew(known, write, computed, change) -> None:
    publish(write(KEPT.replace(*change), more="More.\n"))
    assert computed == []


@pytest.mark.parametrize(
    "change",
    [
        ("count: 20", "count: 21"),
        ("seed: 3", "seed: 4"),
        ("goal: UF placed", "goal: UF home"),
        ("goal: UF placed", "goal: UF placed; UB placed"),
        ("goal: UF oriented by U", "goal: UR placed"),
        ("any turns up to 2", "any turns up to 4"),
        ("any turns up to 2", "any turns of U, D, R, L and F up to 2"),
        ("goal: UF placed\n", "goal: UF and UB placed\n  one by one: UF, UB\n"),
        ("goal: UF placed\n", "goal: UF and UB placed\n  one by one: UB, UF\n"),
        ("using: @tool", "using: @tool and @tool'"),
        ("using: @tool", "using: @tool'"),
        ("using: @tool", "using: @tool\n  lead-in: 1 turn"),
        ("using: @tool", "using: @tool\n  lead-in: 1 turn of R"),
        ("using: @tool", "using: @tool\n  layer turns: U"),
        ("using: @tool", "using: @tool\n  hold: y2"),
    ],
)
def test_whatever_a_result_follows_from_is_computed_anew_when_it_changes(
    known, write, computed, change
) -> None:
    publish(write(KEPT.replace(*change)), draft=True)
    assert computed == ["coverage", "trial"]


def test_other_moves_of_a_sequence_are_computed_anew_unless_they_are_the_same_turns(write, computed) -> None:
    publish(write(KEPT))
    publish(write(KEPT, moves=f"({SEQUENCES['lift']} R) R'"))
    assert computed == ["coverage", "trial"]
    publish(write(KEPT, moves=f"R {SEQUENCES['lift']} R'"))
    assert computed == ["coverage", "trial"] * 2


def test_another_puzzle_is_computed_anew(write, computed) -> None:
    corner = stages(stage("goal: UFR home"))
    publish(write(corner))
    publish(write(corner, front=SMALL_CUBE, moves="R"))
    assert computed == ["coverage", "trial"] * 2


def test_what_is_kept_does_not_hide_how_steps_are_named_now(write) -> None:
    pair = "goal: UF and UR placed\n  one by one: {0}\n  using: any turns up to 4"
    names = []
    for written in ("UF, UR", "FU, RU"):
        guide = check(write(stages(f"- stage: A\n  {pair.format(written)}\n")))
        names.append([step.name for step in guide.named(Method)["m"].stages[0].steps])
    assert names == [["UF", "UR"], ["FU", "RU"]]


# Whatever is written --------------------------------------------------------------------------------------

WORDS = st.sampled_from(
    [
        *("stages:", "- stage:", "goal:", "using:", "one by one:", "lead-in:", "layer turns:", "hold:"),
        *("count:", "seed:", "open:", "yes", "A", "UF", "UFR", "placed", "home", "oriented by", "U", "and"),
        *("any turns", "of", "up to", "2", "turns", "@quarter", "@m", "'", "@", "y", "M", ",", ";", "- "),
        *("\n", "\n  ", "except", "edges", "[", "é", "²", "9" * 30, "0", '"', "#", ":"),
    ]
)


@st.composite
def mutilated(draw: st.DrawFn) -> str:
    """A method with a few stretches cut out, doubled or written over."""
    applied = "  lead-in: 1 turn\n  layer turns: U\n  hold: y\n"
    text = f"count: 2\nstages:\n{TO_ITS_PLACE}- stage: B\n  goal: UF home\n  using: @quarter\n{applied}"
    for _ in range(draw(st.integers(1, 3))):
        a, b = sorted(draw(st.tuples(st.integers(0, len(text)), st.integers(0, len(text)))))
        b = min(b, a + 12)
        text = text[:a] + draw(st.one_of(st.just(""), WORDS, st.just(text[a:b] * 2))) + text[b:]
    return text


@settings(max_examples=40)
@given(st.one_of(mutilated(), st.lists(WORDS, max_size=12).map(" ".join)))
@example("stages:\n- stage: A\n  goal: all home\n  using: any turns up to 1")
@example("stages:\n- stage: A\n  goal: centres home\n  using: @quarter\nopen: no")
def test_whatever_stands_in_a_block_is_read_or_told(text: str) -> None:
    with tempfile.TemporaryDirectory() as folder, pytest.MonkeyPatch.context() as patch:
        patch.setattr(sitegen.methods.cases, "MOST_CASES", 1_000)
        page = f"{block(text)}```moves quarter\nU\n```\n\n{EXAMPLE}"
        for problem in read_guide(guide_of(Path(folder), index=page)).problems:
            assert problem.message
            assert problem.passage.line <= page.count("\n") + 1
