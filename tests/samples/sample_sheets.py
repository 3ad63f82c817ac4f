"""A small guide with a sheet of each kind, PDFs read back into words, and how both are printed.

Knows poppler's `pdftotext`, pypdf, Chromium and WeasyPrint; where one is missing, tests are skipped, but not
on a build server.
"""

from __future__ import annotations

import io
import re
import shutil
import subprocess
import unicodedata
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from html import unescape
from math import sqrt
from operator import mul
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from playwright.sync_api import Browser, Page
from sample_methods import CORNER_STAGES
from sample_rendering import CHROMIUM, PDFTOPPM, needs

ADDRESS = "https://club.example/guide/"
LIFT = "F D' U L2 U2 D2 R U"
SEQUENCES = f"""\
# Sequences

```moves lift-edge
title: Lift the front edge
moves: {LIFT}
claims: flips UF
view: corner, top
```

```moves two-flips
title: Turn two edges over
moves: [@lift-edge, U]
ends: solved
view: top
```

```moves three-round
title: Send three corners round
moves: R U' L' U R' U' L U
view: top
```

```moves in-a-mess
title: Leave a mess behind
moves: R U F
```
"""
CARDS = """\
---
title: Cards to carry
kind: handout
orientation: landscape
cards: two-flips, lift-edge, three-round
---
"""
EXERCISES = """\
---
title: For next week
summary: To be done with a cube.
kind: exercises
paper: Letter
answers: published
---

```practice by-hand
title: By hand
from: @two-flips and @three-round
count: 3
seed: 7
lead-in: 1 turn of R and F
hold: y
view: corner with back
say: Set each position up on a solved cube.
```

```practice by-pencil
title: By pencil
from: @two-flips and @three-round
fill in: arrows, effect, undoing, commutator
count: 4
seed: 3
hold: y
view: top
```
"""
ESSAY = """\
---
title: How it works
kind: handout
columns: 2
---

## First thought

Words in front, see [the sequences](index.md), [a public page](https://example.org/more) and
[the second thought](#second-thought).

```moves
title: Both edges
moves: @two-flips
ends: solved
claims: flips UF and UR
```

## Second thought

```derivation why
guard: U except UF
watch: UF
steps:
- turn: F
  as: down
  say: It goes down.
- turn: E
- undo: down
  say: The row goes up again.
```

```position solved-cube
title: As it is bought
moves: R R'
view: net
```
"""
METHOD = f"""\
---
title: A method
puzzle: cube-2
---

```moves twist-pair
[R' D2 R F D2 F', U]
```

```moves three-up
R U' L' U R' U' L U
```

```method small
title: The small method
{CORNER_STAGES}```
"""
CASES = """\
---
title: What may come
puzzle: cube-2
kind: handout
case sheet: small Twisted
---
"""

Files = dict[str, str | bytes]


def sheet_guide(address: str = "") -> Files:
    """A guide with a pocket reference, exercises, a handout in columns and a case sheet."""
    return {
        "content/guide.yaml": "title: A guide\n" + (f"address: {address}\n" if address else ""),
        "content/index.md": SEQUENCES,
        "content/cards.md": CARDS,
        "content/exercises.md": EXERCISES,
        "content/essay.md": ESSAY,
        "content/method.md": METHOD,
        "content/cases.md": CASES,
    }


SHEETS = ("cards.html", "exercises.html", "exercises-answers.html", "essay.html", "cases.html")


def running(html: str) -> dict[str, str]:
    """What the first @page rule of a page says in each of its margin boxes, its escapes read."""
    found = re.search(r"@page \{(.*?)\n\}", html, re.DOTALL)
    assert found
    boxes = re.findall(r'@([a-z-]+) \{ content: ((?:"[^"]*"|url\("[^"]*"\)|counter\([a-z]+\)| )+)', found[1])
    return {name: re.sub(r"\\([0-9a-f]{1,6}) ?", _escaped, said.strip()).strip('"') for name, said in boxes}


