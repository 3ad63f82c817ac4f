"""Hints are carried out by machine, as far as that can be done: what one was given for is then no problem.

A row is a text with one mistake. What to write is taken from the hint; the row says no more than where to.
Where a hint says in words what to do, the row says what a person then puts in the place of what.
"""

from __future__ import annotations

import ast
import re
import tempfile
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import pytest
from click.testing import CliRunner

import sitegen
from sitegen.cli import main
from sitegen.effects.claims import parse_claim, parse_placing
from sitegen.effects.piece_sets import parse_pieces
from sitegen.guide.load import read_guide
from sitegen.moves.parse import parse
from sitegen.problems import Passage, Problem, Problems, written
from sitegen.puzzles import catalogue
from sitegen.puzzles.numbers import read_number

pytestmark = pytest.mark.usefixtures("kept_in_module")

HERE, LINE, VALUE, BELOW = "here", "its line", "behind its key", "below"
AWAY, LINE_AWAY = "away", "its line away"
"""What is done with the place that a problem marks: another text for it or for its line, or none."""


@dataclass(frozen=True)
class Row:
    text: str
    how: str | tuple[str, str] = HERE
    """Where to write; or what is put in the place of what, where the hint tells that in words."""
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
SEQUENCES = (
    "\n\n```moves flip-pair\nmoves: [F D' U L2 U2 D2 R U, U]\n```\n"
    "\n```moves lift\nmoves: F D' U L2 U2 D2 R U\n```\n"
)
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
    if of == "cube-3" and "method" not in text and "worked" not in text:
        files["more.md"] = f"# More{SEQUENCES}"
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
        return ["\n".join(found.groups()) for found in re.finditer(take, hint)]
    if found := re.search(r"is it (?:one of )?(.+?)\?", hint):
        return found[1].split(", ")
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
    if not isinstance(row.how, str):
        assert row.how[0] in text
        yield text.replace(*row.how)
        return
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
            VALUE: lambda new: text[: text.index(": ", line) + 2] + new + text[line_end:],
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


def chain(links: int) -> str:
    """Sequences each of which refers to the one before."""
    return "".join(block(f"moves s{at}", f"@s{at - 1}" if at else "R") for at in range(links))


def ordered(pieces: str, goal: str) -> str:
    return method(
        "stage: A", f"goal: {goal}", f"one by one: {pieces}", "using: any turns up to 2", top=("open: yes",)
    )


PLACED = method("stage: A", "goal: UF placed", "using: any turns up to 4")
PYRAMID = PLACED.replace("UF placed", "FL placed")
LEFT_OUT = block("practice", "from: @flip-pair and @lift", "fill in: commutator", "count: 1")
ONE_EXERCISE = block("practice", "from: @flip-pair", "count: 1")
OCTAHEDRON = "solid: octahedron\naxes: {A: A B C, B: E F G H}\ndepths: 0.9\nangle: 90\n"

