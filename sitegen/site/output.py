"""Writes a site beside the old one and swaps them: all or nothing, and no file of anyone else's is lost."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path, PurePosixPath

try:
    import fcntl
except ImportError:  # no such locks on Windows
    fcntl = None  # type: ignore[assignment]

RECORD = ".turnfolio"
"""Names the files that were written, one a line; what it does not name is somebody else's."""


class OutputError(Exception):
    """Why the site cannot be written, and what to do."""


def replace_site(output: Path, files: Iterable[tuple[str, bytes]]) -> int:
    """Puts a new site at `output`, whole, or leaves the old one as it was; counts its files.

    `files` are paths and what is there, and may be made while they are written. Files in `output` that the
    last publishing did not write are kept. Raises OutputError.
    """
    output = output.resolve()
    with _alone(output):
        beside, old = (output.with_name(f".{output.name}.{what}") for what in ("new", "old"))
        _recover(output, old)
        if output.exists() and not output.is_dir():
            raise OutputError(f"{output.name} is not a folder: move it elsewhere and publish again")
        kept = _foreign(output)
        shutil.rmtree(beside, ignore_errors=True)
        try:
            names = _write(beside, _below(output, files))
            _refuse_clash(output, kept, names)
            _carry_over(output, beside, kept)
            _swap(output, beside, old)
        finally:
            shutil.rmtree(beside, ignore_errors=True)
    return len(names)


@contextmanager
def _alone(output: Path) -> Iterator[None]:
    """Keeps a second publishing of the same guide out; the system ends the lock with the process."""
    if fcntl is None:
        yield
        return
    folder = os.open(output.parent, os.O_RDONLY)
    try:
        fcntl.flock(folder, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        message = f"{output.parent} is being published by another command: wait until it is done"
        raise OutputError(message) from None
    else:
        yield
    finally:
        os.close(folder)


def _recover(output: Path, old: Path) -> None:
    """Puts back what a publishing that was cut off between the two renamings of a swap had moved away."""
    if old.exists() and not output.exists():
        old.rename(output)
    shutil.rmtree(old, ignore_errors=True)


def _foreign(output: Path) -> list[str]:
    """The paths of files, links and empty folders that Turnfolio did not write."""
    record = output / RECORD
    ours = set(record.read_text(encoding="utf-8").split("\n")) if record.is_file() else set()
    found = []
    for path in sorted(output.rglob("*")) if output.is_dir() else []:
        name = path.relative_to(output).as_posix()
        alone = path.is_symlink() or not path.is_dir() or not any(path.iterdir())
        if alone and name not in ours and name != RECORD:
            found.append(name)
    return found


def _below(output: Path, files: Iterable[tuple[str, bytes]]) -> Iterator[tuple[str, bytes]]:
    """The files, as long as each lies below `output`. Raises OutputError."""
    for name, content in files:
        if ".." in name.split("/") or name.startswith("/"):
            raise OutputError(f"{name} is not below {output.name}")
        yield name, content


def _write(folder: Path, files: Iterable[tuple[str, bytes]]) -> list[str]:
    """Writes the files, and a record of them; gives their names."""
    names = []
    for name, content in files:
        _write_one(folder / name, content)
        names.append(name)
    _write_one(folder / RECORD, "".join(f"{name}\n" for name in sorted(names)).encode())
    return names


def _write_one(path: Path, content: bytes) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(content)


def _refuse_clash(output: Path, kept: Iterable[str], names: Iterable[str]) -> None:
    """Raises OutputError for what is kept where a file was written, or above or below one."""
    written = set(names)
    taken = written.union(*map(_above, written))
    for name in kept:
        if name in taken or not written.isdisjoint(_above(name)):
            raise OutputError(
                f"{output.name}/{name} was not written by Turnfolio: move it elsewhere and publish again"
            )


def _above(name: str) -> list[str]:
    """The folders above a file, by their paths below `output`."""
    return [parent.as_posix() for parent in PurePosixPath(name).parents][:-1]


def _carry_over(output: Path, beside: Path, kept: Iterable[str]) -> None:
    for name in kept:
        source, target = output / name, beside / name
        target.parent.mkdir(parents=True, exist_ok=True)
        if source.is_dir() and not source.is_symlink():
            target.mkdir(exist_ok=True)
        else:
            shutil.copy2(source, target, follow_symlinks=False)


def _swap(output: Path, beside: Path, old: Path) -> None:
    if output.exists():
        output.rename(old)
    try:
        beside.rename(output)
    except BaseException:
        if old.exists():
            old.rename(output)
        raise
    shutil.rmtree(old, ignore_errors=True)
