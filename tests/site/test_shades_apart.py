"""Faces of one puzzle can be told apart by their shades, wherever these are given and wherever seen."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner
from sample_guide import write_guide

from sitegen.cli import main
from sitegen.problems import Problems
from sitegen.site.publish import check

THEME = "based on: folio\n"
NEAR = "#2b2a9a"
"""Blue but for a breath."""
GIVEN = {
    "guide.yaml": (
        {"content/guide.yaml": f'title: T\ncolours: {{red: "{NEAR}"}}\n'},
        "content/guide.yaml:2:11",
    ),
    "theme.yaml": (
        {"themes/mine/theme.yaml": f'{THEME}colours: {{red: "{NEAR}"}}\n'},
        "themes/mine/theme.yaml:2:17",
    ),
    "mine.css": (
        {"themes/mine/files/mine.css": f":root{{--red:{NEAR}}}\n"},
        "themes/mine/files/mine.css:1:7",
    ),
    "mine.css on paper": (
        {"themes/mine/files/mine.css": f"p{{}}\n@media print{{:root{{--red:{NEAR}}}}}\n"},
        "themes/mine/files/mine.css:2:20",
    ),
}


def guide(tmp_path: Path, files: dict[str, str]) -> Path:
    base: dict[str, str | bytes] = {
        "content/index.md": "Home.\n",
        "content/guide.yaml": "title: T\ntheme: mine\n",
    }
    return write_guide(tmp_path, {**base, "themes/mine/theme.yaml": THEME, **files})


@pytest.mark.parametrize("given", GIVEN)
def test_two_faces_that_look_alike_are_refused_where_a_shade_is_given(tmp_path: Path, given: str) -> None:
    files, place = GIVEN[given]
    with pytest.raises(Problems) as caught:
        check(guide(tmp_path, files))
    (problem,) = caught.value.problems
    assert problem.headline() == f"{place}: blue and red of cube-3 can hardly be told apart"
    assert problem.hint == "give one of them another shade"


def test_white_beside_another_white_is_refused(tmp_path: Path) -> None:
    config = 'title: T\ncolours: {red: "#ffffff"}\n'
    with pytest.raises(Problems, match="red and white of cube-3 can hardly be told apart"):
        check(guide(tmp_path, {"content/guide.yaml": config}))


def test_only_colours_of_one_puzzle_are_compared(tmp_path: Path) -> None:
    config = 'title: T\ncolours: {pink: "#fbfaf4"}\n'
    check(
        guide(tmp_path, {"content/guide.yaml": config})
    )  # no cube is pink, if none of its faces is said to be
    faces = 'title: T\ncolours: {R: pink, pink: "#fbfaf4"}\n'
    with pytest.raises(Problems, match="pink and white of cube-3"):
        check(guide(tmp_path, {"content/guide.yaml": faces}))
    with pytest.raises(Problems, match="of megaminx"):
        check(guide(tmp_path, {"content/guide.yaml": config + "puzzle: megaminx\n"}))


@pytest.mark.parametrize(
    ("colours", "told"),
    [
        ('{red: "#ffffff"}', "red and white of cube-3 can hardly be told apart"),
        ("{U: yellow}", "U and D of cube-3 would both be yellow"),
        ("{U: yellow, D: white}", "so cube-3 would be coloured like its own mirror image"),
        ("{U: yellow, D: white, L: red, R: orange}", ""),
        ("{Dbl: red, U: pink}", ""),  # a face of another puzzle is no matter of this one's
    ],
)
def test_a_drawing_in_a_guide_has_colours_that_can_be(
    tmp_path: Path, monkeypatch, colours: str, told: str
) -> None:
    monkeypatch.chdir(guide(tmp_path, {"content/guide.yaml": f"title: T\ncolours: {colours}\n"}))
    result = CliRunner().invoke(main, ["draw", "R", "-o", "figure.svg"])
    assert result.exit_code == bool(told)
    assert told in result.stderr
    assert Path("figure.svg").exists() == (not told)