TABLE: dict[str, list[Row]] = {
    "moves": [
        Row("R ; U", AWAY),
        Row("R . U", AWAY),
        Row("R²", take="write (2)"),
        Row("(R U R' U')x3", take="write ([^;]+)"),
        Row("(R U R' U')x3", ("x3", " x"), keep=0),
        Row("[R, U] * 2"),
        Row("R×2"),
        Row("R U * 3", take=r"write (\S+),"),
        Row("R U * 3", ("R U * 3", "(R U)3")),
        Row("`R U`", ("`R U`", "R U")),
        Row("`R` `U`", ("`R` `U`", "R U")),
        Row("(R U) x3", (" x3", "3")),
        Row("R- U", take="is written (')"),
        Row("R-1 U", take="is written (')"),
        Row("3Rw", take=r"write (\w+)"),
        Row("4Lw", of="cube-4", take=r"write (\S+)"),
        Row("R, U", ("R, U", "[R, U]")),
        Row("R, U", ("R, U", "[R: U]")),
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
        Row("R1 U", ("R1", "R")),
        Row("R0 U", ("R0 ", "")),
        Row("R'2"),
        Row("R''"),
        Row("R++2", of="megaminx", take=r"write (\S+), (?:\S+ for)"),
        Row("DR", of="megaminx", take="write (.+?) for"),
        Row("DR", of="megaminx", take="between: (.+)"),
        Row("2u", of="pyraminx"),
        Row("2-U", of="pyraminx"),
        Row("2-3Uw", of="pyraminx"),
        Row("R U)", AWAY),
        Row("(R L)^3", AWAY),
        Row("R U`", take="is written (')"),
    ],
    "pieces": [
        Row("U except DF", (" except DF", "")),
        Row("UF, UR and U", ("UF, UR and ", "")),
        Row("U, R or F"),
        Row("faces U"),
        Row("except U", take="write (all except)"),
        Row("U except U", ("except U", "except UF")),
        Row("edgs of U"),
        Row("U except UFF"),
        Row("uf"),
        Row("edges of u"),
        Row("D expect DFR"),
        Row("U without UF"),
        Row("everything"),
        Row("UF and UR.", AWAY),
        Row("UF", of="cube-4", take="(UF[a-z])"),
        Row("edges of D", of="pyraminx", take="write (face D)"),
        Row("edges of UF", take=r"layers are (\w+),"),
    ],
    "claim": [
        Row("same as @lift'", AWAY),
        Row("same as @lift'", ("same as @lift'", "undoes @lift")),
        Row("flips UFR", LINE, take="write (.+)"),
        Row("twists UF clockwise", LINE, take="write (.+)"),
        Row("twists UFR", ("UFR", "UFR clockwise")),
        Row("same as lift", take="write (.+)"),
        Row("cycles UF UR", ("UF UR", "UF > UR")),
        Row("order 9999999999999", ("9999999999999", "999")),
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
        Row("length x", LINE, take="as in (.+)"),
        Row("flips UF.", AWAY),
    ],
    "number": [
        Row("0." + "7" * 70, ("7" * 70, "7" * 9)),
        Row("deep", take=r"([0-9.-]\S*[0-9]|sqrt\S+)"),
        Row("1/0", LINE, take=r"([0-9.-]\S*[0-9]|sqrt\S+)"),
    ],
    "page": [
        Row("~~~text {.plain}\nR U\n~~~\n", AWAY),
        Row("[x](note:this)\n", ("note:this", "more.md")),
        Row("[x](my page)\n", ("(my page)", "(<more.md>)")),
        Row("[x][meth]\n", ("[meth]\n", "[meth]\n\n[meth]: more.md\n")),
        Row("A note[^1]\n", ("[^1]", " (see there)")),
        Row("# T\n\n##\n\nText.\n", ("##", "## More")),
        Row("<!-- Later.\n\nNow.\n", ("Later.", "Later. -->")),
        Row("Now. <!-- Later.\n\nNow. -->\n", ("<!--", "\n\n<!--")),
        Row("A note[^note] and[^notte]\n\n[^note]: A note.\n"),
        Row("```moves four\nmoves: R U\nclaims: same as @four\n```\n", ("claims: same as @four\n", "")),
        Row("::: warn\nText\n:::\n"),
        Row("::: Note First\nText\n:::\n"),
        Row("::: note: First\nText\n:::\n"),
        Row("::: note First {.wide}\nText\n:::\n", AWAY),
        Row("## On and on\n\n[x](index.md#On and on)\n", ("#On and on", "#on-and-on")),
        Row(":::: Notes\nText\n::::\n"),
        Row("---\ntitle: Turn *four*\n---\n", ("*four*", "four")),
        Row("---\nsummary: See [](more.md)\n---\n", ("[](more.md)", "more")),
        Row(block("moves zw", "title: Turn `R`", "moves: R"), ("`R`", "R")),
        Row("---\nlanguage: de\n---\n", ("language: de\n", "title: T\n")),
        Row(block("moves zw", "title: Four", "R U R' U'"), LINE, take="“(moves: .+?)”"),
        Row("`R U R' U'`{.moves} isn’t of `order 6`{.claim}.\n", ("{.claim}", "{.plain}")),
        Row("---\nmetrics: OBTM\n---\n", ("metrics", "blocks:\n  metrics")),
        Row("```moves q\nmoves: R\nmetrics: HTM\n```\n", take="one of ([A-Z]+),"),
        Row("~~x~~\n", ("~~x~~", "x")),
        Row("** x**\n", ("** x", "**x")),
        Row("`x\n", ("`x", "`x`")),
        Row(":::\n", (":::", "\\:::")),
        Row("> [!NOTE]\n> Text\n", ("[!NOTE]", "**Note:**")),
        Row("[[more]]\n", ("[[more]]", "[](more.md)")),
        Row("[x](more.md\n", ("more.md", "more.md)")),
        Row("[x] (more.md)\n"),
        Row("(x)[more.md]\n"),
        Row("<more.md>\n"),
        Row("< sequence: lift>\n"),
        Row("[x](more.md title)\n", ("title", '"title"')),
        Row("[x]: more.md title\n\n[x]\n", ("title", '"title"')),
        Row("[x] : more.md\n\n[x]\n", ("] :", "]:")),
        Row("Text\n[x]: more.md\n\n[x]\n", ("Text\n", "Text\n\n")),
        Row(
            "[x]\n\n[x]: more.md\n\n" + block("position", "moves: R", "say: See [x]."),
            ("See [x]", "See [x](more.md)"),
        ),
        Row("| a | b |\n|---|\n| 1 | 2 |\n", ("|---|", "|---|---|")),
        Row("| a |\n|---|\n\n| 1 | 2 |\n", ("\n| 1 | 2 |", "| 1 |")),
        Row("| a | b |\n|---|---|\n| 1 | 2 |\nText\n", ("\nText", "\n\nText")),
        Row("one\ntwo\n---\n", ("two\n", "two\n\n")),
        Row("2*3*4\n", ("2*3*4", "2×3×4")),
        Row("Text\n2. a\n3. b\n", ("Text\n", "Text\n\n")),
        Row("1. a\n  - b\n", ("  - b", "   - b")),
        Row("1. a\n  2. b\n", ("  2. b", "2. b")),
        Row("- a\n - b\n", (" - b", "  - b")),
        Row("-\N{NO-BREAK SPACE}a\n", ("\N{NO-BREAK SPACE}", " ")),
        Row("# A {#x}\n", (" {#x}", "")),
        Row("# A\n\n## B {#main}\n", ("#main", "#other")),
        Row("::: note\nText\n", ("Text\n", "Text\n:::\n")),
        Row("#Heading\n"),
        Row("[x](www.example.org)\n", ("www.", "https://www.")),
        Row("[x](example.org)\n", ("example.org", "https://example.org")),
        Row("[x](content/more.md)\n"),
        Row("[x](/content/more.md)\n"),
        Row("# A\n\n## Below {#In-Capitals}\n", take=r"is (\{#\S+\}),"),
        Row("[x](sequence:)\n", ("sequence:", "sequence:lift")),
        Row("[x](sequence:lift2)\n"),
        Row("[x](anna@school.example)\n", ("anna", "mailto:anna")),
        Row(block("moves", "moves: R", "view: corner and top"), VALUE, take="“(.+?)”"),
        Row("´´´moves zw\nR U\n´´´\n", ("´´´", "```")),
        Row("```moves zw R U```\n", ("moves zw R U", "moves zw\nR U\n")),
        Row("[x](file:///x.pdf)\n", ("file:///x.pdf", "more.md")),
        Row("With one\n+ one more\n", ("+", "\\+")),
        Row("With one\n+ one more\n", ("\n+", "\n\n+")),
        Row("More than\n> 20 of them\n", (">", "\\>")),
        Row("Have a good day.\n----\n", ("\n--", "\n\n--")),
        Row("A[^a].\n\n[^a]: One.\n\n  Two.\n", ("  Two", "    Two")),
        Row("A\n\n    Turn `R`{.moves}\n", ("    T", "T")),
        Row("1. a\n5. b\n"),
        Row("1. a\n5. b\n", ("5.", "5\\.")),
        Row("---\ntitle: T\n---\n---\ntags: [a]\n---\n", ("---\n---\ntags: [a]\n", "tags: [a]\n")),
        Row("---\ntitle:Foo\n---\n"),
        Row("```moves zw {.foo}\nR\n```\n", (" {.foo}", "")),
        Row(LEFT_OUT, (" and @lift", "")),
        Row(LEFT_OUT, ("commutator\ncount: 1", "commutator, undoing\ncount: 2")),
        Row(
            block("practice", "from: @flip-pair", "lead-in: 1 turn", "fill in: effect, undoing", "count: 1"),
            ("count: 1", "count: 2"),
        ),
        # The body of a block.
        Row(block("position", "- flips UF and UR", "- flips UB and UL"), ("n\n", "n\npieces:\n")),
        Row(block("find", "- order 2"), ("d\n", "d\nclaims:\n")),
        Row(block("find", "order 2\nlongest: 1"), ("order", "claims: order")),
        Row(block("moves", "moves: R", "effect: none"), ("none", "no")),
        Row(block("moves", "- R", "- U"), ("- ", "")),
        Row(block("moves", "- order 4", "moves: R"), ("- order 4\nmoves: R", "moves: R\nclaims:\n- order 4")),
        Row(block("moves", "moves: R", "claims: order 4", "- keeps DL"), ("claims: ", "claims:\n- ")),
        Row(block("moves", "moves: R", "- order 4"), ("- order 4", "claims:\n- order 4")),
        Row(block("moves", "moves: R", "claims:", "- order 4", " - keeps DL"), ("\n -", "\n-")),
        Row(block("moves", "moves: R", "claims:", " - order 4", "- keeps DL"), ("\n-", "\n -")),
        Row(block("moves", "moves: R", "claims:", "- order 4", "keeps DL"), ("keeps", "- keeps")),
        Row(block("moves", "moves: R", "say: a", "b"), ("b\n", " b\n")),
        Row(block("moves", "moves: R", "claims:", "- order 4", "- title: T"), ("- title", "title")),
        Row(
            block("derivation", "names: n", "steps:", "- turn: R", "claims:", "- order 4", "- turn: U"),
            ("claims:\n- order 4\n- turn: U", "- turn: U\nclaims:\n- order 105"),
        ),
        Row(block("moves", "moves: R", "title T"), LINE),
        Row(block("derivation", "steps:", "- turn: R", "- turn R'"), LINE),
        Row(block("derivation", "steps:", "- R U"), LINE),
        Row(block("moves", "moves: R", "say: |", "  a"), ("|\n ", "")),
        Row(block("moves", "moves: R", 'say: "a', "", '  b"'), ("\n\n", "\n")),
        Row(block("moves", "moves: R", "claims: [order 4]"), LINE, take="“(claims:)”.+“(.+?)”"),
        Row(
            block("moves", "moves: R", "claims: [order 4, keeps DL]"),
            ("claims: [order 4, keeps DL]", "claims:\n- order 4\n- keeps DL"),
        ),
        Row(block("position", "pieces: [flips UF and UR]"), LINE, take="“(pieces:)”.+“(.+?)”"),
        Row(
            block("position", "stickers: [UF is at FU, UR is at RU]"),
            ("[UF is at FU, UR is at RU]", "\n- UF is at FU\n- UR is at RU"),
        ),
        Row(block("moves", "moves: R", "claims: order 4, keeps DL"), take="write (;)"),
        Row(block("moves", "moves: R", "claims: order 4 and keeps DL"), take="write (;)"),
        Row(block("moves", "moves: R", "view: [corner, top"), VALUE, take="“(.+?)”, or"),
        Row(block("moves x", "moves: R", "tags:", "- [a, b]"), take="“(.+?)”, or"),
        Row(block("moves", "moves: R", "title:", "- T"), ("title:\n- T", "title: T")),
        Row(block("moves", "moves: R", "ends: U"), HERE),
        Row(block("moves", "title: T"), BELOW, gap="R", take="“(moves.+?)”"),
        Row(block("position", "pieces:", "- keeps U", "- flips UF and UR"), LINE_AWAY),
        # Derivations.
        Row(block("derivation", "guard: U", "fails: yes", "steps:", "- turn: D"), LINE_AWAY),
        Row(
            block("derivation", "guard: D", "steps:", "- turn: R", "  guard: home", "- undo: all"),
            ("  guard: home\n", ""),
        ),
        Row(
            block("derivation", "guard: D", "steps:", "- turn: R", "  guard: home", "- undo: all"),
            ("turn: R", "turn: U"),
        ),
        Row(
            block("derivation", "guard: D", "steps:", "- turn: D", "  guard: away", "- undo: all"),
            VALUE,
            take="write guard: (.+)",
            keep=1,
        ),
        Row(block("derivation", "steps:", "- turn: R", "  set aside: UF"), ("  set aside: UF\n", "")),
        Row(
            block("derivation", "steps:", "- turn: R", "- undo: R"),
            ("turn: R\n- undo: R", "turn: R\n  as: first\n- undo: first"),
        ),
        Row(
            block("derivation", "steps:", "- turn: R", "- turn: D", "  set aside: UF"),
            ("- turn: D\n  set aside: UF", "  set aside: UF\n- turn: D"),
        ),
        Row(block("derivation", "steps: R U"), LINE, take="“(steps:)” and below it “(.+?)”", gap="R U"),
        Row(block("derivation", "steps:", "- undo: all"), LINE, take="“- (.+?)”", gap="R"),
        # Sequences that name each other.
        Row(block("moves", "@lift"), ("@lift", "R U"), of="pyraminx"),
        Row(
            block("moves", "@lift"), ("```moves\n", block("moves lift", "R U") + "```moves\n"), of="pyraminx"
        ),
        Row(block("moves a", "@b") + block("moves b", "@a"), ("@a", "R U")),
        Row(chain(63), ("@s30\n", "R U\n")),
        # Prose.
        Row("`order 105`{.claim}\n", ("`order", "`R U`{.moves} `order")),
        Row("`length 8 OBTM`{.claim}\n", (".claim", ".claim of=lift")),
        Row("`R U`{.moves} `order 105` {.claim}\n", ("` {", "`{")),
        Row("`R U`{.moves} order 105{.claim}\n", ("order 105", "`order 105`")),
        Row("`R U`{.case}\n", ("`R U`{.case}", "| a |\n|---|\n| `R U`{.case} |")),
        Row(
            f"| a |\n|---|\n| `@flip`{{.after}} |\n\n{block('position flip', 'flips UF and UR')}",
            (".after", ".case"),
        ),
        Row("| a |\n|---|\n| `lift`{.case} |\n", ("`lift`", "`@lift`")),
        Row("`lift`{.moves}\n", ("`lift`", "`@lift`")),
        Row("`R U`{.moves} `order 105`{.moves}\n", ("105`{.moves}", "105`{.claim}")),
        Row("| a |\n|---|\n| `R U`{.case of=lift} |\n", ("`R U`{.case of=lift}", "`@lift`{.case}")),
        Row("`R U`{.moves} `;`{.claim}\n", (";", "order 105; keeps DL")),
        Row("[x](more.md){.moves}\n", ("{.moves}", "")),
        Row("[x]()\n", ("()", "(more.md)")),
        Row("````example x\n```moves\nR\n```\n````\n", take=r"write (\S+)"),
        # Methods.
        Row(ordered("UF, UR", "UF placed"), (", UR", ""), keep=1),
        Row(ordered("UF, UR", "UF placed"), ("UF placed", "UF and UR placed")),
        Row(
            ordered("corners", "corners home"),
            ("by one: corners", "by one: UFR, UFL, UBL, UBR, DFR, DFL, DBL, DBR"),
        ),
        Row(ordered("corners", "corners home"), ("corners", "UFR, UFL")),
        Row(
            block("method our-way", "count: 5", "stages: A"),
            LINE,
            take="“(stages:)” and below it “(.+?)”",
            gap="A",
            keep=2,
        ),
        Row(
            method("stage: A", "goal: [UF placed]", "using: any turns up to 4"),
            ("[UF placed]", "\n  - UF placed"),
        ),
        Row(
            method("stage: A", "goal: UF", "using: any turns up to 2", top=("open: yes",)),
            ("UF", "UF placed"),
            keep=1,
        ),
        # Worked examples.
        Row(block("worked example", "title: T"), BELOW, take="“(seed.+?)”"),
        Row(block("worked example", "title: T"), ("title: T", "moves: R")),
        Row(block("worked example", "moves: R", "position: 7"), LINE_AWAY),
        Row(block("worked example", "moves: R", "position: 7"), ("moves: R", "seed: 1")),
        Row(
            method("stage: A", "goal: UF placed", "using: any turns up to 4", "view: top"),
            LINE,
            take="“(view: .+?)”",
        ),
        Row(
            method("stage: A", "goal: DF and DB home", "one by one: DF, DB", "using: any turns up to 5")
            + block("worked example", "method: our-way", "view: top", "moves: R F B L D2"),
            LINE,
            take="“(view: .+?)”",
        ),
        Row(PLACED + block("worked example", "title: T", "seed: 1"), LINE, take="“(method: …)”", gap="way"),
        Row(block("worked example", "seed: 1"), ("```worked", PYRAMID + "```worked"), of="pyraminx"),
        # Searches and exercises.
        Row(block("find", "claims: order 2", "metric: HTM"), take=r"of (\w+)"),
        Row(block("find", "claims: order 2", "slices: yes"), LINE_AWAY, of="cube-2"),
        Row(block("practice", "from: @flip-pair", "count: 1", "fill in: undoing", "view: net"), LINE_AWAY),
        Row(block("derive", "claims: twists UFR clockwise", "wide: yes"), LINE_AWAY, of="cube-2"),
        Row(block("derive", "title: T"), BELOW, take="“(claims:)”.+“(.+?)”"),
        Row(block("find", "title: T"), BELOW, take="“(claims:)”.+“(.+?)”"),
        Row(block("practice", "from: @flip-pair", "count: 2"), ("count: 2", "count: 1")),
        Row(block("practice", "from: @flip-pair", "count: 2"), BELOW, take="(?:write|,|or) “(.+?)”"),
        Row(block("practice", "from: @flip-pair", "count: 2"), ("@flip-pair", "@flip-pair and @lift")),
        Row(block("practice", "from: @lift", "fill in: commutator", "count: 1"), take="as (@.+);"),
        Row(
            block("practice", "from: @lift", "fill in: commutator", "count: 1"),
            (block("practice", "from: @lift", "fill in: commutator", "count: 1"), ""),
        ),
        Row(block("practice", "from: @lift", "fill in: arrows", "count: 1"), take="as (@.+?),"),
        Row(block("practice", "from: @lift", "count: 1", "fill in: arrows"), ("arrows", "undoing")),
        Row(
            block("practice", "from: @flip-pair, @lift", "fill in: arrows, effect", "count: 2"),
            (", @lift", ", @flip-pair'"),
            keep=1,
        ),
        Row(
            block("practice", "from: @lift, @flip-pair", "fill in: arrows, effect", "count: 2"),
            ("arrows, ", ""),
        ),
        Row(block("practice", "from: @lift", "view: top", "count: 1"), BELOW, take="“(view.+?)”", keep=1),
        Row(block("moves", "mvoes: R"), HERE),
        Row(block("moves", "Moves: R"), HERE),
        Row(block("moves", "moves : R"), HERE),
        Row(block("moves", "moves:", "title: T"), LINE, gap="R", take="“(.+?)”"),
        Row(block("moves", "moves: R", "letters: maybe"), HERE),
        Row(block("moves", "moves: R", "marked: yes"), LINE_AWAY),
        Row(block("moves", "moves: R", "tags: red"), LINE_AWAY),
        Row(block("moves", "moves: R", "without: [title, related]"), (", related", "")),
        Row(block("moves", "moves: R", "without: [title, related]"), ("```moves", "```moves mine")),
        Row(block("moves", "moves: R", "moves: U"), LINE_AWAY),
        Row(block("moves", "moves: R", "claims:", "*order 4"), LINE),
        Row(block("moves", "moves: R", "claims:", "- order 4", "-"), LINE_AWAY),
        Row(block("moves", "moves: @liftt")),
        Row(block("move", "moves: R"), HERE),
        Row(block("moves Two Words", "R"), take="hyphens: (.+)"),
        Row("[x](index.md#ther)\n\n# There\n", HERE),
        Row("[x](indx.md)\n"),
        Row("[x](sequence:lit)\n"),
        Row(block("position", "pieces: flips UF"), BELOW, take="write (impossible: yes)"),
        Row(block("position", "pieces: flips UF and UR", "impossible: yes"), LINE_AWAY),
        Row(block("position", "title: T"), BELOW, take="“(.+?)”"),
        Row(block("derivation", "title: T"), BELOW, take="“(steps:)” and below it “(.+?)”", gap="R"),
        Row(block("practice", "fill in: efect", "from: @lift", "count: 1")),
        Row(method("stage: A", "goal: UF placed", "using: up to 2"), VALUE, take="“(any.+?)”"),
        Row(method("stage: A", "goal: UF placed", "using: any turns"), VALUE, take="“(any turns up.+?)”"),
        Row(method("stage: A", "goal: UF placed", "using: any turns up to 2", "lead-in: 1 turn"), LINE_AWAY),
        Row(
            method("stage: A", "goal: UF placed", "using: @lift", "hold: R", top=("open: yes",)),
            take="hold: (\\w)[,;]?",
        ),
        Row(method("stage: A", "goal: UF placed", "using: any turns up to 2", top=("open: yes",)), LINE_AWAY),
        Row(method("stage: A", "goal: UF placed", "using: @lift"), BELOW, take="write (.+?), and"),
        Row(method("stage: A", "goal: UF placed", "using: any turns up to 1"), LINE, take="write (.+?), and"),
        Row(
            method("stage: A", "goal: UF placed", "using: @lift", "lead-in: some"),
            VALUE,
            take="“(2.+?)”",
        ),
        Row(method("stage: A", "goal: UF", "using: any turns up to 2", top=("open: yes",)), VALUE),
        Row(
            method(
                "stage: A",
                "goal: UF oriented by U",
                "one by one: UF",
                "using: any turns up to 2",
                top=("open: yes",),
            ),
            LINE_AWAY,
        ),
        Row(method("stage: A", "goal: UF placed", "using: any turns up to 2", "view:"), LINE_AWAY),
        Row(
            method("stage: A", "goal: UF placed", "using: any turns of Q up to 2", top=("open: yes",)),
            take="some of (\\w)",
        ),
        Row(
            block(
                "method",
                "count: 5",
                "stages:",
                "- stage: A",
                "  goal: UF placed",
                "  using: any turns up to 2",
            ),
        ),
        Row(
            block("method our-way", "title: T"),
            BELOW,
            take="“(stages:)” and below it “(.+?)”",
            gap="A",
            keep=2,
        ),
        Row(block("moves", "R U", "title: T"), LINE, gap="R U"),
        Row(block("position", "pieces: flips UF", "impossible: yes", "solve: R"), LINE_AWAY),
        Row(
            block("derivation", "claims: order 4", "steps:", "- turn: R"),
            BELOW,
            gap="mine",
            take="“(names.+?)”",
        ),
        Row(block("derivation", "steps:", "- say: x"), BELOW, gap="R", take="“(turn: …)”"),
    ],
    "guide.yaml": [
        Row("title: T\nmetrics: OBTM\n", ("metrics", "blocks:\n  metrics")),
        Row("title: T\ncolumns: 2\n", ("columns: 2\n", "")),
        Row('title: T\npages: [index, ""]\n', (', ""', "")),
        Row("title: A\nand B\nhtml: no\n", ("and B", "  and B")),
        Row("title: T\nhtml\npaper: A4\n", ("html", "html: no")),
        Row("just text\n", ("just text", "title: T")),
        Row("- title: T\n", ("- ", "")),
        Row("title: T\npuzzle: cube\n"),
        Row("title: T\ncolours: {Br: red}\n", ("colours: {Br: red}\n", "")),
        Row("title: &a T\n", ("&a ", "")),
        Row("title: 'Anna's guide'\n", ("'Anna's guide'", '"Anna\'s guide"')),
        Row("title: &a\n", ("&a", '"&a"')),
        Row("title: *a\n", ("*a", '"*a"')),
        Row('title: "a\\qb"\n', ("\\", "\\\\")),
        Row('title: "a\\qb"\n', ('"', "'")),
        Row("title: a\x07b\n", AWAY),
        Row("title: a\ufffeb\n", AWAY),
        Row('title: "a\\x07b"\n', ("\\x07", "")),
        Row("title: " + "[" * 2000 + "]" * 2000 + "\n", ("[" * 2000 + "]" * 2000, "T")),
        Row("title: T\npages:\n- index\n- more\nlanguage: a\n  - b\n", ("language: a\n  - b", "")),
        Row("title: T\n...\nhtml: no\n", ("...\n", "")),
        Row("titel: T\n", keep=0),
        Row("title: T\nhtml: perhaps\n", take="(yes) or no"),
        Row("title: T\npaper: A5\n", take="one of (\\w+)"),
        Row("title: T\npuzzle: cube-33\n"),
        Row("title: T\nlanguage: Anglo_Saxon\n", take="write (\\w+),"),
        Row("title: T\naddress: example.org\n", take="as in (.+)"),
        Row("title: T\naddress: https://example.org/a.html\n"),
        Row("title: T\ncolours: {whit: '#ffffff'}\n"),
        Row("title: T\ncolours: {U: whit}\n"),
        Row("title: T\npages: [moer]\n"),
        Row("title: T\npages: [index, nowhere]\n", AWAY),
        Row("title: T\ntitle: S\n", LINE_AWAY),
        Row("title: T\ntheme: [a]\n", LINE, gap="folio"),
        Row("title: T\n---\nlanguage: en\n", LINE_AWAY),
        Row("title: T\nmirrored: yes\n", LINE_AWAY),
        Row("title: T\nlogo: a.png\n", LINE_AWAY),
        Row("title: T\nlicence: {A: more.md, B: more.md}\n", LINE, take="write (licence: .+)", gap="more"),
        Row("title: T\nlicence: more.md\n", LINE, take="write (licence: .+), with"),
        Row("title: T\npuzzle: 4x4\n"),
        Row("title: T\npuzzle: pebble\n", take="one of ([^,]+)"),
        Row("title: T\nblocks: net\n", LINE, take="example (blocks: .+)"),
        Row("title: T\ncolours: {U: yellow, D: white}\n", take=r"colours (\{.+?\})"),
        Row("title: T\npages: {a: b}\n", LINE, take="write (pages: .+)", keep=2),
        Row("title: !x T\n", take="(text) alone"),
    ],
    "head.md": [
        Row("---\nkind: exercises\n---\nText.\n", ("exercises", "handout")),
        Row("---\nkind: exercises\n---\nText.\n", ("Text.\n", ONE_EXERCISE)),
        Row("---\nkind: handout\nanswers: published\n---\nText.\n", LINE_AWAY),
        Row("---\nkind: handout\nanswers: published\n---\nText.\n", ("Text.\n", ONE_EXERCISE)),
        Row("---\nkind: handout\n---\n", ("handout\n---\n", "handout\n---\nText.\n")),
        Row("---\nkind: handout\n---\n", ("handout\n", "handout\ncards: lift\n")),
        Row("---\nkind: handout\ncards: lift.flip-pair\n---\nText.\n", ("lift.flip", "lift, flip")),
        Row("---\nsumary: S\n---\n"),
        Row("---\ncolumns: 2\n---\n", LINE_AWAY),
        Row("---\nkind: page\nfold lines: yes\n---\n", LINE_AWAY),
        Row("---\nkind: handuot\n---\nText.\n"),
        Row("---\nkind: handout\ntext size: 99\n---\nText.\n", LINE),
        Row("---\nkind: handout\ntext size: 3,5 pt\n---\nText.\n", LINE),
        Row(
            "---\nkind: handout\npaper: A4 landscape\n---\nText.\n",
            ("A4 landscape", "A4\norientation: landscape"),
        ),
        Row("---\nTitle: A\n---\nText.\n"),
        Row("Text.\n\n```text\nR U\n``` and more\n", HERE, take="write (```),"),
        Row("Text.\n\n````text\nR U\n```\n", HERE, take="write (````),"),
        Row("---\nkind: handout\ncards: lft\n---\n"),
    ],
    "puzzles/mine.yaml": [
        Row(SOUND.replace("faces", "face")),
        Row(SOUND.replace("faces", "{A: U F R, B: D Q}").replace("90", "120"), ("D Q", "D B L")),
        Row(SOUND.replace("faces", "all").replace("90", "120"), VALUE, take="as in ({A.+})"),
        Row(SOUND.replace("faces", "{A: U, B: U, C: D}"), ("B: U, ", "")),
        Row(SOUND.replace("[1/3, -1/3]", "[1/3, 2/6]"), (", 2/6", "")),
        Row(
            SOUND.replace("[1/3, -1/3]", "equal layers").replace("faces", "vertices") + "sizes: 2\n",
            ("vertices", "faces"),
        ),
        Row(
            SOUND.replace("[1/3, -1/3]", "equal layers").replace("faces", "edges").replace("90", "180")
            + "sizes: 2\n",
            ("equal layers\nangle: 180\nsizes: 2", "0\nangle: 180"),
        ),
        Row(SOUND + "names: U\n", VALUE, take="as in ({.+})"),
        Row(OCTAHEDRON, ("A: A B C", "A: A B C D")),
        Row(OCTAHEDRON, ("A: A B C, ", "")),
        Row(SOUND.replace("cube", "kube")),
        Row(SOUND.replace("depths", "depth") + "depths: 0\n", LINE_AWAY, keep=0),
        Row(SOUND.replace("90", "100"), take="(90|180)"),
        Row(SOUND.replace("[1/3, -1/3]", "[1/3, deep]"), take=r"([0-9.-]\S*[0-9]|sqrt\S+)", keep=0),
        Row(SOUND.replace("[1/3, -1/3]", "[]"), LINE, gap="[1/3, -1/3]"),
        Row(SOUND.replace("[1/3, -1/3]", "equal layers"), take="as in (.+?);"),
        Row(SOUND + "sizes: [1, 3]\n", take="as in .(2)", keep=1),
        Row(
            SOUND.replace("[1/3, -1/3]", "equal layers") + "title: Pebble\nsizes: [2, 3]\n",
            take="as in “(.+)”",
        ),
        Row(SOUND + "sizes: [2, 3]\n", LINE, take="write (depths: .+?),", keep=0),
        Row(SOUND + "turns: {u: U}\n", take="write ({.+?}),", keep=0),
        Row(SOUND + "turns: u\n", take="as in ({.+})"),
        Row(SOUND + "turns: {u: {axis: U, layers: 9}}\n", take="(1-2|1)"),
        Row(SOUND + "turns: {u: {axis: U, layers: 1, times: x}}\n", take="(-?2)"),
        Row(SOUND + "colours: {U: whit}\n"),
        Row(SOUND + "colours: blue\n", take="as in ({.+})"),
        Row(SOUND + "colours: {U: red, D: red}\n", LINE_AWAY),
        Row(SOUND + "notation: cub\n"),
        Row(SOUND + "notation: cube\nturns: {u: {axis: U, layers: 1}}\n", LINE_AWAY),
    ],
}


