"""Where no room is left nothing is lost: `python tests/torture/disk_full.py [TRIES]`, so often each command.

A command runs on a disk on which there is room for some bytes, or for some files, and no more: from none at
all to enough. Held is what either does all or leaves the old site as it was, with a line that says which file
could not be written and why, and status 2; after which, with room again, the same command does all and leaves
nothing beside. The disk is a file system in memory, as Linux has it.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from errno import ENOSPC
from pathlib import Path
from tempfile import mkdtemp
from typing import NamedTuple

from click import Context
from held import ERR, begun, told, tree, write

from sitegen.cache import PLACE
from sitegen.cli import main
from sitegen.site.pdf import PdfRenderer
from sitegen.statuses import MISUSE

TRIES = 40
PAGE = 4096
"""Bytes that such a disk gives at a time."""
HOME = "# Home\n\n{}.\n\n```moves lift\nmoves: F D' U L2 U2 D2 R U\nclaims: flips UF\n```\n"
SHEET = "---\nkind: exercises\n---\n# Sheet\n\n```practice\nfrom: @lift\ncount: 1\n```\n"
MANY = {f"content/page{number}.md": f"# Page {number}\n" for number in range(26)}
"""More than one process makes alone."""
BEFORE = {"content/guide.yaml": "title: A guide\n", "content/index.md": HOME.format("Before"), **MANY}
AFTER = {"content/index.md": HOME.format("After"), "content/come.md": "# Come\n"}
MINE = "mine.txt"


@dataclass(frozen=True)
class Disk:
    """A file system of which the size can be changed, as root."""

    folder: Path

    def room(self, pages: int | None = None, files: int | None = None) -> None:
        """Leaves so much room, or enough."""
        there = os.statvfs(self.folder)
        size = (there.f_blocks - there.f_bfree) * there.f_frsize + (10_000 if pages is None else pages) * PAGE
        inodes = there.f_files - there.f_ffree + (10_000 if files is None else files)
        options = f"remount,size={max(size, PAGE)},nr_inodes={inodes}"
        subprocess.run(["mount", "-o", options, str(self.folder)], check=True)


@dataclass
class Command:
    """What is called, and what there is before."""

    name: str
    arguments: list[str]
    before: dict[str, str] = field(default_factory=dict)
    first: list[str] = field(default_factory=list)
    """What is called before, with room."""
    change: dict[str, str] = field(default_factory=dict)
    """What is written after that."""
    cache_too: bool = False
    """Whether results are kept on the same disk."""


COMMANDS = [
    Command("publishing for the first time", ["publish", "guide"], BEFORE),
    Command("publishing again", ["publish", "guide"], BEFORE, ["publish", "guide"], AFTER),
    Command(
        "publishing, results kept there too", ["publish", "guide"], BEFORE, ["publish", "guide"], AFTER, True
    ),
    Command(
        "printing again",
        ["handout", "guide"],
        {
            "content/guide.yaml": "title: A guide\n",
            "content/index.md": HOME.format("Before"),
            "content/sheet.md": SHEET,
        },
        ["handout", "guide"],
        {"content/sheet.md": SHEET.replace("# Sheet", "# Another")},
    ),
    Command("starting a guide", ["start", "guide/new"], {"content/guide.yaml": "title: A guide\n"}),
    Command("drawing", ["draw", "R U R' U'", "-o", "guide/drawn.svg"], {"drawn.svg": "An older figure.\n"}),
]


class Done(NamedTuple):
    """How a command ended, and what it printed as errors."""

    status: int | None
    errors: str


@dataclass
class Ground:
    """A disk, and beside it what it is laid out from again and again."""

    disk: Disk
    beside: Path
    command: Command
    old: dict[str, bytes] = field(default_factory=dict)
    new: dict[str, bytes] = field(default_factory=dict)

    @property
    def guide(self) -> Path:
        return self.disk.folder / "guide"

    @property
    def cache(self) -> Path:
        return (self.disk.folder if self.command.cache_too else self.beside) / "cache"

    def call(self, arguments: list[str]) -> Done:
        def called() -> None:
            os.chdir(self.disk.folder)
            main(arguments, prog_name="turnfolio")

        process = begun(called, {PLACE: str(self.cache)}, self.beside)
        process.join()
        return Done(process.exitcode, (self.beside / ERR).read_text(encoding="utf-8"))

    def prepare(self) -> None:
        for folder in (self.guide, self.cache, self.beside / "guide-before", self.beside / "cache-before"):
            shutil.rmtree(folder, ignore_errors=True)
        self.cache.mkdir(parents=True)
        write(self.guide, self.command.before)
        if self.command.first:
            done = self.call(self.command.first)
            assert done.status == 0, done.errors
            write(self.guide, {f"output/{MINE}": "mine"})
        write(self.guide, self.command.change)
        self.old = tree(self.guide)
        shutil.copytree(self.guide, self.beside / "guide-before")
        shutil.copytree(self.cache, self.beside / "cache-before")
        done = self.call(self.command.arguments)
        assert done.status == 0, done.errors
        self.new = tree(self.guide)

    def lay_out(self) -> None:
        for name, there in (("guide-before", self.guide), ("cache-before", self.cache)):
            shutil.rmtree(there, ignore_errors=True)
            shutil.copytree(self.beside / name, there)

    def called_with(self, room: dict[str, int]) -> Done:
        """What the command says with so much room."""
        self.disk.room()
        self.lay_out()
        self.disk.room(**room)
        return self.call(self.command.arguments)

    def fault(self, done: Done) -> str:
        """What is wrong with how the command ended; empty for nothing."""
        there, folders = tree(self.guide), self.folders()
        self.disk.room()
        if done.status == 0:
            return "" if there == self.new else "it says that all is done, and it is not"
        again = self.call(self.command.arguments)
        changed = [name for name in {*there, *self.old} if there.get(name) != self.old.get(name)]
        before = sorted(path.name for path in (self.beside / "guide-before").iterdir())
        wrong = {
            f"status {done.status}": done.status != MISUSE,
            f"told is {done.errors!r}": not is_named(done.errors),
            f"changed: {changed}": changed,
            f"beside: {folders}": folders != before,
            f"and then: {again.errors}": again.status != 0,
            "then it is another": tree(self.guide) != self.new,
        }
        return "; ".join(text for text, is_so in wrong.items() if is_so)

    def folders(self) -> list[str]:
        return sorted(path.name for path in self.guide.iterdir())

    def needed(self, what: str) -> int:
        """With how much room it does all: the least of it, found by halving."""
        least, enough = -1, 256
        while enough - least > 1:
            middle = (least + enough) // 2
            if self.called_with({what: middle}).status:
                least = middle
            else:
                enough = middle
        return enough


def is_named(told: str) -> bool:
    """Whether one line says which file could not be written, or in which folder none could, and why."""
    lines = told.splitlines()
    if len(lines) != 1 or os.strerror(ENOSPC) not in lines[0]:
        return False
    named = Path(lines[0].removeprefix("Error: ").partition(" cannot be")[0])
    return named.name != "output"


def results(ground: Ground, tries: int) -> Iterator[bool]:
    for what in ("pages", "files"):
        needed = ground.needed(what) if tries > 1 else 1  # to find that takes longer than one try
        for amount in sorted({number * needed // tries for number in range(tries)}):
            wrong = ground.fault(ground.called_with({what: amount}))
            if wrong:
                print(f"    {ground.command.name}, room for {amount} of {needed} {what}: {wrong}")
            yield not wrong


@contextmanager
def mounted() -> Iterator[Disk]:
    """A disk of our own. Raises CalledProcessError or OSError where none can be had."""
    folder = Path(mkdtemp())
    try:
        subprocess.run(
            ["mount", "-t", "tmpfs", "-o", "size=40m", "tmpfs", str(folder)], check=True, capture_output=True
        )
        try:
            yield Disk(folder)
        finally:
            subprocess.run(["umount", str(folder)], check=True)
    finally:
        folder.rmdir()


def read_ahead() -> None:
    """Reads what the commands need, which each of their processes would have to do alone."""
    for command in COMMANDS:
        main.get_command(Context(main), command.arguments[0])
    PdfRenderer()


if __name__ == "__main__":
    tries = int(sys.argv[1]) if len(sys.argv) > 1 else TRIES
    if sys.platform != "linux":
        sys.exit("skipped: such disks are a thing of Linux")
    if os.geteuid() != 0 and "inside" not in os.environ:
        # In a room of its own whoever runs this may mount what concerns nobody else, if the system lets them.
        within = ["unshare", "--user", "--map-root-user", "--mount", sys.executable, *sys.argv]
        sys.exit(subprocess.run(within).returncode)
    every: list[bool] = []
    read_ahead()
    try:
        with mounted() as disk:
            for command in COMMANDS:
                beside = Path(mkdtemp())
                ground = Ground(disk, beside, command)
                ground.prepare()
                every += (found := list(results(ground, tries)))
                print(told(command.name, found))
                disk.room()
                shutil.rmtree(ground.guide)
                shutil.rmtree(beside)
    except subprocess.CalledProcessError as error:
        print(f"skipped: no disk can be mounted here: {error.stderr}")
    sys.exit(not all(every))
