"""Hints are carried out by machine, as far as that can be done: what one was given for is then no problem.

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

import sitegen
from sitegen.effects.claims import parse_claim, parse_placing
from sitegen.effects.piece_sets import parse_pieces
from sitegen.guide.load import read_guide
from sitegen.moves.parse import parse
from sitegen.problems import Passage, Problem, Problems, written
from sitegen.puzzles import catalogue
from sitegen.puzzles.numbers import read_number

HERE, LINE, VALUE, BELOW = "here", "its line", "behind its key", "below"
AWAY, LINE_AWAY = "away", "its line away"
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
        Row("UF", of="cube-4", take="(UF[a-z])"),
        Row("edges of UF", take=r"layers are (\w+),"),
    ],
    "claim": [
        Row("same as @lift'", AWAY),
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
        Row("deep", take=r"([0-9.-]\S*[0-9]|sqrt\S+)"),
        Row("1/0", LINE, take=r"([0-9.-]\S*[0-9]|sqrt\S+)"),
    ],
    "page": [
        Row(block("moves", "mvoes: R"), HERE),
        Row(block("moves", "Moves: R"), HERE),
        Row(block("moves", "moves : R"), HERE),
        Row(block("moves", "moves:", "title: T"), LINE, gap="R", take="“(.+?)”"),
        Row(block("moves", "moves: R", "letters: maybe"), HERE),
        Row(block("moves", "moves: R", "marked: yes"), LINE_AWAY),
        Row(block("moves", "moves: R", "tags: red"), LINE_AWAY),
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
        Row("titel: T\n", keep=0),
        Row("title: T\nhtml: perhaps\n", take="(yes) or no"),
        Row("title: T\npaper: A5\n", take="one of (\\w+)"),
        Row("title: T\npuzzle: cube-33\n"),
        Row("title: T\nlanguage: Anglo_Saxon\n", take="write (\\w+),"),
        Row("title: T\naddress: example.org\n", take="as in (.+)"),
        Row("title: T\ncolours: {whit: '#ffffff'}\n"),
        Row("title: T\ncolours: {U: whit}\n"),
        Row("title: T\npages: [moer]\n"),
        Row("title: T\npages: [index, nowhere]\n", AWAY),
        Row("title: T\ntitle: S\n", LINE_AWAY),
        Row("title: T\ntheme: [a]\n", LINE, gap="folio"),
        Row("title: T\n---\nlanguage: en\n", LINE_AWAY),
        Row("title: T\nmirrored: yes\n", LINE_AWAY),
        Row("title: T\ncolours: {U: yellow, D: white}\n", take=r"colours (\{.+?\})"),
        Row("title: T\npages: {a: b}\n", LINE, take="write (pages: .+)", keep=2),
        Row("title: !x T\n", take="(text) alone"),
    ],
    "head.md": [
        Row("---\nsumary: S\n---\n"),
        Row("---\ncolumns: 2\n---\n", LINE_AWAY),
        Row("---\nkind: page\nfold lines: yes\n---\n", LINE_AWAY),
        Row("---\nkind: handuot\n---\nText.\n"),
        Row("---\nkind: handout\ntext size: 99\n---\nText.\n", LINE),
        Row("---\nkind: handout\ncards: lft\n---\n"),
    ],
    "puzzles/mine.yaml": [
        Row(SOUND.replace("cube", "kube")),
        Row(SOUND.replace("depths", "depth") + "depths: 0\n", LINE_AWAY, keep=0),
        Row(SOUND.replace("90", "100"), take="(90|180)"),
        Row(SOUND.replace("[1/3, -1/3]", "[1/3, deep]"), take=r"([0-9.-]\S*[0-9]|sqrt\S+)", keep=0),
        Row(SOUND.replace("[1/3, -1/3]", "[]"), LINE, gap="[1/3, -1/3]"),
        Row(SOUND.replace("[1/3, -1/3]", "equal layers"), take="as in (.+?);"),
        Row(SOUND + "sizes: [1, 3]\n", take="as in .(2)", keep=1),
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
    "cases.py: take its pieces one by one, or ask for fewer of them",
    "cli.py: is it {}? There",
    "cli.py: the guide has no method; write one in a block “method”",
    "cli.py: write for example flips UF; keeps U except UF",
    "cli.py: “{}” is no amount of memory; write it as 500 MB or 2 GB",
    "derivation.py: take “fails: yes” away",
    "derivation.py: take “guard: home” away, or turn so that they are",
    "derivation.py: take “set aside” away, or put it in an earlier step",
    "derivation.py: write guard: home",
    "derivation.py: write “- turn: …” for each step",
    "fields.py: take the dash away, or set it in where it belongs",
    "fields.py: take the sign away: a text goes on in the next line if that is set in",
    "fields.py: write it without empty lines and comments",
    "fields.py: write its key and a colon on the line above",
    "files.py: write content/index.md",
    "find.py: write one of {}",
    "find.py: write “claims:”, and below it a line for each, as in “- flips UF”",
    "inline.py: take it away; moves and claims are marked behind code",
    "inline.py: write `…`{.{}}, with the text between backticks and no blank behind them",
    "inline.py: write for example flips UF; keeps U except UF",
    "inline.py: write moves before it in the same paragraph, or name a sequence: {.{} of=lift-edge}",
    "inline.py: write {.{}} right behind, or {.{}} if it is only to be shown",
    "keeps.py: name the pieces that change, or take the claim away",
    "links.py: write what it leads to, between the round brackets of a link",
    "moves.py: write a line “moves: …”",
    "numbers.py: write fewer digits",
    "parse.py: write [A, B] or [A: B]",
    "piece_sets.py: take fewer of them out",
    "piece_sets.py: take it away: nothing is left out by it",
    "piece_sets.py: take it away; what is left out stands behind “except”",
    "practice.py: take the block away",
    "practice.py: take it away, {}or ask for more, as in “fill in: commutator, effect”",
    "practice.py: write its moves as [A, B], ",
    "practice.py: {} has no way to write {} that can be read again",
    "proofread.py: write a block “{}”, or take the key away",
    "proofread.py: write a block “{}”, or “kind: {}” at the head",
    "proofread.py: write something, or “cards: …” at the head",
    "proofread.py: write “html: yes” in guide.yaml to let it through, or \\< for a < that is to be seen",
    "publish.py: variants are of exercises; write a block “practice” on a page made for paper",
    "publish.py: write a page with “kind: handout” or “kind: exercises” at its head",
    "reading.py: faces are {}; write those that meet at the axis, with spaces between",
    "reading.py: write axes: faces, or give the depths and leave sizes out",
    "reading.py: write each axis once",
    "reading.py: write each cut once",
    "references.py: no sequence has a name here: write out its moves, or give it a name in a guide",
    "references.py: write out the moves of one of them",
    "references.py: write out the moves of one sequence on the way",
    "settings.py: write one key a line",
    "settings.py: write {}: one, two, or each on a line below behind “- ”",
    "sheet.py: write names with commas between them, as in {}: flip-pair, twist-pair",
    "stages.py: take {} away, or put it into the goal",
    "stages.py: write “- stage: …” for each",
    'theme.py: write it by number, as "#b3202c", by name, or by rgb() or hsl()',
    "theme.py: write name: {}, or call the folder otherwise",
    "theme.py: write one with a line “extends: folio”",
    'theme.py: write them as in {red: "#b3202c"}; names are ',
    "settings.py: write a text there, or take the item away",
    "tokenizer.py: write a smaller number",
    "unread.py: write {}{} and no more",
    "validate.py: make {} of all faces that meet at a vertex, or take it away",
    "worked.py: take it away, or write a seed in place of the moves",
    "worked.py: write a block “method” first",
    "worked.py: write moves that lead to it, or “seed: 7” for a random one",
    "worked.py: write “method: …” with one of {}",
    "yaml_nodes.py: take it away; a text that begins with & stands in quotation marks",
    "yaml_nodes.py: take the character away",
    "yaml_nodes.py: write \\\\ for a backslash, or put the text in single quotation marks",
    "yaml_nodes.py: write plain keys and values",
    "yaml_nodes.py: write the key of its list above it: a list begins below a key with nothing behind it",
    "yaml_nodes.py: write what it stands for; a text that begins with * stands in quotation marks",
    "yaml_nodes.py: set a line that goes on from the one above further in, or write “: ” behind a key",
}
"""What is a choice of the author's, needs words of theirs, or is about files and commands; read by people."""


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


def test_every_hint_at_what_to_write_is_in_a_row_or_among_those_left() -> None:
    """For one that stands in neither, write a row, or add it to LEFT with the reason."""
    given = [problems(kind, row.of, row.text)[0].hint for kind, row in rows()]
    undone = {text for text, pattern in _hints().items() if not any(map(pattern.search, given))}
    assert undone == LEFT
