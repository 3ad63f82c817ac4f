"""The command: what it prints, where, with which exit status, and that no input ends in a traceback."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
import time
from pathlib import Path
from xml.etree import ElementTree

import click
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from running import ended_well, run
from sample_guide import guide_of

import sitegen.site.start as start_of_guide
from sitegen.cli import COMMANDS, main
from sitegen.puzzles.puzzle import Turn
from sitegen.statuses import MISUSE

COMMAND = [sys.executable, "-c", "from sitegen.cli import main; main(prog_name='turnfolio')"]


@pytest.fixture
def guide(tmp_path: Path) -> Path:
    return guide_of(tmp_path, index="# Home\n\n```moves quarter\nmoves: R U\nclaims:\n- order 105\n```\n")


def broken(guide: Path) -> Path:
    (guide / "content" / "index.md").write_text(
        "# Home\n\nSee [x](indx.md).\n\n```moves quarter\nmoves: R U\nclaims:\n- order 104\n```\n"
    )
    return guide


# check ----------------------------------------------------------------------------------------------------


def test_problems_are_told_to_programs_with_the_place_of_each(guide: Path) -> None:
    plain = run("check", str(broken(guide))).stderr
    done = run("check", "--json", str(guide))
    told = [json.loads(line) for line in done.stdout.splitlines()]
    assert done.exit_code == 1
    text = (guide / "content/index.md").read_text().splitlines()
    assert [text[each["line"] - 1][each["column"] - 1 : each["end"]["column"] - 1] for each in told] == [
        "indx.md",
        "order 104",
    ]
    for each in told:
        assert f"{each['file']}:{each['line']}:{each['column']}: {each['message']}\n" in plain
        assert f"hint: {each['hint']}\n" in plain
        assert each["kind"] == "problem"
        assert each["end"]["line"] == each["line"]


def test_a_problem_of_several_lines_ends_where_it_does(guide: Path) -> None:
    (guide / "content/index.md").write_text("# Home\n\n```moves\nR\nU Q\nQ\n```\n\n```moves x y\nR\n```\n")
    told = [json.loads(line) for line in run("check", "--json", str(guide)).stdout.splitlines()]
    assert all((each["line"], each["column"]) < (each["end"]["line"], each["end"]["column"]) for each in told)
    assert len(told) > 1


def test_where_all_holds_programs_are_told_what_may_not_be_meant(guide: Path) -> None:
    assert run("check", "--json", str(guide)).stdout == ""
    (guide / "content/index.md").write_text("# Home\n\nTurn `R U R' U'` then.\n")
    done = run("check", "--json", str(guide))
    assert done.exit_code == 0
    (note,) = map(json.loads, done.stdout.splitlines())
    assert (note["kind"], note["file"], note["line"]) == ("note", "content/index.md", 3)


# effect ---------------------------------------------------------------------------------------------------


def test_effect_says_in_words_what_moves_do() -> None:
    result = run("effect", "R", "U", "R'", "U'")
    assert result.exit_code == 0
    assert result.stderr == ""
    assert re.search(r"^R U R' U'$", result.stdout, re.MULTILINE)
    assert re.search(r"order\s+6$", result.stdout, re.MULTILINE)  # REFERENCES, orders
    assert re.search(r"4 OBTM, 4 QTM, 4 STM, 4 ETM", result.stdout)


def test_effect_as_json_is_one_object_with_the_keys_of_the_design_in_order() -> None:
    result = run("effect", "--json", "R2 U'")
    (line,) = result.stdout.splitlines()
    facts = json.loads(line)
    assert list(facts) == [
        *("puzzle", "moves", "order", "length", "stickers"),
        *("cycles", "flips", "twists", "parity", "keeps"),
    ]
    assert list(facts["length"]) == ["obtm", "qtm", "stm", "etm"]
    assert (facts["puzzle"], facts["moves"]) == ("cube-3", "R2 U'")
    assert facts["length"] == {"obtm": 2, "qtm": 3, "stm": 2, "etm": 2}


def test_effect_as_json_lists_every_sticker_that_is_not_home() -> None:
    # By hand: R takes U to B, B to D, D to F and F to U, and turns its own eight stickers round.
    stickers = json.loads(run("effect", "--json", "R").stdout)["stickers"]
    assert len(stickers) == 20
    assert {a: stickers[a] for a in ("UFR", "BUR", "DBR", "FDR", "FR", "UR")} == {
        "UFR": "BUR",
        "BUR": "DBR",
        "DBR": "FDR",
        "FDR": "UFR",
        "FR": "UR",
        "UR": "BR",
    }


def test_effect_as_json_of_two_flips_is_what_reasoning_says() -> None:
    # REFERENCES, common practice: [A, T] with A changing one edge of U alone.
    facts = json.loads(run("effect", "--json", "[F D' U L2 U2 D2 R U, U]").stdout)
    assert facts["stickers"] == {"UF": "FU", "FU": "UF", "UR": "RU", "RU": "UR"}
    assert (facts["flips"], facts["cycles"], facts["twists"]) == (["UF", "UR"], [], {})
    assert facts["parity"] == {"corner": "even", "edge": "even"}
    assert facts["order"] == 2
    assert set(facts["keeps"]) == {"D", "B", "L", "E", "corners", "centres"}


def test_effect_reads_one_sequence_a_line_from_standard_input() -> None:
    result = run("effect", "--json", "-", stdin="R U\n\n  U R  \r\n")
    assert [json.loads(line)["moves"] for line in result.stdout.splitlines()] == ["R U", "U R"]
    assert result.exit_code == 0


def test_a_line_that_cannot_be_read_is_told_and_the_others_are_answered() -> None:
    result = run("effect", "--json", "-", stdin="R U\nR Q\nU\n")
    assert [json.loads(line)["moves"] for line in result.stdout.splitlines()] == ["R U", "U"]
    assert result.stderr.splitlines()[0].startswith("-:2:3: ")
    assert result.exit_code == 2


def test_effect_shows_a_mistake_with_a_marker_and_a_hint() -> None:
    result = run("effect", "R U3 R'")
    assert (result.exit_code, result.stdout) == (2, "")
    first, excerpt, marker, hint = result.stderr.splitlines()
    assert first == "moves:1:4: U3 is not a turn: after a turn comes 2, ' or nothing"
    assert (excerpt, marker) == ("    R U3 R'", "       ^")
    assert hint == "    hint: write U'"


def test_effect_turns_the_puzzle_that_is_asked_for() -> None:
    assert json.loads(run("effect", "--json", "--puzzle", "cube-5", "2R").stdout)["puzzle"] == "cube-5"
    assert run("effect", "--puzzle", "cube-5", "M").exit_code == 0
    assert run("effect", "--puzzle", "cube-2", "M").exit_code == 2  # no layer in the middle
    assert run("effect", "3Rw").exit_code == 2  # WCA guideline 12a2+: not valid on 3 layers


def test_a_repeat_of_any_size_is_a_power_not_a_loop() -> None:
    # R U has order 105 (REFERENCES): 10^12 = 105 * 9523809523 + 85, and 85 shares the factor 5 with 105.
    facts = json.loads(run("effect", "--json", "(R U)1000000000000").stdout)
    assert facts["order"] == 21
    assert facts["length"]["obtm"] == 2 * 10**12


# draw -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("view", ["corner", "top", "net"])
def test_draw_writes_a_figure_that_stands_alone_and_says_what_it_shows(tmp_path: Path, view: str) -> None:
    target = tmp_path / "figure.svg"
    result = run("draw", "R U R'", "-o", str(target), "--view", view, "--letters")
    assert (result.exit_code, result.stderr) == (0, "")
    svg = ElementTree.fromstring(target.read_text(encoding="utf-8"))
    assert svg.tag == "{http://www.w3.org/2000/svg}svg"
    title, description = (svg.find(f"{{http://www.w3.org/2000/svg}}{tag}") for tag in ("title", "desc"))
    assert "R, U, R prime" in title.text
    assert description.text


@pytest.mark.parametrize("ending", [".svg", ".png"])
def test_draw_is_as_wide_as_it_is_told_to_be(tmp_path: Path, ending: str) -> None:
    image = pytest.importorskip("PIL.Image")
    target = tmp_path / f"figure{ending}"
    assert run("draw", "R U R'", "-o", str(target), "--width", "321").exit_code == 0
    if ending == ".png":
        assert image.open(target).width == 321
    else:
        assert ElementTree.parse(target).getroot().get("width") == "321"


def test_draw_leaves_an_older_figure_where_there_is_no_room_for_another(tmp_path: Path, monkeypatch) -> None:
    target = tmp_path / "figure.svg"
    target.write_text("an older figure")
    real = Path.write_bytes

    def half(self: Path, content: bytes) -> int:
        real(self, content[:100])
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "write_bytes", half)
    result = run("draw", "R", "-o", str(target))
    assert result.exit_code == MISUSE
    assert result.stderr == f"Error: {target} cannot be read or written: No space left on device\n"
    assert target.read_text() == "an older figure"
    assert list(tmp_path.iterdir()) == [target]


def test_draw_over_a_figure_in_a_folder_in_which_nobody_makes_files_writes_it(
    tmp_path: Path, monkeypatch
) -> None:
    target = tmp_path / "figure.svg"
    target.write_text("old", encoding="utf-8")
    write = Path.write_bytes

    def in_such_a_folder(path: Path, content: bytes) -> int:
        if not path.exists():
            raise PermissionError(13, "Permission denied", str(path))
        return write(path, content)

    monkeypatch.setattr(Path, "write_bytes", in_such_a_folder)
    assert run("draw", "R", "-o", str(target)).exit_code == 0
    assert target.read_text("utf-8").startswith("<svg")
    refused = run("draw", "R", "-o", str(tmp_path / "new.svg"))
    assert refused.exit_code == MISUSE
    assert "new.svg cannot be read or written: Permission denied" in refused.stderr


def test_draw_over_an_older_figure_leaves_who_may_read_it(tmp_path: Path) -> None:
    target = tmp_path / "figure.svg"
    target.write_text("an older figure")
    target.chmod(0o640)
    assert run("draw", "R", "-o", str(target)).exit_code == 0
    assert target.read_text().startswith("<svg")
    assert target.stat().st_mode & 0o777 == 0o640


def test_draw_without_the_library_for_png_says_what_to_install(tmp_path: Path, monkeypatch) -> None:
    monkeypatch.setitem(sys.modules, "resvg_py", None)
    result = run("draw", "R", "-o", str(tmp_path / "x.png"))
    assert result.exit_code == MISUSE
    assert "install it with pip install 'resvg-py>=0.4'" in result.stderr
    assert list(tmp_path.iterdir()) == []


def test_check_and_publish_tell_of_html_that_is_shown_as_text_and_hold_nothing_against_it(tmp_path) -> None:
    guide_of(tmp_path, index="A <b>word</b>.\n")
    for command in ("check", "publish"):
        result = run(command, str(tmp_path))
        assert result.exit_code == 0
        assert result.stderr.count("note: HTML is shown as it is written") == 1
        assert "content/index.md:1:3: note:" in result.stderr


def test_draw_writes_the_same_bytes_each_time(tmp_path: Path) -> None:
    for name in ("a.svg", "b.svg"):
        run("draw", "R U", "-o", str(tmp_path / name))
    assert (tmp_path / "a.svg").read_bytes() == (tmp_path / "b.svg").read_bytes()


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["R", "-o", "x.gif"], ".gif"),
        (["R", "-o", "x"], ".svg"),
        (["R", "-o", "x.svg", "--view", "conrer"], "corner"),
        (["R", "-o", "x.svg", "--puzzle", "cube-9"], "cube-7"),
        (["Q", "-o", "x.svg"], "found “Q”"),
        (["R"], "-o"),
    ],
)
def test_draw_called_wrongly_says_how_to_call_it_and_writes_nothing(
    tmp_path: Path, monkeypatch, arguments: list[str], said: str
) -> None:
    monkeypatch.chdir(tmp_path)
    result = run("draw", *arguments)
    assert result.exit_code == 2
    assert said in result.stderr
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("target", ["nowhere/x.svg", "file/x.svg"])
def test_draw_to_a_place_that_cannot_be_written_to_says_so(tmp_path: Path, target: str) -> None:
    (tmp_path / "file").write_text("")
    result = run("draw", "R", "-o", str(tmp_path / target))
    assert ended_well(result)
    assert result.exit_code != 0
    assert "x.svg" in result.stderr


# find -----------------------------------------------------------------------------------------------------

LIFT = "F D' U L2 U2 D2 R U"
"""Made by hand: it flips UF and keeps the rest of U."""
FLIP = "flips UF; keeps U except UF"
CENTRES_MOVED = ["cycles U > F > D > B", "--wide", "--faces", "L"]
"""By hand: Lw does it, and leaves the centres so."""
OPPOSITE = {"D": "U", "B": "F", "R": "L"}
"""Each second face of a line, and the first."""


def found(*arguments: str) -> list[dict]:
    """What a search that ends well prints as JSON."""
    result = run("find", "--json", *arguments)
    assert result.exit_code == 0, result.stderr
    return [json.loads(line) for line in result.stdout.splitlines()]


def words(length: int, faces: str) -> list[str]:
    """All words of face turns; of turns of opposite faces, which commute, one order is enough."""
    if length == 0:
        return [""]
    return [
        f"{word} {face}{amount}".strip()
        for word in words(length - 1, faces)
        for face in faces
        for amount in ("", "2", "'")
        for last in [word.split()[-1][0] if word else ""]
        if last != face and OPPOSITE.get(last) != face
    ]


def test_find_says_in_words_what_each_sequence_does_and_how_many_there_are() -> None:
    # By hand: of the turns only U2 takes UF to UB and UB to UF.
    result = run("find", "swaps UF with UB")
    assert (result.exit_code, result.stderr) == (0, "")
    moves, does, length, empty, account = result.stdout.splitlines()
    assert (moves, empty) == ("U2", "")
    assert does.startswith("  does      ")
    assert "UF and UB change places" in does
    assert length == "  length    1 OBTM, 2 QTM, 1 STM, 1 ETM"
    assert account == "1 sequence of 1 OBTM; none is shorter."


def test_no_sequence_of_fewer_than_8_turns_flips_one_edge_of_its_layer(cube3) -> None:
    """Computed here: from the start and from the goal, what 4 and 3 turns reach has nothing in common."""
    layer = [cube3.slots[name] for name in ("UF", "UR", "UB", "UL", "UFR", "UBR", "UBL", "UFL")]
    goal = tuple(cube3.slots["FU"] if slot == layer[0] else slot for slot in layer)
    turns = [cube3.permutation(Turn(face, 1, 1, amount)) for face in "UDFBLR" for amount in (1, 2, 3)]

    def within(start: tuple[int, ...], depth: int) -> set[tuple[int, ...]]:
        reached = ring = {start}
        for _ in range(depth):
            ring = {tuple(turn[slot] for slot in there) for there in ring for turn in turns} - reached
            reached = reached | ring
        return reached

    near = within(tuple(layer), 4)
    # Turns lead backwards too, so that what is 3 turns from the goal is 3 turns before it.
    assert not near & within(goal, 3)
    assert near & within(goal, 4)
    assert {each["length"]["obtm"] for each in found(FLIP)} == {8}


def test_the_sequence_made_by_hand_is_among_those_that_are_found(cube3, turned) -> None:
    # U and D' commute: one order is listed.
    all_found = {each["moves"]: each for each in found(FLIP)}
    (moves,) = {LIFT, LIFT.replace("D' U", "U D'")} & all_found.keys()
    assert turned(moves, cube3) == turned(LIFT, cube3)
    by_turning = turned(LIFT, cube3)
    assert all_found[moves]["effect"]["stickers"] == {
        a.name: cube3.stickers[by_turning[a.index]].name
        for a in cube3.stickers
        if by_turning[a.index] != a.index
    }


def test_every_sequence_that_is_found_does_what_was_asked_by_turning(cube3, turned) -> None:
    rest = [s.index for s in cube3.stickers if "U" in s.name and {*s.name} != {*"UF"}]
    uf, fu = cube3.slots["UF"], cube3.slots["FU"]
    listed = [each["moves"] for each in found(FLIP)]
    assert len(set(listed)) == len(listed) > 1
    for moves in listed:
        permutation = turned(moves, cube3)
        assert (permutation[uf], permutation[fu]) == (fu, uf)
        assert [permutation[slot] for slot in rest] == rest


@pytest.mark.parametrize(
    "arguments",
    [
        [FLIP, "--then", "U"],
        ["keeps U", "--longest", "1", "--then", "R"],
        [*CENTRES_MOVED, "--then", "U"],
        ["cycles U > F > D > B", "--slices", "--then", "U"],
        ["twists UFR clockwise", "--puzzle", "cube-2", "--then", "U"],
        ["cycles UFR > UFL > UBL > UBR", "--puzzle", "cube-4", "--then", "2R"],
    ],
)
def test_what_find_says_of_moves_is_what_effect_says_of_them(arguments: list[str]) -> None:
    answers = found(*arguments)
    puzzle = arguments[arguments.index("--puzzle") + 1] if "--puzzle" in arguments else "cube-3"
    assert answers
    for answer in answers:
        assert list(answer)[:3] == ["moves", "length", "effect"]
        seen = effect_of(answer["moves"], puzzle)
        assert answer["length"] == seen["length"]
        assert answer["effect"] == {key: seen[key] for key in answer["effect"]}
        # A quarter, a half and three quarters of a turn; with no turn at all there is nothing to undo.
        assert len(answer["then"]) == (3 if answer["moves"] else 0)


@pytest.mark.parametrize(
    ("arguments", "turn"),
    [
        ([FLIP, "--then", "U"], "U"),
        ([*CENTRES_MOVED, "--then", "U"], "U"),
        (["keeps U", "--longest", "1", "--then", "R"], "R"),
        (["does nothing", "--then", "U"], "U"),
    ],
)
def test_the_moves_of_a_commutator_as_json_can_be_read_and_do_what_is_said(
    arguments: list[str], turn: str
) -> None:
    for answer in found(*arguments):
        amounts = ("", "2", "'") if answer["moves"] else ()
        for each, amount in zip(answer["then"], amounts, strict=True):
            assert each["moves"].endswith(f", {turn}{amount}]")
            seen = effect_of(each["moves"])
            assert each["effect"] == {key: seen[key] for key in each["effect"]}


def effect_of(moves: str, puzzle: str = "cube-3") -> dict:
    result = run("effect", "--json", "--puzzle", puzzle, moves)
    assert result.exit_code == 0, result.stderr
    return json.loads(result.stdout)


def test_the_account_of_what_is_printed_as_json_is_on_standard_error() -> None:
    result = run("find", "--json", "swaps UF with UB")
    assert [json.loads(line)["moves"] for line in result.stdout.splitlines()] == ["U2"]
    assert result.stderr == "1 sequence of 1 OBTM; none is shorter.\n"


def test_find_says_in_words_what_comes_of_each_with_turns_of_a_layer() -> None:
    # REFERENCES, common practice: [A, T] flips UF and the edge that T brings to its place.
    lines = run("find", FLIP, "--then", "U", "--most", "2").stdout.splitlines()
    told = [re.split(r"(?<=\])\s+", line.strip()) for line in lines if line.startswith("  [A, ")]
    assert told == 2 * [
        ["[A, U]", "UF and UR are flipped; everything else is home."],
        ["[A, U2]", "UF and UB are flipped; everything else is home."],
        ["[A, U']", "UF and UL are flipped; everything else is home."],
    ]


@pytest.mark.parametrize(
    ("arguments", "blocks"),
    [
        ([FLIP, "--most", "2"], 2),
        ([FLIP, "--most", "2", "--then", "U"], 2 * 4),
        # By hand: turns about one line commute, so that [Lw, R] does nothing.
        ([*CENTRES_MOVED, "--then", "R"], 1),
        ([*CENTRES_MOVED, "--then", "U"], 4),
        (["cycles U > F > D > B", "--slices", "--then", "U"], 4),
        (["cycles U > F > D > B", "--slices", "--then", "M"], 1),  # a layer commutes with itself
        (["swaps UFR with UBL", "--puzzle", "cube-2", "--then", "R"], 4),
        (["swaps UFR with UBL", "--puzzle", "cube-4", "--then", "2R"], 4),
    ],
)
def test_blocks_can_be_pasted_into_a_page_as_they_are(guide: Path, arguments: list[str], blocks: int) -> None:
    assert pasted(guide, arguments) == blocks


@pytest.mark.parametrize(
    ("arguments", "blocks"),
    [(["does nothing"], 0), (["does nothing", "--then", "U"], 0), (["keeps U", "--longest", "1"], 3)],
)
def test_no_turn_at_all_is_no_block_to_paste(guide: Path, arguments: list[str], blocks: int) -> None:
    """By hand: of up to one turn D, D2 and D' keep U, and no turn at all: no block can have that as moves."""
    assert pasted(guide, arguments) == blocks


