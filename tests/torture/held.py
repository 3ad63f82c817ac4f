"""What the scripts here share: how what was tried is told, what is in a folder, and copies of a process.

Knows nothing of what is tried.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Mapping, Sequence
from multiprocessing import get_context
from multiprocessing.context import ForkProcess
from pathlib import Path


def told(what: str, results: Sequence[bool]) -> str:
    return f"{what}: tried {len(results):,}, held {sum(results):,}"


def tree(folder: Path) -> dict[str, bytes]:
    """The content of each file below a folder, by its path there."""
    files = (path for path in sorted(folder.rglob("*")) if path.is_file())
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in files}


def write(folder: Path, files: dict[str, str]) -> None:
    """Writes texts by their paths below a folder."""
    for name, text in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")


OUT, ERR = "out", "err"


def begun(work: Callable[[], object], environment: Mapping[str, str], prints: Path) -> ForkProcess:
    """A process that does some work, begun as a copy of this one, which has read the program already.

    What it prints goes to two files in a folder.
    """
    sys.stdout.flush()
    process = get_context("fork").Process(target=_worked, args=(work, environment, prints))
    process.start()
    return process


def _worked(work: Callable[[], object], environment: Mapping[str, str], prints: Path) -> None:
    os.environ.update(environment)
    for name, stream in ((OUT, 1), (ERR, 2)):
        with (prints / name).open("wb") as file:
            os.dup2(file.fileno(), stream)
    work()
