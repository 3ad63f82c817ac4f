"""How soon a preview shows what was saved, measured in one run: `python tests/benchmarks/saving.py [PAGES]`.

A sentence is written below a page, and the page asked for until it says so. Bars: for the guide of 300 pages
of `publishing.py` a tenth of what publishing from nothing takes, for the demo guide half a second, which is
printed beside the same ratio.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from http.client import HTTPConnection
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from time import perf_counter, sleep

from publishing import lay_out

from sitegen.cache import PLACE

DEMO = Path(__file__).parents[2]
TURNFOLIO = str(Path(sys.executable).with_name("turnfolio"))
SAVES = 7
LOOK = 0.005
"""Seconds between one request and the next."""


@contextmanager
def previewed(folder: Path) -> Iterator[int]:
    """The port of a preview of a folder."""
    process = subprocess.Popen([TURNFOLIO, "preview", str(folder)], stdout=subprocess.PIPE, text=True)
    assert process.stdout
    try:
        yield next(int(found[1]) for line in process.stdout if (found := re.search(r":(\d+)/", line)))
    finally:
        process.terminate()
        process.wait()


def until_shown(port: int, path: str, text: str) -> None:
    while True:
        connection = HTTPConnection("127.0.0.1", port)
        connection.request("GET", f"/{path}")
        if text.encode() in connection.getresponse().read():
            return
        sleep(LOOK)


def saved(folder: Path, page: str) -> float:
    """The median seconds from a save to a page that shows it."""
    file, times = folder / f"content/{page}.md", []
    with previewed(folder) as port:
        for number in range(SAVES + 1):
            text = f"Sentence number {number}."
            file.write_text(f"{file.read_text(encoding='utf-8')}\n{text}\n", encoding="utf-8")
            start = perf_counter()
            until_shown(port, f"{page}.html", text)
            times.append(perf_counter() - start)
    return median(times[1:])  # the first waits for the process that publishes to begin


def told(name: str, folder: Path, page: str) -> str:
    start = perf_counter()
    subprocess.run([TURNFOLIO, "publish", str(folder)], check=True, stdout=subprocess.DEVNULL)
    cold = perf_counter() - start
    seconds = saved(folder, page)
    return f"{name:12} {seconds / cold:.3f} × cold ({seconds:.2f} s, {cold:.1f} s)"


if __name__ == "__main__":
    pages = int(sys.argv[1]) if sys.argv[1:] else 300
    with TemporaryDirectory() as name:
        os.environ[PLACE] = f"{name}/cache"
        lay_out(Path(name, "many"), pages)
        print(told(f"{pages} pages", Path(name, "many"), f"page-{pages:04}"))
        shutil.copytree(DEMO / "content", Path(name, "demo/content"))
        print(told("the demo", Path(name, "demo"), "two-edges"))