def test_no_block_to_paste_has_a_name_that_the_guide_has(guide: Path, monkeypatch) -> None:
    monkeypatch.chdir(guide)
    taken = "```moves flips-uf-and-ur-1\nR U R' U'\n```\n"
    (guide / "content" / "taken.md").write_text(taken, encoding="utf-8")
    result = run("find", "--block", "flips UF and UR", "--most", "1")
    assert result.stdout.startswith("```moves flips-uf-and-ur-1-2\n")


def pasted(guide: Path, arguments: list[str]) -> int:
    """How many blocks are printed; a page with all of them is published without a problem."""
    result = run("find", "--block", *arguments)
    assert result.exit_code == 0
    puzzle = arguments[arguments.index("--puzzle") + 1] if "--puzzle" in arguments else "cube-3"
    page = f"---\npuzzle: {puzzle}\n---\n# Found\n\nBelow it:\n\n{result.stdout}"
    (guide / "content" / "found.md").write_text(page, encoding="utf-8")
    published = run("publish", str(guide))
    assert (published.exit_code, published.stderr) == (0, "")
    blocks = result.stdout.count("```moves ")
    assert published.stdout.startswith(f"2 pages, {_sequences(blocks + 1)}:")
    assert re.fullmatch(r"\d+ sequences? of .*\.\n", result.stderr)  # the account, out of the blocks' way
    return blocks