LEFT = {
    # Says what the command does.
    "cli.py: Check everything in the guide in FOLDER; write nothing.",
    # Of too many turns for a row.
    "parse.py: write as (R U)3 what is done several times",
    # A pipe is no text that could be changed.
    "files.py: take it away, or give it a name that begins with a dot",
    # No notation that there is writes something that it does not read again.
    "practice_block.py: {} has no way to write {} that can be read again",
}
"""What only words of the author's would do, or what nothing brings about; each with its reason."""


def rows() -> list[tuple[str, Row]]:
    return [(kind, row) for kind, found in TABLE.items() for row in found]


@pytest.mark.parametrize(("kind", "row"), rows(), ids=lambda each: str(each))
def test_doing_what_a_hint_says_helps(kind: str, row: Row) -> None:
    (problem,) = problems(kind, row.of, row.text)
    assert problem.hint
    for text in carried_out(row.text, problem, row):
        left = problems(kind, row.of, text)
        told = f"{problem}\n\ncarried out:\n{text}\n\n{list(map(str, left))}"
        assert len(left) == row.keep, told
        assert (problem.message, problem.hint) not in [(each.message, each.hint) for each in left], told


# Files and commands ---------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Told:
    """What a command says, and what a person then does: other files (None: a file less), or arguments."""

    hint: str
    files: dict[str, str | None]
    args: tuple[str, ...] = ("check", ".")
    then: tuple[str, ...] = ()

    def __str__(self) -> str:
        return self.hint


