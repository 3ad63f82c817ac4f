"""A guide with puzzles of its own: its pages are about them, and everything in the guide knows them."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from running import run
from sample_guide import guide_of, write_guide

from sitegen.figures.of_position import faces_coloured
from sitegen.guide.guide import Guide
from sitegen.problems import Problems
from sitegen.site.publish import publish

PYRAMID = """\
solid: tetrahedron
axes: vertices
depths: [5/3]
angle: 120
"""
"""A tetrahedron whose tips alone turn."""
CORNERS = """\
solid: cube
axes: vertices
depths: [0]
angle: 120
"""
"""A cube cut in half across each of its eight vertices."""
WIDE = "solid: cube\naxes: faces\ndepths: [0.5, -0.5]\nangle: 90\n"
"""Turns like a cube of three layers, the middle ones thicker."""
PAGE = "---\npuzzle: mine\n---\n# Mine\n\n"


def with_own(text: str, name: str = "mine") -> dict[str, bytes]:
    return {f"puzzles/{name}.yaml": text.encode()}


@pytest.fixture
def written_guide(tmp_path: Path) -> Callable[..., Path]:
    """The folder of a guide with one definition and one page about it."""

    def write(definition: str, page: str = "", config: str = "title: T\n") -> Path:
        guide_of(tmp_path, config, index=PAGE + page)
        return write_guide(tmp_path, {"content/puzzles/mine.yaml": definition})

    return write


def headlines(guide: Guide) -> list[str]:
    return [problem.headline() for problem in guide.problems]


def refused(read: Callable[[], Guide]) -> list[str]:
    """What is wrong with a guide, whether or not there is one to speak of."""
    try:
        problems = read().problems
    except Problems as found:
        problems = found.problems
    return [str(problem) for problem in problems]


# Pages ----------------------------------------------------------------------------------------------------


def test_a_page_may_be_about_a_puzzle_of_the_guides_own(guide_at) -> None:
    page = f"{PAGE}```moves tips\nmoves: A B A' B'\nclaims: does nothing\n```\n"
    guide = guide_at(files=with_own(PYRAMID), more=page)
    assert headlines(guide) == []
    (more,) = [page for page in guide.pages if page.name == "more"]
    # By hand: three lines across the corners leave 4 stickers a face; 4 tips, and a middle on each face.
    assert (more.puzzle.name, len(more.puzzle.stickers)) == ("mine", 16)
    assert guide.sequences["tips"].puzzle is more.puzzle


def test_a_whole_guide_may_be_about_it(guide_at) -> None:
    guide = guide_at("title: T\npuzzle: mine\n", with_own(WIDE), index="`U2 R'`{.moves}\n")
    assert headlines(guide) == []
    assert {page.puzzle.name for page in guide.pages} == {"mine"}


def test_its_faces_may_be_coloured_in_guide_yaml(guide_at) -> None:
    definition = WIDE + "names: {U: Top}\n"
    guide = guide_at("title: T\npuzzle: mine\ncolours: {Top: pink}\n", with_own(definition))
    assert headlines(guide) == []
    assert guide.config.colours == {"Top": "pink"}


def test_a_claim_is_checked_on_it(guide_at) -> None:
    page = f"{PAGE}```moves turned\nmoves: A\nclaims: does nothing\n```\n"
    (told,) = headlines(guide_at(files=with_own(PYRAMID), more=page))
    assert told == "content/more.md:8:9: this claim is false: FLD is twisted clockwise"


def test_layers_are_called_as_the_authors_own_turns_are_written(guide_at) -> None:
    definition = WIDE + "turns: {d: {axis: D, layers: 1-2}, up: {axis: U, layers: 1, times: 2}}\n"
    claims = "keeps corners of up; keeps edges of d and up except d; keeps up"
    page = f"{PAGE}```moves none\nmoves: d2 d2\nclaims: {claims}\n```\n"
    assert headlines(guide_at(files=with_own(definition), more=page)) == []


def test_several_sizes_are_several_puzzles(guide_at) -> None:
    definition = "solid: octahedron\naxes: faces\ndepths: equal layers\nangle: 120\nsizes: [2, 3]\n"
    page = PAGE.replace("mine", "mine-3")
    assert headlines(guide_at(files=with_own(definition), more=page)) == []
    (told,) = headlines(guide_at(files=with_own(definition), more=PAGE))
    assert "puzzle cannot be “mine”" in told


# What is refused ------------------------------------------------------------------------------------------


def test_a_wrong_name_is_told_with_the_one_that_is_meant(guide_at) -> None:
    page = PAGE.replace("mine", "nine")
    (problem,) = guide_at(files=with_own(PYRAMID), more=page).problems
    assert problem.headline() == "content/more.md:2:9: puzzle cannot be “nine”"
    assert problem.hint == "is it mine?"
    told = refused(lambda: guide_at("title: T\npuzzle: min\n", with_own(PYRAMID)))
    assert told[0].startswith("content/guide.yaml:2:9: puzzle cannot be “min”")
    assert "is it mine?" in told[0]


@pytest.mark.parametrize("name", ["pyraminx", "megaminx", "cube-3"])
def test_no_puzzle_takes_the_name_of_one_that_ships(guide_at, name: str) -> None:
    (told,) = refused(lambda: guide_at(files=with_own(PYRAMID, name)))
    assert told.startswith(f"content/puzzles/{name}.yaml:1:1: there is a puzzle {name} already, which ships")
    assert "hint: give the file another name" in told


def test_nor_does_one_of_its_sizes(guide_at) -> None:
    definition = "solid: cube\naxes: faces\ndepths: equal layers\nangle: 90\nsizes: [3, 9]\n"
    (told,) = refused(lambda: guide_at(files=with_own(definition, "cube")))
    assert "there is a puzzle cube-3 already, which ships" in told


@pytest.mark.parametrize("name", ["My Puzzle", "Mine", "mine_2"])
def test_the_file_is_called_as_a_puzzle_can_be(guide_at, name: str) -> None:
    (told,) = refused(lambda: guide_at(files=with_own(PYRAMID, name)))
    assert f"the file name {name} cannot be a name" in told
    assert "hint: a name is small letters, digits and hyphens" in told


@pytest.mark.parametrize("file", ["mine.yml", "mine.YAML"])
def test_a_definition_does_not_go_unnoticed_for_the_end_of_its_name(guide_at, file: str) -> None:
    (told,) = refused(lambda: guide_at(files={f"puzzles/{file}": PYRAMID.encode()}))
    assert told.startswith(f"content/puzzles/{file}:1:1: the file name of a definition ends in .yaml")
    assert "hint: call it mine.yaml" in told


def test_hidden_files_and_others_are_no_definitions(guide_at) -> None:
    files = {"puzzles/.mine.yaml": b"x", "puzzles/mine.txt": b"x", "puzzles/mine.yaml~": b"x"}
    guide = guide_at(files=files)
    assert headlines(guide) == []
    assert dict(guide.config.puzzles.own) == {}


def test_what_is_wrong_in_definitions_is_told_among_all_that_keeps_the_guide_from_being_read(
    guide_at,
) -> None:
    files = {
        **with_own(PYRAMID.replace("120", "100"), "one"),
        **with_own(WIDE.replace("0.5", "deep", 1), "two"),
        "puzzles/three.yaml": "# Würfel\n".encode("latin-1"),
        **with_own("", "four"),
    }
    told = refused(lambda: guide_at("title: T\nlanguage: ???\n", files))
    assert [text.split(": ")[0] for text in told] == [
        "content/guide.yaml:2:11",
        "content/puzzles/four.yaml:1:1",
        "content/puzzles/one.yaml:4:8",
        "content/puzzles/three.yaml:1:4",
        "content/puzzles/two.yaml:3:10",
    ]
    assert "this is not UTF-8 text" in told[3]
    assert all("hint: " in text for text in told)


COLOURED = PYRAMID + "colours: {L: red, R: sand, F: lime, D: pink}\n"


@pytest.mark.parametrize(
    ("definition", "front"),
    [(COLOURED, "lime"), (PYRAMID, "pink")],
)
def test_colours_in_its_own_file_come_before_those_of_the_guide(
    guide_at, definition: str, front: str
) -> None:
    guide = guide_at(
        "title: T\ncolours: {F: pink, D: grey}\n",
        with_own(definition),
        index="```moves\nR\n```\n",
        other="---\npuzzle: mine\n---\nText.\n",
    )
    assert guide.problems == ()
    given = guide.config.colours
    assert faces_coloured(guide.config.puzzles.puzzle("mine"), given)["F"] == front
    assert faces_coloured(guide.config.puzzles.puzzle("cube-3"), given)["F"] == "pink"


def test_a_face_that_only_a_puzzle_with_colours_of_its_own_has_is_told_of(guide_at) -> None:
    renamed = COLOURED.replace("F:", "Tip:") + "names: {F: Tip}\n"
    guide = guide_at("title: T\npuzzle: mine\ncolours: {Tip: blue}\n", with_own(renamed), index="Text.\n")
    (problem,) = guide.problems
    assert problem.message.startswith("the colours of mine are those in its own file, and no other puzzle")
    assert problem.passage.text == "Tip"


def test_a_definition_that_no_page_uses_is_checked_as_well(guide_at) -> None:
    (told,) = refused(lambda: guide_at(files=with_own(WIDE.replace("90", "72"))))
    assert told.startswith("content/puzzles/mine.yaml:4:1: turned about U by 72 degrees")


def test_a_folder_in_place_of_a_definition_is_told(guide_at) -> None:
    (told,) = refused(lambda: guide_at(files={"puzzles/mine.yaml/notes.txt": b"N"}))
    assert told.startswith("content/puzzles/mine.yaml:1:1: this is a folder, and a definition is a file")


# Publishing -----------------------------------------------------------------------------------------------


def test_a_definition_is_not_published_and_files_beside_it_are(written_guide) -> None:
    folder = written_guide(PYRAMID, "```moves tip\nA\n```\n")
    (folder / "content/puzzles/notes.txt").write_text("N")
    (folder / "content/more.yaml").write_text("a: b\n")
    publish(folder)
    output = {path.relative_to(folder / "output").as_posix() for path in (folder / "output").rglob("*")}
    assert {"puzzles/notes.txt", "more.yaml", "index.html"} <= output
    assert not [name for name in output if name.endswith("mine.yaml")]
    assert "<svg" in (folder / "output/index.html").read_text(encoding="utf-8")


# What is kept from one time to the next ---------------------------------------------------------------------


def test_what_was_found_is_searched_for_again_when_the_cuts_are_others(written_guide, searches) -> None:
    """By hand: a tip turns alone where nothing but tips is cut off, and never with deeper cuts alone."""
    find = "```find\nclaims: twists FRL clockwise; keeps all except FRL\nlongest: 2\n```\n"
    folder = written_guide(PYRAMID, find)
    publish(folder)
    publish(folder)
    assert len(searches) == 1
    (found,) = refused(lambda: publish(written_guide(PYRAMID.replace("5/3", "1/3"), find)))
    assert "no sequence" in found
    publish(written_guide(PYRAMID, find))


FIND = "```find\nclaims: twists UFR clockwise\n```\n"
METHOD = """\
```method one
count: 5
stages:
- stage: To its place
  goal: UFR placed
  using: any turns up to 3
```
"""
OTHERS = {
    "faces named otherwise": CORNERS + "names: {U: D, D: U}\n",
    "axes named otherwise": CORNERS.replace(
        "vertices", "{S: U F R, T: U F L, V: U B R, X: U B L, K: D F R, M: D F L, N: D B R, P: D B L}"
    ),
    "cut elsewhere": CORNERS.replace("[0]", "[0.3]"),
}


@pytest.mark.parametrize("block", [FIND, METHOD], ids=["find", "method"])
@pytest.mark.parametrize("other", OTHERS.values(), ids=OTHERS)
def test_what_was_kept_of_one_puzzle_is_not_told_of_another_of_its_name(
    written_guide, cache, block: str, other: str
) -> None:
    """Published after the other, or afresh, the pages are the same."""
    folder = written_guide(other, block)
    publish(folder)
    afresh = (folder / "output/index.html").read_bytes()
    shutil.rmtree(cache)
    publish(written_guide(CORNERS, block))
    publish(written_guide(other, block))
    assert (folder / "output/index.html").read_bytes() == afresh


# The command ----------------------------------------------------------------------------------------------


def test_within_the_guides_folder_the_command_knows_them(written_guide, monkeypatch) -> None:
    monkeypatch.chdir(written_guide(PYRAMID))
    listed = run("puzzle")
    assert listed.exit_code == 0
    assert [line.split()[0] for line in listed.stdout.splitlines()][-1] == "mine"
    about = json.loads(run("puzzle", "mine", "--json").stdout)
    assert (about["name"], about["stickers"], about["turns"]) == (
        "mine",
        16,
        ["A", "B", "C", "D", "2A", "2B", "2C", "2D"],
    )
    facts = json.loads(run("effect", "--puzzle", "mine", "--json", "A B").stdout)
    assert (facts["puzzle"], facts["order"], len(facts["twists"])) == ("mine", 3, 2)
    drawn = run("draw", "--puzzle", "mine", "A", "-o", "tip.svg")
    assert drawn.exit_code == 0
    assert Path("tip.svg").read_text(encoding="utf-8").startswith("<svg")
    found = run("find", "--puzzle", "mine", "changes only FRL", "--longest", "1")
    assert found.exit_code == 0


def test_elsewhere_it_does_not(tmp_path, monkeypatch) -> None:
    monkeypatch.chdir(tmp_path)
    result = run("puzzle", "mine")
    assert result.exit_code == 2
    assert "no puzzle is called mine; there are cube-2" in result.stderr


BROKEN = PYRAMID.replace("tetrahedron", "pyramid")
TOLD = "content/puzzles/mine.yaml:1:8: solid cannot be “pyramid”"


@pytest.mark.parametrize(
    "command",
    [["puzzle"], ["puzzle", "mine"], ["effect", "--puzzle", "mine", "A"], ["check"], ["publish"]],
    ids=" ".join,
)
def test_a_definition_that_is_wrong_is_told_by_what_uses_it(
    written_guide, monkeypatch, command: list[str]
) -> None:
    monkeypatch.chdir(written_guide(BROKEN))
    result = run(*command)
    assert result.exit_code == 1
    assert TOLD in result.stderr


@pytest.mark.parametrize(
    "command",
    [
        ["puzzle", "cube-3"],
        ["effect", "R"],
        ["effect", "--puzzle", "more", "U"],
        ["draw", "R", "-o", "figure.svg"],
        ["find", "order 4", "--most", "1"],
    ],
    ids=" ".join,
)
def test_it_stops_nothing_else(written_guide, monkeypatch, command: list[str]) -> None:
    folder = written_guide(BROKEN)
    (folder / "content/puzzles/more.yaml").write_text(WIDE)
    monkeypatch.chdir(folder)
    result = run(*command)
    assert (result.exit_code, TOLD in result.stderr) == (0, False)


def test_all_other_puzzles_are_listed(written_guide, monkeypatch) -> None:
    folder = written_guide(BROKEN)
    (folder / "content/puzzles/more.yaml").write_text(WIDE)
    monkeypatch.chdir(folder)
    assert "more        54 stickers" in run("puzzle").stdout.replace("  ", "  ")


def test_a_size_of_a_broken_file_is_told_of_the_file(written_guide, monkeypatch) -> None:
    monkeypatch.chdir(written_guide(BROKEN))
    result = run("effect", "R", "--puzzle", "mine-4")
    assert (result.exit_code, TOLD in result.stderr) == (1, True)


def test_the_other_pages_are_checked_all_the_same(guide_at) -> None:
    pages = {
        "index": "[There](there.md), [it](sequence:tip), `@tip`{.moves}, [gone](gone.md).\n",
        "there": PAGE + "```moves tip\nmoves: A\n```\n",
        "other": "```moves quarter\nmoves: R\nclaims: order 5\n```\n",
    }
    assert headlines(guide_at(files=with_own(BROKEN), **pages)) == [
        "content/index.md:1:63: there is no page gone.md",
        "content/other.md:3:9: this claim is false: the order is 4",
        f"{TOLD}",
    ]


def test_a_colour_of_a_face_that_a_broken_file_would_name_is_no_mistake(guide_at) -> None:
    config = "title: T\npuzzle: mine\ncolours: {Tip: red}\n"
    assert headlines(guide_at(config, with_own(BROKEN))) == [TOLD]


def test_no_two_puzzles_are_called_the_same_by_readers(headlines) -> None:
    cut = "solid: cube\naxes: faces\ndepths: [1/3, -1/3]\nangle: 90\n"
    files = {"puzzles/one.yaml": f"title: Pebble\n{cut}", "puzzles/two.yaml": f"{cut}title: Pebble\n"}
    assert headlines(files=files) == ["content/puzzles/two.yaml:5:1: one is called “Pebble” too"]
    files = {"puzzles/one.yaml": f"title: Skewb\n{cut}"}
    assert headlines(files=files) == ["content/puzzles/one.yaml:1:1: skewb is called “Skewb” too"]
