"""The command `explain`: what it prints is what turning shows, and what it writes is published as it is."""

from __future__ import annotations

import json
import random
import re
from pathlib import Path

import pytest
from published_turns import facet_of, turned_by_sympy
from running import run
from sample_guide import guide_of
from sympy.combinatorics import Permutation as Cycles

from sitegen.effects.piece_sets import parse_pieces
from sitegen.moves.parse import parse
from sitegen.moves.turning import expand
from sitegen.problems import written
from sitegen.site.publish import check

LINE = "F' E' F2 E2 F'"
LATER = ["explain", "D [[F: D], U]", "--guard", "U except UFR, UBR", "--watch", "UFR"]
TOOL = "F' E' F2 E2 F' U F E2 F2 E F U'"


def test_a_line_is_told_with_its_structure_and_step_by_step() -> None:
    result = run("explain", LINE)
    assert result.exit_code == 0
    assert result.stdout == (
        "F' E' F2 E2 F'\n"
        "  is        [F': E'] [F: E2]\n"
        "  guard     U except UF\n"
        "  watch     UF\n"
        "  step 1    F'  (6 of 8 home; UFL and UFR are away)\n"
        "            Alone, E' would not reach UF. First F' brings UF to LF, and takes UFL and UFR along.\n"
        "  step 2    E'  (6 of 8 home; UFL and UFR are away)\n"
        "            Then E' takes UF from LF to BL.\n"
        "  step 3    undo F'  (8 of 8 home)\n"
        "            Now F brings UFL and UFR home.\n"
        "  step 4    F  (6 of 8 home; UFL and UFR are away)\n"
        "            First F takes UFL and UFR along; what undoes it will bring UF from FR to FU.\n"
        "  step 5    E2  (6 of 8 home; UFL and UFR are away)\n"
        "            Then E2 takes UF from BL to FR.\n"
        "  step 6    undo F  (8 of 8 home)\n"
        "            Now F' brings UFL and UFR home, and takes UF from FR to FU.\n"
        "  does      UF and BR are flipped; DF and BL change places; "
        "F goes to R, R to B, B to L and L to F; everything else is home.\n"
        "  length    7 OBTM, 10 QTM, 5 STM, 5 ETM\n"
    )


def test_a_tool_that_is_undone_after_a_turn_is_undone_as_a_whole() -> None:
    told = run("explain", TOOL).stdout
    assert "\n  is        [[F': E'] [F: E2], U]\n" in told
    assert "Then U brings UR to where UF was." in told
    assert (
        "([F': E'] [F: E2])' takes UR from UF to FU: all but UF and UR are where U alone takes them." in told
    )
    assert "and brings 6 pieces home: UF and UR are changed, and nothing else." in told


def test_where_there_is_no_structure_the_turns_are_given_with_the_guard_after_each() -> None:
    told = run("explain", "L D' R2 F", "--guard", "UB").stdout
    assert "  is        no commutator, conjugate, repeat or product of these" in told
    assert "\n  step 1    L  (1 of 1 home)\n            L " in told
    assert [*re.findall(r"^  step \d+ +(\S+)", told, re.MULTILINE)] == ["L", "D'", "R2", "F"]


def test_what_a_part_changes_is_not_told_as_if_it_were_all() -> None:
    """Before the commutator the pieces of the lower layer have been moved as well."""
    told = run(*LATER).stdout
    assert "are changed by [[F: D], U], and nothing else." in told


def test_what_is_repeated_is_told_once_in_its_parts() -> None:
    told = run("explain", "R' D' R D R' D' R D R' D' R D").stdout
    assert "\n  is        [R', D']3\n" in told
    assert told.count("First R'") == 1
    assert told.count("Once more [R', D'] takes UFR ") == 2


def test_a_layer_that_is_kept_whole_is_guarded_where_another_is_changed() -> None:
    assert "\n  guard     D\n" in run("explain", "R U R' U R U2 R'").stdout


def test_on_the_pyraminx_the_layer_is_not_the_tip() -> None:
    told = run("explain", "R U R' U'", "--puzzle", "pyraminx").stdout
    assert "  guard     U except FR, RL\n  watch     FR, RL\n" in told


