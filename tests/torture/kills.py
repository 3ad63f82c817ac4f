"""Publishing cut off anywhere loses nothing: `python tests/torture/kills.py [AT_OPERATIONS [AT_MOMENTS]]`.

A process that publishes ends without a word, as by a power cut: at one operation on files after another, from
the first to the last, and at moments by chance. Held is what leaves the old site or the new one whole, with
the author's own file in it, and after which publishing again gives the new one and leaves nothing beside.
"""

from __future__ import annotations

import os
import random
import shutil
import sys
from dataclasses import dataclass
from multiprocessing.context import ForkProcess
from pathlib import Path
from tempfile import TemporaryDirectory
from time import perf_counter

from held import ERR, OUT, begun, told, tree, write

from sitegen.cache import PLACE
from sitegen.site.publish import publish

OPERATIONS, MOMENTS = 200, 100
HOME = "# Home\n\n{}.\n\n```moves lift\nmoves: F D' U L2 U2 D2 R U\nclaims: flips UF\n```\n"
BEFORE = {
    "content/guide.yaml": "title: A guide\n",
    "content/index.md": HOME.format("Before"),
    "content/gone.md": "# Gone\n",
    "content/chapter/index.md": "# Chapter\n",
}
AFTER = {
    "content/index.md": HOME.format("After"),
    "content/come.md": "# Come\n\n```find\nclaims: flips UF\nlongest: 3\n```\n",
    "content/chapter/more.md": "# More\n",
}
MINE = "mine.txt"
COUNTED = ("open", "os.", "shutil.", "ctypes.dlsym", "tempfile.")
"""What the audit events begin with that Python tells of before it does something with files (PEP 578)."""


def cut_off(guide: Path, at: int) -> None:
    """Publishes until so many operations on files are done, and says how many if it comes to its end."""
    done, running = 0, True

    def counted(event: str, args: tuple[object, ...]) -> None:
        nonlocal done
        if running and event.startswith(COUNTED):
            done += 1
            if done == at:
                os._exit(9)

    sys.addaudithook(counted)
    publish(guide)
    running = False
    print(done, flush=True)


@dataclass
class Ground:
    """A guide that was published and has changed since, to be laid out again and again."""

    folder: Path

    @property
    def guide(self) -> Path:
        return self.folder / "guide"

    def lay_out(self) -> None:
        for name in ("guide", "cache"):
            shutil.rmtree(self.folder / name, ignore_errors=True)
            shutil.copytree(self.folder / f"{name}-before", self.folder / name)

    def child(self, at: int) -> ForkProcess:
        return begun(lambda: cut_off(self.guide, at), {PLACE: str(self.folder / "cache")}, self.folder)

    def publish(self) -> int:
        """Publishes in a process; how many operations on files that took."""
        process = self.child(-1)
        process.join()
        assert process.exitcode == 0, (self.folder / ERR).read_text(encoding="utf-8")
        return int((self.folder / OUT).read_text(encoding="utf-8"))

    def prepare(self) -> tuple[dict[str, bytes], dict[str, bytes]]:
        """The site before, and after."""
        write(self.guide, BEFORE)
        self.publish()
        (self.guide / "output" / MINE).write_text("mine", encoding="utf-8")
        before = tree(self.guide / "output")
        (self.guide / "content/gone.md").unlink()
        write(self.guide, AFTER)
        for name in ("guide", "cache"):
            shutil.copytree(self.folder / name, self.folder / f"{name}-before")
        self.publish()
        return before, tree(self.guide / "output")

    def held(self, sites: tuple[dict[str, bytes], dict[str, bytes]]) -> bool:
        """Whether what is there after a cut is whole, and can be gone on from."""
        whole = tree(self.guide / "output") in sites
        self.publish()
        beside = sorted(path.name for path in self.guide.iterdir())
        return whole and tree(self.guide / "output") == sites[1] and beside == ["content", "output"]


if __name__ == "__main__":
    wanted = [int(text) for text in sys.argv[1:]] + [OPERATIONS, MOMENTS][len(sys.argv) - 1 :]
    draw = random.Random(1)
    with TemporaryDirectory() as name:
        ground = Ground(Path(name))
        sites = ground.prepare()
        ground.lay_out()
        start = perf_counter()
        operations = ground.publish()
        long = perf_counter() - start
        results = []
        for number in range(wanted[0]):
            ground.lay_out()
            ground.child(1 + number * operations // wanted[0]).join()
            results.append(ground.held(sites))
        print(told(f"cut off at {wanted[0]} of {operations} operations on files", results))
        by_chance = []
        for _ in range(wanted[1]):
            ground.lay_out()
            process = ground.child(-1)
            process.join(draw.uniform(0, long))
            process.kill()
            process.join()
            by_chance.append(ground.held(sites))
        print(told("killed at moments by chance", by_chance))
    sys.exit(not all([*results, *by_chance]))