def _sequences(number: int) -> str:
    return f"{number} sequence" if number == 1 else f"{number} sequences"


def test_a_block_says_what_was_asked_and_its_commutators_all_that_they_do() -> None:
    blocks = run("find", FLIP, "--block", "--then", "U", "--most", "1").stdout.split("\n\n")
    first, second = blocks[0].splitlines(), blocks[1].splitlines()
    assert first[3:] == ["claims:", "- flips UF", "- keeps U except UF", "```"]
    name = first[0].removeprefix("```moves ")
    # REFERENCES, common practice.
    assert second[2:] == [
        f"moves: [@{name}, U]",
        "claims:",
        "- flips UF and UR",
        "- changes only UF and UR",
        "```",
    ]


def test_no_more_than_so_many_are_shown_the_first_ones_and_all_are_counted() -> None:
    everything, two = run("find", "--json", FLIP), run("find", "--json", FLIP, "--most", "2")
    assert two.stdout.splitlines() == everything.stdout.splitlines()[:2]
    number = len(everything.stdout.splitlines())
    assert everything.stderr == f"{number} sequences of 8 OBTM; none is shorter.\n"
    assert two.stderr == f"{number} sequences of 8 OBTM; none is shorter; the first 2 are shown.\n"
    assert run("find", FLIP, "--most", "1").stdout.endswith("; one of them is shown.\n")


