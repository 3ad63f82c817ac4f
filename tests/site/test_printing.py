"""Sheets on paper, by a browser and as PDF: nothing is lost, cut or split, and grey copies can be read."""

from __future__ import annotations

import re
from itertools import groupby, pairwise
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page
from sample_guide import write_guide
from sample_sheets import (
    ADDRESS,
    FOOT_WITH_CODE,
    LIFT,
    MARGIN,
    MILLIMETRE,
    Files,
    alike,
    by_browser,
    lines,
    needs_browser,
    needs_printer,
    net_centre,
    normal,
    out_of_bounds,
    overlapping,
    papers,
    pdf_reader,
    printer,
    raster,
    shared_out,
    units,
)

from sitegen.figures.views import layout
from sitegen.site import pdf as pdf_module
from sitegen.site.pdf import page_of
from sitegen.site.publish import handout, publish

SEQUENCES = f"""\
# Sequences

```moves lift
title: Lift an edge
moves: {LIFT}
view: corner, top
```

```moves flip
title: Turn two edges over
moves: [@lift, U]
ends: solved
claims:
- flips UF and UR
- changes only UF and UR
view: corner, top
```

```moves round
title: Send three corners round
moves: R U' L' U R' U' L U
view: top
```
"""
WORDS = "Some words about what is shown, so that there is something to read beside the figures of it. "
PART = """\
## Part {number}

{words}

```moves
title: Card {number}
moves: @flip
ends: solved
claims: changes only UF and UR
view: {view}
say: {say}
```

> What is it that {number} people ask?

- a point
- another

| moves | what for |
|-------|----------|
| `R U R'`{{.moves}} | row {number} |
"""
DERIVATION = """\
```derivation why
title: Why it is so
guard: U except UF
watch: UF
steps:
- turn: F
  as: down
  say: Three pieces leave the top row.
- turn: E
  as: aside
  say: The edge goes to the back, where nobody looks for it.
- undo: down
  say: The row goes up again.
- undo: aside
```
"""
METHOD = """\
```method way
title: A way
count: 20
stages:
- stage: To its place
  goal: UF placed
  using: any turns up to 2
- stage: Turned over
  goal: UF oriented by U
  using: "@lift"
```
"""
BESIDE = f"{WORDS}\n\n" * 20
"""As much as fills a column beside what is tried."""
VIEWS = ["top", "corner with back", "corner, top", "net", "corner"]
PARTS = [
    PART.format(number=n, words=WORDS * (1 + n % 4), view=VIEWS[n % 5], say=WORDS * (n % 3 + 1))
    for n in range(1, 6)
]
LINES = [f"Paragraph {n}. {WORDS * (n % 5 + 1)}" for n in range(9)]
TEXT = "\n\n".join([*PARTS, DERIVATION, *LINES])
PRACTICE = """\
```practice hands
title: With a cube
from: @flip and @round
count: 6
lead-in: 2 turns of R, F and L
hold: y
view: corner with back
say: Set each position up.
```

```practice pencil
title: With a pencil
from: @flip and @round
fill in: arrows, effect, undoing, commutator
count: 4
mirror: yes
hold: y
view: top
```
"""
CARDS = [f"{name}{number}" for number in ("", "-2", "-3", "-4", "-5") for name in ("lift", "flip", "round")]
"""Names of as many sequences as stand on a few sheets: three kinds, over and over."""
COPIES = "".join(
    re.sub("(?m)^```moves (.+)$", rf"```moves \g<1>-{number}", SEQUENCES.partition("\n")[2])
    for number in range(2, 6)
)
MANY = ", ".join(CARDS)

LAYOUTS = {
    "A4": ("kind: handout", TEXT),
    "A4 across in two columns": ("kind: handout\norientation: landscape\ncolumns: 2", TEXT),
    "Letter in three columns": (
        "kind: handout\npaper: Letter\ncolumns: 3\ntext size: 8 pt",
        "\n\n".join([*PARTS, *LINES]),
    ),
    "what is wide among columns": (
        "kind: handout\ncolumns: 3",
        "\n\n".join([*LINES, DERIVATION, *PARTS]),
    ),
    "Letter across": ("kind: handout\npaper: Letter\norientation: landscape\ntext size: 12 pt", TEXT),
    "cards": (f"kind: handout\ncards: {MANY}", ""),
    "cards on Letter across": (
        f"kind: handout\npaper: Letter\norientation: landscape\ncards: {MANY}",
        WORDS * 3,
    ),
    "cards in four columns": (f"kind: handout\ncolumns: 4\ncards: {MANY}", WORDS),
    "exercises": ("kind: exercises", PRACTICE),
    "exercises in columns": ("kind: exercises\npaper: Letter\ncolumns: 2", PRACTICE),
}
"""The head of a sheet and its text."""


