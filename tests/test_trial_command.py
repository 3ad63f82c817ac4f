"""The command `trial`: random positions solved by the methods of a guide, in words and as data."""

from __future__ import annotations

import json
import re
from functools import partial
from itertools import islice
from pathlib import Path
from typing import Any

import pytest
import running
from click.testing import CliRunner
from hypothesis import example, given, settings
from hypothesis import strategies as st
from running import ended_well
from sample_guide import guide_of
from sample_methods import CORNER_STAGES, moves_blocks, written_out

import sitegen.commands.guide_commands as guide_commands
from sitegen.blocks.method.method import Method
from sitegen.cli import main
from sitegen.methods.trial import positions
from sitegen.puzzles.permutation import Permutation, compose
from sitegen.puzzles.puzzle import Puzzle
from sitegen.site.publish import check, publish

CORNERS = f"""\
```method corners
title: The small cube
count: 5
{CORNER_STAGES}```

"""
EDGE = """\
```method edge
count: 5
stages:
- stage: Its place
  goal: UF placed
  using: any turns up to 2
```
"""
HALF = """\
```method half
count: 5
open: yes
stages:
- stage: Its place
  goal: UF placed
  using: any turns up to 2
- stage: The right way up
  goal: UF oriented by U
  using: @quarter
```

```moves quarter
D
```
"""
STAGES = ["The lower ones", "To their places", "Twisted"]
LENGTHS = ["mean", "p50", "p95", "max"]


run = partial(running.run, "trial")
pytestmark = pytest.mark.usefixtures("counted_soon")


def guide(folder: Path, **pages: str) -> str:
    return str(guide_of(folder, **pages))


@pytest.fixture(scope="module")
def small(tmp_path_factory) -> str:
    """A guide with one method, which solves the small cube; published, so that less is to be computed."""
    sequences = moves_blocks(["three-up", "twist-pair"])
    folder = tmp_path_factory.mktemp("small")
    guide(folder, small=f"---\npuzzle: cube-2\n---\n{CORNERS}{sequences}")
    publish(folder)
    return str(folder)


@pytest.fixture(scope="module")
def several(tmp_path_factory) -> str:
    """A guide with two methods, of which one leaves every other position unsolved."""
    folder = tmp_path_factory.mktemp("several")
    guide(folder, edge=EDGE, half=HALF)
    publish(folder)
    return str(folder)


def data(*arguments: str) -> dict[str, Any]:
    result = run(*arguments, "--json")
    assert result.exit_code == 0, result.output
    (line,) = result.stdout.splitlines()
    return json.loads(line)


@pytest.fixture(scope="module")
def solves(turned):
    """Whether moves that name sequences, done after others, leave every corner of the small cube home."""

    def of(puzzle: Puzzle, *texts: str) -> bool:
        done: Permutation = puzzle.identity
        for text in texts:
            in_full = written_out(text)
            done = compose(done, turned(in_full, puzzle))
        return done == puzzle.identity

    return of


# A trial --------------------------------------------------------------------------------------------------


def test_a_trial_as_data_has_the_keys_of_the_design_and_numbers_that_agree(small) -> None:
    told = data(small, "--count", "50", "--seed", "7")
    assert list(told) == ["method", "seed", "tried", "solved", "length", "stages", "longest", "unsolved"]
    assert (told["method"], told["seed"], told["tried"], told["solved"]) == ("corners", 7, 50, 50)
    assert list(told["length"]) == LENGTHS
    assert [stage["stage"] for stage in told["stages"]] == STAGES
    for stage in told["stages"]:
        assert list(stage) == ["stage", "tried", "solved", "length"]
        assert (stage["tried"], stage["solved"]) == (50, 50)
        assert list(stage["length"]) == LENGTHS
        assert stage["length"]["p50"] <= stage["length"]["p95"] <= stage["length"]["max"]
        assert stage["length"]["mean"] <= stage["length"]["max"]
    # Turns of one stage and the next may cancel, and nothing else can be saved.
    assert told["length"]["mean"] <= round(sum(stage["length"]["mean"] for stage in told["stages"]), 2)
    assert told["length"]["max"] <= sum(stage["length"]["max"] for stage in told["stages"])
    assert 1 <= told["longest"]["position"] <= 50
    assert told["unsolved"] is None