def _escaped(found: re.Match[str]) -> str:
    """CSS Syntax Level 3, 4.3.7: up to six hexadecimal digits, and one space that ends them."""
    return chr(int(found[1], 16))


try:
    import weasyprint as printer
except (ImportError, OSError):  # not installed, or without the library that it sets text with
    printer = None  # type: ignore[assignment]

needs_printer = needs(weasyprint=printer, pdftotext=shutil.which("pdftotext"))


@dataclass(frozen=True)
class Word:
    """In points, from the left and the top of its sheet."""

    text: str
    left: float
    top: float
    right: float
    bottom: float

    @property
    def middle(self) -> float:
        return (self.top + self.bottom) / 2


@dataclass(frozen=True)
class Paper:
    """A sheet of a PDF; all lengths are in points."""

    width: float
    height: float
    words: tuple[Word, ...]
    foot: float

    @property
    def head_words(self) -> list[str]:
        return [word.text for word in self.words if word.middle < MARGIN]

    @property
    def foot_words(self) -> list[str]:
        return [word.text for word in self.words if word.middle > self.height - self.foot]

    @property
    def body(self) -> list[Word]:
        return [word for word in self.words if MARGIN <= word.middle <= self.height - self.foot]


MILLIMETRE = 72 / 25.4
MARGIN, FOOT_WITH_CODE = 14 * MILLIMETRE, 18 * MILLIMETRE
"""As the template for paper gives them."""


def papers(pdf: bytes, foot: float = MARGIN) -> list[Paper]:
    """Every sheet of a PDF with its words and where they stand."""
    command = ["pdftotext", "-bbox", "-", "-"]
    html = subprocess.run(command, input=pdf, capture_output=True, check=True).stdout.decode()
    found = []
    for width, height, inside in re.findall(
        r'<page width="([\d.]+)" height="([\d.]+)">(.*?)</page>', html, re.DOTALL
    ):
        words = re.findall(r'<word xMin="(.*?)" yMin="(.*?)" xMax="(.*?)" yMax="(.*?)">(.*?)</word>', inside)
        boxes = tuple(Word(unescape(text), *map(float, box)) for *box, text in words)
        found.append(Paper(float(width), float(height), boxes, foot))
    return found


@dataclass(frozen=True)
class Line:
    """A run of text of one size, as it stands in a line of a sheet; lengths in points."""

    sheet: int
    top: float
    left: float
    size: float
    text: str


def lines(pdf: bytes, folder: Path) -> list[Line]:
    """All text of a PDF with its size, to a third of a point, in the order in which it was set."""
    (folder / "lines.pdf").write_bytes(pdf)
    command = ["pdftohtml", "-xml", "-i", "-zoom", "3", "-stdout", str(folder / "lines.pdf")]
    xml = subprocess.run(command, capture_output=True, check=True).stdout.decode()
    root = ElementTree.fromstring(re.sub(r"<!DOCTYPE.*?>", "", xml))
    sizes = {font.attrib["id"]: int(font.attrib["size"]) / 3 for font in root.iter("fontspec")}
    return [
        Line(
            number,
            int(text.attrib["top"]) / 3,
            int(text.attrib["left"]) / 3,
            sizes[text.attrib["font"]],
            " ".join("".join(text.itertext()).split()),
        )
        for number, page in enumerate(root.iter("page"), 1)
        for text in page.iter("text")
        if "".join(text.itertext()).strip()
    ]


def pdf_reader(pdf: bytes) -> Any:
    return pytest.importorskip("pypdf").PdfReader(io.BytesIO(pdf))


# Printing -------------------------------------------------------------------------------------------------

needs_browser = needs(chromium=CHROMIUM, pdftotext=shutil.which("pdftotext"))


WITHOUT_LETTERS = """() => {
  const sheet = new CSSStyleSheet();
  sheet.replaceSync("svg text { display: none !important }");
  document.adoptedStyleSheets.push(sheet);
}"""
"""A script that hides the letters in figures: a page takes no sheet that it does not have."""


