"""How steadily turns are played: `python tests/benchmarks/playing.py`.

For large puzzles, once they are open, the longest that a page works at a stretch while layers turn, and while
the puzzle is turned about, in Chromium with its processor made four times slower, as its tracing tells it.
The bar is 33 ms.
"""

from __future__ import annotations

import json
import sys
import tempfile
from pathlib import Path

from playwright.sync_api import Page

sys.path.insert(0, str(Path(__file__).parents[1] / "samples"))

from sample_rendering import BROWSER, chromium

from sitegen.puzzles import catalogue
from sitegen.site.turning_files import turning_files

PUZZLES = {"cube-7": "R 3Rw U2 2-3F L' Dw", "megaminx": "U R2 F L' Dr Bl"}
SCRIPTS = "<script src='moves.js'></script><script src='turning.js'></script>"
SLOWER = 4
BAR = 33
CATEGORIES = ["disabled-by-default-devtools.timeline", "__metadata"]

OPEN = """async ([name, turns]) => {
  const of = await turning.puzzle(name);
  window.player = turning.player(of, {turns}, name, () => {});
  document.body.replaceChildren(player.about);
}"""
PLAY = "() => player.begin()"
ABOUT = """() => new Promise(done => {
  const stage = document.querySelector(".stage");
  let left = 60;
  const step = () => {
    stage.dispatchEvent(new KeyboardEvent("keydown", {key: left % 2 ? "ArrowLeft" : "ArrowUp"}));
    if (left--) requestAnimationFrame(step); else done();
  };
  requestAnimationFrame(step);
})"""


def longest(page: Page, what: str, begin: str, seconds: float) -> str:
    """The longest tasks of the page's thread meanwhile, in milliseconds."""
    session = page.context.new_cdp_session(page)
    session.send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
    page.wait_for_timeout(500)
    page.context.browser.start_tracing(page=page, categories=CATEGORIES)
    page.evaluate(begin)
    page.wait_for_timeout(seconds * 1000)
    events = json.loads(page.context.browser.stop_tracing())["traceEvents"]
    session.send("Emulation.setCPUThrottlingRate", {"rate": 1})
    main = {(e["pid"], e["tid"]) for e in events if e.get("args", {}).get("name") == "CrRendererMain"}
    tasks = [e for e in events if e.get("name") == "RunTask" and (e["pid"], e["tid"]) in main]
    frames = sorted(task.get("dur", 0) / 1000 for task in tasks)
    over = sum(frame > BAR for frame in frames)
    first, second, third = frames[:-4:-1]
    return f"{what}: longest {first:.0f} ms, then {second:.0f} and {third:.0f}; {over} over {BAR} ms"


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as name, chromium(BROWSER) as browser:
        folder = Path(name)
        (folder / "turning").mkdir()
        for path, content in turning_files(map(catalogue.puzzle, PUZZLES), {}):
            (folder / path).write_bytes(content)
        (folder / "page.html").write_text(f"<!doctype html><title>x</title>{SCRIPTS}")
        page = browser.new_page(viewport={"width": 400, "height": 800})
        for puzzle, turns in PUZZLES.items():
            page.goto((folder / "page.html").as_uri())
            page.evaluate(OPEN, [puzzle, turns])
            print(longest(page, f"{puzzle}, layers turn", PLAY, 4), flush=True)
            print(longest(page, f"{puzzle}, turned about", ABOUT, 0.2), flush=True)