def test_the_lengths_are_those_of_the_positions_one_by_one(small) -> None:
    told = data(small, "--count", "5", "--seed", "7")
    lengths = [data(small, "--seed", "7", "--show", str(n))["length"] for n in range(1, 6)]
    listed = sorted(lengths)
    # Half of five is two and a half: three do not exceed the third. 95 in 100 of five are nearly all.
    assert told["length"] == {
        "mean": round(sum(lengths) / 5, 2),
        "p50": listed[2],
        "p95": listed[4],
        "max": listed[4],
    }
    assert told["longest"]["position"] == lengths.index(max(lengths)) + 1


def test_a_trial_in_words_says_the_same_as_its_data(small) -> None:
    told, result = data(small, "--count", "50"), run(small, "--count", "50")
    assert (result.exit_code, result.stderr) == (0, "")
    head, *lines = result.stdout.splitlines()
    assert head.startswith("The small cube")
    assert "50 of 50 random positions solved" in head
    assert "seed 1" in head
    for title, numbers in [*((s["stage"], s["length"]) for s in told["stages"]), ("in all", told["length"])]:
        (line,) = [line.split(title)[1].split() for line in lines if line.strip().startswith(title)]
        assert line[:2] == ["50", "50"]
        assert line[3:] == [str(numbers[key]) for key in ("p50", "p95", "max")]
        assert float(line[2]) == pytest.approx(numbers["mean"], abs=0.051)
    place = told["longest"]["position"]
    assert f"position {place}, takes {told['length']['max']} turns" in result.stdout
    assert told["longest"]["moves"] in result.stdout


def test_where_nothing_is_said_the_numbers_are_those_of_the_page(small) -> None:
    told = data(small)
    assert (told["tried"], told["seed"]) == (
        5,
        1,
    )  # what the block says, and the manual where it says nothing


def test_the_same_seed_gives_the_same_and_another_one_does_not(small) -> None:
    first, again, other = (run(small, "--count", "40", "--seed", seed).stdout for seed in ("3", "3", "4"))
    assert first == again
    assert first.replace("seed 3", "") != other.replace("seed 4", "")


def test_what_is_published_is_tried_in_the_same_way(small) -> None:
    told = data(small)
    page = (Path(small) / "output" / "small.html").read_text()
    assert "5 tried, <b>5 solved</b>" in page
    assert f"in {told['length']['mean']:.1f} turns" in page
    assert f"the longest took {told['length']['max']}" in page


def test_where_a_method_ends_early_it_is_told_how_far_positions_come(several) -> None:
    told = data(several, "--method", "half", "--count", "60")
    place, over = told["stages"]
    assert (place["tried"], place["solved"]) == (60, 60)
    assert (over["tried"], over["solved"]) == (60, told["solved"])
    assert 0 < told["solved"] < 60
    # By hand: a turn of D does nothing to UF, so that nothing but what is right already is solved.
    assert over["length"] == dict.fromkeys(LENGTHS, 0)
    first = told["unsolved"]
    shown = [data(several, "--method", "half", "--show", str(n))["solved"] for n in range(1, first + 1)]
    assert shown == [True] * (first - 1) + [False]
    words = run(several, "--method", "half", "--count", "60").stdout
    assert f"{told['solved']} of 60" in words
    assert f"not solved is position {first}" in words


def test_where_no_position_is_solved_there_are_no_lengths(several) -> None:
    seeds = (str(seed) for seed in range(30))
    told = next(
        t
        for seed in seeds
        if not (t := data(several, "--method", "half", "--count", "1", "--seed", seed))["solved"]
    )
    assert (told["length"], told["longest"], told["unsolved"]) == (None, None, 1)
    assert [stage["length"] is None for stage in told["stages"]] == [False, True]


def test_every_method_is_tried_or_the_one_that_is_named(several) -> None:
    lines = run(several, "--count", "5", "--json").stdout.splitlines()
    assert [json.loads(line)["method"] for line in lines] == ["edge", "half"]
    assert data(several, "--count", "5", "--method", "edge")["method"] == "edge"
    words = run(several, "--count", "5").stdout
    assert re.findall(r"(?m)^(\w+).*random positions", words) == ["Edge", "Half"]


