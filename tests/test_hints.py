"""Every hint is carried out by machine, as far as it can be: what it was given for is then no problem any more.

A row is a text with one mistake. What to write is taken from the hint; the row says no more than where to.
"""

from __future__ import annotations

import ast
import re
import tempfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

import sitegen
from sitegen.effects.claims import parse_claim, parse_placing
from sitegen.effects.piece_sets import parse_pieces
from sitegen.guide.load import read_guide
from sitegen.moves.parse import parse
from sitegen.problems import Passage, Problem, Problems, written
from sitegen.puzzles import catalogue
from sitegen.puzzles.numbers import read_number

HERE, LINE, BELOW, FIRST, AWAY, LINE_AWAY = "here", "its line", "below", "first", "away", "its line away"
"""What is done with the place that a problem marks: another text for it or for its line, or none."""


@dataclass(frozen=True)
class Row:
    text: str
    how: str = HERE
    of: str = "cube-3"
    """The puzzle; or the file of a guide that the text is."""
    take: str = ""
    """What in the hint is to be written, where it is not all that it says to write."""
    gap: str = ""
    """What stands in the place of “…”."""
    keep: int = 0
    """So many problems stay: not each mistake comes alone."""

    def __str__(self) -> str:
        return f"{self.of}: {self.text}"


# Reading --------------------------------------------------------------------------------------------------

PARSED: dict[str, Callable] = {
    "moves": parse,
    "pieces": parse_pieces,
    "claim": parse_claim,
    "placing": parse_placing,
    "number": lambda passage, puzzle: read_number(passage),
}
SEQUENCES = "\n\n```moves flip-pair\nmoves: [F D' U L2 U2 D2 R U, U]\n```\n\n```moves lift\nmoves: F D' U L2 U2 D2 R U\n```\n"
METHOD = (
    "\n\n```method way\ncount: 5\nstages:\n- stage: A\n  goal: UF placed\n  using: any turns up to 2\n```\n"
)
SOUND = "solid: cube\naxes: faces\ndepths: [1/3, -1/3]\nangle: 90\n"


@cache
def problems(kind: str, of: str, text: str) -> tuple[Problem, ...]:
    try:
        if kind in PARSED:
            PARSED[kind](written(text), catalogue.puzzle(of))
            return ()
        return _in_guide(kind, of, text)
    except Problem as problem:
        return (problem,)
    except Problems as found:
        return found.problems


def _in_guide(kind: str, of: str, text: str) -> tuple[Problem, ...]:
    files = {"guide.yaml": "title: T\n", "index.md": "Home.\n", "more.md": f"# More{SEQUENCES}{METHOD}"}
    if kind == "page":
        head = "" if of == "cube-3" else f"puzzle: {of}\n"
        files |= {"guide.yaml": f"title: T\n{head}", "index.md": text}
        if head:
            files |= {"more.md": "# More\n"}
    elif kind == "block":
        return _in_guide("page", of, text)
    else:
        files[kind] = text
    with tempfile.TemporaryDirectory() as folder:
        for name, content in files.items():
            path = Path(folder, "content", name)
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(content, encoding="utf-8")
        return tuple(read_guide(Path(folder)).problems)


# Doing what a hint says -----------------------------------------------------------------------------------


def options(hint: str, take: str = "") -> list[str]:
    """What a hint says to write, each by itself."""
    if take:
        return [found[1] for found in re.finditer(take, hint)]
    if found := re.search(r"is it (.+?)\?", hint):
        return [found[1]]
    if found := re.search(r"written in capitals: (\S+)", hint):
        return [found[1]]
    found = re.search(
        r"(?:write|repeat as)(?: for example| some of| one of| them| it)?(?: as in)? (.+)", hint
    )
    if not found:
        return []
    said = re.split(r"; |: the |, and all|, and [0-9]| with ", found[1])[0]
    if quoted := re.findall("“(.+?)”", said):
        return quoted
    parts = re.split(r",? or |, and ", said)
    return [re.sub(r" (?:for|alone|in place|the way).*", "", part).strip(" .,") for part in parts if part]


def carried_out(text: str, problem: Problem, row: Row) -> Iterator[str]:
    """The text as it is when the hint is followed, in each way that it names."""
    start = _offset(text, problem.passage)
    end = start + len(problem.passage.text)
    line = text.rfind("\n", 0, start) + 1
    line_end = text.find("\n", start) if "\n" in text[start:] else len(text)
    indent = re.match("[ -]*", text[line:]).group()
    if row.how in (AWAY, LINE_AWAY):
        yield text[:start] + text[end:] if row.how == AWAY else text[:line] + text[line_end + 1 :]
        return
    said = options(problem.hint, row.take)
    assert said, problem.hint
    for each in said:
        new = each.replace("…", row.gap)
        assert "…" not in new, f"what is to be written for “…” in: {problem.hint}"
        yield {
            HERE: lambda new: text[:start] + new + text[end:],
            LINE: lambda new: text[:line] + indent + new + text[line_end:],
            BELOW: lambda new: f"{text[:line_end]}\n{' ' * len(indent)}{new}{text[line_end:]}",
            FIRST: lambda new: f"{text[:line_end]}\n{new}{text[line_end:]}",
        }[row.how](new)


def _offset(text: str, passage: Passage) -> int:
    """Where a passage begins in the whole of its file."""
    lines = text.split("\n")[: passage.line - 1]
    return sum(len(line) + 1 for line in lines) + passage.column - 1


# The table ------------------------------------------------------------------------------------------------


def block(kind: str, *lines: str) -> str:
    return "\n".join([f"```{kind}", *lines, "```", ""])