def guide(folder: Path, head: str, text: str, address: str = "") -> Path:
    files: Files = {
        "content/guide.yaml": "title: A guide\n" + (f"address: {address}\n" if address else ""),
        "content/index.md": SEQUENCES + COPIES,
        "content/sheet.md": f"---\ntitle: A sheet\n{head}\n---\n{text}",
    }
    return write_guide(folder, files)


HOW = [
    pytest.param(False, marks=needs_browser, id="by a browser"),
    pytest.param(True, marks=[needs_browser, needs_printer], id="as PDF"),
]


def printed(browser: Browser, folder: Path, as_pdf: bool, name: str = "sheet") -> bytes:
    """One page of a guide on paper, by either way."""
    if as_pdf:
        handout(folder)
        return (folder / "output" / f"{name}.pdf").read_bytes()
    publish(folder)
    return by_browser(browser, folder / "output" / f"{name}.html")


def check(browser: Browser, file: Path, pdf: bytes, foot: float = MARGIN, title: str = "A sheet") -> int:
    """That nothing is wrong with what was printed of a page; gives the number of sheets."""
    sheets = papers(pdf, foot)
    assert shared_out(units(browser, file, sheets[0]), sheets) == ""
    for number, sheet in enumerate(sheets, 1):
        assert out_of_bounds(sheet) == []
        assert overlapping(sheet) == []
        assert sheet.foot_words[-4:] == ["Page", f"{number}", "of", f"{len(sheets)}"]
        running = " ".join(sheet.head_words)
        assert running == ("A guide" if number == 1 else f"A guide {title}")
    return len(sheets)


@pytest.mark.parametrize("as_pdf", HOW)
@pytest.mark.parametrize("name", LAYOUTS)
def test_nothing_is_lost_cut_or_split_on_paper(browser, tmp_path, as_pdf: bool, name: str) -> None:
    folder = guide(tmp_path, *LAYOUTS[name])
    pdf = printed(browser, folder, as_pdf)
    assert check(browser, folder / "output" / "sheet.html", pdf) > 1


@pytest.mark.parametrize("as_pdf", HOW)
@pytest.mark.parametrize("columns", [1, 3])
@pytest.mark.parametrize("begins", ["", "Text before.\n\n"])
def test_each_heading_may_begin_a_sheet(browser, tmp_path, as_pdf: bool, columns: int, begins: str) -> None:
    head = f"kind: handout\ncolumns: {columns}\nsheet for each heading: yes"
    words = ["one", "two", "three"]
    text = begins + "\n\n".join(f"## Part {word}\n\nText of {word}.\n\n### Within {word}" for word in words)
    folder = guide(tmp_path, head, f"# A sheet\n\n{text}\n")
    sheets = papers(printed(browser, folder, as_pdf))
    said = [[word for word in words if word in (each.text for each in sheet.body)] for sheet in sheets]
    assert said == [*([[]] if begins else []), *([word] for word in words)]


@pytest.mark.parametrize("as_pdf", HOW)
@pytest.mark.parametrize("columns", [2, 4])
@pytest.mark.parametrize("block", [DERIVATION, METHOD])
def test_what_is_wide_stands_across_columns_below_what_comes_before(
    browser, tmp_path, as_pdf: bool, columns: int, block: str
) -> None:
    folder = guide(tmp_path, f"kind: handout\ncolumns: {columns}", f"Before it.\n\n{block}\nBehind it.\n")
    sheet, *_ = papers(printed(browser, folder, as_pdf))
    words = [word.text for word in sheet.body]
    assert words[2:4] == ["Before", "it."]
    assert max(word.right for word in sheet.body) > sheet.width / 2


