"""How fast a guide is published, as ratios: `python tests/benchmarks/publishing.py [PAGES ...]`.

Guides of 100, 300 and 1,000 pages, each with five blocks of twelve random turns, are published as an author
does, by the command, in processes of their own. *Bare* takes the same files through the same Markdown parser
and one template, and leaves blocks as code. Bars: at 300 pages cold 12 × bare, unchanged .15 and one page
edited .20 of cold; at 1,000 pages .08 and .10, cold 3.6 × 300 pages, and no process with more than 400 MB.
"""

from __future__ import annotations

import os
import random
import sys
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from time import perf_counter

from jinja2 import Environment

from sitegen.cache import PLACE
from sitegen.pages.markdown import parser

SIZES = (100, 300, 1_000)
BLOCKS, TURNS = 5, 12
FACES, AMOUNTS = "URFDLB", ("", "'", "2")
PAGE = "<!doctype html><title>{{ title }}</title>{{ body }}"
WORDS = "Some words about what is shown below, so that there is something to read beside the figures of it."


@dataclass(frozen=True)
class Run:
    seconds: float
    megabytes: float
    """The most memory that one of its processes had."""


def page(number: int) -> str:
    """A page with blocks of random turns, the same for the same number."""
    draw = random.Random(number)
    parts = [f"# Page {number}", WORDS]
    for block in range(1, BLOCKS + 1):
        turns = " ".join(draw.choice(FACES) + draw.choice(AMOUNTS) for _ in range(TURNS))
        parts += [f"## Part {block}", WORDS, f"```moves page-{number}-part-{block}\nmoves: {turns}\n```"]
    return "\n\n".join(parts) + "\n"


def lay_out(folder: Path, pages: int) -> None:
    content = folder / "content"
    content.mkdir(parents=True)
    (content / "guide.yaml").write_text("title: A guide\n", encoding="utf-8")
    for number in range(1, pages + 1):
        name = "index" if number == 1 else f"page-{number:04}"
        (content / f"{name}.md").write_text(page(number), encoding="utf-8")


def bare(folder: Path) -> None:
    """What publishing the same files costs where nothing is turned or drawn."""
    markdown, template = parser(), Environment(autoescape=False).from_string(PAGE)
    output = folder / "bare"
    output.mkdir(exist_ok=True)
    for file in sorted((folder / "content").glob("*.md")):
        body = markdown.render(file.read_text(encoding="utf-8"))
        (output / f"{file.stem}.html").write_text(
            template.render(title=file.stem, body=body), encoding="utf-8"
        )


def timed(*command: str, cache: Path) -> Run:
    """A command as a process of its own; fails if the command does."""
    start = perf_counter()
    environment = {**os.environ, PLACE: str(cache)}
    environment.pop("PYTHONDONTWRITEBYTECODE", None)  # what is installed was compiled once
    child = os.posix_spawn(
        command[0],
        command,
        environment,
        file_actions=[(os.POSIX_SPAWN_OPEN, 1, os.devnull, os.O_WRONLY, 0)],
    )
    _, status, used = os.wait4(child, 0)
    assert status == 0, command
    return Run(perf_counter() - start, used.ru_maxrss / 1024)


def runs(folder: Path, pages: int) -> Iterator[tuple[str, Run]]:
    """Bare, then publishing from nothing, again, and with one page edited."""
    lay_out(folder, pages)
    turnfolio = str(Path(sys.executable).with_name("turnfolio"))
    cache = folder / "cache"
    yield "bare", timed(sys.executable, __file__, "bare", str(folder), cache=cache)
    yield "cold", timed(turnfolio, "publish", str(folder), cache=cache)
    yield "unchanged", timed(turnfolio, "publish", str(folder), cache=cache)
    edited = folder / "content" / f"page-{pages:04}.md"
    edited.write_text(edited.read_text(encoding="utf-8") + "\nOne more sentence.\n", encoding="utf-8")
    yield "one page edited", timed(turnfolio, "publish", str(folder), cache=cache)


def told(pages: int, took: Mapping[str, Run]) -> str:
    cold = took["cold"].seconds
    ratios = [
        f"cold {cold / took['bare'].seconds:6.1f} × bare ({cold:.1f} s, {took['cold'].megabytes:,.0f} MB)",
        f"unchanged {took['unchanged'].seconds / cold:5.2f} × cold",
        f"one page edited {took['one page edited'].seconds / cold:5.2f} × cold",
    ]
    return f"{pages:6,} pages: " + "; ".join(ratios)


if __name__ == "__main__":
    if sys.argv[1:2] == ["bare"]:
        bare(Path(sys.argv[2]))
        sys.exit()
    colds = {}
    for pages in [int(text) for text in sys.argv[1:]] or SIZES:
        with TemporaryDirectory() as name:
            took = dict(runs(Path(name), pages))
        colds[pages] = took["cold"].seconds
        print(told(pages, took), flush=True)
    if {300, 1_000} <= colds.keys():
        print(f"1,000 pages take {colds[1_000] / colds[300]:.2f} × 300 pages")