def test_all_sequences_up_to_a_length_are_listed_the_shorter_before_the_longer(cube3, turned) -> None:
    uf, ub = cube3.slots["UF"], cube3.slots["UB"]
    does = [
        (length, word)
        for length in range(4)
        for word in words(length, "UFR")
        for permutation in [turned(word, cube3)]
        if (permutation[uf], permutation[ub]) == (ub, uf)
    ]
    result = run(
        *("find", "--json", "swaps UF with UB", "--faces", "U,F,R", "--longest", "3", "--most", "1000")
    )
    answers = [json.loads(line) for line in result.stdout.splitlines()]
    assert sorted((each["length"]["obtm"], each["moves"]) for each in answers) == sorted(does)
    lengths = [each["length"]["obtm"] for each in answers]
    assert lengths == sorted(lengths)
    one, two, three = (lengths.count(length) for length in (1, 2, 3))
    assert one == 1  # U2
    assert result.stderr == (
        f"1 sequence of 1 OBTM; {two} sequences of 2 OBTM; {three} sequences of 3 OBTM; "
        "none is shorter; searched up to 3 OBTM.\n"
    )


def test_turns_of_opposite_faces_are_listed_in_one_order() -> None:
    # By hand: U does it, alone or with D turned by any amount, before or after.
    moves = [each["moves"] for each in found("cycles UF > UL > UB > UR", "--longest", "2", "--faces", "U,D")]
    assert (moves[0], {*moves[1:]}) == ("U", {"U D", "U D2", "U D'"})
    assert len(moves) == 4


def test_nothing_up_to_a_length_is_an_answer_too() -> None:
    result = run("find", FLIP, "--longest", "7")
    assert (result.exit_code, result.stderr) == (0, "")
    assert result.stdout == "no sequence of up to 7 OBTM does this.\n"
    as_json = run("find", "--json", FLIP, "--longest", "7")
    assert (as_json.exit_code, as_json.stdout) == (0, "")
    assert as_json.stderr == "no sequence of up to 7 OBTM does this.\n"


@pytest.mark.parametrize("faces", ["R,U", "R U", "R, U", "U and R", "R, and U", "[R, U]", " R\nU "])
def test_faces_are_named_with_commas_or_without(faces: str) -> None:
    answers = found("cycles UR > BR > DR > FR", "--faces", faces, "--longest", "2", "--most", "100")
    assert {letter for each in answers for letter in each["moves"] if letter.isalpha()} <= {*"RU"}
    assert answers[0]["moves"] == "R"  # by hand: R takes U to B, B to D, D to F and F to U


def test_a_face_is_named_once() -> None:
    result = run("find", FLIP, "--faces", "U,R,U")
    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr.startswith("--faces:1:5: “U” stands here twice\n")


def test_other_layers_than_faces_may_be_named() -> None:
    # By hand: M takes UF to FD, and so on round; without it no turn of U moves FD.
    (answer,) = found("cycles UF > FD > DB > BU; keeps corners", "--faces", "U,M")
    assert answer["moves"] == "M"


@pytest.mark.parametrize(
    ("faces", "column", "message"),
    [
        ("RU", 1, "cube-3 has no face “RU” to turn"),
        ("R,X", 3, "cube-3 has no face “X” to turn"),
        ("R, x", 4, "cube-3 has no face “x” to turn"),
        ("3Rw", 1, "cube-3 has no face “3Rw” to turn"),
        ("R2", 1, "cube-3 has no face “R2” to turn"),
        ("R,,U", 3, "expected a face; found “,U”"),
        ("", 1, "expected a face; the text ends here"),
        (",", 1, "expected a face; found “,”"),
        ("and", 1, "expected a face; found “and”"),
    ],
)
def test_a_mistake_in_faces_is_shown_with_a_marker_and_a_hint(faces: str, column: int, message: str) -> None:
    result = run("find", "flips UF", "--faces", faces)
    assert (result.exit_code, result.stdout) == (2, "")
    lines = result.stderr.splitlines()
    assert lines[0] == f"--faces:1:{column}: {message}"
    assert lines[-1].startswith("    hint: write some of U, D, F, B, L, R")


@pytest.mark.parametrize(
    ("arguments", "moves", "account"),
    [
        # By hand: M follows L, which takes U to F and F to D; Lw is L with M, Rw' is R' with M. WCA 12a5 and
        # 12a6: M is two outer block turns and one slice turn, U2 two quarter turns.
        (["cycles U > F > D > B", "--slices"], {"M"}, "1 sequence of 2 OBTM"),
        (["cycles U > F > D > B", "--slices", "--metric", "stm"], {"M"}, "1 sequence of 1 STM"),
        (["cycles U > F > D > B", "--slices", "--metric", "ETM"], {"M"}, "1 sequence of 1 ETM"),
        (["cycles U > F > D > B", "--wide"], {"Lw", "Rw'"}, "2 sequences of 1 OBTM"),
        (
            ["cycles U > F > D > B", "--wide", "--slices", "--metric", "stm"],
            {"Lw", "Rw'", "M"},
            "3 sequences of 1 STM",
        ),
        (["cycles U > F > D > B", "--wide", "--faces", "L"], {"Lw"}, "1 sequence of 1 OBTM"),
        (["swaps UF with UB", "--metric", "QTM"], {"U2"}, "1 sequence of 2 QTM"),
        # By hand: of Dw' only the centres could tell that it is U' and the whole cube turned; it is another.
        (["cycles UF > UR > UB > UL", "--wide", "--faces", "U,D"], {"U'", "Uw'"}, "2 sequences of 1"),
        # By hand: of two layers U and D are the only ones of their line, and no other turns keep D together.
        (["cycles UFR > UFL > UBL > UBR", "--puzzle", "cube-2"], {"U"}, "1 sequence of 1 OBTM"),
        # By hand: the other layers of that line hold none of these corners.
        (["cycles UFR > UFL > UBL > UBR", "--puzzle", "cube-4"], {"U"}, "1 sequence of 1 OBTM"),
        (
            ["cycles UFR > UFL > UBL > UBR", "--puzzle", "cube-4", "--wide", "--faces", "U"],
            {"U", "Uw", "3Uw"},
            "3 sequences of 1 OBTM",
        ),
        (
            [
                *("keeps corners; cycles UFl > FDl > DBl > BUl", "--puzzle", "cube-4", "--slices"),
                *("--faces", "L", "--metric", "stm"),
            ],
            {"2L", "2-3L"},
            "2 sequences of 1 STM",
        ),
    ],
)
def test_layers_and_metrics_are_those_that_are_asked_for(
    arguments: list[str], moves: set[str], account: str
) -> None:
    result = run("find", "--json", *arguments)
    assert result.exit_code == 0, result.stderr
    assert {json.loads(line)["moves"] for line in result.stdout.splitlines()} == moves
    assert result.stderr.startswith(account)