@pytest.mark.parametrize("as_pdf", HOW)
@pytest.mark.parametrize(
    ("settings", "steps"),
    [("orientation: landscape", 3), ("orientation: landscape", 4), ("text size: 16 pt", 4)],
)
def test_a_derivation_that_is_as_high_as_a_sheet_leaves_none_empty(
    browser, tmp_path, as_pdf: bool, settings: str, steps: int
) -> None:
    block = "```derivation\nwatch: UFR\nsteps:\n" + "- turn: R\n" * steps + "```\n"
    sheets = papers(printed(browser, guide(tmp_path, f"kind: handout\n{settings}", block), as_pdf))
    assert len(sheets) == 2
    assert "1." in [word.text for word in sheets[0].body]


@pytest.mark.parametrize("as_pdf", HOW)
def test_a_card_with_tall_figures_has_room_in_a_column(browser, tmp_path, as_pdf: bool) -> None:
    head = "kind: handout\ncolumns: 3\norientation: landscape\npaper: Letter\npuzzle: pyraminx"
    folder = guide(tmp_path, head, "Before it.\n\n```moves\nR L' R' L U\n```\n")
    (sheet,) = papers(printed(browser, folder, as_pdf))
    assert [word.text for word in sheet.body][2:4] == ["Before", "it."]


@pytest.mark.parametrize("as_pdf", HOW)
def test_two_views_of_what_was_found_stand_side_by_side(browser, tmp_path, as_pdf: bool) -> None:
    """Below each other, four ways have no room on a sheet."""
    find = "```find\nclaims: twists UFR anticlockwise; keeps U except UFR\nview: corner, top\n```\n"
    folder = guide(tmp_path, "kind: handout", find)
    (sheet,) = papers(printed(browser, folder, as_pdf))
    assert [word.text for word in sheet.body if re.fullmatch(r"\d\.", word.text)] == ["1.", "2.", "3.", "4."]


WIDE = {
    "code": "```text\nfor turn in moves: print(turn)  # a line that is wider than a column of text\n```\n",
    "moves": "Turn `" + " ".join(["R U2 F' L D2 B"] * 30) + "`{.moves} and see.\n",
    "a block": "```moves\nmoves: "
    + " ".join(["R U2 F' L D2 B"] * 5)
    + "\nview: corner with back, top, net\n```\n",
}
"""What authors write that may be wider than one of two columns."""


@pytest.mark.parametrize("as_pdf", HOW)
@pytest.mark.parametrize("what", WIDE)
def test_what_is_wider_than_a_column_is_not_cut(browser, tmp_path, as_pdf: bool, what: str) -> None:
    folder = guide(tmp_path, "kind: handout\ncolumns: 2", f"{WORDS}\n\n{WIDE[what]}\n\n{BESIDE}")
    pdf = printed(browser, folder, as_pdf)
    check(browser, folder / "output" / "sheet.html", pdf)


@pytest.mark.parametrize("as_pdf", HOW)
def test_a_derivation_in_narrow_columns_breaks_no_word(browser, tmp_path, as_pdf: bool) -> None:
    folder = guide(tmp_path, "kind: handout\npaper: Letter\ncolumns: 3\ntext size: 8 pt", DERIVATION)
    pdf = printed(browser, folder, as_pdf)
    check(browser, folder / "output" / "sheet.html", pdf)


@pytest.mark.parametrize("as_pdf", HOW)
def test_a_table_wider_than_a_column_is_not_cut(browser, tmp_path, as_pdf: bool) -> None:
    names = [f"heading-{n}-of-a-table" for n in range(4)]
    table = "| " + " | ".join(names) + " |\n" + "|---" * 4 + "|\n" + "| cell " * 4 + "|\n"
    folder = guide(tmp_path, "kind: handout\ncolumns: 2", f"{WORDS}\n\n{table}\n{BESIDE}")
    pdf = printed(browser, folder, as_pdf)
    (sheet,) = papers(pdf)
    assert out_of_bounds(sheet) == []
    assert overlapping(sheet) == []
    # In the order in which they were written, and whatever their lines are broken into.
    text = "".join("".join(page.extract_text() for page in pdf_reader(pdf).pages).split())
    assert [name for name in names if text.count(name) != 1] == []
    left_column = [word for word in sheet.body if word.left < sheet.width / 2]
    assert max(word.right for word in left_column) < sheet.width / 2


