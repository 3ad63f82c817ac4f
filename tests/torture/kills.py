"""Cut off anywhere, everything stays whole: `python tests/torture/kills.py [OPERATIONS [MOMENTS]]`.

Publishing, printing, a preview that publishes anew, and the keeping of results are ended just before or just
after so many of their operations that change files, evenly spread over all of them, and killed at so many
moments by chance. Held is what leaves each folder of a site as it was or as it will be, with the author's own
files in it, and no result half kept; and after which the same can be done at once and leaves nothing beside.
"""

from __future__ import annotations

import os
import random
import re
import shutil
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from http.client import HTTPConnection
from multiprocessing.context import ForkProcess
from pathlib import Path
from tempfile import TemporaryDirectory
from time import monotonic, perf_counter, sleep
from typing import Any

from held import OUT, begun, told, tree, write

import sitegen.cache
from sitegen.cache import PLACE, Cache, emptied
from sitegen.guide.printed import ANSWERS, OUTPUT
from sitegen.site.pdf import PdfRenderer
from sitegen.site.publish import handout, publish

OPERATIONS, MOMENTS = 200, 100
HOME = "# Home\n\n{}.\n\n```moves lift\nmoves: F D' U L2 U2 D2 R U\nclaims: flips UF\n```\n"
SHEET = "---\nkind: exercises\n---\n# {}\n\n```practice\nfrom: @lift\ncount: 1\n```\n"
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
COUNTED = ("os.", "shutil.", "ctypes.dlsym", "tempfile.")
READING = ("os.listdir", "os.scandir", "os.walk", "os.fwalk", "os.putenv", "os.unsetenv")
"""What the audit events begin with that Python tells of before it does something with files (PEP 578), and
those of them that change nothing, between which all cuts would be the same."""
CUT = 9
"""The status with which a process ends that is cut off."""
COUNTING = f"""
import os, sys
done, running = 0, False
WRITING = os.O_WRONLY | os.O_RDWR | os.O_CREAT
def changes(event, args):
    if event == "open":
        return bool(args[2] & WRITING)
    return event.startswith({COUNTED!r}) and event not in {READING!r}
def counted(event, args):
    global done
    if running and changes(event, args):
        done += 1
        if at == 2 * done - 1:
            os._exit({CUT})
        if at == 2 * done:
            sys.setprofile(over)
def over(frame, *_):
    if frame.f_code is not counted.__code__:
        os._exit({CUT})
sys.addaudithook(counted)
"""
"""Python tells of an operation before it begins. To end after one is to end at whatever Python calls, or
returns from, next: before anything is written to a file that was opened, or to one that was renamed too soon.
"""
Sites = list[dict[str, bytes]]
"""Those of one folder that may stand there, in the order in which they come."""


