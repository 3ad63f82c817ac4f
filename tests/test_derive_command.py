"""The command `derive`: what it prints is what turning shows, and what it writes is published as it is."""

from __future__ import annotations

import json
import re
import time
from pathlib import Path

import pytest
from running import run
from sample_guide import guide_of

from sitegen.site.publish import check

FLIP = ["derive", "flips UF", "--guard", "U except UF", "--slices"]


def step_of(aside: str, turn: str) -> str:
    return f"[{aside}: {turn}]" if aside else turn


def test_the_first_way_is_told_step_by_step() -> None:
    result = run(*FLIP, "--most", "1")
    assert result.exit_code == 0
    assert result.stdout == (
        "[F: E] [F': E2]\n"
        "  step 1    Alone, E would not reach UF. First F brings UF to RF, and takes UFL and UFR along. "
        "Then E takes UF from RF to BR. Now F' brings UFL and UFR home.\n"
        "  step 2    First F' takes UFL and UFR along; what undoes it will bring UF from FL to FU. "
        "Then E2 takes UF from BR to FL. Now F brings UFL and UFR home, and takes UF from FL to FU.\n"
        "  in full   F E F2 E2 F\n"
        "  does      UF and BL are flipped; DF and BR change places; "
        "F goes to L, L to B, B to R and R to F; everything else is home.\n"
        "  length    7 OBTM, 10 QTM, 5 STM, 5 ETM\n"
        "\n"
        "Asides of up to 2 turns: 154 ways of 2 steps; none has fewer; 522 more differ only by a symmetry "
        "or by more that is set aside; one of them is shown.\n"
    )


def test_the_guard_need_not_be_said() -> None:
    assert run("derive", "flips UF", "--slices").output == run(*FLIP).output


def test_as_json_a_way_has_the_keys_of_the_design(cube3, turned) -> None:
    result = run(*FLIP, "--json", "--most", "30")
    ways = [json.loads(line) for line in result.stdout.splitlines()]
    assert len(ways) == 30
    for way in ways:
        steps = [step_of(each["aside"], each["turn"]) for each in way["steps"]]
        assert [*way] == ["steps", "moves", "length", "effect"]
        assert turned(" ".join(steps), cube3) == turned(way["moves"], cube3)
        assert way["effect"]["flips"][0] == "UF"
    assert "154 ways of 2 steps" in result.stderr


def test_with_turns_of_a_layer_each_way_is_half_of_a_commutator(cube3, turned) -> None:
    [line] = run(*FLIP, "--json", "--most", "1", "--then", "U").stdout.splitlines()
    then = json.loads(line)["then"]
    assert [each["moves"] for each in then] == [f"[[F: E] [F': E2], U{n}]" for n in ("", "2", "'")]
    # Reasoned: the edge that is flipped, and the one that the turn brings into its place.
    assert [each["effect"]["flips"] for each in then] == [["UF", "UR"], ["UF", "UB"], ["UF", "UL"]]
    assert "\n  [A, U]    UF and UR are flipped" in run(*FLIP, "--most", "1", "--then", "U").stdout


PUZZLES = [
    ("cube-3", "flips UF", "--slices"),
    ("cube-3", "twists UFR clockwise", ""),
    ("cube-3", "cycles UF > UR > UB", "--slices"),
    ("cube-3", "twists UFL clockwise; twists UFR anticlockwise", ""),
    ("cube-3", "flips UF; keeps UR, UB", "--slices"),
    ("cube-2", "twists UFR clockwise", ""),
    ("cube-4", "twists UFR clockwise", ""),
    ("cube-5", "flips UF", "--slices"),
    ("pyraminx", "swaps FR with RL", "--guard FL --aside 1"),
    ("skewb", "twists DFR clockwise", "--guard UBR"),
    ("megaminx", "twists UFR clockwise", "--aside 1"),
]


@pytest.mark.parametrize(("puzzle", "goal", "options"), PUZZLES)
def test_what_it_writes_is_published_as_it_is(tmp_path: Path, puzzle: str, goal: str, options: str) -> None:
    result = run("derive", goal, "--puzzle", puzzle, "--block", "--most", "3", *re.findall(r"\S+", options))
    assert result.exit_code == 0, result.output
    assert "```derivation " in result.stdout
    folder = guide_of(tmp_path, f"title: T\npuzzle: {puzzle}\n", index=result.stdout)
    guide = check(folder)
    assert [str(note) for note in guide.notes] == []
    found = [block.checked for block in guide.blocks["index"] if block.checked.named]
    assert len(found) == result.stdout.count("\nnames: ")
    assert all(each.failure == "" for each in found)


def test_the_first_thought_is_written_as_one_that_fails(tmp_path: Path) -> None:
    written = run(*FLIP, "--block", "--most", "1").stdout
    first, second = written.split("\n\n")
    assert "\nfails: yes\n" in first
    assert "say: This takes UF to BR, but UFL and UFR are not home." in first
    assert "fails" not in second