@pytest.mark.parametrize("as_pdf", HOW)
def test_a_word_wider_than_paper_is_broken_and_not_cut(browser, tmp_path, as_pdf: bool) -> None:
    long = "donaudampfschifffahrt" * 9
    folder = guide(tmp_path, "kind: handout", f"{WORDS}\n\n{long}\n\n{WORDS}\n")
    (sheet,) = papers(printed(browser, folder, as_pdf))
    assert out_of_bounds(sheet) == []
    assert "".join(word.text for word in sheet.body).count(long) == 1


@pytest.mark.parametrize("as_pdf", HOW)
def test_a_card_taller_than_a_sheet_goes_on_overleaf(browser, tmp_path, as_pdf: bool) -> None:
    block = f"```moves\ntitle: Long\nmoves: @flip\nsay: {WORDS * 90}\n```\n"
    folder = guide(tmp_path, "kind: handout", f"{WORDS}\n\n{block}\n\n{WORDS}\n")
    assert check(browser, folder / "output" / "sheet.html", printed(browser, folder, as_pdf)) > 1


@pytest.mark.parametrize("as_pdf", HOW)
def test_a_long_title_runs_along_without_covering_anything(browser, tmp_path, as_pdf: bool) -> None:
    long = " ".join(["A title that goes on and on"] * 5)
    files: Files = {
        "content/guide.yaml": f"title: {long}\n",
        "content/index.md": "Home.\n",
        "content/sheet.md": f"---\ntitle: {long}\nkind: handout\n---\n" + f"{WORDS}\n\n" * 60,
    }
    folder = write_guide(tmp_path, files)
    for sheet in papers(printed(browser, folder, as_pdf))[1:]:
        assert " ".join(sheet.head_words).count("A title that goes on") >= 2
        assert overlapping(sheet) == []
        assert out_of_bounds(sheet) == []


@pytest.mark.parametrize("as_pdf", HOW)
def test_head_and_foot_with_an_address_cover_nothing(browser, tmp_path, as_pdf: bool) -> None:
    folder = guide(tmp_path, "kind: handout", TEXT, ADDRESS)
    pdf = printed(browser, folder, as_pdf)
    assert check(browser, folder / "output" / "sheet.html", pdf, FOOT_WITH_CODE) > 2
    for sheet in papers(pdf, FOOT_WITH_CODE):
        assert sheet.foot_words[0] == f"{ADDRESS}sheet.html"


@needs_browser
@needs_printer
def test_both_ways_of_printing_the_handbook_give_the_same_sheets(browser, demo) -> None:
    """The demo guide: its pocket reference, first evening and exercises take 2, 4 and 2 sheets of A4."""
    told = handout(demo).pages
    counts = {}
    for page in ["paper/pocket", "paper/first-evening", "paper/practice"]:
        file = demo / "output" / f"{page}.html"
        as_pdf = file.with_suffix(".pdf").read_bytes()
        counts[page] = [
            len(papers(as_pdf)),
            told[f"output/{page}.pdf"],
            len(papers(by_browser(browser, file))),
        ]
    assert counts == {
        "paper/pocket": [2, 2, 2],
        "paper/first-evening": [4, 4, 4],
        "paper/practice": [2, 2, 2],
    }
    assert told["answers/paper/practice-answers.pdf"] == 3


# Cards to cut out -----------------------------------------------------------------------------------------

PAPERS = [
    ("A4", "portrait", 2, (1, 2, 3, 4, 5, 6, 9, 10)),
    ("Letter", "landscape", 3, (1, 2, 3, 10, 11, 12)),
]
"""How many cards stand side by side on each, and how many there are: whole rows and what may be of them.

The last row begins with each of the three kinds of cards, and is the first of a sheet, too.
"""
CARD = 60.0
"""How high the style sheet for paper makes a card, in millimetres, unless there is more on it."""
FEW = 5.0
"""Millimetres of blank that do not disturb within a card."""


def cards_page(paper: str, lies: str, count: int) -> str:
    return f"{paper}-{lies}-{count}"


@pytest.fixture(scope="module")
def rows(tmp_path_factory) -> Path:
    """A guide with pocket references of some numbers of cards on each paper; read only."""
    files: Files = {"content/guide.yaml": "title: A guide\n", "content/index.md": SEQUENCES + COPIES}
    for paper, lies, _, counts in PAPERS:
        for count in counts:
            cards = ", ".join(CARDS[:count])
            head = f"title: Cards\nkind: handout\npaper: {paper}\norientation: {lies}\ncards: {cards}"
            files[f"content/{cards_page(paper, lies, count)}.md"] = f"---\n{head}\n---\n"
    folder = write_guide(tmp_path_factory.mktemp("rows"), files)
    if printer is None:
        publish(folder)
    else:
        handout(folder)
    return folder / "output"