def test_a_twist_on_the_small_cube_is_found_with_its_images_round_the_corner() -> None:
    # By reasoning: turning the cube about the corner UFR leaves the claim as it is, and takes U to R to F.
    moves = {each["moves"] for each in found("twists UFR clockwise", "--puzzle", "cube-2")}
    assert moves == {word.translate(str.maketrans("URF", "RFU")) for word in moves}
    assert moves


@pytest.mark.parametrize("amount", ["500 MB", "500MB", "2 gb", "1.5 GB", "0.125  Gb"])
def test_an_amount_of_memory_is_written_in_several_ways(amount: str) -> None:
    result = run("find", "swaps UF with UB", "--memory", amount)
    assert (result.exit_code, result.stderr) == (0, "")


@pytest.mark.parametrize(
    "amount",
    ["", "lots", "500", "0 GB", "MB", "-1 MB", "1e3 MB", "1 TB", "1,5 GB", "9999999 MB", "٣ MB", "9" * 5000],
)
def test_what_is_no_amount_of_memory_is_refused(amount: str) -> None:
    result = run("find", "swaps UF with UB", "--memory", amount)
    assert (result.exit_code, result.stdout) == (2, "")
    assert "is no amount of memory; write it as 500 MB or 2 GB" in result.stderr


@pytest.mark.parametrize("form", [[], ["--json"], ["--block"]])
def test_too_little_memory_ends_with_what_is_proven_and_what_is_not(form: list[str]) -> None:
    result = run("find", FLIP, "--memory", "0.1 MB", *form)
    assert result.exit_code == 0
    told = result.stderr if form else result.stdout
    assert (result.stdout if form else result.stderr) == ""
    account = re.fullmatch(
        r"no sequence of up to (\d) OBTM does this; (\d) OBTM was not searched: it takes more memory than is "
        r"allowed\. Allow more with --memory, or fewer turns with --faces\.\n",
        told,
    )
    assert account, told
    assert int(account[1]) + 1 == int(account[2]) <= 8  # the shortest have 8


def test_what_was_found_before_memory_ran_out_is_shown() -> None:
    result = run("find", "swaps UF with UB", "--longest", "9", "--most", "1", "--memory", "0.06 MB")
    assert result.stdout.startswith("U2\n")
    searched = re.search(
        r"none is shorter; searched up to (\d) OBTM; (\d) OBTM was not searched", result.stdout
    )
    assert searched, result.stdout
    assert int(searched[1]) + 1 == int(searched[2]) <= 9


@pytest.mark.parametrize("form", [[], ["--json"], ["--block"]])
def test_a_search_ends_when_its_time_is_over_and_says_how_far_it_came(form: list[str]) -> None:
    begun = time.monotonic()
    result = run("find", "order 1260", "--seconds", "1", *form)
    assert time.monotonic() - begun < 10
    assert result.exit_code == 0
    told = result.stderr if form else result.stdout
    assert re.fullmatch(
        r"no sequence of up to \d OBTM does this; \d OBTM was not searched to its end: the time is over\. "
        r"Allow more with --seconds, or fewer turns with --faces\.",
        told.strip(),
    )


@pytest.mark.skipif(sys.platform == "win32", reason="there is no such way to start a process")
def test_it_ends_so_where_interrupts_are_ignored_too() -> None:
    """As in a script, for what is left to go on beside it."""
    ignored = "import signal; signal.signal(signal.SIGINT, signal.SIG_IGN)"
    code = f"{ignored}; from sitegen.begin import begin; begin()"
    command = [sys.executable, "-c", code, "find", "order 1260", "--seconds", "1"]
    done = subprocess.run(command, capture_output=True, text=True, check=True, timeout=60)
    assert "the time is over" in done.stdout


def test_a_search_that_ends_before_its_time_is_over_is_as_without(tmp_path: Path) -> None:
    asked = ["find", "swaps UF with UB", "--longest", "2"]
    assert run(*asked, "--seconds", "600").output == run(*asked).output


def test_claims_may_stand_in_several_arguments() -> None:
    apart = run("find", *FLIP.split())
    assert apart.exit_code == 0
    assert apart.stdout == run("find", FLIP).stdout


def test_mistakes_in_several_claims_are_all_shown() -> None:
    result = run("find", "flips UX; keeps U; flisp UF;", "cycles", "UF > UW")
    assert (result.exit_code, result.stdout) == (2, "")
    lines = result.stderr.splitlines()
    places = [line.split(": ")[0] for line in lines if line.startswith("claims:")]
    # By hand: where UX, flisp, the end behind “cycles” and “UF” stand; arguments with spaces are claims each.
    assert places == ["claims:1:7", "claims:1:20", "claims:1:36", "claims:1:38"]
    assert lines[-1] == "4 problems"


def test_mistakes_in_options_and_in_claims_are_all_shown() -> None:
    result = run("find", "flips UX", "--faces", "Q", "--then", "Z")
    assert (result.exit_code, result.stdout) == (2, "")
    lines = [line for line in result.stderr.splitlines() if re.match(r"\S+:1:\d+: ", line)]
    assert sorted(line.split(":")[0] for line in lines) == ["--faces", "--then", "claims"]


@pytest.mark.parametrize(
    ("claims", "column", "message"),
    [
        # Contradictions, at the claim that comes second.
        ("flips UF; keeps UF", 11, "this contradicts “flips UF”: UF cannot do both"),
        ("flips UF; does nothing", 11, "this contradicts “flips UF”: UF cannot do both"),
        ("keeps UF; cycles UR > UF > UL", 11, "this contradicts “keeps UF”: UF cannot do both"),
        ("twists UFR clockwise; twists UFR anticlockwise", 23, "this contradicts “twists UFR clockwise”"),
        ("swaps UF with UR and UF with UB", 22, "UF is named here twice"),
        ("cycles UF > UR > UL and UB > UL > UF", 25, "UL is named here twice"),
        # The cube's laws: flips come in pairs, twists add up to whole turns, swaps come in pairs.
        ("flips UF; changes only UF", 1, "no sequence does this: flips of edges come in pairs"),
        ("twists UFR clockwise; changes only UFR", 1, "twists of corners add up to whole turns"),
        ("swaps UF with UB; changes only UF and UB", 1, "corners and edges are permuted both evenly or both"),
    ],
)
def test_what_cannot_be_is_refused_before_any_search_with_the_law_that_forbids_it(
    monkeypatch, claims: str, column: int, message: str
) -> None:
    monkeypatch.setattr("sitegen.commands.find_command.search", None)  # it is not called
    result = run("find", claims)
    assert (result.exit_code, result.stdout) == (2, "")
    assert isinstance(result.exception, SystemExit)
    first, *rest = result.stderr.splitlines()
    assert first.startswith(f"claims:1:{column}: ")
    assert message in first
    assert any(line.startswith("    hint: ") for line in rest)


