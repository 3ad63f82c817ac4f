"""Inside a guide every command knows its puzzle and its sequences, whatever is wrong elsewhere in it."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from html import unescape
from pathlib import Path

import pytest
from running import run
from sample_guide import guide_of

FLIP = "F D' U L2 U2 D2 R U"
"""By hand: it flips UF and keeps the rest of U."""
CUBE = f"---\npuzzle: cube-3\n---\n```moves lift\nmoves: {FLIP}\n```\n"
SKEWB = (
    "```moves three\nmoves: R U R' U'\n```\n"
    "```derivation steps\nnames: both\nsteps:\n- turn: R\n- turn: U\n```\n"
)


@pytest.fixture
def inside(tmp_path: Path, monkeypatch) -> Callable[..., Path]:
    """Starts commands in the folder of a guide with these pages, or in one below it."""

    def go(config: str = "title: T\npuzzle: skewb\n", below: str = "", **pages: str) -> Path:
        guide_of(tmp_path, config, **{"index": SKEWB, "cube": CUBE, **pages})
        (tmp_path / below).mkdir(parents=True, exist_ok=True)
        monkeypatch.chdir(tmp_path / below)
        return tmp_path

    return go


def effect(*arguments: str) -> dict:
    result = run("effect", "--json", *arguments)
    assert (result.exit_code, result.stderr) == (0, "")
    return json.loads(result.stdout)


# Its puzzle -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("below", ["", "content", "notes/of/mine"])
def test_its_puzzle_is_turned_in_its_folder_and_below(inside, below: str) -> None:
    inside(below=below)
    assert effect("R")["puzzle"] == "skewb"
    assert run("find", "order 3", "--most", "1").exit_code == 0
    assert run("draw", "R", "-o", "figure.svg").exit_code == 0


def test_another_is_turned_where_it_is_asked_for(inside) -> None:
    inside()
    assert effect("F", "--puzzle", "cube-3")["puzzle"] == "cube-3"


def test_without_a_guide_it_is_the_cube(tmp_path, monkeypatch) -> None:
    monkeypatch.chdir(tmp_path)
    assert effect("R")["puzzle"] == "cube-3"
    result = run("effect", "@three")
    assert result.exit_code == 2
    assert "no sequence is named three" in result.stderr


def test_a_guide_that_names_none_is_about_the_cube(inside) -> None:
    inside("title: T\n", index="# Home\n")
    assert effect("F")["puzzle"] == "cube-3"


@pytest.mark.parametrize(
    ("config", "told"),
    [
        ("title: T\npuzzle: skweb\n", "content/guide.yaml:2:9: puzzle cannot be “skweb”"),
        ("title: T\npuzle: skewb\n", "content/guide.yaml:2:1: there is no key “puzle” here"),
        ("title: [T\npuzzle: skewb\n", "content/guide.yaml:1:8: YAML: "),
    ],
)
def test_a_puzzle_that_the_guide_does_not_tell_is_not_guessed(inside, config: str, told: str) -> None:
    inside(config)
    for command in (["effect", "R"], ["effect", "@lift", "--puzzle", "cube-3"]):
        result = run(*command)
        assert (result.exit_code, result.stdout) == (1, "")
        assert result.stderr.startswith(told)
    assert effect("R", "--puzzle", "skewb")["puzzle"] == "skewb"


# Its sequences --------------------------------------------------------------------------------------------


def test_its_sequences_stand_for_their_moves(inside) -> None:
    inside()
    assert effect("@three")["stickers"] == effect("R U R' U'")["stickers"]
    assert effect("[@three, B]'")["stickers"] == effect("[R U R' U', B]'")["stickers"]
    assert effect("@both")["stickers"] == effect("R U")["stickers"]
    assert effect("@lift", "--puzzle", "cube-3")["stickers"] == effect(FLIP, "--puzzle", "cube-3")["stickers"]
    assert effect("@three")["moves"] == "@three"


def test_they_are_drawn(inside) -> None:
    folder = inside()
    for moves, file in (("@three", "a.svg"), ("R U R' U'", "b.svg")):
        assert run("draw", moves, "-o", file).exit_code == 0
    a, b = ((folder / file).read_text(encoding="utf-8") for file in ("a.svg", "b.svg"))
    titles = [re.search(r"<title>(.*?)</title>", unescape(each)) for each in (a, b)]
    assert [title and title[1] for title in titles] == ["three", "R, U, R prime, U prime"]
    assert unescape(a).replace("three</title>", "R, U, R prime, U prime</title>") == unescape(b)


def test_claims_speak_of_them(inside) -> None:
    inside()
    result = run("find", "--json", "same as @three")
    assert json.loads(result.stdout.splitlines()[0])["moves"] == "R U R' U'"
    result = run("find", "--json", "undoes @three", "order 6")
    assert json.loads(result.stdout.splitlines()[0])["moves"] == "U R U' R'"


def test_many_lines_speak_of_them(inside) -> None:
    inside()
    result = run("effect", "--json", "-", stdin="@three\n@there\n@three'\n")
    assert [json.loads(line)["moves"] for line in result.stdout.splitlines()] == ["@three", "@three'"]
    assert result.stderr.startswith("-:2:1: no sequence is named there")
    assert "hint: is it @three?" in result.stderr
    assert result.exit_code == 2


def test_a_sequence_of_another_puzzle_is_told_and_doing_so_helps(inside) -> None:
    inside()
    result = run("effect", "@lift")
    assert (result.exit_code, result.stderr.splitlines()[0]) == (2, "moves:1:1: lift is a sequence of cube-3")
    assert result.stderr.endswith("hint: turn that puzzle: --puzzle cube-3\n")
    assert effect("@lift", "--puzzle", "cube-3")["order"]


def test_what_is_no_sequence_is_told(inside) -> None:
    inside(more="```position here\npieces: does nothing\n```\n")
    result = run("effect", "@here")
    assert result.exit_code == 2
    assert "hint: here is a position: name a sequence in its place" in result.stderr


# What is wrong elsewhere, and what is not ----------------------------------------------------------------

ELSEWHERE = {
    "a false claim": "```moves wrong\nmoves: R\nclaims: order 7\n```\n",
    "moves that cannot be read": "```moves wrong\nmoves: R Q\n```\n",
    "a head that cannot be read": "---\ntitle: [\n---\n",
    "a page of an unknown puzzle": "---\npuzzle: skweb\n---\n",
    "a link that leads nowhere": "[x](nowhere.md)\n",
    "a reference to nothing": "```moves wrong\nmoves: @nothing\n```\n",
    "a circle": "```moves one\nmoves: @two\n```\n```moves two\nmoves: @one\n```\n",
}


@pytest.mark.parametrize("text", ELSEWHERE.values(), ids=ELSEWHERE.keys())
def test_what_is_wrong_elsewhere_stops_no_command(inside, text: str) -> None:
    inside("title: T\npuzzle: skewb\nlanguage: 7\npages: [nowhere]\n", more=text)
    assert run("check").exit_code == 1
    assert effect("R U")["puzzle"] == "skewb"
    assert effect("@three")["stickers"] == effect("R U R' U'")["stickers"]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("```moves mine\nmoves: R Q\n```\n", "content/more.md:2:10: expected a turn"),
        ("```moves mine\nmoves: R\nclams: order 3\n```\n", "content/more.md:3:1: there is no key “clams”"),
        (
            "```moves mine\nmoves: @its R\n```\n\n```moves its\nmoves: R Q\n```\n",
            "content/more.md:6:10: expected a turn",
        ),
        (
            "```moves three\nmoves: R\n```\n```moves mine\nmoves: @three\n```\n",
            "content/more.md:1:4: the name",
        ),
        ("```moves mine\nmoves: @mine\n```\n", "content/more.md:2:8: the sequences refer to each other"),
        ("```moves mine\nmoves: @nothing\n```\n", "content/more.md:2:8: no sequence is named nothing"),
        ("```moves mine\nmoves: @lift\n```\n", "content/more.md:2:8: no sequence is named lift"),
    ],
)
def test_what_is_wrong_with_a_sequence_that_is_used_is_told(inside, text: str, told: str) -> None:
    inside(more=text)
    result = run("effect", "@mine")
    assert (result.exit_code, result.stdout) == (1, "")
    assert result.stderr.startswith(told)
    assert run("find", "same as @mine").exit_code == 1


FALSE = "```moves mine\nmoves: R U\nclaims:\n- order 7\n- keeps R\n```\n"


@pytest.mark.parametrize("moves", ["@mine", "U @mine'", "[R, @mine]", "@through"])
@pytest.mark.parametrize(
    "command", [["effect"], ["effect", "--json"], ["draw", "-o", "figure.svg"], ["find", "--longest", "1"]]
)
def test_what_is_claimed_in_vain_of_a_sequence_is_noted_wherever_it_is_turned(
    inside, command: list[str], moves: str
) -> None:
    """As `check` would tell it; it is turned all the same, on which standard output has the last word."""
    inside(more=f"{FALSE}\n```moves through\nmoves: @mine L\n```\n")
    head, *options = command
    claim = f"same as {'@through' if moves == '@through' else '@mine'}"
    result = run(head, claim if head == "find" else moves, *options)
    assert result.exit_code == 0
    checked = run("check").stderr
    told = [line for line in checked.splitlines() if line.startswith("content/more.md:")]
    assert len(told) == 2
    for line in told:
        place, _, message = line.partition(": ")
        assert f"{place}: note: {message}\n" in result.stderr


def test_each_is_noted_once_however_many_lines_turn_it(inside) -> None:
    inside(more=FALSE)
    result = run("effect", "-", stdin="@mine\n@mine'\nR\n")
    assert (result.exit_code, result.stderr.count("note: ")) == (0, 2)
    assert run("effect", "@three").stderr == ""