def rows_on(pdf: bytes, sheet: int) -> list[tuple[float, float]]:
    """From where to where each row of cards reaches on a sheet, by its cutting marks, in millimetres.

    In the first two millimetres beside the margin there is nothing but marks: a line of each across.
    """
    dpi = 150
    left, right = (round(mm / 25.4 * dpi) for mm in (14.1, 16.0))
    strip = raster(pdf, dpi, sheet, (left, right))
    pixels, width = strip.tobytes(), strip.width
    dark = [y for y in range(strip.height) if max(pixels[y * width : (y + 1) * width]) < 200]
    marks = [y for n, y in enumerate(dark) if n == 0 or y - dark[n - 1] > 4]
    where = [y / dpi * 25.4 for y in marks]
    return list(pairwise(where))


@pytest.mark.parametrize("as_pdf", HOW)
@pytest.mark.parametrize(("paper", "lies", "across", "counts"), PAPERS)
def test_a_row_of_cards_is_no_higher_for_being_incomplete(
    browser, rows, as_pdf: bool, paper: str, lies: str, across: int, counts: tuple[int, ...]
) -> None:
    sheets = {}
    for count in counts:
        file = rows / f"{cards_page(paper, lies, count)}.html"
        pdf = file.with_suffix(".pdf").read_bytes() if as_pdf else by_browser(browser, file)
        found = papers(pdf)
        there = [rows_on(pdf, number) for number in range(1, len(found) + 1)]
        assert sum(map(len, there)) == -(-count // across), count
        for page, bounds in zip(found, there, strict=True):
            for top, bottom in bounds:
                at = [(w.top / MILLIMETRE, w.bottom / MILLIMETRE) for w in page.body]
                inside = [(first, last) for first, last in at if top < (first + last) / 2 < bottom]
                assert min(first for first, _ in inside) - top < FEW, count
                filled = bottom - max(last for _, last in inside) < FEW
                assert bottom - top < CARD + 1 or filled, count
        sheets[count] = len(found)
    assert 1 in sheets.values()
    assert 2 in sheets.values()
    # What there is of a row takes no more paper than the whole of it.
    assert all(sheets[count] <= sheets[-(-count // across) * across] for count in sheets)


# Turns that a class reads ---------------------------------------------------------------------------------

LINE = tuple("R U2 F' L D2 B R' U F2 L' D B2 R2 U' F L2 D' B' R U F D L B".split())  # noqa: SIM905
TURNS = {f"first-{count}": " ".join(LINE[:count]) for count in range(1, len(LINE) + 1)}
"""Some of any length, so that a line ends behind each of them somewhere."""
UNCANCELLED = (3, 4, 6, 7, 9)
"""So many of these turns end with none of U and D, which stand between them and what undoes them."""
BRACKETS = {f"around-{count}": f"[{' '.join(LINE[:count])}: U D']" for count in UNCANCELLED}
BACK = {"": "'", "'": "", "2": "2"}
UNDONE_TURNS = [turn[0] + BACK[turn[1:]] for turn in reversed(LINE)]
IN_FULL = {
    f"around-{count}": " ".join([*LINE[:count], "U", "D'", *UNDONE_TURNS[-count:]]) for count in UNCANCELLED
}
OF_ANY_LENGTH = "".join(f"```moves {name}\n{moves}\n```\n\n" for name, moves in (TURNS | BRACKETS).items())
BLOCKS = "".join(f"```moves\nmoves: @{name}\n```\n\n" for name in TURNS)
UNDONE = f"""```practice
from: {" ".join(f"@{name}" for name in TURNS if name not in ("first-1", "first-2"))}
fill in: undoing
count: 20
```
"""
LARGE = {
    "smallest": f"kind: handout\ntext size: 6 pt\ncolumns: 4\ncards: {', '.join(TURNS | BRACKETS)}\n---\n",
    "usual": f"kind: handout\ncards: {', '.join(TURNS | BRACKETS)}\n---\n",
    "across": "kind: handout\norientation: landscape\npaper: Letter\ntext size: 8.5 pt\n"
    f"cards: {', '.join(TURNS | BRACKETS)}\n---\n",
    "largest": f"kind: handout\ntext size: 16 pt\ncolumns: 1\ncards: {', '.join(TURNS | BRACKETS)}\n---\n",
    "blocks": f"kind: handout\ntext size: 7 pt\ncolumns: 3\n---\n{BLOCKS}",
    "exercises": f"kind: exercises\ntext size: 6.5 pt\ncolumns: 2\n---\n{UNDONE}",
}
"""The heads of sheets, and what is on them."""
READ = 9.0
"""Points, in which what a class reads is set at least."""


@pytest.fixture(scope="module")
def large(tmp_path_factory) -> Path:
    """A guide with these sheets; read only."""
    pages = {f"content/{name}.md": f"---\ntitle: Turns\n{rest}" for name, rest in LARGE.items()}
    files: Files = {"content/guide.yaml": "title: A guide\n", "content/index.md": OF_ANY_LENGTH, **pages}
    folder = write_guide(tmp_path_factory.mktemp("large"), files)
    if printer is None:
        publish(folder)
    else:
        handout(folder)
    return folder / "output"


@pytest.mark.parametrize("as_pdf", HOW)
@pytest.mark.parametrize("name", LARGE)
def test_plain_turns_are_the_largest_line_of_a_card_and_none_ends_a_line_alone(
    browser, large, tmp_path, as_pdf: bool, name: str
) -> None:
    file = large / f"{name}.html"
    pdf = file.with_suffix(".pdf").read_bytes() if as_pdf else by_browser(browser, file)
    found = [line for line in lines(pdf, tmp_path) if line.text != "Turns"]
    largest = max(line.size for line in found)
    assert largest >= READ - 0.1
    runs = [list(run) for big, run in groupby(found, lambda line: line.size == largest) if big]
    told = []
    for run in runs:
        ends = [[line.text for line in row] for _, row in groupby(run, lambda line: round(line.top))]
        told.append(" ".join(text for row in ends for text in row))
        assert len(ends) == 1 or len(" ".join(ends[-1]).split()) > 1, told[-1]
    known = {*TURNS.values(), *(IN_FULL.values() if "card" in LARGE[name] else ())}
    if name == "exercises":
        assert len(told) == 20
        assert {*told} <= known
    else:
        assert {*told} == known
    assert any(len({round(line.top) for line in run}) > 1 for run in runs) or name == "largest"


# A copy in grey -------------------------------------------------------------------------------------------

NET = 7.4
"""How wide the style sheet for paper draws a net, in centimetres."""
DPI = 150
LETTERS = re.compile(r'<path [^>]*stroke-linecap="round" stroke-linejoin="round"/>')
"""On paper they are lines, with round ends and corners as nothing else has."""
ONE_FIGURE = "```position\nmoves: R R'\nview: net\n```\n"


@pytest.mark.parametrize("as_pdf", HOW)
@pytest.mark.parametrize("letters", [True, False], ids=["with letters", "by patterns alone"])
def test_a_copy_in_grey_tells_the_colours_of_stickers(
    browser, tmp_path, cube3, monkeypatch, as_pdf: bool, letters: bool
) -> None:
    folder = guide(tmp_path, "kind: handout", ONE_FIGURE)
    if as_pdf:
        if not letters:
            monkeypatch.setattr(pdf_module, "page_of", lambda *of: LETTERS.sub("", page_of(*of)))
        handout(folder)
        pdf = (folder / "output" / "sheet.pdf").read_bytes()
    else:
        publish(folder)
        pdf = by_browser(browser, folder / "output" / "sheet.html", letters)
    sheet, plan = raster(pdf, DPI), layout(cube3, "net")
    scale = NET / 2.54 * DPI / plan.width
    middle = net_centre(sheet)
    ends = [[centre[axis] for centre in plan.centres.values()] for axis in (0, 1)]
    origin = [(min(places) + max(places)) / 2 for places in ends]
    reach = round(0.36 * plan.unit * scale)

    def crop(slot: int, right: int = 0, down: int = 0) -> list[float]:
        x, y = (
            round(middle[axis] + (plan.centres[slot][axis] - origin[axis]) * scale) + (right, down)[axis]
            for axis in (0, 1)
        )
        return normal(sheet.crop((x - reach, y - reach, x + reach, y + reach)).tobytes())

    # A lightness of its own does not count. What a raster cuts off may be a pixel either way.
    known = {
        face: [crop(cube3.slots[face], right, down) for right in (-1, 0, 1) for down in (-1, 0, 1)]
        for face in "UFRDLB"
    }
    for slot, sticker in enumerate(cube3.stickers):
        pattern, own = crop(slot), sticker.name[0]
        plain = not any(pattern)
        assert plain == (own == "U" and not letters), "white alone has no pattern"
        likeness = {face: max(alike(each, pattern) for each in crops) for face, crops in known.items()}
        other = max(value for face, value in likeness.items() if face != own)
        # Measured: 0.67 at least with its own colour, and 0.26 less with any other.
        assert plain or (likeness[own] > 0.6 and likeness[own] > other + 0.15), (sticker.name, likeness)


# Tables, large print, blanks ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("head", "cell", "columns", "is_across"),
    [
        ("columns: 2", "`R U`{.case}", 3, False),
        ("columns: 2", "`R U`{.case}", 4, True),
        ("columns: 3", "`R U`{.case}", 3, True),
        ("columns: 3\norientation: landscape", "`R U`{.case}", 3, False),
        ("columns: 2\ntext size: 16 pt", "`R U`{.case}", 2, False),
        ("columns: 2\ntext size: 16 pt", "`R U`{.case}", 3, True),
        ("columns: 2", "words", 5, False),
        ("columns: 3", "words", 5, True),
        ("columns: 1", "`R U`{.case}", 5, False),
    ],
)
def test_a_table_for_which_a_column_has_no_room_stands_across(
    tmp_path, head: str, cell: str, columns: int, is_across: bool
) -> None:
    table = f"{'| a ' * columns}|\n{'|---' * columns}|\n{f'| {cell} ' * columns}|\n"
    text = guide(tmp_path, f"kind: handout\n{head}", f"Before it.\n\n{table}\nBehind it.\n")
    publish(text)
    page = (text / "output" / "sheet.html").read_text(encoding="utf-8")
    assert (
        bool(re.search(r'<div class="spanning">\s*<table>.*?</table>\s*</div>', page, re.DOTALL)) == is_across
    )
    assert page.count("<table>") == 1


@pytest.fixture
def on_paper(browser, tmp_path):
    """Opens a sheet as it is printed."""

    def opened(head: str, text: str) -> Page:
        folder = guide(tmp_path, head, text)
        publish(folder)
        page = browser.new_page(viewport={"width": 688, "height": 1000})
        page.emulate_media(media="print")
        page.goto((folder / "output" / "sheet.html").as_uri())
        return page

    return opened


@needs_browser
@pytest.mark.parametrize("what", [".pair", ".in-cell", ".exercise .views figure"])
def test_large_print_has_large_figures(on_paper, what: str) -> None:
    text = "```moves\nmoves: @lift\n```\n\n| a |\n|---|\n| `R U`{.case} |\n\n"
    text += "```practice\nfrom: @lift\nfill in: effect\ncount: 1\n```\n"
    widths = []
    for size in ("8 pt", "10 pt", "16 pt"):
        page = on_paper(f"kind: exercises\ncolumns: 1\ntext size: {size}", text)
        widths.append(page.locator(what).first.bounding_box()["width"])
        page.close()
    assert widths[0] == widths[1]
    assert widths[2] / widths[1] == pytest.approx(1.6, abs=0.02)


@needs_browser
def test_the_blanks_of_a_commutator_stay_in_its_column(on_paper) -> None:
    text = "```practice\nfrom: @flip\nfill in: commutator\ncount: 4\nmirror: yes\n```\n"
    page = on_paper("kind: exercises\ncolumns: 4\ntext size: 16 pt", text)
    for exercise in page.locator(".exercise").all():
        here = exercise.bounding_box()
        one, other = [blank.bounding_box() for blank in exercise.locator("span.write").all()]
        assert here["x"] <= one["x"] < one["x"] + one["width"] < other["x"]
        assert other["x"] + other["width"] <= here["x"] + here["width"] + 1
        assert one["y"] == other["y"]
        assert one["width"] == other["width"] > 40
    page.close()
