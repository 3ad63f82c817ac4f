"""A page of many costs no more than one of few: `python tests/torture/many_pages.py [PAGES [FEW]]`.

A guide of PAGES pages, each with four sequences, and one of FEW are published. Held is what takes no more
memory than it may, in all of its processes together, and for each page no more than twice the memory and
twice the time of processors. Both are ratios of one run, of what is taken beyond that for two pages.
"""

from __future__ import annotations

import os
import resource
import sys
import threading
from collections.abc import Iterator
from pathlib import Path
from subprocess import Popen
from tempfile import TemporaryDirectory
from time import sleep
from typing import NamedTuple

from held import told, write

from sitegen.cache import PLACE

PAGES, FEW, NONE = 5_000, 500, 2
SEQUENCES = 4
MOST = 2 * 10**9
"""Bytes."""
TWICE = 2.0
TURNS = [f"{face}{often}" for often in ("", "'", "2") for face in "RUFLDB"]


def page(number: int) -> str:
    """A page with sequences that no other page has, and links to others."""
    blocks = []
    for at in range(SEQUENCES):
        rest, moves = number * SEQUENCES + at + 18**3, []
        while rest:
            rest, digit = divmod(rest, 18)
            moves.append(TURNS[digit])
        name = f"way-{number}-{at}"
        blocks.append(f"```moves {name}\ntitle: Way {number} {at}\nmoves: {' '.join(moves)}\n```\n")
    after = f"[on](page{number + 1}.md), [](sequence:way-{number + 1}-0)" if number % 100 else "no further"
    return f"# Page {number}\n\nSome words, and then {after}.\n\n" + "\n".join(blocks)


def guide(pages: int) -> dict[str, str]:
    made = {f"content/page{number}.md": page(number) for number in range(1, pages)}
    last = f"content/page{pages - 1}.md"
    made[last] = made[last].replace(f"[on](page{pages}.md), [](sequence:way-{pages}-0)", "no further")
    return {"content/guide.yaml": "title: A guide\n", "content/index.md": "# Home\n", **made}


class Cost(NamedTuple):
    seconds: float
    memory: int


def published(pages: int) -> Cost:
    with TemporaryDirectory() as name:
        folder = Path(name)
        write(folder / "guide", guide(pages))
        environment = {**os.environ, PLACE: str(folder / "cache")}
        command = [
            sys.executable,
            "-c",
            "from sitegen.begin import begin; begin()",
            "publish",
            str(folder / "guide"),
        ]
        begun = spent()
        with (folder / "log").open("wb") as log:
            process = Popen(command, env=environment, stdout=log, stderr=log)
            most = [0]
            over = threading.Event()
            watching = threading.Thread(target=watch, args=(process.pid, most, over))
            watching.start()
            status = process.wait()
            over.set()
            watching.join()
        took = spent() - begun
        assert status == 0, (folder / "log").read_text()
        return Cost(took, most[0])


def spent() -> float:
    """Seconds of the processor's time that processes took which have ended."""
    usage = resource.getrusage(resource.RUSAGE_CHILDREN)
    return usage.ru_utime + usage.ru_stime


def watch(process: int, most: list[int], over: threading.Event) -> None:
    while not over.is_set():
        most[0] = max(most[0], sum(map(memory, family(process))))
        sleep(0.1)


def family(process: int) -> Iterator[int]:
    yield process
    try:
        children = [
            Path(f"/proc/{process}/task/{task}/children").read_text()
            for task in os.listdir(f"/proc/{process}/task")
        ]
    except OSError:
        return
    for child in " ".join(children).split():
        yield from family(int(child))


def memory(process: int) -> int:
    """Its own share of what is in memory: of what several processes have in common a part."""
    try:
        lines = Path(f"/proc/{process}/smaps_rollup").read_text().splitlines()
    except OSError:
        return 0
    return sum(int(line.split()[1]) for line in lines if line.startswith("Pss:")) * 1024


if __name__ == "__main__":
    wanted = [int(text) for text in sys.argv[1:]] + [PAGES, FEW][len(sys.argv) - 1 :]
    nothing, few, many = (published(pages) for pages in (NONE, wanted[1], wanted[0]))
    for pages, cost in ((NONE, nothing), (wanted[1], few), (wanted[0], many)):
        each = (cost.seconds - (nothing.seconds if pages > NONE else 0)) / pages * 1000
        print(
            f"{pages:,} pages with {SEQUENCES * (pages - 1):,} sequences: {cost.seconds:.1f} s, "
            f"{cost.memory / 10**6:.0f} MB; {each:.1f} ms a page"
        )
    time = (many.seconds - nothing.seconds) / wanted[0] / ((few.seconds - nothing.seconds) / wanted[1])
    room = (many.memory - nothing.memory) / wanted[0] / max(1, (few.memory - nothing.memory) / wanted[1])
    print(
        f"a page of {wanted[0]:,} costs {time:.2f} times the time and {room:.2f} times the memory "
        f"of one of {wanted[1]:,}"
    )
    held = [many.memory < MOST, time < TWICE, room < TWICE]
    print(told("memory, time for a page, memory for a page", held))
    sys.exit(not all(held))
