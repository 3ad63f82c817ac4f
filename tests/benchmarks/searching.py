"""What a search costs a reader: `python tests/benchmarks/searching.py [SEQUENCES]`.

Of a guide with 10,000 sequences, a hundred on a page, and its index alone: how large all of it is, what a
search loads of it, compressed, and how long Chromium takes for each key that is pressed, with its processor
made four times slower, until what is found stands there. Bars: no search loads more than 100 kB beside what
is known of the puzzle; once all is loaded half of the keys take 50 ms at most, and none 150 ms.
"""

from __future__ import annotations

import gzip
import random
import sys
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from time import perf_counter
from urllib.parse import unquote, urlsplit

from playwright.sync_api import Page

sys.path.insert(0, str(Path(__file__).parents[1] / "samples"))

from sample_rendering import BROWSER, chromium

from sitegen.guide.load import read_guide
from sitegen.site.index_files import FINDER, finder, index_files
from sitegen.site.turning_files import SCRIPTS, turning_files

SEQUENCES, ON_A_PAGE, TURNS = 10_000, 100, 12
FACES, AMOUNTS = "URFDLB", ("", "'", "2")
THINGS = [
    "edge",
    "corner",
    "tool",
    "pair",
    "front",
    "back",
    "top",
    "base",
    "side",
    "ring",
    "lead",
    "way",
    "turn",
    "lift",
    "drop",
    "bring",
]
SEARCHES = ("flips two edges", "keeps D", "corner lead 17", "R U R' U'", "page 42", "order 105", "tool")
SLOWER = 4
KEY = """text => new Promise(done => {
  const field = document.querySelector(".search input"), begun = performance.now();
  const state = document.querySelector(".found-here .state");
  state.textContent = "";
  new MutationObserver((_, seen) => {
    seen.disconnect();
    requestAnimationFrame(() => done(performance.now() - begun));
  }).observe(state, { childList: true });
  field.value = text;
  field.dispatchEvent(new Event("input"));
})"""


def lay_out(folder: Path, sequences: int) -> None:
    content, draw = folder / "content", random.Random(10)
    content.mkdir()
    (content / "guide.yaml").write_text("title: A guide\n", encoding="utf-8")
    (content / "index.md").write_text("# Home\n", encoding="utf-8")
    for page in range(1, sequences // ON_A_PAGE + 1):
        parts = [f"# Page {page}"]
        for number in range(1, ON_A_PAGE + 1):
            turns = " ".join(draw.choice(FACES) + draw.choice(AMOUNTS) for _ in range(TURNS))
            title = " ".join(draw.sample(THINGS, 3)).capitalize()
            parts.append(f"```moves on-{page}-{number}\ntitle: {title} {number}\nmoves: {turns}\n```")
        (content / f"page-{page}.md").write_text("\n\n".join(parts) + "\n", encoding="utf-8")


def index_of(folder: Path, site: Path) -> str:
    """Writes what is searched through, with a page to search on; tells how large it is, and what it took."""
    guide = read_guide(folder)
    start = perf_counter()
    index = index_files(guide)
    took = perf_counter() - start
    loaded = {path: text.encode() for path, text in index.items()}
    scopes = (scope.puzzle for scope in guide.scopes.values())
    for path, content in {**loaded, FINDER: finder(), **dict(turning_files(scopes, {}))}.items():
        (site / "files" / path).parent.mkdir(parents=True, exist_ok=True)
        (site / "files" / path).write_bytes(content)
    scripts = "".join(f"<script src='files/{name}'></script>" for name in (*SCRIPTS, FINDER))
    (site / "page.html").write_text(f"<!doctype html><title>x</title><div class='finder'></div>{scripts}")
    whole = sum(len(gzip.compress(content)) for content in loaded.values())
    count, size = len(guide.sequences), f"{whole / 1000:,.0f} kB in {len(loaded)} files"
    return f"{count:,} sequences: {size}, {1000 * took / count:.2f} ms for each"


def searched(page: Page, site: Path, text: str) -> str:
    """What is loaded for a text that is typed letter by letter on a fresh page, and how long each takes."""
    asked: list[Path] = []
    page.on("request", lambda request: asked.append(Path(unquote(urlsplit(request.url).path))))
    page.goto((site / "page.html").as_uri())
    session = page.context.new_cdp_session(page)
    session.send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
    first = [page.evaluate(KEY, text[:end]) for end in range(1, len(text) + 1)]
    again = [page.evaluate(KEY, text[:end]) for end in range(1, len(text) + 1)]
    session.send("Emulation.setCPUThrottlingRate", {"rate": 1})
    parts = [path for path in dict.fromkeys(asked) if "search" in path.parts]
    size = sum(len(gzip.compress(path.read_bytes())) for path in parts)
    return (
        f"{text!r}: {size / 1000:.0f} kB in {len(parts)} files; the longest key {max(first):.0f} ms,"
        f" half within {median(first):.0f} ms; once all is loaded {max(again):.0f} and {median(again):.0f} ms"
    )


if __name__ == "__main__":
    with TemporaryDirectory() as name, chromium(BROWSER) as browser:
        guide, site = Path(name) / "guide", Path(name) / "site"
        guide.mkdir()
        lay_out(guide, int(sys.argv[1]) if sys.argv[1:] else SEQUENCES)
        print(index_of(guide, site), flush=True)
        for text in SEARCHES:
            page = browser.new_context(offline=True).new_page()
            print(searched(page, site, text), flush=True)
            page.context.close()