def method(*lines: str, top: tuple[str, ...] = ()) -> str:
    """A method of one stage, with the lines of the stage."""
    stage = [f"{'- ' if not at else '  '}{line}" for at, line in enumerate(lines)]
    return block("method our-way", "count: 5", *top, "stages:", *stage)


TABLE: dict[str, list[Row]] = {
    "moves": [
        Row("R X U"),
        Row("R m2"),
        Row("3r", of="cube-4"),
        Row("U r2'", of="cube-5"),
        Row("2-3r", of="cube-5"),
        Row("rw"),
        Row("r", of="cube-2"),
        Row("2-R", of="cube-5"),
        Row("2-R"),
        Row("2-3Rw", of="cube-5"),
        Row("3-2R", of="cube-5"),
        Row("2M"),
        Row("xw"),
        Row("M", of="cube-4", take="as in (.+)"),
        Row("1Rw", of="cube-2"),
        Row("U R3"),
        Row("R4"),
        Row("R'2"),
        Row("R''"),
        Row("R++2", of="megaminx", take=r"write (\S+), (?:\S+ for)"),
        Row("DR", of="megaminx", take="write (.+?) for"),
        Row("DR", of="megaminx", take="between: (.+)"),
        Row("2u", of="pyraminx"),
        Row("2-U", of="pyraminx"),
        Row("2-3Uw", of="pyraminx"),
        Row("R U)", AWAY),
        Row("R U`", take="is written (')"),
    ],
    "pieces": [
        Row("edgs of U"),
        Row("U except UFF"),
        Row("uf"),
        Row("edges of u"),
        Row("D expect DFR"),
        Row("U without UF"),
        Row("everything"),
        Row("UF and UR.", AWAY),
        Row("UF", of="cube-4", take="places there: (\\w+), (\\w+)"),
        Row("edges of UF", take=r"layers are (\w+),"),
    ],
    "claim": [
        Row("flps UF"),
        Row("flips uf"),
        Row("flips uf and ur", take="capitals: (UF)", keep=1),
        Row("cycles UF → UL"),
        Row("cycles UF > UL -> UB"),
        Row("swaps UF for UR"),
        Row("swaps UF and UR"),
        Row("order", LINE),
        Row("length 8 turns", take="one of (.+?),"),
        Row("twists UFR halfway"),
        Row("flips UF.", AWAY),
    ],
    "number": [
        Row("deep", take="as in (.+?), (.+?) or (.+)"),
        Row("1/0", LINE, take="as in (.+?), (.+?) or (.+)"),
    ],
    "page": [
        Row(block("moves", "mvoes: R"), HERE),
        Row(block("moves", "Moves: R"), HERE),
        Row(block("moves", "moves : R"), HERE),
        Row(block("moves", "moves:", "title: T"), LINE, gap="R", take="“(.+?)”"),
        Row(block("moves", "moves: R", "letters: maybe"), HERE),
        Row(block("moves", "moves: R", "marked: yes"), LINE_AWAY),
        Row(block("moves", "moves: R", "claims:", "- order four"), LINE, take="as in (.+)"),
        Row(block("moves", "moves: R", "moves: U"), LINE_AWAY),
        Row(block("moves", "moves: R", "claims:", "*order 4"), LINE),
        Row(block("moves", "moves: R", "claims:", "- order 4", "-"), LINE_AWAY),
        Row(block("moves", "moves: @liftt"), HERE, take="(lift)"),
        Row(block("move", "moves: R"), HERE),
        Row(block("moves Two Words", "R"), take="hyphens: (.+)"),
        Row("[x](index.md#ther)\n\n# There\n", HERE),
        Row("[x](indx.md)\n"),
        Row("[x](sequence:lit)\n"),
        Row("`R U` {.moves}\n"),
        Row(block("position", "pieces: flips UF"), BELOW, take="write (impossible: yes)"),
        Row(block("position", "pieces: flips UF and UR", "impossible: yes"), LINE_AWAY),
        Row(block("position", "title: T"), BELOW, take="“(.+?)”"),
        Row(block("position", "stickers: UF at FU"), take="write (UF is at FU)"),
        Row(block("derivation", "title: T"), BELOW, take="“(steps:)”"),
        Row(block("practice", "fill in: efect", "from: @lift")),
        Row(block("example"), BELOW),
        Row(method("stage: A", "goal: UF placed", "using: up to 2"), take="“(any.+?)”"),
        Row(method("stage: A", "goal: UF placed", "using: any turns"), take="“(any.+?)”"),
        Row(method("stage: A", "goal: UF placed", "using: any turns up to 2", "lead-in: 1 turn"), LINE_AWAY),
        Row(
            method("stage: A", "goal: UF placed", "using: any turns up to 2", "hold: R"),
            take="hold: (\\w)[,;]?",
        ),
        Row(method("stage: A", "goal: UF placed", "using: any turns up to 2", top=("open: yes",)), LINE_AWAY),
        Row(method("stage: A", "goal: UF placed", "using: @lift"), BELOW, take="write (.+?), and"),
        Row(method("stage: A", "goal: UF placed", "using: any turns up to 1"), LINE, take="write (.+?), and"),
    ],
}


def rows() -> list[tuple[str, Row]]:
    return [(kind, row) for kind, found in TABLE.items() for row in found]


@pytest.mark.parametrize(("kind", "row"), rows(), ids=lambda each: str(each))
def test_doing_what_a_hint_says_helps(kind: str, row: Row) -> None:
    (problem,) = problems(kind, row.of, row.text)
    assert problem.hint
    for text in carried_out(row.text, problem, row):
        left = problems(kind, row.of, text)
        assert len(left) == row.keep and problem.message not in {each.message for each in left}, (
            f"{problem}\n\ncarried out:\n{text}\n\n{list(map(str, left))}"
        )