@dataclass
class Ground:
    """A guide of which one has been made and which has changed since, to be laid out again and again."""

    folder: Path
    work: Callable[[Path], object]
    before: dict[str, str]
    after: dict[str, str]
    gone: tuple[str, ...] = ()
    of_site: tuple[str, ...] = (OUTPUT,)
    """The folders that are written, in the order in which they are."""

    @property
    def guide(self) -> Path:
        return self.folder / "guide"

    @property
    def cache(self) -> str:
        return str(self.folder / "cache")

    def lay_out(self) -> None:
        for name in ("guide", "cache"):
            shutil.rmtree(self.folder / name, ignore_errors=True)
            shutil.copytree(self.folder / f"{name}-before", self.folder / name)

    def child(self, at: int) -> ForkProcess:
        """Does it in a process that ends at a moment, or never; it prints how many operations that took."""

        def worked() -> None:
            counting: dict[str, Any] = {"at": at}
            exec(COUNTING, counting)
            counting["running"] = True
            self.work(self.guide)
            counting["running"] = False
            print(counting["done"])

        return begun(worked, {PLACE: self.cache}, self.folder)

    def all_done(self) -> int:
        """Does it; how many operations that change files that took, or none where it fails."""
        (process := self.child(-1)).join()
        return int((self.folder / OUT).read_text()) if process.exitcode == 0 else 0

    def measured(self) -> tuple[int, float]:
        """How many operations on files it takes, and how many seconds."""
        self.lay_out()
        return self.timed()

    def timed(self) -> tuple[int, float]:
        start = perf_counter()
        return self.all_done(), perf_counter() - start

    def seen(self) -> Sites:
        return [tree(self.guide / name) for name in self.of_site]

    def change(self) -> None:
        for name in self.gone:
            (self.guide / name).unlink()
        write(self.guide, self.after)

    def prepare(self) -> None:
        write(self.guide, self.before)
        self.all_done()
        write(self.guide, {f"{name}/{MINE}": "mine" for name in self.of_site})
        old = self.seen()
        self.change()
        for name in ("guide", "cache"):
            shutil.copytree(self.folder / name, self.folder / f"{name}-before")
        self.all_done()
        new = self.seen()
        self.may_stand = [[*new[:count], *old[count:]] for count in range(len(old) + 1)]

    def cut(self, at: int) -> bool:
        """Whether what is there after a cut at a moment is whole, and can be gone on from."""
        self.lay_out()
        (process := self.child(at)).join()
        assert process.exitcode == CUT
        return self.held()

    def kill(self, after: float) -> bool:
        """The same where it was killed after so many seconds."""
        self.lay_out()
        process = self.child(-1)
        process.join(after)
        process.kill()
        process.join()
        return self.held()

    def held(self) -> bool:
        whole = self.seen() in self.may_stand
        return whole and self.all_done() > 0 and self.done()

    def done(self) -> bool:
        beside = sorted(path.name for path in self.guide.iterdir())
        return self.seen() == self.may_stand[-1] and beside == sorted(["content", *self.of_site])


class KeptResults(Ground):
    """Results in a folder in which somebody has a file too; each a long text, and only some have room."""

    @property
    def guide(self) -> Path:
        return self.folder / "cache"

    def prepare(self) -> None:
        (self.folder / "guide").mkdir()
        self.guide.mkdir()
        (self.guide / MINE).write_text("mine", encoding="utf-8")
        for name in ("guide", "cache"):
            shutil.copytree(self.folder / name, self.folder / f"{name}-before")
        self.all_done()

    def held(self) -> bool:
        results = sorted(self.guide.glob("*.json"))
        whole = len(results) == len(self.known()) and (self.guide / MINE).is_file()
        self.all_done()
        again = 0 < len(self.known()) == len(sorted(self.guide.glob("*.json")))
        emptied(self.guide)
        return whole and again and tree(self.guide) == {MINE: b"mine"}

    def known(self) -> list[int]:
        """Those of the results that are there as they were made."""
        cache = Cache(self.guide)
        return [n for n in range(RESULTS) if cache.known({"of": n}, dict) == {"text": str(n) * LONG}]


RESULTS, LONG = 12, 20_000


def keep_some(folder: Path) -> None:
    """Keeps results where there is room for half of them."""
    sitegen.cache.MOST = RESULTS * LONG // 2
    for number in range(RESULTS):
        Cache(folder).keep({"of": number}, dict, {"text": str(number) * LONG})