@pytest.mark.parametrize(
    "arguments",
    [
        ["swaps UF with DF", "--faces", "R,U"],  # by hand: neither R nor U holds DF
        [
            "flips UF and UR; keeps corners",
            "--faces",
            "U,D,L,R",
        ],  # these flip no edge: UF never shows F above
        ["cycles U > F > D > B"],  # turns of faces leave the middles where they are
    ],
)
def test_what_the_turns_that_are_allowed_cannot_do_is_refused(monkeypatch, arguments: list[str]) -> None:
    monkeypatch.setattr("sitegen.commands.find_command.search", None)  # it is not called
    result = run("find", *arguments)
    assert (result.exit_code, result.stdout) == (2, "")
    assert re.match(r"claims:1:1: no sequence of \S.* alone does this: \S", result.stderr)
    assert result.stderr.endswith("    hint: allow more turns, such as other faces or slices\n")


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["flips UF", "--json", "--block"], "--block and --json exclude each other"),
        (["flips UF", "--metric", "htm"], "--metric"),
        (["flips UF", "--most", "0"], "--most"),
        (["flips UF", "--longest", "-1"], "--longest"),
        (["flips UF", "--then", "Q"], "--then:1:1: “Q” is no layer of cube-3"),
        (["flips UF", "--then", "U2"], "--then:1:1: “U2” is no layer of cube-3"),
        (["flips UF", "--then", ""], "--then:1:1: “” is no layer of cube-3"),
        (["flips UF", "--puzzle", "cube-9"], "no puzzle is called cube-9"),
        (["flips UF", "--puzzle", "cube-4"], "cube-4 has no place “UF”"),
        (["same as @lift"], "claims:1:9: no sequence is named lift"),
        (["flips UF."], "claims:1:9: "),
        ([""], "no claim is made"),
        ([";"], "no claim is made"),
        ([" ; ", ";"], "no claim is made"),
        ([], "CLAIMS"),
    ],
)
def test_find_called_wrongly_says_so(arguments: list[str], said: str) -> None:
    result = run("find", *arguments)
    assert (result.exit_code, result.stdout) == (2, "")
    assert isinstance(result.exception, SystemExit)
    assert said in result.stderr


@pytest.mark.parametrize(
    "claim", ["does nothing", "keeps all", "order 1", "changes only UF", "length 0 OBTM"]
)
def test_where_nothing_is_to_be_done_no_turn_is_the_answer(claim: str) -> None:
    result = run("find", claim)
    assert (result.exit_code, result.stderr) == (0, "")
    assert result.stdout == (
        "no turn at all\n"
        "  does      Everything is home.\n"
        "  length    0 OBTM, 0 QTM, 0 STM, 0 ETM\n"
        "\n"
        "1 sequence of 0 OBTM; none is shorter.\n"
    )
    (answer,) = found(claim)
    assert (answer["moves"], answer["effect"]["stickers"], answer["effect"]["order"]) == ("", {}, 1)
    assert set(answer["length"].values()) == {0}


def searching(length: int, turns: int, then: type[BaseException]):
    """In the place of the bar: before that of the first turns of words of a length, something is raised."""

    def progress(items, total: int, what: str):
        for number, item in enumerate(items):
            if what == f"Length {length}" and number == turns % total:
                raise then
            yield item

    return progress


def test_a_search_that_is_interrupted_prints_what_was_found_and_how_far_that_is_certain(monkeypatch) -> None:
    monkeypatch.setattr("sitegen.commands.find_command.progress", searching(2, 0, KeyboardInterrupt))
    result = run("find", "swaps UF with UB", "--longest", "9")
    assert result.exit_code == 130
    assert result.stdout.startswith("U2\n  does ")
    assert result.stdout.endswith(
        "\n1 sequence of 1 OBTM; none is shorter; searched up to 1 OBTM; stopped while searching 2 OBTM.\n"
    )
    assert result.stderr.strip() == ""


def test_what_was_found_of_a_length_that_was_not_searched_to_its_end_is_shown_and_counted(
    monkeypatch,
) -> None:
    # By hand: U2 does it, and of two turns U2 with any turn of D; none is left that begins with D'.
    monkeypatch.setattr("sitegen.commands.find_command.progress", searching(2, -1, KeyboardInterrupt))
    result = run("find", "--json", "swaps UF with UB", "--longest", "2", "--faces", "U,D", "--most", "9")
    assert result.exit_code == 130
    answers = [json.loads(line)["moves"] for line in result.stdout.splitlines()]
    assert (answers[0], {*answers[1:]}) == ("U2", {"U2 D", "U2 D2", "U2 D'"})
    assert result.stderr.endswith("; stopped while searching 2 OBTM, 3 found so far.\n")


@pytest.mark.parametrize(("form", "length"), [([], 5), (["--json"], 5), (["--block"], 8)])
def test_an_interruption_before_anything_is_found_says_how_long_none_is(
    monkeypatch, form: list[str], length: int
) -> None:
    monkeypatch.setattr("sitegen.commands.find_command.progress", searching(length, 0, KeyboardInterrupt))
    result = run("find", FLIP, *form)
    assert result.exit_code == 130
    told = result.stderr if form else result.stdout
    assert told.strip() == (
        f"no sequence of up to {length - 1} OBTM does this; stopped while searching {length} OBTM."
    )
    assert (result.stdout if form else result.stderr).strip() == ""


@pytest.mark.parametrize("claims", ["order 0", "flips UF; length 1 OBTM"])
def test_what_is_never_true_however_long_the_moves_is_not_searched_for_without_end(
    monkeypatch, claims: str
) -> None:
    """Nothing has the order 0; and no turn flips UF, while what is longer has not the length 1."""
    monkeypatch.setattr("sitegen.commands.find_command.progress", searching(3, 0, RecursionError))
    assert ended_well(run("find", claims))


def test_find_prints_the_same_whatever_the_order_of_sets() -> None:
    printed = [
        subprocess.run(
            [*COMMAND, "find", FLIP, "--json"],
            env={**os.environ, "PYTHONHASHSEED": seed},
            capture_output=True,
            check=True,
        ).stdout
        for seed in ("1", "2")
    ]
    assert printed[0] == printed[1] != b""


def test_the_help_of_find_names_every_option() -> None:
    text = run("find", "--help").stdout
    command = main.get_command(click.Context(main), "find")
    assert command is not None
    options = [option for parameter in command.params for option in parameter.opts if option[0] == "-"]
    assert len(options) > 10
    assert all(option in text for option in options)
    assert "flips UF; keeps U" in text