def test_the_folder_is_the_one_that_one_stands_in(small, monkeypatch) -> None:
    monkeypatch.chdir(small)
    assert data("--count", "5")["method"] == "corners"


@pytest.mark.parametrize("tried", [3, 0])
def test_a_trial_that_is_interrupted_tells_of_what_was_tried(small, monkeypatch, tried: int) -> None:
    every = guide_commands.tries

    def some(*arguments):
        yield from islice(every(*arguments), tried)
        raise KeyboardInterrupt

    whole = data(small, "--count", str(tried)) if tried else None
    monkeypatch.setattr(guide_commands, "tries", some)
    result = run(small, "--json")
    assert result.exit_code == 130  # as a command that is interrupted ends by common practice
    told = json.loads(result.stdout)
    assert (told["tried"], told["solved"]) == (tried, tried)
    assert whole is None or told == whole
    assert run(small).exit_code == 130


# One position ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize("number", [1, 2, 40])
def test_a_position_is_shown_with_what_solves_it_stage_by_stage(small, cube2, solves, number: int) -> None:
    told = data(small, "--show", str(number), "--seed", "7")
    assert {"method", "seed", "position", "solved", "moves", "length", "stages"} <= told.keys()
    assert (told["method"], told["position"], told["solved"]) == ("corners", number, True)
    assert [stage["stage"] for stage in told["stages"]] == STAGES
    assert told["length"] == len(re.findall(r"[UDFBLR]", told["moves"]))  # WCA 12a5
    words = run(small, "--show", str(number), "--seed", "7").stdout
    set_up = re.search(r"set it up by +(.*)", words)
    assert set_up
    assert solves(cube2, set_up[1], told["moves"])
    assert (set_up[1], told["home"], told["stuck"]) == (told["set up by"], True, None)
    steps = [move for stage in told["stages"] for step in stage["steps"] for move in step["moves"]]
    assert solves(cube2, set_up[1], *steps)
    effect = CliRunner().invoke(
        main, ["effect", "--json", "--puzzle", "cube-2", f"{set_up[1]} {told['moves']}"]
    )
    assert json.loads(effect.stdout)["stickers"] == {}


def test_a_position_in_words_says_the_same_as_its_data(small) -> None:
    told = data(small, "--show", "3")
    head, *lines = run(small, "--show", "3").stdout.splitlines()
    assert "The small cube" in head
    assert head.endswith("position 3")
    assert [line.split(". ")[1].split(":")[0] for line in lines if re.match(r"\d\. ", line)] == STAGES
    for stage in told["stages"]:
        assert any(f"{stage['stage']}: {stage['length']} OBTM" in line for line in lines)
        for step in stage["steps"]:
            name = f"{step['step']}  " if step["step"] else ""
            assert f"  {name}{' then '.join(step['moves'])}" in lines
    assert any(line.endswith(f": {told['moves']}") for line in lines)
    assert any(line.startswith(f"{told['length']} OBTM") for line in lines)


def test_the_longest_takes_as_long_as_is_said(small) -> None:
    told = data(small, "--count", "60", "--seed", "2")
    shown = data(small, "--show", str(told["longest"]["position"]), "--seed", "2")
    assert shown["length"] == told["length"]["max"]
    assert shown["moves"] == told["longest"]["moves"]


def test_a_position_on_which_the_method_ends_is_shown_as_far_as_it_comes(several) -> None:
    first = data(several, "--method", "half", "--count", "60")["unsolved"]
    told = data(several, "--method", "half", "--show", str(first))
    assert not told["solved"]
    assert [stage["stage"] for stage in told["stages"]] == ["Its place"]
    words = run(several, "--method", "half", "--show", str(first)).stdout
    # By hand: what is in its place and not right is flipped.
    assert told["stuck"] == {"stage": "The right way up", "step": "", "case": "UF is at FU"}
    assert "not solved by The right way up: UF is at FU" in words
    assert "set it up" not in words


