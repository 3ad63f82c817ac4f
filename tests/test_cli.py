"""The command: what it prints, where, with which exit status, and that no input ends in a traceback."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from pathlib import Path
from xml.etree import ElementTree

import pytest
from click.testing import CliRunner, Result
from hypothesis import given, settings
from hypothesis import strategies as st

from sitegen.cli import main

COMMAND = [sys.executable, "-c", "from sitegen.cli import main; main(prog_name='turnfolio')"]


def run(*arguments: str, stdin: str | None = None) -> Result:
    return CliRunner().invoke(main, list(arguments), input=stdin, prog_name="turnfolio")


def ended_well(result: Result) -> bool:
    """With a status of the design's: 0 done, 1 problems, 2 called wrongly; never by an exception."""
    return result.exit_code in (0, 1, 2) and (
        result.exception is None or isinstance(result.exception, SystemExit)
    )


@pytest.fixture
def guide(tmp_path: Path) -> Path:
    content = tmp_path / "content"
    content.mkdir()
    (content / "guide.yaml").write_text("title: T\n")
    (content / "index.md").write_text("# Home\n\n```moves quarter\nmoves: R U\nclaims:\n- order 105\n```\n")
    return tmp_path


def broken(guide: Path) -> Path:
    (guide / "content" / "index.md").write_text(
        "# Home\n\nSee [x](indx.md).\n\n```moves quarter\nmoves: R U\nclaims:\n- order 104\n```\n"
    )
    return guide


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
    assert "R U R'" in title.text
    assert description.text


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
    assert result.stdout.startswith("1 page")
    assert "1 claim" in result.stdout
    assert sorted(guide.rglob("*")) == before


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
    assert result.exit_code == 1
    assert "index.html was not written by Turnfolio" in result.stderr
    assert (guide / "output" / "index.html").read_text() == "mine"


def test_a_full_disk_is_told_in_one_line(guide: Path, monkeypatch) -> None:
    def fail(self: Path, content: bytes) -> int:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "write_bytes", fail)
    result = run("publish", str(guide))
    assert ended_well(result)
    assert result.exit_code == 1
    assert "No space left on device" in result.stderr


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


def test_help_and_version_are_there() -> None:
    assert run("--help").exit_code == 0
    assert run("--version").stdout.startswith("turnfolio")
    for command in main.commands:
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

    ours, theirs = pty.openpty()
    done = subprocess.run(
        [*COMMAND, "publish", str(guide)], stderr=theirs, stdout=subprocess.PIPE, check=False
    )
    os.close(theirs)
    shown = os.read(ours, 100_000).decode()
    os.close(ours)
    assert done.returncode == 0
    assert "100%" in shown
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