def test_that_something_is_set_aside_is_said_only_of_what_then_stays_where_it_is() -> None:
    """U carries four guarded corners away, whatever M' has brought down before."""
    told = run("explain", "M' U M", "--guard", "D", "--watch", "UF").stdout
    assert "So M'" not in told
    told = run("explain", "[R: D] [F: D']", "--guard", "UR and UBR").stdout
    assert "So " not in told or "sets" in told


def test_a_turn_that_cancels_makes_a_structure_harder_to_see(cube3) -> None:
    ways = json.loads(run("explain", "M' U M U2 M' U M", "--json").stdout)["is"]
    assert ways[0] == "[M', U] [U', M']"


def test_what_is_left_of_a_line_that_cancels_in_part_is_told() -> None:
    assert "\n  is        R, as the rest cancels\n" in run("explain", "x R x'").stdout


@pytest.mark.parametrize(("moves", "said"), [("", "no turns to explain"), ("-", "no line was read")])
def test_where_there_is_nothing_to_explain_that_is_said(moves: str, said: str) -> None:
    result = run("explain", moves, stdin="\n \n")
    assert result.exit_code == 2
    assert said in result.stderr


def test_turns_that_all_cancel_are_nothing() -> None:
    told = run("explain", "R L R' L'").stdout
    assert "\n  is        nothing: all of it cancels\n" in told
    assert "\n  guard     nothing: no piece is changed\n" in told


def test_a_guard_that_cannot_be_read_is_told_once_and_not_for_each_line() -> None:
    told = run("explain", "-", "--guard", "Q", stdin="R U\nF U\n")
    assert (told.exit_code, told.stderr.count("--guard:1:1")) == (2, 1)


def test_pieces_to_guard_and_to_follow_may_be_said() -> None:
    told = run("explain", LINE, "--guard", "UR and UB", "--watch", "UFR").stdout
    assert "  guard     UR, UB\n  watch     UFR\n" in told


def test_with_a_dash_each_line_is_told_in_short() -> None:
    told = run("explain", "-", stdin="R U R' U'\n\nR U R'\n")
    first, second = told.stdout.strip().split("\n\n")
    assert first.startswith("R U R' U'\n  is        [R, U]\n")
    assert second.startswith("R U R'\n  is        [R: U]\n")
    assert "step" not in told.stdout


def test_a_line_that_cannot_be_read_is_told_and_the_others_are_explained() -> None:
    told = run("explain", "-", stdin="R U R'\nR Q\nF U F'\n")
    assert told.exit_code == 2
    assert "-:2:3:" in told.stderr
    assert told.stdout.count("  is  ") == 2


def test_as_json_a_line_is_told_with_all_of_its_steps(cube3, turned) -> None:
    data = json.loads(run("explain", TOOL, "--json", "--most", "3").stdout)
    assert [*data] == ["puzzle", "moves", "is", "guard", "watch", "steps", "length", "effect"]
    assert data["effect"]["flips"] == ["UF", "UR"]
    assert [turned(way, cube3) for way in data["is"]] == [turned(TOOL, cube3)] * 3
    steps = [f"({step['undo']})'" if "undo" in step else step["turn"] for step in data["steps"]]
    assert turned(" ".join(steps), cube3) == turned(TOOL, cube3)


# What it writes -------------------------------------------------------------------------------------------


def brackets(rng: random.Random, turns: list[str], depth: int) -> str:
    if depth == 0:
        return " ".join(rng.choice(turns) for _ in range(rng.randint(1, 3)))
    a, b = (brackets(rng, turns, rng.randint(0, depth - 1)) for _ in range(2))
    return rng.choice([f"[{a}, {b}]", f"[{a}: {b}]", f"({a})2", f"{a} {b}"])


PUZZLES = [
    ("cube-3", "R U F D"),
    ("cube-3", "R L M E U S"),
    ("cube-2", "R U F"),
    ("cube-4", "R U Rw 2R D"),
    ("pyraminx", "R U L B"),
    ("skewb", "R U L B"),
    ("megaminx", "R U F L"),
]