def test_where_the_turn_alone_would_disturb_the_guard_that_is_the_first_thought(tmp_path: Path) -> None:
    written = run("derive", "twists UFR clockwise", "--block", "--most", "2").stdout
    assert "- turn: R2\n  say: This alone would carry UR to DR and UBR to DFR.\n```" in written
    check(guide_of(tmp_path, index=written))


def test_names_that_the_guide_has_are_not_taken_again(tmp_path: Path, monkeypatch) -> None:
    folder = guide_of(tmp_path, index="```moves flips-uf\nmoves: F E F2 E2 F\n```\n")
    monkeypatch.chdir(folder)
    assert "\nnames: flips-uf-2\n" in run(*FLIP, "--block", "--most", "1").stdout


def test_the_names_of_its_blocks_are_not_taken_again_either(tmp_path: Path, monkeypatch) -> None:
    mine = "```derivation flips-uf-found\nsteps:\n- turn: F\n```\n"
    monkeypatch.chdir(guide_of(tmp_path, index=mine))
    written = run(*FLIP, "--block", "--most", "1").stdout
    assert "```derivation flips-uf-2-found\n" in written
    check(guide_of(tmp_path, index=mine + written))


def test_a_first_thought_at_a_later_step_stands_behind_the_steps_before_it(tmp_path: Path) -> None:
    """Else it would be told of another position than the one that it is about."""
    arguments = ["flips UF", "--guard", "UR, UL, UB", "--block", "--most", "300"]
    written = run("derive", *arguments).stdout
    thoughts = re.findall(r"```derivation \S+-first-thought\n.*?```\n", written, re.DOTALL)
    later = [each for each in thoughts if each.count("- turn: ") == 2]
    alone = next(each for each in later if "This alone would carry " in each)
    taken = next(each for each in later if "This takes UF from " in each)
    [shown] = check(guide_of(tmp_path, index=alone)).blocks["index"]
    assert re.search(r"carry (\w+)", alone)[1] in shown.checked.failure
    [shown] = check(guide_of(tmp_path, index=taken)).blocks["index"]
    way = re.search(r"takes UF (from \w+ to \w+)", taken)[1]
    assert f"UF goes {way}" in shown.checked.stages[-1].did


def test_who_watches_a_piece_that_is_not_asked_about_gets_whole_sentences() -> None:
    told = run(*FLIP, "--watch", "DB, DF", "--most", "200").stdout
    assert "bring ." not in told
    assert "where they are" in told


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["flips UF", "--guard", "U"], "the goal changes UF"),
        (["flips UF", "--guard", "Q"], "--guard:1:1"),
        (["flips UF", "--watch", "UR"], "the guard keeps UR"),
        (["swaps UF with DB", "swaps UR with UL"], "no layer has all of"),
        (["flips UF", "--guard", "all except UF"], "no sequence does this"),
        (["order 6"], "changes no piece"),
        (["cycles DF > DR > DB > DL", "--guard", "U", "--faces", "U,D"], "setting aside is no help"),
    ],
)
def test_what_cannot_be_is_refused_with_the_reason(arguments: list[str], said: str) -> None:
    result = run("derive", *arguments)
    assert result.exit_code == 2
    assert said in result.stderr
    assert "hint: " in result.stderr


def test_where_no_steps_do_it_that_is_said() -> None:
    result = run("derive", "flips UF", "--aside", "1")
    assert result.exit_code == 0
    assert result.stdout == (
        "Asides of 1 turn: no clean steps of these turns do this, however many. "
        "Allow more turns, or longer asides with --aside.\n"
    )


def test_it_ends_when_its_time_is_over() -> None:
    begun = time.monotonic()
    result = run(
        "derive", "cycles UF > UR > UB", "--slices", "--aside", "3", "--steps", "4", "--seconds", "1"
    )
    assert time.monotonic() - begun < 20
    assert result.exit_code == 0
    assert "the time is over" in result.stdout


def test_where_all_ways_of_fewest_steps_have_more_turns_that_is_said_and_no_more_is_looked_at() -> None:
    result = run("derive", "twists UFR clockwise", "--longest", "4")
    assert result.stdout == (
        "Asides of up to 2 turns: no 2 clean steps or fewer with up to 4 turns do this; "
        "419 ways have more turns; ways of more steps were not looked at.\n"
    )


@pytest.mark.parametrize("command", ["derive", "find"])
def test_no_time_at_all_is_over_at_once(command: str) -> None:
    result = run(command, "flips UF", "--seconds", "0")
    assert result.exit_code == 0
    assert "the time is over" in result.stdout


def test_the_layer_of_a_pyraminx_is_what_its_letter_turns() -> None:
    told = run("derive", "flips FL", "--puzzle", "pyraminx", "--most", "1")
    assert told.exit_code == 0
    assert "2 steps; none has fewer" in told.stdout


def test_where_the_watched_piece_goes_is_told_of_what_sets_others_aside() -> None:
    told = run("derive", "twists UFR clockwise", "--most", "20").stdout
    asides = re.findall(r"So ([^.]*) sets [^.]* aside first([^.]*)\.", told)
    assert any(brings.startswith(", and brings UFR ") for _, brings in asides)
