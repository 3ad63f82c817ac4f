"""The file that lists all cases of a step, a line each, where there are more than a case sheet can show."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from read_html import Document, Element
from sample_guide import write_guide

from sitegen.cache import PLACE
from sitegen.puzzles import catalogue
from sitegen.puzzles.permutation import compose, inverse
from sitegen.site.output import recorded
from sitegen.site.publish import publish

METHOD = """\
---
puzzle: cube-2
---
```method flat
title: Läufer
count: 20
stages:
- stage: All four at once
  goal: D home
  using: any turns of R, U and F up to 9
```
"""
FILES: dict[str, str | bytes] = {
    "content/guide.yaml": "title: Club\naddress: https://club.example/guide/\n",
    "content/index.md": METHOD,
    "content/paper.md": "---\ntitle: To print\nkind: handout\ncase sheet: flat\n---\n",
}
CASES = 7 * 3 * 6 * 3 * 5 * 3
"""By hand: R, U and F leave one corner of D as it is; places and ways round of the other three."""
PATH = "methods/flat/stage-1.txt"


@pytest.fixture(scope="module")
def results(_shared_cache: Path) -> Path:
    """Where what was found for the guide is kept."""
    return _shared_cache


@pytest.fixture(scope="module")
def guide(tmp_path_factory) -> Path:
    folder = write_guide(tmp_path_factory.mktemp("guide"), FILES)
    publish(folder)
    return folder


@pytest.fixture(scope="module")
def text(guide: Path) -> str:
    return (guide / "output" / PATH).read_bytes().decode("utf-8-sig")


@pytest.fixture(scope="module")
def lines(text: str) -> list[str]:
    return text.partition("\n\n")[2].partition("\n\n")[2].splitlines()


def main_of(guide: Path, name: str) -> Element:
    page = Document.read((guide / "output" / name).read_text(encoding="utf-8"))
    assert page.faults == []
    return page.root.all("main")[0]


def number(pattern: str, text: str) -> int:
    found = re.search(pattern.replace("N", r"(\d[\d,]*)"), text)
    assert found, text
    return int(found[1].replace(",", ""))


def test_what_is_drawn_in_words_and_in_the_list_alone_adds_up_to_what_is_counted(
    guide: Path, lines: list[str]
) -> None:
    sheet = main_of(guide, "methods/flat.html")
    drawn = [case for cases in sheet.all("ul", class_="cases") for case in cases.all("svg")]
    words = sheet.all("details", class_="in-words")[0].all("tr")[1:]
    assert sheet.all("p", class_="held") == []  # so that each solution is that of one case
    alone = number("of which N stand nowhere else", sheet.text)
    assert number("N cases. In one of them nothing is to be done", sheet.text) == CASES
    assert (len(drawn), len(words)) == (60, 2_000)
    assert number("N more cases in words", sheet.text) == 2_000
    assert len(drawn) + len(words) + alone == CASES - 1
    assert number("N solutions do for the other", sheet.text) == CASES - 1
    assert number("a line for each of the N, of which", sheet.text) == CASES - 1
    assert len(lines) == CASES - 1


def test_every_line_says_where_the_pieces_are_and_what_solves_that(lines: list[str]) -> None:
    """Each is read and turned, and the words held against where the stickers then are."""
    puzzle = catalogue.puzzle("cube-2")
    turned = {
        turn.axis + mark: puzzle.permutation(turn._replace(amount=amount))
        for turn in puzzle.turns()
        if turn.axis in "RUF" and (turn.first, turn.last) == (1, 1)
        for amount, mark in ((1, ""), (2, "2"), (3, "'"))
    }
    corners = ("DFL", "DFR", "DBR", "DBL")
    seen = set()
    for line in lines:
        words, moves, length = re.fullmatch(r"([^:]+): (.+) \((\d+)\)", line).groups()
        done = puzzle.identity
        for turn in moves.split():
            done = compose(done, turned[turn])
        at = inverse(done)
        there = {name: puzzle.stickers[at[puzzle.slots[name]]].name for name in corners}
        told = dict(re.findall(r"(\w{3}) (?:is )?at (\w{3})", words))
        assert told == {name: place for name, place in there.items() if name != place}
        assert len(moves.split()) == int(length)
        seen.add(tuple(there.values()))
    assert len(seen) == CASES - 1


def test_the_file_says_what_it_lists_and_is_read_as_utf_8_wherever_it_is_opened(
    guide: Path, text: str
) -> None:
    assert (guide / "output" / PATH).read_bytes().startswith(b"\xef\xbb\xbf")
    assert text.startswith("Club\nLäufer, stage 1: All four at once\ngoal: D home\n")
    assert number("N cases. In one of them nothing is to be done", text) == CASES
    assert "{{" not in text
    assert "&" not in text


def test_the_sheet_leads_there_and_paper_says_where_it_is(guide: Path) -> None:
    (link,) = (a for a in main_of(guide, "methods/flat.html").all("a") if a.text.endswith(".txt"))
    assert (guide / "output" / "methods" / link.attributes["href"]).resolve().is_file()
    handout = main_of(guide, "paper.html")
    at = {a.text: a.attributes["href"] for a in handout.all("a")}
    for path in (PATH, "methods/flat.html"):
        assert at[f"https://club.example/guide/{path}"] == path
    on_sheet, alone = (number(text, handout.text) for text in ("N more are on", "of which N stand nowhere"))
    assert 60 + on_sheet + alone == CASES - 1 == number("a line for each of the N, of which", handout.text)


def test_it_is_written_again_from_what_was_kept_and_goes_with_its_method(
    guide: Path, results: Path, monkeypatch
) -> None:
    monkeypatch.setenv(PLACE, str(results))
    output = guide / "output"
    before = (output / PATH).read_bytes()
    (output / "methods/flat/mine.txt").write_text("mine")
    write_guide(guide, {"content/index.md": f"{METHOD}\nOne more sentence.\n"})
    assert publish(guide).rendered
    assert (output / PATH).read_bytes() == before
    assert PATH in recorded(output)
    write_guide(guide, {"content/index.md": METHOD.replace("D home", "DFR home")})
    publish(guide)
    assert [path.name for path in (output / "methods/flat").iterdir()] == ["mine.txt"]
    assert "full list" not in main_of(guide, "methods/flat.html").text