def opened(browser: Browser, file: Path) -> Page:
    """A page as its reader opens it, from the file system, laid out as on paper; one after another."""
    contexts = browser.contexts or [browser.new_context(offline=True)]
    page = contexts[0].pages[0] if contexts[0].pages else contexts[0].new_page()
    page.goto(file.as_uri())
    page.emulate_media(media="print")
    return page


def by_browser(browser: Browser, file: Path, letters: bool = False) -> bytes:
    """The PDF that Chromium prints; letters in figures are left out where words are to be counted."""
    page = opened(browser, file)
    if not letters:
        page.evaluate(WITHOUT_LETTERS)
    return page.pdf(prefer_css_page_size=True)


@dataclass(frozen=True)
class Unit:
    """Some words of a page, and whether they must all be on one sheet."""

    words: tuple[str, ...]
    whole: bool


def tokens(text: str) -> list[str]:
    """Words, which may end with a line at a hyphen, a dash or a slash. Bullets are not always written."""
    return re.findall(r"[^\s\-–—/•]+", unicodedata.normalize("NFKC", text))


def units(browser: Browser, file: Path, paper: Paper) -> list[Unit]:
    """What there is to be read on a printed page, in order, what is not to be split each by itself."""
    page = opened(browser, file)
    px = 96 / 72
    width, height = (paper.width - 2 * MARGIN) * px, (paper.height - MARGIN - paper.foot) * px
    page.set_viewport_size({"width": int(width), "height": 1000})
    found = page.evaluate(UNITS, height)
    return [Unit(tuple(tokens(text)), whole) for text, whole in found]


UNITS = """height => {
  const CARD = `.card:not(.long), .exercises > li, .pocket > li, .cases > li, .answered > li`;
  const WHOLE = `.opening > *, .variant, .name-line, .flow > blockquote, h2, h3, tr, dl,
    .practice > .head, .stages > li, .case-sheet > p`;
  const found = [], range = document.createRange();
  const add = (text, element) => {
    const whole = element.closest(CARD) || element.closest(WHOLE);
    let block = element;
    while (/^(inline|contents)$/.test(getComputedStyle(block).display)) block = block.parentElement;
    const last = found.at(-1);
    if (last && last.whole === whole) last.text += (last.block === block ? "" : " ") + text;
    else found.push({whole, text});
    found.at(-1).block = block;
  };
  const written = element => {
    const style = getComputedStyle(element, "::before");
    const literal = style.content.match(/^"([^"]*)"/);
    if (literal) add(literal[1] + " ", element);
    else if (style.content.startsWith("counter"))
      add([...element.closest("ol").children].indexOf(element.closest("li")) + 1 + ". ", element);
  };
  const walk = element => {
    if (element.closest("svg, script, style") || getComputedStyle(element).display === "none") return;
    written(element);
    for (const child of element.childNodes) {
      if (child.nodeType === 1) walk(child);
      if (child.nodeType !== 3 || !child.data.trim()) {
        if (child.nodeType === 3 && found.length) found.at(-1).text += " ";
        continue;
      }
      range.selectNodeContents(child);
      if (range.getClientRects().length) add(child.data, element);
    }
  };
  walk(document.querySelector("main"));
  const fits = element => element !== null && element.getBoundingClientRect().height < height;
  return found.map(({whole, text}) => [text, fits(whole)]);
}"""
"""Each run of text, and whether it must stay on one sheet, which is so unless it is taller than that."""


def shared_out(wanted: list[Unit], sheets: list[Paper]) -> str:
    """What is lost, added, split or out of order when units are laid on sheets in turn; or nothing."""
    left = [Counter(tokens(" ".join(word.text for word in sheet.body))) for sheet in sheets]
    if not all(left):
        return f"sheet {[bool(each) for each in left].index(False) + 1} is empty"
    at = 0
    for unit in wanted:
        for part in [unit.words] if unit.whole else [(word,) for word in unit.words]:
            if not left[at] and at + 1 < len(left):
                at += 1
            missing = Counter(part) - left[at]
            if missing:
                place = f"on sheet {at + 1} of {len(left)}"
                return f"{place}: no {list(missing)} of {' '.join(part)}; left: {' '.join(left[at])}"
            left[at] -= Counter(part)
    over = sum(left, Counter())
    return f"left over: {list(over)}" if over else ""