GUIDE = {"content/guide.yaml": "title: T\n", "content/index.md": "Home.\n"}
DEEP = {**GUIDE, "content/a/d.md": "D.\n", "content/p.svg": "<svg xmlns='http://www.w3.org/2000/svg'/>"}
OWN = {**GUIDE, "content/guide.yaml": "title: T\ntheme: own\n"}
BASED = {"themes/own/theme.yaml": "based on: folio\n"}
PAGE, NOTE = "themes/own/templates/pages/page.html", "themes/own/templates/note.html"
EXTENDS, UNDER = '{% extends "folio/pages/page.html" %}', "{% block under_title %}Aloud.{% endblock %}"
DATED = {"content/index.md": "---\ndate: 2026-05-31\n---\nText.\n"}
ADDRESSED = "title: T\naddress: https://guide.example\n"
CLICKED = UNDER.replace("Aloud.", '<p onclick="go()">Aloud.</p>')
PLACES = "".join(f"{{% block {name} %}}{{% endblock %}}" for name in ("title", "paper", "kind", "body"))
BEGUN = f"write {EXTENDS} above it, or begin a page of your own with <!doctype html>"
EXERCISES = f"---\nkind: exercises\n---\n{ONE_EXERCISE}{SEQUENCES}"
RENAMED = "write name: own, or call the folder otherwise"
SHADE = 'write it by number, as "#b3202c", by name, or by rgb() or hsl()'
NOT_SHOWN = "write “html: yes” in guide.yaml to let it through, or \\< for a < that is to be seen"
NOT_LINKED = "write [text][label] where the link is to be, or take it away; of two, links take the first"
NO_COLUMN = "give the head a cell for each, or write \\| for a | within a cell"
NOT_MARKED = "write {.moves} right behind, or {.plain} if it is only to be shown"
NO_SHEET = "write a page with “kind: handout” or “kind: exercises” at its head"
NO_FILE = "write the way to it from this file's folder, or put a file content/notes/a.txt there"
EMPTY = "write something there, or “draft: yes” at its head until then"
LATER = "---\ndraft: yes\n---\nLater.\n"
TO_DRAFT = "take the link away until then, or “draft” at the head of later.md"

