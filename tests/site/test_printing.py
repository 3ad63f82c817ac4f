"""Sheets on paper, by a browser and as PDF: nothing is lost, cut or split, and grey copies can be read."""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser
from sample_guide import write_guide
from sample_sheets import (
    ADDRESS,
    FOOT_WITH_CODE,
    LIFT,
    MARGIN,
    Files,
    alike,
    by_browser,
    chromium,
    needs_browser,
    needs_printer,
    net_centre,
    normal,
    out_of_bounds,
    overlapping,
    papers,
    pdf_reader,
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
MANY = ", ".join(["lift", "flip", "round"] * 5)

LAYOUTS = {
    "A4": ("kind: handout", TEXT),
    "A4 across in two columns": ("kind: handout\norientation: landscape\ncolumns: 2", TEXT),
    "Letter in three columns": (
        "kind: handout\npaper: Letter\ncolumns: 3\ntext size: 8 pt",
        "\n\n".join([*PARTS, *LINES]),
    ),
    "Letter across": ("kind: handout\npaper: Letter\norientation: landscape\ntext size: 12 pt", TEXT),
    "cards": (f"kind: handout\ncards: {MANY}", ""),
    "cards on Letter across": (
        f"kind: handout\npaper: Letter\norientation: landscape\ncards: {MANY}",
        WORDS * 3,
    ),
    "exercises": ("kind: exercises", PRACTICE),
    "exercises in columns": ("kind: exercises\npaper: Letter\ncolumns: 2", PRACTICE),
}
"""The head of a sheet and its text."""


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with chromium() as browser:
        yield browser


def guide(folder: Path, head: str, text: str, address: str = "") -> Path:
    files: Files = {
        "content/guide.yaml": "title: A guide\n" + (f"address: {address}\n" if address else ""),
        "content/index.md": SEQUENCES,
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
    names = [f"heading-{n}-of-a-table" for n in range(6)]
    table = "| " + " | ".join(names) + " |\n" + "|---" * 6 + "|\n" + "| cell " * 6 + "|\n"
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
def test_both_ways_of_printing_the_handbook_give_the_same_sheets(browser, tmp_path) -> None:
    """The demo guide: its pocket reference, first evening and exercises take 2, 4 and 2 sheets of A4."""
    shutil.copytree(Path(__file__).parents[2] / "content", tmp_path / "content")
    told = handout(tmp_path)
    counts = {}
    for page in [
        "paper/pocket",
        "paper/first-evening",
        "paper/practice",
        "paper/practice-answers",
    ]:
        file = tmp_path / "output" / f"{page}.html"
        as_pdf = file.with_suffix(".pdf").read_bytes()
        counts[page] = [
            len(papers(as_pdf)),
            told[f"{page}.pdf"],
            len(papers(by_browser(browser, file))),
        ]
    assert counts == {
        "paper/pocket": [2, 2, 2],
        "paper/first-evening": [4, 4, 4],
        "paper/practice": [2, 2, 2],
        "paper/practice-answers": [3, 3, 3],
    }


# A copy in grey -------------------------------------------------------------------------------------------

NET = 7.4
"""How wide the style sheet for paper draws a net, in centimetres."""
DPI = 150
LETTERS = re.compile(r'<g class="letters.*?</g>')
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