@pytest.mark.parametrize(("puzzle", "layers"), PUZZLES)
def test_what_it_writes_is_published_as_it_is(tmp_path: Path, puzzle: str, layers: str) -> None:
    rng = random.Random(puzzle + layers)
    amounts = ["", "'"] if puzzle in ("pyraminx", "skewb") else ["", "2", "'"]
    turns = [layer + amount for layer in layers.split() for amount in amounts]
    lines = [brackets(rng, turns, 3) for _ in range(12)]
    result = run("explain", "-", "--block", "--puzzle", puzzle, stdin="\n".join(lines))
    assert result.exit_code == 0, result.output
    assert result.stdout.count("```derivation ") == 12
    guide = check(guide_of(tmp_path, f"title: T\npuzzle: {puzzle}\n", index=result.stdout))
    assert [str(note) for note in guide.notes] == []


def test_its_block_says_what_is_set_aside_and_where_the_guard_is_home(tmp_path: Path) -> None:
    written = run("explain", LINE, "--block").stdout
    assert written.count("\n  set aside: UFL, UFR\n") == 2
    assert written.count("\n  guard: home\n") == 2
    [block] = check(guide_of(tmp_path, index=written)).blocks["index"]
    assert block.checked.effect == "UF and BR are flipped; DF and BL change places; " + (
        "F goes to R, R to B, B to L and L to F; everything else is home."
    )


def test_names_that_the_guide_has_are_not_taken_again(tmp_path: Path, monkeypatch) -> None:
    monkeypatch.chdir(guide_of(tmp_path, index=f"```moves flips-uf-and-ur\nmoves: {TOOL}\n```\n"))
    assert "\nnames: flips-uf-and-ur-2\n" in run("explain", TOOL, "--block").stdout


# Against SymPy and a published group ----------------------------------------------------------------------

HOME = re.compile(r"(\d+) of (\d+) home")


@pytest.mark.parametrize("seed", range(8))
def test_how_the_guard_fares_after_each_step_is_what_sympy_says(cube3, seed: int) -> None:
    rng = random.Random(seed)
    line = f"[{brackets(rng, ['R', 'U', 'F2', 'L'], 2)}, {rng.choice(['D', 'M', 'E'])}]"
    data = json.loads(run("explain", line, "--json").stdout)
    guard = parse_pieces(written(data["guard"]), cube3) if data["guard"] else frozenset()
    followed = [pieces_facets(cube3.pieces[index], cube3) for index in guard]
    done = Cycles(size=49)
    for step in data["steps"]:
        turns = expand(parse(written(step.get("turn") or f"({step['undo']})'"), cube3))
        for turn in turns:
            done *= turned_by_sympy(turn)
        home = sum(all(done(facet) == facet for facet in facets) for facets in followed if facets)
        told = HOME.match(step["guard"])
        assert (int(told[1]) if told else 0) >= home
        assert not told or int(told[1]) - home <= sum(not facets for facets in followed)


def pieces_facets(piece, cube3) -> list[int]:
    """Its facets; of a centre there are none in the published group."""
    return [facet_of(cube3.stickers[slot].name) for slot in piece.stickers if len(piece.stickers) > 1]


# What cannot be -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["R U R'", "--guard", "L"], "--guard:1:1: UFL, UL and UBL are not home at the end"),
        (["R U R'", "--guard", "L"], "hint: say L except UFL, UL, UBL instead"),
        (["R U R'", "--guard", "DL", "--watch", "DL"], "--watch:1:1: DL is guarded"),
        (["R U R'", "--guard", "Q"], "--guard:1:1"),
        (["R Q"], "moves:1:3"),
        (["(R U)51"], "of up to 100 turns, and these are 102"),
        (["[R, U"], "moves:1"),
    ],
)
def test_what_cannot_be_is_refused_with_the_reason(arguments: list[str], said: str) -> None:
    result = run("explain", *arguments)
    assert result.exit_code == 2
    assert said in result.stderr
    assert "hint: " in result.stderr