TOLD: list[tuple[dict[str, str], Told]] = [
    (
        {"content/guide.yaml": "title: T\n"},
        Told("write content/index.md", {"content/index.md": "Home.\n"}),
    ),
    (
        {**GUIDE, "content/guide.yaml": "title: T\npages: [notes]\n"},
        Told("write content/notes.md, or take the name away", {"content/notes.md": "Notes.\n"}),
    ),
    (
        {**GUIDE, "content/guide.yaml": "title: T\npages:\n- Half:\n"},
        Told("write “- Half: [one, two]”", {"content/guide.yaml": "title: T\npages:\n- Half: [index]\n"}),
    ),
    (
        {**GUIDE, "content/notes/b.md": "[x](a.txt)\n", "content/picture.svg": "<svg/>"},
        Told(NO_FILE, {"content/notes/b.md": "[x](../picture.svg)\n"}),
    ),
    (
        {**DEEP, "content/index.md": "![A](p.svg){width=50%}\n"},
        Told(
            "take it away; a picture has a half or a third of the width of the text by {.half} or {.third}",
            {"content/index.md": "![A](p.svg){.half}\n"},
        ),
    ),
    (
        {**GUIDE, "content/index.md": "It has order 105 ✓\n"},
        Told(
            "mark a claim as code with {.claim}, which has a tick if it holds; or write a word",
            {"content/index.md": "`R U`{.moves} has `order 105`{.claim}\n"},
        ),
    ),
    *(
        (
            {**DEEP, "content/index.md": f"![A](p.svg){wrong}\n"},
            Told(hint, {"content/index.md": "![A](p.svg){.half}\n"}),
        )
        for wrong, hint in [
            ("{.halff}", "is it {.half}?"),
            ("{half}", "is it {.half}?"),
            (" {.half}", "write {.half} right behind a picture, with no blank between them"),
            ("{.half .third}", "take one of these away"),
        ]
    ),
    *(
        (
            {**DEEP, "content/guide.yaml": f"title: T\npages: [{wrong}]\n"},
            Told("is it a/d?", {"content/guide.yaml": "title: T\npages: [a/d]\n"}),
        )
        for wrong in ("d", "a/d.html", "b/d.md")
    ),
    *(
        (
            {**DEEP, "content/a/b/c.md": f"{mark}[x]({wrong})\n"},
            Told(hint, {"content/a/b/c.md": f"{mark}[x]({hint.split()[-1].rstrip('?')})\n"}),
        )
        for mark, wrong, hint in [
            ("", "../dd.md", "is it ../d.md?"),
            ("", "../../d.md", "is it ../d.md?"),
            ("", "d.md", "is it ../d.md?"),
            ("", "../../../../d.md", "is it ../d.md?"),
            ("", "d.html", "a page is linked to as ../d.md"),
            ("", "/index.md", "is it ../../index.md?"),
            ("", "content/a/d.md", "is it ../d.md?"),
            ("", "../d.html", "a page is linked to as ../d.md"),
            ("!", "../../pp.svg", "is it ../../p.svg?"),
        ]
    ),
    (
        {**GUIDE, "content/notes/b.md": "[x](a.txt)\n"},
        Told(NO_FILE, {"content/notes/a.txt": "A"}),
    ),
    (
        {**GUIDE, "content/index.md": "[x](later.md)\n", "content/later.md": LATER},
        Told(TO_DRAFT, {"content/index.md": "Home.\n"}),
    ),
    (
        {**GUIDE, "content/index.md": "[x](later.md)\n", "content/later.md": LATER},
        Told(TO_DRAFT, {"content/later.md": "Later.\n"}),
    ),
    (
        {**GUIDE, "content/index.md": block("moves", "@lift U"), "content/later.md": f"{LATER}{SEQUENCES}"},
        Told(
            "it stands on later.md, which is a draft: take “draft” away there",
            {"content/later.md": f"Later.{SEQUENCES}"},
        ),
    ),
    (
        {**GUIDE, "content/later.md": "# Later\n"},
        Told(EMPTY, {"content/later.md": "# Later\n\nNow.\n"}),
    ),
    (
        {**GUIDE, "content/later.md": ""},
        Told(EMPTY, {"content/later.md": "---\ndraft: yes\n---\n"}),
    ),
    (
        {"content/guide.yaml": "title: T\nhtml: yes\n", "content/index.md": "<div>\n\nText.\n"},
        Told("write where it ends, in the same text", {"content/index.md": "<div>\n\nText.\n\n</div>\n"}),
    ),
    (
        {"content/guide.yaml": "title: T\nhtml: yes\n", "content/index.md": "Text.\n\n</div>\n"},
        Told("take it away, or write what begins there", {"content/index.md": "Text.\n"}),
    ),
    (
        {**GUIDE, "content/index.md": f"Do @lift.{SEQUENCES}"},
        Told(
            "write `@lift`{.moves} or <sequence:lift>",
            {"content/index.md": f"Do `@lift`{{.moves}}.{SEQUENCES}"},
        ),
    ),
    (
        {**GUIDE, "content/index.md": "One.\n\n\\newpage\n\nTwo.\n"},
        Told(
            "write “sheet for each heading: yes” at the head of a page for paper",
            {"content/index.md": "---\nkind: handout\nsheet for each heading: yes\n---\nOne.\n\n## Two\n"},
        ),
    ),
    (
        {**GUIDE, "content/index.md": "Say <b>so</b>.\n"},
        Told(NOT_SHOWN, {"content/guide.yaml": "title: T\nhtml: yes\n"}),
    ),
    (
        {**OWN, **BASED, "themes/own/files/own.css": "html { --ink: #111 }\n"},
        Told(
            "write :root { --ink: #… }, alone or within @media screen or print",
            {"themes/own/files/own.css": "@media print { :root { --ink: #111 } }\n"},
        ),
    ),
    (
        {**GUIDE, "content/index.md": "[x](class/)\n", "content/class/index.md": "Class.\n"},
        Told("is it class/index.md?", {"content/index.md": "[x](class/index.md)\n"}),
    ),
    (
        {**GUIDE, "content/index.md": block("moves", "moves: D2", "view: top")},
        Told(
            "write “view: corner with back”, or none to have it chosen",
            {"content/index.md": block("moves", "moves: D2", "view: corner with back")},
        ),
    ),
    (
        {**GUIDE, "content/index.md": "Say <b>so</b>.\n"},
        Told(NOT_SHOWN, {"content/index.md": "Say \\<b>so\\</b>.\n"}),
    ),
    (
        {**GUIDE, "content/index.md": "Home.\n\n[on]: more.md\n", "content/more.md": "More.\n"},
        Told(NOT_LINKED, {"content/index.md": "Home, and [more][on].\n\n[on]: more.md\n"}),
    ),
    (
        {**GUIDE, "content/index.md": "Home.\n\n[on]: more.md\n", "content/more.md": "More.\n"},
        Told(NOT_LINKED, {"content/index.md": "Home.\n"}),
    ),
    (
        {**GUIDE, "content/more.md": "# See [](index.md)\n"},
        Told(
            "write a text between the square brackets, as in [this](index.md)",
            {"content/more.md": "# See [this](index.md)\n"},
        ),
    ),
    (
        {**GUIDE, "content/index.md": "| a |\n|---|\n| b | c |\n"},
        Told(NO_COLUMN, {"content/index.md": "| a | and |\n|---|---|\n| b | c |\n"}),
    ),
    (
        {**GUIDE, "content/index.md": "| a |\n|---|\n| b | c |\n"},
        Told(NO_COLUMN, {"content/index.md": "| a |\n|---|\n| b \\| c |\n"}),
    ),
    (
        {**GUIDE, "content/index.md": "Turn `R U R'`.\n"},
        Told(NOT_MARKED, {"content/index.md": "Turn `R U R'`{.moves}.\n"}),
    ),
    (
        {**GUIDE, "content/index.md": "Turn `R U R'`.\n"},
        Told(NOT_MARKED, {"content/index.md": "Turn `R U R'`{.plain}.\n"}),
    ),
    (
        {**OWN, "themes/own/files/own.css": ""},
        Told(
            "write one with a line “based on: folio”",
            {"themes/own/theme.yaml": "based on: folio\n"},
            ("publish", "."),
        ),
    ),
    (
        {**OWN, "themes/own/theme.yaml": "name: other\nbased on: folio\n"},
        Told(RENAMED, {"themes/own/theme.yaml": "name: own\nbased on: folio\n"}),
    ),
    (
        {**OWN, "themes/own/theme.yaml": "name: other\nbased on: folio\n"},
        Told(
            RENAMED,
            {
                "themes/own/theme.yaml": None,
                "themes/other/theme.yaml": "name: other\nbased on: folio\n",
                "content/guide.yaml": "title: T\ntheme: other\n",
            },
        ),
    ),
    (
        {**OWN, "themes/own/theme.yaml": "based on: own\n"},
        Told("write “based on: folio”", {"themes/own/theme.yaml": "based on: folio\n"}),
    ),
    (
        {**OWN, **BASED, PAGE: '{% extends "pages/page.html" %}'},
        Told(
            "for the one of folio write “folio/pages/page.html”",
            {PAGE: '{% extends "folio/pages/page.html" %}'},
        ),
    ),
    (
        {
            **OWN,
            **BASED,
            PAGE: f'<html>{UNDER}{PLACES}{{% include "note.html" %}}',
            NOTE: '{% include "note.html" %}',
        },
        Told("take away what leads back to it", {NOTE: "Note."}),
    ),
    *(
        ({**OWN, **BASED, PAGE: wrong}, Told(hint, {PAGE: right}))
        for wrong, hint, right in (
            (UNDER, BEGUN, f"{EXTENDS}{UNDER}"),
            (
                EXTENDS + UNDER.replace("Aloud.", '<a href="index.html">Home</a>'),
                "write {{ url('index.html') }} for what stands at index.html on the site",
                EXTENDS + UNDER.replace("Aloud.", """<a href="{{ url('index.html') }}">Home</a>"""),
            ),
            (UNDER, BEGUN, f"<!doctype html>{UNDER}{PLACES}"),
            (
                f"{EXTENDS}{{% block main %}}{{% block body %}}{{% endblock %}}{{% endblock %}}",
                "write where each is to stand {% block under_title %}{% endblock %}",
                f"{EXTENDS}{{% block main %}}{UNDER}{{% block body %}}{{% endblock %}}{{% endblock %}}",
            ),
            (
                f"{EXTENDS}{{% block main %}}{{% block body %}}{{% endblock %}}{{% endblock %}}{UNDER}",
                "write {% block under_title %}{% endblock %} in that, where it is to stand",
                f"{EXTENDS}{{% block main %}}{UNDER}{{% block body %}}{{% endblock %}}{{% endblock %}}",
            ),
            (f"{EXTENDS}Aloud.", "write it between {% block … %} and {% endblock %}", f"{EXTENDS}{UNDER}"),
            (
                "{% extends page.title %}",
                "write its name in quotation marks, and under no condition",
                EXTENDS,
            ),
        )
    ),
    (
        {**OWN, **BASED, PAGE: f'{EXTENDS}{{% import "of-the-page" as it %}}'},
        Told("put it into templates/, or name another", {"themes/own/templates/of-the-page": "A"}),
    ),
    (
        {**OWN, "themes/Own/theme.yaml": "based on: folio\n"},
        Told(
            "the folder is themes/Own: write Own, or call the folder own",
            {"content/guide.yaml": "title: T\ntheme: Own\n"},
        ),
    ),
    (
        OWN,
        Told("make a folder themes/own beside content/", {"themes/own/theme.yaml": "based on: folio\n"}),
    ),
    (
        {**OWN, **BASED, PAGE: EXTENDS + UNDER.replace("Aloud.", "<script>go()</script>")},
        Told(
            "put it into a file in files/, or write a block policy of your own",
            {PAGE: EXTENDS + UNDER, "themes/own/files/own.js": "go()"},
        ),
    ),
    (
        {**OWN, **BASED, PAGE: EXTENDS + CLICKED},
        Told(
            "let a script in files/ listen for it, or write a block policy of your own",
            {PAGE: EXTENDS + CLICKED + "{% block policy %}{% endblock %}"},
        ),
    ),
    (
        {**OWN, **BASED, PAGE: EXTENDS + UNDER.replace("Aloud.", '<p style="color: red">Aloud.</p>')},
        Told(
            "give the element a class, and write a rule for that in the theme's sheet",
            {
                PAGE: EXTENDS + UNDER.replace("Aloud.", '<p class="loud">Aloud.</p>'),
                "themes/own/files/own.css": ".loud { color: red }",
            },
        ),
    ),
    (
        {**GUIDE, "content/a.md": "---\ndate: soon\n---\nText.\n"},
        Told(
            "write year, month and day: date: 2026-05-31",
            {"content/a.md": "---\ndate: 2026-05-31\n---\nText.\n"},
        ),
    ),
    (
        {**GUIDE, "content/index.md": "Do ` `{.moves} now.\n"},
        Told("write moves between the backticks", {"content/index.md": "Do `R`{.moves} now.\n"}),
    ),
    (
        {**GUIDE, "content/index.md": "```moves\nmoves: R\nsay: So[^1].\n```\n\nText.\n"},
        Told(
            "put it into the text about the block, or write \\[ for a [ to be seen",
            {"content/index.md": "```moves\nmoves: R\nsay: So.\n```\n\nText.[^1]\n\n[^1]: Words.\n"},
        ),
    ),
    (
        {
            **GUIDE,
            "content/index.md": "See [](#sequence-turn).\n",
            "content/a.md": "```moves turn\nR\n```\n",
        },
        Told(
            "that stands on a.md: is it a.md#sequence-turn?",
            {"content/index.md": "See [](a.md#sequence-turn).\n"},
        ),
    ),
    (
        {
            **GUIDE,
            "content/index.md": "```moves turn\nR\n```\n",
            "content/one/a.md": "See [](#sequence-turn).\n",
        },
        Told(
            "that stands on index.md: is it ../index.md#sequence-turn?",
            {"content/one/a.md": "See [](../index.md#sequence-turn).\n"},
        ),
    ),
    (
        {
            **GUIDE,
            "content/index.md": "---\ntags: Edges\n---\nText.\n",
            "content/a.md": "---\ntags: edges\n---\nText.\n",
        },
        Told(
            "write both one way: the other stands in content/index.md:2",
            {"content/a.md": "---\ntags: Edges\n---\nText.\n"},
        ),
    ),
    (
        {**DATED, "content/guide.yaml": ADDRESSED},
        Told(
            "write “author: …” in guide.yaml to have one",
            {"content/guide.yaml": f"{ADDRESSED}author: Ada\n"},
        ),
    ),
    (
        {**OWN, **BASED, "themes/own/files/figures.css": "p {}"},
        Told(
            "write your own rules into own.css",
            {"themes/own/files/figures.css": None, "themes/own/files/own.css": "p {}"},
        ),
    ),
    (
        {**OWN, **BASED, "themes/own/files/turning.js": "//"},
        Told(
            "write your own script into own.js",
            {"themes/own/files/turning.js": None, "themes/own/files/own.js": "//"},
        ),
    ),
    (
        {**OWN, "themes/own/theme.yaml": "based on: folio\ncolours: {red: rot}\n"},
        Told(
            'write them as in {red: "#b3202c"}; names are ',
            {"themes/own/theme.yaml": 'based on: folio\ncolours: {red: "#b3202c"}\n'},
        ),
    ),
    (
        {
            **OWN,
            "themes/own/theme.yaml": "based on: folio\n",
            "themes/own/files/own.css": ":root { --red: lab(50 60 30) }",
        },
        Told(SHADE, {"themes/own/files/own.css": ":root { --red: rgb(179 32 44) }"}),
    ),
    *(
        (
            {**OWN, "themes/own/theme.yaml": "based on: folio\n", "themes/own/files/own.css": wrong},
            Told(hint, {"themes/own/files/own.css": right}),
        )
        for wrong, hint, right in (
            ("html { --red: #b3202c }", "write :root { --red: … }", ":root { --red: #b3202c }"),
            (
                "@media (prefers-color-scheme: dark) { :root { --red: #b3202c } }",
                "write it within @media print, screen, or screen and (prefers-color-scheme: dark)",
                "@media screen and (prefers-color-scheme: dark) { :root { --red: #b3202c } }",
            ),
            (
                ".puzzle .red { fill: #b3202c }",
                "write :root { --red: … } instead; another drawing needs a class of its own",
                ":root { --red: #b3202c }",
            ),
            (
                ".icon path { fill: #b3202c }",
                "give its shades on :root; another drawing needs a class of its own",
                ".icon .leaf { fill: #b3202c }",
            ),
            (":root { --chart-bars: #b3202c }", "is it chart-bar?", ":root { --chart-bar: #b3202c }"),
            ("p { margin: 0", "write } where it ends, or where a rule within it does", "p { margin: 0 }"),
            ("p { margin: 0 } }", "take it away, or write what it is to close", "p { margin: 0 }"),
            ("p { margin: 0 }; q { top: 0 }", "take it away", "p { margin: 0 } q { top: 0 }"),
            ("// a\np { top: 0 }", "write a comment as /* … */", "/* a */\np { top: 0 }"),
            ("p { top: 0\n left: 0 }", "write ; at the end of each declaration", "p { top: 0;\n left: 0 }"),
            ("p { top: 0 !importnt }", "is it !important?", "p { top: 0 !important }"),
            ("p { content: 'a\n}", "write a quotation mark at its end", "p { content: 'a'\n}"),
            ("p { mask: url(#a b) }", "write it in quotation marks", 'p { mask: url("#a b") }'),
            ('p { top: 0 } @import "/a.css";', "write it above all rules", '@import "/a.css"; p { top: 0 }'),
            ("p { mask: url('//[a') }", "write the way to a file", "p { mask: url('figures.css') }"),
            (
                "p { mask: url(zzz) }",
                "put it there, or write the way to it from files/own.css",
                "p { mask: url(figures.css) }",
            ),
            (
                "p { --zzz: 0 }",
                "write var(--zzz) where it is meant, or take it away",
                "p { --zzz: 0; top: var(--zzz) }",
            ),
            ("p { top: var(--zzz) }", "give it, as in :root { --zzz: … }", "p { --zzz: 0; top: var(--zzz) }"),
        )
    ),
    (
        {
            "content/guide.yaml": "title: T\nhtml: yes\n",
            "content/index.md": "<b style='--red: #000'>Home</b>\n",
        },
        Told(
            "write :root { --red: … } in the theme's own sheet",
            {
                "content/guide.yaml": "title: T\nhtml: yes\ntheme: own\n",
                "content/index.md": "<b>Home</b>\n",
                "themes/own/theme.yaml": "based on: folio\n",
                "themes/own/files/own.css": ":root { --red: #b3202c }",
            },
        ),
    ),
    *(
        ({**GUIDE, "content/index.md": f"{text}\n"}, Told(hint, {"content/index.md": f"{then}\n"}))
        for text, hint, then in (
            ("**Note", "write the same signs behind it, or \\ before each", "**Note**"),
            ("- [ ] x", "write a box such as ☐ or ☑, or \\[ for a bracket that is to be seen", "- ☐ x"),
            ("A.\n\n[^b]: B", "write [^b] where it belongs, or take it away", "A[^b].\n\n[^b]: B"),
            (
                "A[^b].\n\n[^b]: B\n\n[^b]: C",
                "write another word in [^b], or take it away; one may be referred to more than once",
                "A[^b], and[^c].\n\n[^b]: B\n\n[^c]: C",
            ),
            ("A[^b].\n\n[^b]:", "write what it says behind [^b]:", "A[^b].\n\n[^b]: B"),
            ("A[^b c].\n\n[^b c]: index.md", "write one word in [^…]", "A[^b].\n\n[^b]: index.md"),
            (
                "A[^b]",
                "write [^b], and on its page a line “[^b]: …” that says it, or \\[ for a [ to be seen",
                "A[^b]\n\n[^b]: B",
            ),
            (
                "[A[^b]](#x)\n\n[^b]: B\n\n# x\n",
                "write [text](#x), and behind it what leads elsewhere, or \\[ for a [ to be seen",
                "[A](#x)[^b]\n\n[^b]: B\n\n# x\n",
            ),
            (
                "![A[^b]](data:image/gif;base64,)\n\n[^b]: B",
                "write [^…] behind the picture",
                "![A](data:image/gif;base64,)[^b]\n\n[^b]: B",
            ),
            ("# A[^b]\n\n[^b]: B", "take it away, and write it in the text below", "# A\n\nB[^b]\n\n[^b]: B"),
            ("A\n~ B", "write :, or \\~ for a ~ that is to be seen", "A\n: B"),
            ("A\n:B", "write “: ” below the term, or \\: for the colon", "A\n: B"),
            ("A\nB\n: C", "write it behind the words, or \\: for the colon", "A\nB: C"),
            ("!!! Note", "say it in words, as in **Note:**, or write \\!!!", "**Note:**"),
            ("$$x$$", "write it in words and signs, or \\$ for each $ that is to be seen", r"\$$x\$$"),
            (
                "See https://example.org.",
                "write <…> round it, [words](…) with it in round brackets, or `…` if it is only to be seen",
                "See <https://example.org>.",
            ),
            (
                "| a |\n|---|\n| `R U F D`{.before} |",
                "write {.case} or {.after}: arrows show no more than 8 pieces",
                "| a |\n|---|\n| `R U F D`{.case} |",
            ),
        )
    ),
    (
        GUIDE,
        Told(NO_SHEET, {"content/sheet.md": "---\nkind: handout\n---\nText.\n"}, ("handout", ".")),
    ),
    (
        {**GUIDE, "content/sheet.md": "---\nkind: handout\n---\nText.\n"},
        Told(
            "variants are of exercises; write a block “practice” on a page made for paper",
            {"content/sheet.md": EXERCISES},
            ("handout", ".", "--variants", "1"),
        ),
    ),
    (
        GUIDE,
        Told(
            "the guide has no method; write one in a block “method”",
            {"content/way.md": PLACED.replace("open: yes\n", "")},
            ("trial", "."),
        ),
    ),
    (
        {},
        Told(
            "write for example flips UF; keeps U except UF",
            {},
            ("find", ";"),
            ("find", "flips UF; keeps U except UF", "--longest", "3"),
        ),
    ),
    (
        {},
        Told(
            "say what is to become of a piece, as in flips UF",
            {},
            ("derive", "order 2", "--slices"),
            ("derive", "flips UF", "--slices"),
        ),
    ),
    (
        {},
        Told(
            "say by --guard what is to be kept, as in --guard U",
            {},
            ("derive", "swaps UF with DB", "--steps", "1"),
            ("derive", "swaps DF with DB", "--steps", "1", "--guard", "U"),
        ),
    ),
    (
        {},
        Told(
            "take it out, as in U except UF",
            {},
            ("derive", "flips UF", "--slices", "--guard", "U"),
            ("derive", "flips UF", "--slices", "--guard", "U except UF"),
        ),
    ),
    (
        {},
        Told(
            "allow other turns as well",
            {},
            ("derive", "cycles DF > DR > DB > DL", "--guard", "U", "--faces", "U,D"),
            ("derive", "cycles DF > DR > DB > DL", "--guard", "U", "--faces", "U,D,R"),
        ),
    ),
    (
        {},
        Told(
            "“much” is no amount of memory; write it as 500 MB or 2 GB",
            {},
            ("find", "order 2", "--memory", "much", "--longest", "1"),
            ("find", "order 2", "--memory", "500 MB", "--longest", "1"),
        ),
    ),
    (
        {},
        Told(
            "is it pyraminx? There",
            {},
            ("effect", "R", "--puzzle", "piraminx"),
            ("effect", "R", "--puzzle", "pyraminx"),
        ),
    ),
]