def out_of_bounds(sheet: Paper) -> list[str]:
    """Words that reach over the margins; a point is for the slant and the overhang of letters."""
    return [
        word.text
        for word in sheet.body
        if word.left < MARGIN - 1
        or word.right > sheet.width - MARGIN + 1
        or word.top < MARGIN - 1
        or word.bottom > sheet.height - sheet.foot + 1
    ]


def overlapping(sheet: Paper) -> list[tuple[str, str]]:
    """Words that lie on one another by more than a point of their width and a third of their height."""
    found = []
    words = sorted(sheet.words, key=lambda word: word.left)
    for number, one in enumerate(words):
        for other in words[number + 1 :]:
            if other.left > one.right - 1:
                break
            deep = min(one.bottom, other.bottom) - max(one.top, other.top)
            if deep > min(one.bottom - one.top, other.bottom - other.top) / 3:
                found.append((one.text, other.text))
    return found


def structure(pdf: bytes) -> list[Any]:
    """Every element of the structure of a tagged PDF."""
    return list(_inside(pdf_reader(pdf).root_object["/StructTreeRoot"]))


def _inside(element: Any) -> Iterator[Any]:
    if "/K" not in element:
        return
    children = element["/K"]
    for child in children if isinstance(children, list) else [children]:
        child = child.get_object()
        if isinstance(child, dict) and "/S" in child:
            yield child
            yield from _inside(child)


def raster(pdf: bytes, dpi: int, sheet: int = 1, across: tuple[int, int] = (0, 0)) -> Any:
    """A sheet of a PDF as a picture in grey; where `across` says so, from one column of pixels to another."""
    image = pytest.importorskip("PIL.Image")
    assert PDFTOPPM, "a build server must have poppler's pdftoppm"
    left, right = across
    strip = ["-x", str(left), "-y", "0", "-W", str(right - left), "-H", "0"] if right else []
    command = [PDFTOPPM, "-gray", "-r", str(dpi), "-f", str(sheet), *strip, "-singlefile", "-"]
    pgm = subprocess.run(command, input=pdf, capture_output=True, check=True).stdout
    return image.open(io.BytesIO(pgm)).convert("L")


def longest_dark(lines: Any) -> tuple[int, int]:
    """Where the longest run of dark pixels in any line of a picture in grey begins and ends."""
    image = lines.point(lambda value: 1 if value < 64 else 0)
    data, width = image.tobytes(), image.width
    rows = (data[at : at + width] for at in range(0, len(data), width))
    runs = (
        (found.end() - found.start(), *found.span()) for row in rows for found in re.finditer(b"\1+", row)
    )
    _, start, end = max(runs)
    return start, end


def net_centre(sheet: Any) -> tuple[float, float]:
    """The middle of the only net on a sheet: its outline has the longest dark lines, across and down."""
    image = pytest.importorskip("PIL.Image")
    across, down = longest_dark(sheet), longest_dark(sheet.transpose(image.Transpose.TRANSPOSE))
    return sum(across) / 2, sum(down) / 2


def normal(crop: bytes) -> list[float]:
    """Lightness with its mean and its swing taken away, so that nothing but the pattern is left, if any."""
    mean = sum(crop) / len(crop)
    size = sqrt(sum((value - mean) ** 2 for value in crop))
    plain = size < 5 * sqrt(len(crop))
    return [0.0 if plain else (value - mean) / size for value in crop]


def alike(one: list[float], other: list[float]) -> float:
    """The correlation of two patterns."""
    return sum(map(mul, one, other))