@settings(max_examples=60)
@given(
    st.lists(
        st.sampled_from(
            [
                "swaps UF with UB",
                "keeps U",
                "order 2",
                "flips",
                "UF",
                "UX",
                ";",
                "@x",
                "9",
                ">",
                "",
                "\0",
                "’",
            ]
        ),
        max_size=6,
    ).map(" ".join)
)
def test_any_claims_are_answered_or_told_what_is_wrong(text: str) -> None:
    result = run("find", "--json", "--longest", "1", "--most", "3", "--", text)
    assert ended_well(result), result.exception
    assert result.stderr


# puzzle ---------------------------------------------------------------------------------------------------


def test_puzzle_lists_all_and_describes_one() -> None:
    lines = run("puzzle").stdout.splitlines()
    assert [line.split()[0] for line in lines if line.startswith("cube")] == [
        f"cube-{n}" for n in range(2, 8)
    ]
    one = run("puzzle", "cube-3").stdout
    assert re.search(r"^cube-3: 54 stickers", one)  # six faces of nine
    assert "UFR" in one


def test_puzzle_as_json_has_the_keys_of_the_design() -> None:
    lines = [json.loads(line) for line in run("puzzle", "--json").stdout.splitlines()]
    assert all(list(about)[:4] == ["name", "stickers", "pieces", "turns"] for about in lines)
    # A cube of n layers shows 6 n² stickers on n³ - (n-2)³ pieces.
    for n in range(2, 8):
        (about,) = (about for about in lines if about["name"] == f"cube-{n}")
        assert about["stickers"] == 6 * n * n
        assert sum(about["pieces"].values()) == n**3 - (n - 2) ** 3
    three = json.loads(run("puzzle", "cube-3", "--json").stdout)
    assert three["pieces"] == {"corner": 8, "edge": 12, "centre": 6}
    assert set(three["turns"]) >= set("UDFBLR")


# check and publish ----------------------------------------------------------------------------------------


def test_check_counts_what_holds_and_writes_nothing(guide: Path) -> None:
    before = sorted(guide.rglob("*"))
    result = run("check", str(guide))
    assert (result.exit_code, result.stderr) == (0, "")
    assert result.stdout == "1 page with 1 claim and 1 sequence: all hold\n"
    assert sorted(guide.rglob("*")) == before


def test_check_says_where_there_is_nothing_that_could_hold(guide: Path) -> None:
    (guide / "content" / "index.md").write_text("# Words\n", encoding="utf-8")
    assert run("check", str(guide)).stdout == "1 page without claims or named sequences\n"


def test_check_points_out_what_reads_as_moves_and_is_not_marked_but_holds(guide: Path) -> None:
    with (guide / "content" / "index.md").open("a") as page:
        page.write("\nTurn `R U` then.\n")
    result = run("check", str(guide))
    assert result.exit_code == 0
    assert result.stdout.endswith(": all hold\n")
    lines = result.stderr.splitlines()
    assert lines[0].endswith(":7: note: “R U” reads as moves and is not checked")
    assert lines[1:] == [
        "    Turn `R U` then.",
        "          ^^^",
        "    hint: write {.moves} right behind, or {.plain} if it is only to be shown",
    ]


@pytest.mark.parametrize("command", ["check", "publish"])
def test_problems_are_printed_all_with_place_excerpt_marker_and_hint(guide: Path, command: str) -> None:
    result = run(command, str(broken(guide)))
    assert result.exit_code == 1
    assert result.stdout == ""
    lines = result.stderr.splitlines()
    assert lines[:4] == [
        "content/index.md:3:9: there is no page indx.md",
        "    See [x](indx.md).",
        "            ^^^^^^^",
        "    hint: is it index.md?",
    ]
    # R U has order 105 (REFERENCES).
    assert lines[4:7] == [
        "content/index.md:8:3: this claim is false: the order is 105",
        "    - order 104",
        "      ^^^^^^^^^",
    ]
    assert lines[7].startswith("    hint: what the moves do: ")
    assert lines[8:] == ["2 problems"]
    assert not (guide / "output").exists()


def test_publish_writes_the_site_and_says_where(guide: Path) -> None:
    result = run("publish", str(guide))
    assert (result.exit_code, result.stderr) == (0, "")
    assert str(guide / "output") in result.stdout
    assert (guide / "output" / "index.html").is_file()


def test_publish_uses_the_folder_that_one_stands_in(guide: Path, monkeypatch) -> None:
    monkeypatch.chdir(guide)
    assert run("publish").exit_code == 0
    assert (guide / "output" / "index.html").is_file()


def test_a_draft_is_published_with_its_problems_told(guide: Path) -> None:
    result = run("publish", "--draft", str(broken(guide)))
    assert result.exit_code == 0
    assert "content/index.md:8:3: this claim is false" in result.stderr
    assert "this claim is false" in (guide / "output" / "index.html").read_text()


def test_publish_refuses_to_write_over_a_file_of_someone_elses(guide: Path) -> None:
    (guide / "output").mkdir()
    (guide / "output" / "index.html").write_text("mine")
    result = run("publish", str(guide))
    assert ended_well(result)
    assert result.exit_code == MISUSE
    assert "index.html was not written by Turnfolio" in result.stderr
    assert (guide / "output" / "index.html").read_text() == "mine"


def test_a_full_disk_is_told_in_one_line(guide: Path, monkeypatch) -> None:
    def fail(self: Path, content: bytes) -> int:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "write_bytes", fail)
    result = run("publish", str(guide))
    assert ended_well(result)
    assert result.exit_code == MISUSE
    assert "No space left on device" in result.stderr


def test_a_guide_that_could_not_be_laid_out_can_be_begun_again(tmp_path: Path, monkeypatch) -> None:
    """Files that were there stay, and so do their folders."""
    (tmp_path / "guide/content").mkdir(parents=True)
    (tmp_path / "guide/content/mine.txt").write_text("mine")
    real, calls = start_of_guide.write_new, []

    def failing(folder: Path, name: str, content: bytes) -> None:
        calls.append(folder / name)
        if len(calls) == 3:
            raise OSError(28, "No space left on device", str(folder / name))
        real(folder, name, content)

    monkeypatch.setattr(start_of_guide, "write_new", failing)
    result = run("start", str(tmp_path / "guide"))
    monkeypatch.undo()
    assert result.exit_code == MISUSE
    assert result.stderr == f"Error: {calls[-1]} cannot be read or written: No space left on device\n"
    assert sorted(tmp_path.rglob("*")) == sorted(
        tmp_path / name for name in ("guide", "guide/content", "guide/content/mine.txt")
    )
    assert run("start", str(tmp_path / "guide")).exit_code == 0


@pytest.mark.parametrize("link", ["content", "content/index.md", "content/guide.yaml"])
def test_no_guide_is_begun_through_a_link(tmp_path: Path, link: str) -> None:
    """One that leads to nothing yet would make a file elsewhere."""
    (tmp_path / "guide" / link).parent.mkdir(parents=True)
    (tmp_path / "elsewhere").mkdir()
    leads_to = tmp_path / "elsewhere" if link == "content" else tmp_path / "elsewhere/new"
    (tmp_path / "guide" / link).symlink_to(leads_to)
    result = run("start", str(tmp_path / "guide"))
    assert result.exit_code == MISUSE
    assert ended_well(result)
    assert list((tmp_path / "elsewhere").iterdir()) == []
    assert [path.name for path in (tmp_path / "guide").rglob("*") if path.is_file()] == []