@pytest.mark.parametrize(
    ("files", "told"), TOLD, ids=lambda each: str(each) if isinstance(each, Told) else ""
)
def test_doing_what_a_command_says_helps(
    files: dict[str, str], told: Told, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    _write(files)
    assert told.hint in CliRunner().invoke(main, told.args).output
    _write(told.files)
    after = CliRunner().invoke(main, told.then or told.args)
    assert told.hint not in after.output, after.output
    assert after.exit_code == 0, after.output


def _write(files: Mapping[str, str | None]) -> None:
    for name, content in files.items():
        path = Path(name)
        if content is None:
            path.unlink()
        else:
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(content, encoding="utf-8")


# What no row does -----------------------------------------------------------------------------------------

FORM = re.compile(r"\b(?:write|is it|take) ")
"""How a hint begins that says what to write, or what to leave out."""


def _hints() -> dict[str, re.Pattern]:
    """Every text in the package that says so, by where it stands, as a pattern for the hints made of it."""
    found = {}
    for path in sorted(Path(sitegen.__file__).parent.rglob("*.py")):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        whole = [node for node in ast.walk(tree) if isinstance(node, ast.JoinedStr)]
        inside = {id(part) for node in whole for part in ast.walk(node) if part is not node}
        docstrings = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
        for node in ast.walk(tree):
            if id(node) in inside | docstrings:
                continue
            parts = [node] if isinstance(node, ast.Constant) else getattr(node, "values", [])
            texts = [part.value if isinstance(part, ast.Constant) else None for part in parts]
            said = "".join(text if isinstance(text, str) else "{}" for text in texts)
            if isinstance(node, ast.JoinedStr | ast.Constant) and FORM.search(said):
                pattern = ".*".join(re.escape(part) for part in said.split("{}"))
                found[f"{path.name}: {said}"] = re.compile(pattern, re.DOTALL)
    return found


FEW = len("take it away")


def _texts_of(hint: str, texts: Mapping[str, re.Pattern]) -> set[str]:
    """The texts that a hint may be made of; those of few words only where no others are."""
    found = {text for text, pattern in texts.items() if pattern.search(hint)}
    told = {text for text in found if len(text.partition(": ")[2].replace("{}", "")) > FEW}
    return told or found


def test_every_hint_at_what_to_write_is_in_a_row_or_among_those_left() -> None:
    """For one that stands in neither, write a row, or add it to LEFT with the reason."""
    given = [problems(kind, row.of, row.text)[0].hint for kind, row in rows()]
    given += [told.hint for _, told in TOLD]
    texts = _hints()
    assert texts.keys() - {text for hint in given for text in _texts_of(hint, texts)} == LEFT