class Previewed(Ground):
    """A guide of which there is a preview, in which a page comes; what publishes it is another process."""

    PATIENCE = 60.0

    def prepare(self) -> None:
        super().prepare()
        # To begin with nothing has changed: the page comes when the preview is there.
        (self.folder / "guide-before/content/come.md").rename(self.folder / "come.md")
        counting = COUNTING.replace("if running and", "if os.path.exists(armed) and")
        hook = f"""
import os, sys
armed, at = os.environ["ARMED"], int(os.environ["AT"])
if "--multiprocessing-fork" in sys.orig_argv:
{re.sub("(?m)^", "    ", counting)}
"""
        (self.folder / "hook").mkdir()
        (self.folder / "hook/sitecustomize.py").write_text(hook, encoding="utf-8")

    def measured(self) -> tuple[int, float]:
        self.lay_out()
        self.save()
        return self.timed()

    @contextmanager
    def preview(self, at: int) -> Iterator[subprocess.Popen[bytes]]:
        """A preview that has published what there was."""
        self.lay_out()
        armed = self.folder / "armed"
        armed.unlink(missing_ok=True)
        path = os.pathsep.join([str(self.folder / "hook"), *filter(None, [os.environ.get("PYTHONPATH")])])
        hooked = {**os.environ, PLACE: self.cache, "ARMED": str(armed), "AT": str(at), "PYTHONPATH": path}
        command = [sys.executable, "-c", "from sitegen.cli import main; main()", "preview", str(self.guide)]
        self.log = self.folder / "log"
        with self.log.open("wb") as log:
            process = subprocess.Popen(command, env=hooked, stdout=log, stderr=log, start_new_session=True)
        try:
            self.until(lambda: self.printed.count("published: "))
            armed.touch()
            yield process
        finally:
            with suppress(ProcessLookupError):
                os.killpg(process.pid, signal.SIGKILL)
            process.wait()

    @property
    def printed(self) -> str:
        return self.log.read_text(encoding="utf-8")

    def until(self, there: Callable[[], object]) -> None:
        end = monotonic() + self.PATIENCE
        while not there():
            assert monotonic() < end, self.printed
            sleep(0.02)

    def save(self) -> None:
        """The page comes, at once."""
        shutil.copy(self.folder / "come.md", self.folder / "coming.md")
        os.replace(self.folder / "coming.md", self.guide / "content/come.md")

    def cut(self, at: int) -> bool:
        """What publishes is ended, and the preview goes on."""
        with self.preview(at) as process:
            self.save()
            self.until(lambda: "has ended" in self.printed or self.printed.count("published: ") > 1)
            assert "has ended" in self.printed, "it was not cut off"
            whole = self.seen() in self.may_stand
            (self.folder / "armed").unlink()
            before = self.printed.count("published: ")
            port = int(re.findall(r"http://127\.0\.0\.1:(\d+)/", self.printed)[0])
            connection = HTTPConnection("127.0.0.1", port, timeout=self.PATIENCE)
            connection.request("GET", "/")
            answered = connection.getresponse().status == 200
            self.save()
            self.until(lambda: self.printed.count("published: ") > before)
            held = whole and answered and self.done()
            process.send_signal(signal.SIGINT)
            return process.wait(self.PATIENCE) in (0, 130) and held

    def kill(self, after: float) -> bool:
        """All of the preview's processes are killed."""
        with self.preview(-1):
            self.save()
            sleep(after)
        return self.held()


PRINTED = {**BEFORE, "content/sheet.md": SHEET.format("Before")}


def grounds(folder: Path) -> Iterator[tuple[str, Ground, int]]:
    """What is tried, where, and which share of all tries it gets, in tenths."""
    both = (OUTPUT, ANSWERS)
    yield "publishing", Ground(folder / "publish", publish, BEFORE, AFTER, ("content/gone.md",)), 4
    changed = {**AFTER, "content/sheet.md": SHEET.format("After")}
    yield "printing", Ground(folder / "print", handout, PRINTED, changed, of_site=both), 2
    come = {"content/come.md": AFTER["content/come.md"]}
    yield "a preview, publishing anew", Previewed(folder / "preview", publish, BEFORE, come), 2
    yield "keeping results", KeptResults(folder / "results", keep_some, {}, {}), 2


def spread(cuts: int, operations: int) -> list[int]:
    """Moments to cut at, evenly over all operations, by turns after one and before one.

    Moments are numbered from 1: the one before an operation, the one after it, the one before the next.
    """
    return [2 * (1 + number * operations // cuts) - number % 2 for number in range(cuts)]


if __name__ == "__main__":
    wanted = [int(text) for text in sys.argv[1:]] + [OPERATIONS, MOMENTS][len(sys.argv) - 1 :]
    draw = random.Random(1)
    every: list[bool] = []
    PdfRenderer()  # read once, and not by every process
    with TemporaryDirectory() as name:
        for what, ground, share in grounds(Path(name).resolve()):
            cuts, kills = (max(1, number * share // 10) for number in wanted)
            ground.folder.mkdir()
            ground.prepare()
            operations, long = ground.measured()
            results = [ground.cut(at) for at in spread(cuts, operations)]
            cut_off = f"{what}, cut off before or after its {operations} changes to files"
            print(told(cut_off, results), flush=True)
            by_chance = [ground.kill(draw.uniform(0, long)) for _ in range(kills)]
            print(told(f"{what}, killed at moments by chance", by_chance), flush=True)
            every += [*results, *by_chance]
    sys.exit(not all(every))