@pytest.mark.parametrize("command", ["check", "publish"])
def test_a_folder_without_a_guide_says_what_a_guide_has(tmp_path: Path, command: str) -> None:
    result = run(command, str(tmp_path))
    assert result.exit_code == 1
    assert result.stderr.startswith("content/guide.yaml:1:1: there is no guide in ")
    assert "hint: a guide has a file content/guide.yaml" in result.stderr


@pytest.mark.parametrize(
    "arguments",
    [
        ["check", "nowhere"],
        ["publish", "--drft"],
        ["effect"],
        ["effect", "--puzzle", "cube-99", "R"],
        ["puzzle", "cube-99"],
        ["nothing"],
        ["draw"],
    ],
)
def test_a_command_called_wrongly_ends_with_2_and_says_so_on_standard_error(arguments: list[str]) -> None:
    result = run(*arguments)
    assert result.exit_code == 2
    assert result.stdout == ""
    assert result.stderr


def test_an_unknown_puzzle_is_told_with_those_there_are() -> None:
    result = run("effect", "--puzzle", "cub-3", "R")
    assert "no puzzle is called cub-3" in result.stderr
    assert "cube-3" in result.stderr


@pytest.mark.parametrize(
    ("name", "told"), [("chek", "is it check?"), ("xyzzy", "commands are start, publish, check, ")]
)
def test_who_misspells_a_command_is_asked_which_was_meant(name: str, told: str) -> None:
    result = run(name, "here")
    assert result.exit_code == MISUSE
    assert f"there is no command “{name}”: {told}" in result.output


def test_the_list_of_commands_says_of_each_what_its_own_help_does() -> None:
    for name, place in COMMANDS.items():
        told = run(name, "--help").stdout.split("\n\n")[1]
        assert " ".join(told.split()).startswith(place.does.removesuffix("."))
    listed = " ".join(run("--help").stdout.split())
    assert all(f"{name} {place.does}" in listed for name, place in COMMANDS.items())


def loaded_by(arguments: list[str]) -> set[str]:
    """The modules that a process has loaded when a command is done."""
    tell = "import atexit, sys; atexit.register(lambda: print(*sys.modules))"
    script = f"{tell}; from sitegen.cli import main; main({arguments})"
    told = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True).stdout
    return set(told.splitlines()[-1].split())


def test_the_list_of_commands_needs_none_of_them() -> None:
    """Nor what they need, since whoever asks what there is does not want to wait for it."""
    ours = {name for name in loaded_by(["--help"]) if name.startswith("sitegen.")}
    assert ours == {"sitegen.cli", "sitegen.statuses"}


@pytest.mark.parametrize("arguments", [["effect", "R U"], ["check", "GUIDE"]])
def test_arrays_are_not_loaded_where_nothing_is_searched_for(guide: Path, arguments: list[str]) -> None:
    given = [str(guide) if each == "GUIDE" else each for each in arguments]
    loaded = loaded_by(given)
    assert "sitegen.commands.terminal" in loaded
    assert "numpy" not in loaded


@pytest.mark.parametrize("arguments", [["effect", "R U"], ["publish", "GUIDE"]])
def test_a_server_is_loaded_only_to_serve(guide: Path, arguments: list[str]) -> None:
    given = [str(guide) if each == "GUIDE" else each for each in arguments]
    loaded = loaded_by(given)
    assert "sitegen.commands.terminal" in loaded
    assert {"starlette", "uvicorn", "watchfiles"} & loaded == set()


def test_help_and_version_are_there() -> None:
    assert run("--help").exit_code == 0
    assert run("--version").stdout.startswith("turnfolio")
    for command in COMMANDS:
        assert run(command, "--help").exit_code == 0


# As a process ---------------------------------------------------------------------------------------------


def process(*arguments: str, stdin: bytes = b"") -> subprocess.CompletedProcess[bytes]:
    return subprocess.run([*COMMAND, *arguments], input=stdin, capture_output=True, check=False)


def test_no_bar_is_drawn_where_nobody_watches(guide: Path) -> None:
    done = process("publish", str(guide))
    assert (done.returncode, done.stderr) == (0, b"")


@pytest.mark.skipif(sys.platform == "win32", reason="pseudo-terminals are a thing of POSIX")
def test_a_bar_is_drawn_on_a_terminal(guide: Path) -> None:
    import pty

    (guide / "content" / "sought.md").write_text("# Sought\n\n```find one-edge\nflips UF\n```\n")
    ours, theirs = pty.openpty()
    done = subprocess.run(
        [*COMMAND, "publish", str(guide)], stderr=theirs, stdout=subprocess.PIPE, check=False
    )
    os.close(theirs)
    shown = os.read(ours, 100_000).decode()
    os.close(ours)
    assert done.returncode == 0
    assert "100%" in shown
    assert "find one-edge" in shown  # what takes long
    assert b"100%" not in done.stdout


@pytest.mark.parametrize("stdin", [b"R \xff\n", b"\x00\n", b"R U\xc2\xa0R\n", b"\xef\xbb\xbfR U\n"])
def test_bytes_that_are_no_text_are_told_without_a_traceback(stdin: bytes) -> None:
    done = process("effect", "-", stdin=stdin)
    assert done.returncode in (0, 2)
    assert b"Traceback" not in done.stderr


def test_an_argument_that_is_no_text_is_told_without_a_traceback() -> None:
    done = subprocess.run(
        [*map(os.fsencode, COMMAND), b"effect", b"R \xff"], capture_output=True, check=False
    )
    assert done.returncode == 2
    assert b"Traceback" not in done.stderr


def test_a_reader_that_stops_reading_ends_the_command_quietly() -> None:
    lines = b"R U R' U'\n" * 3000
    done = subprocess.run(
        ["bash", "-c", 'set -o pipefail; "$@" effect --json - | head -n 1', "bash", *COMMAND],
        input=lines,
        capture_output=True,
        check=False,
    )
    assert done.stdout.count(b"\n") == 1
    assert b"Traceback" not in done.stderr


# Any input ------------------------------------------------------------------------------------------------

PARTS = st.sampled_from(
    [
        *"RUFDBLMESxyz'2()[],:@ru’′²٣ \n\t\0",
        *("@lift", "Rw", "3Rw", "2-3R", "R2'", "9" * 30, "9" * 5000, "(" * 50, "--", "é", "\ufeff", "\udcff"),
    ]
)


@settings(max_examples=150)
@given(st.one_of(st.text(max_size=30), st.lists(PARTS, max_size=12).map("".join)))
def test_any_moves_are_answered_or_told_what_is_wrong(text: str) -> None:
    assume(text != "-")  # moves are read from elsewhere then, and there are none
    result = run("effect", "--json", "--", text)
    assert ended_well(result), result.exception
    if result.exit_code == 0:
        assert json.loads(result.stdout)["puzzle"] == "cube-3"
    else:
        assert result.stderr


@pytest.mark.parametrize(
    "text",
    [
        "9" * 5000 + "R",
        "R" + "9" * 5000,
        "(R)" + "9" * 5000,
        "2-" + "9" * 5000 + "R",
        "(" * 5000,
        "R " * 30000,
    ],
)
def test_very_long_moves_are_answered_or_told_what_is_wrong(text: str) -> None:
    assert ended_well(run("effect", "--", text))