def test_a_position_is_told_whatever_the_method_comes_to(several, cube3) -> None:
    """Piece by piece in words and sticker by sticker as data, the same position; and that of the seed."""
    plan = check(Path(several)).named(Method)["half"].plan
    for number, position in enumerate(positions(plan, 12, 1), 1):
        told = data(several, "--method", "half", "--show", str(number))
        words = run(several, "--method", "half", "--show", str(number)).stdout
        assert told["stickers"] == {
            s.name: cube3.stickers[position[s.index]].name
            for s in cube3.stickers
            if position[s.index] != s.index
        }
        (line,) = re.findall(r"the position +(.*)", words)
        at = dict(re.findall(r"(\w+) (?:is )?at (\w+)", line))
        assert at == {name: there for name, there in told["stickers"].items() if name in at}
        pieces = {frozenset(name) for name in told["stickers"]}
        assert {frozenset(name) for name in at} == pieces


# Called wrongly -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["--count", "0"], "--count"),
        (["--count", "100001"], "--count"),
        (["--count", "many"], "--count"),
        (["--count", "1.5"], "--count"),
        (["--seed", "-1"], "--seed"),
        (["--seed", "1000000000"], "--seed"),
        (["--seed", "x"], "--seed"),
        (["--show", "0"], "--show"),
        (["--show", "-1"], "--show"),
        (["--show", "100001"], "--show"),
        (["--show", "3", "--count", "9"], "leave one away"),
        (["--method", "nothing"], "no method is called nothing; there is corners"),
        (["--method", ""], "no method is called"),
        (["--method", "three-up"], "no method is called three-up"),
        (["--colour"], "--colour"),
        (["--count"], "--count"),
        (["elsewhere"], "elsewhere"),
    ],
)
def test_a_trial_called_wrongly_ends_with_2_and_says_so(small, arguments: list[str], said: str) -> None:
    result = run(small, *arguments)
    assert (result.exit_code, result.stdout) == (2, "")
    assert said in result.stderr
    assert ended_well(result)


def test_a_guide_without_a_method_says_so(tmp_path: Path) -> None:
    result = run(guide(tmp_path))
    assert (result.exit_code, result.stdout) == (2, "")
    assert "no method" in result.stderr
    assert ended_well(result)


def test_a_guide_with_problems_is_not_tried(tmp_path: Path) -> None:
    result = run(guide(tmp_path, edge=EDGE, wrong="```moves x\nR Q\n```\n"))
    assert (result.exit_code, result.stdout) == (1, "")
    assert result.stderr.startswith("content/wrong.md:2:3: ")
    assert ended_well(result)


def test_a_method_that_does_not_solve_every_case_is_a_problem_here_too(tmp_path: Path) -> None:
    result = run(guide(tmp_path, half=HALF.replace("open: yes\n", "")))
    assert (result.exit_code, result.stdout) == (1, "")
    assert "1 of 2 cases" in result.stderr


@pytest.mark.parametrize("content", [False, True])
def test_a_folder_without_a_guide_is_told(tmp_path: Path, content: bool) -> None:
    if content:
        (tmp_path / "content").mkdir()
    result = run(str(tmp_path))
    assert result.exit_code == 1
    assert result.stderr
    assert ended_well(result)
    assert run(str(tmp_path / "nowhere")).exit_code == 2


def test_a_trial_writes_nothing(tmp_path: Path) -> None:
    folder = guide(tmp_path, edge=EDGE)
    before = sorted(tmp_path.rglob("*"))
    assert run(folder, "--count", "5").exit_code == 0
    assert sorted(tmp_path.rglob("*")) == before


def test_help_tells_every_option() -> None:
    text = run("--help").stdout
    for option in ("--method", "--count", "--seed", "--show", "--json"):
        assert option in text


OPTIONS = st.sampled_from(["--method", "--count", "--seed", "--show", "--json", "--", "-x"])
VALUES = st.one_of(
    st.sampled_from(["edge", "half", "1", "20", "0", "-5", "1e3", "²", "9" * 30, "", " ", "@edge"]),
    st.text(max_size=8),
)


@settings(max_examples=30)
@given(st.lists(st.one_of(OPTIONS, VALUES), max_size=6))
@example(["--method", "edge", "--show", "3", "--json"])
@example(["--count", "٣"])
def test_whatever_is_called_for_is_answered_or_told_to_be_wrong(several: str, arguments: list[str]) -> None:
    result = run(several, *arguments, "--count", "2")
    assert ended_well(result), result.exception
    assert result.stdout or result.stderr
    assert "Traceback" not in result.output
