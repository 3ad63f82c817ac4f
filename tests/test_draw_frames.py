"""Pictures of each turn, and of the turning itself: how many, and how they lead into each other."""

from __future__ import annotations

import io
import re
from itertools import pairwise
from pathlib import Path

import pytest
from running import run
from turned_text import does

from sitegen.figures import raster
from sitegen.figures.of_position import palette
from sitegen.figures.raster import png
from sitegen.figures.style import USUAL, Paints
from sitegen.figures.turning_frames import Moment, frame_svg, moments
from sitegen.moves.parse import parse
from sitegen.moves.turning import expand
from sitegen.problems import written
from sitegen.puzzles import catalogue
from sitegen.puzzles.puzzle import Puzzle

Image = pytest.importorskip("PIL.Image")
WIDTH = 200


def pixels(puzzle: Puzzle, moment: Moment) -> bytes:
    paints = Paints(USUAL.light, on_paper=False)
    svg = frame_svg(puzzle, moment, palette(puzzle, paints=paints), False, WIDTH, "")
    return Image.open(io.BytesIO(png(svg, "#ffffff"))).convert("RGB").tobytes()


def apart(one: bytes, other: bytes) -> float:
    return sum(abs(a - b) for a, b in zip(one, other, strict=True)) / len(one)


def turns_of(puzzle: Puzzle, text: str):
    return expand(parse(written(text), puzzle))


TURNED = {
    "cube-2": "R U' F2",
    "cube-3": "R M' y2 Rw",
    "cube-4": "2R U' Fw2",
    "pyraminx": "U L' R",
    "skewb": "R U' L",
    "megaminx": "R U' F2",
}
"""Some turns of each puzzle: of outer layers, slices, blocks and all of it, where it has them."""


@pytest.mark.parametrize(("name", "text"), TURNED.items())
def test_a_turn_leads_from_what_was_to_what_will_be(name: str, text: str) -> None:
    puzzle = catalogue.puzzle(name)
    position = puzzle.identity
    for turn in turns_of(puzzle, text):
        (begun, ended) = moments(puzzle, position, [turn], 1)
        assert begun == Moment(position)
        still, after = pixels(puzzle, begun), pixels(puzzle, ended)
        nearly, barely, halfway = (
            pixels(puzzle, Moment(position, turn, share)) for share in (0.9999, 0.0001, 0.5)
        )
        assert apart(barely, still) < 1.5 < apart(halfway, still)
        assert apart(nearly, after) < 1.5 < apart(halfway, after)
        position = ended.position
    assert position == does(text, puzzle)


def test_moments_go_slowly_at_both_ends_and_end_where_the_moves_do(cube3) -> None:
    turns = turns_of(cube3, "R U")
    found = [*moments(cube3, cube3.identity, turns, 10)]
    assert len(found) == 21
    shares = [0, *(moment.share for moment in found[1:10]), 1]
    steps = [after - before for before, after in pairwise(shares)]
    assert min(steps) > 0
    assert max(steps[0], steps[-1]) < min(steps[4:6])
    assert found[-1].position == does("R U", cube3)
    assert [moment.turn for moment in found[11:20]] == [turns[1]] * 9


def test_frames_are_numbered_square_and_end_solved(tmp_path: Path) -> None:
    folder = tmp_path / "film"
    told = run("draw", "R U F", "--frames", str(folder), "--frames-per-turn", "3", "--width", "320")
    assert told.exit_code == 0, told.output
    assert sorted(path.name for path in folder.iterdir()) == [f"{n:05}.png" for n in range(10)]
    pictures = [Image.open(folder / f"{n:05}.png") for n in range(10)]
    assert {picture.size for picture in pictures} == {(320, 320)}
    assert all(picture.convert("RGBA").getpixel((0, 0)) == (255, 255, 255, 255) for picture in pictures)
    solved = tmp_path / "solved"
    run("draw", "R R'", "--frames", str(solved), "--width", "320")
    assert (solved / "00000.png").read_bytes() == (folder / "00009.png").read_bytes()
    assert len({(folder / f"{n:05}.png").read_bytes() for n in range(10)}) == 10


def test_frames_can_begin_solved_be_lettered_and_see_through(tmp_path: Path) -> None:
    every = ["--after", "--letters", "--transparent"]
    for name, options in {"plain": [], "after": ["--after"], "all": every}.items():
        run("draw", "R U", "--frames", str(tmp_path / name), "--width", "64", *options)
    first = {name: (tmp_path / name / "00000.png").read_bytes() for name in ("plain", "after", "all")}
    assert len(set(first.values())) == 3
    assert Image.open(io.BytesIO(first["all"])).convert("RGBA").getpixel((0, 0))[3] == 0
    assert (tmp_path / "after/00000.png").read_bytes() != (tmp_path / "after/00002.png").read_bytes()


def test_a_figure_can_be_as_wide_as_a_film_and_has_no_ground(tmp_path: Path) -> None:
    target = tmp_path / "x.png"
    assert run("draw", "R U R' U'", "-o", str(target), "--width", "1920", "--transparent").exit_code == 0
    picture = Image.open(target)
    assert picture.width == 1920
    assert picture.getpixel((0, 0))[3] == 0


def test_frames_called_wrongly_say_what_to_do_and_write_nothing(tmp_path: Path, monkeypatch) -> None:
    full = tmp_path / "full"
    full.mkdir()
    (full / "mine.txt").write_text("mine")
    into = str(tmp_path / "new")
    for arguments, said in {
        ("R", "--frames", str(full)): "name a new folder for the pictures",
        ("R",): "say where to: -o FILE for a figure, or --frames FOLDER for each turn",
        ("R", "-o", str(tmp_path / "x.png"), "--frames", into): "say where to",
        ("R", "-o", str(tmp_path / "x.svg"), "--frames-per-turn", "2"): "--frames-per-turn is for pictures",
        ("R", "--frames", into, "--view", "net"): "turns are seen in the view corner",
        ("(R U)1000000000", "--frames", into): "turns",
        ("R", "--frames", into, "--frames-per-turn", "0"): "--frames-per-turn",
    }.items():
        told = run("draw", *arguments)
        assert told.exit_code == 2
        assert said in re.sub(r"\s+", " ", told.output)
    monkeypatch.setattr(raster, "find_spec", lambda name: None)
    told = run("draw", "R", "--frames", into)
    assert raster.INSTALL in told.output
    assert [path.name for path in tmp_path.iterdir()] == ["full"]
    assert [path.name for path in full.iterdir()] == ["mine.txt"]
