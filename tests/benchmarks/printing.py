"""How fast a handout becomes a PDF, as ratios: `python tests/benchmarks/printing.py`.

Each row divides the time for a handout of some 40 sheets, from the guide's files to the bytes of the PDF, by
the time that WeasyPrint takes for as many pages of plain text. The bar is 10.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory
from time import perf_counter

from weasyprint import HTML

from sitegen.guide.load import read_guide
from sitegen.guide.printed import printed
from sitegen.site.pdf import PdfRenderer, page_count
from sitegen.site.render import Site
from sitegen.site.theme import load_theme

SEQUENCES = """\
# Sequences

```moves lift
moves: F E F2 E2 F E
view: corner, top
```

```moves flip
moves: [@lift, U]
ends: solved
```
"""
BLOCK = """\
## Part {number}

Some words about what is shown below, so that there is something to read beside the figures of it.

```moves
title: Number {number}
moves: [@lift, U]
ends: solved
claims: changes only UF and UR
view: corner, top
```
"""
PRACTICE = """\
```practice
from: @flip
count: 60
seed: {number}
lead-in: 2 turns
hold: x and y
```
"""
ROWS = {
    "blocks among text": ("columns: 1", BLOCK, 78),
    "the same in two columns": ("columns: 2", BLOCK, 80),
    "a pocket reference": ("cards: " + ", ".join(["lift", "flip"] * 160), "", 0),
    "exercises": ("", PRACTICE, 4),
}
LINE = "The quick brown fox jumps over the lazy dog, and nobody asks what the dog was dreaming of. "


def guide(head: str, block: str, count: int) -> dict[str, str]:
    body = "\n".join(block.format(number=number) for number in range(1, count + 1))
    return {
        "guide.yaml": "title: A guide",
        "index.md": SEQUENCES,
        "sheet.md": f"---\ntitle: A sheet\nkind: handout\n{head}\n---\n{body}",
    }


def handout(files: dict[str, str]) -> bytes:
    with TemporaryDirectory() as name:
        content = Path(name) / "content"
        content.mkdir()
        for file, text in files.items():
            (content / file).write_text(text, encoding="utf-8")
        read = read_guide(Path(name))
        assert not read.problems
        site = Site(read, load_theme(read.config, Path(name)))
        [sheet] = [each for page in read.pages for each in printed(page, read, "") if not each.answers]
        return PdfRenderer().pdf(site, sheet)


def plain(pages: int) -> bytes:
    """As many pages of text, about as full as a page of a scope."""
    page = '<section style="break-after: page">' + f"<p>{LINE * 5}</p>" * 8 + "</section>"
    return bytes(HTML(string=page * pages).write_pdf(pdf_tags=True))


def timed(job: Callable[[], bytes]) -> tuple[float, bytes]:
    start = perf_counter()
    made = job()
    return perf_counter() - start, made


if __name__ == "__main__":
    timed(lambda: plain(1))
    for name, row in ROWS.items():
        time, pdf = timed(lambda row=row: handout(guide(*row)))
        pages = page_count(pdf)
        baseline, _ = timed(lambda pages=pages: plain(pages))
        took = f"{pages} sheets; {time:.1f} s to {baseline:.1f} s; {len(pdf) / 1e3:,.0f} kB"
        print(f"{time / baseline:6.2f}  {name} ({took})")
