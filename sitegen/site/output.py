"""Writes a site beside the old one and swaps them: all or nothing, and no file of anyone else's is lost."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterable, Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from hashlib import sha256
from pathlib import Path, PurePosixPath

from sitegen.parallel import cores

try:
    import fcntl
except ImportError:  # no such locks on Windows
    fcntl = None  # type: ignore[assignment]

RECORD = ".turnfolio"
"""Names the files that were written, one a line; what it does not name is somebody else's."""


class OutputError(Exception):
    """Why the site cannot be written, and what to do."""


class Busy(OutputError):
    """Somebody else is publishing the same guide, and will be done."""


def replace_site(output: Path, files: Iterable[tuple[str, bytes]]) -> int:
    """Puts files at `output`, as `replaced` does; counts them. They may be made while they are written."""
    with replaced(output) as new:
        for name, content in files:
            new.write(name, content)
    return len(new.files)


@contextmanager
def replaced(output: Path) -> Iterator[NewSite]:
    """Puts a new site at `output`, whole, or leaves the old one as it was where anything is raised.

    Files in `output` that the last publishing did not write are kept. Raises OutputError.
    """
    output = output.resolve()
    with _alone(output):
        beside, old = (output.with_name(f".{output.name}.{what}") for what in ("new", "old"))
        _recover(output, old)
        if output.exists() and not output.is_dir():
            raise OutputError(f"{output.name} is not a folder: move it elsewhere and publish again")
        shutil.rmtree(beside, ignore_errors=True)
        new = NewSite(output, beside)
        try:
            yield new
            if new.as_it_was:
                return
            _write_one(beside / RECORD, "".join(f"{name}\n" for name in sorted(new.files)).encode())
            kept = _foreign(output)
            _refuse_clash(output, kept, new.files)
            _carry_over(output, beside, kept)
            _swap(output, beside, old)
        finally:
            shutil.rmtree(beside, ignore_errors=True)


class NewSite:
    """A site that is being written, beside the one in whose place it will be.

    A file that is there already with the same content is taken over as it is, date and all, so that whoever
    sends a site elsewhere by what has changed sends little.
    """

    def __init__(self, output: Path, beside: Path) -> None:
        self.files: dict[str, str] = {}
        """The SHA-256 of each file that was put into it, in hexadecimal digits."""
        self.as_it_was = False
        """Whether the old site stays in its place."""
        self._output, self._beside = output, beside
        self._ours = recorded(output)
        self._old: dict[str, str] = {}

    def write(self, name: str, content: bytes) -> None:
        """Puts a file into it. Raises OutputError."""
        if ".." in name.split("/") or name.startswith("/"):
            raise OutputError(f"{name} is not below {self._output.name}")
        self.files[name] = sha256(content).hexdigest()
        if self._digest(name) == self.files[name]:
            _link(self._output / name, self._beside / name)
        else:
            _write_one(self._beside / name, content)

    def take_over(self, files: Mapping[str, str]) -> bool:
        """Puts files of the old site into it, if each is there with this digest."""
        there = all(self._digest(name) == digest for name, digest in files.items())
        if there:
            self.files |= files
            for name in files:
                _link(self._output / name, self._beside / name)
        return there

    def stands(self, files: Mapping[str, str]) -> bool:
        """Whether these are the files of the old site, each with this digest."""
        if self._ours != files.keys():
            return False
        names, several = [*files], cores()
        with ThreadPoolExecutor(several) as threads:  # reading and digesting a file hold up no other thread
            shares = threads.map(self._digests, (names[n::several] for n in range(several)))
        return all(share[name] == files[name] for share in shares for name in share)

    def _digests(self, names: Iterable[str]) -> dict[str, str]:
        return {name: self._digest(name) for name in names}

    def _digest(self, name: str) -> str:
        """That of what the last publishing wrote there; empty for nothing."""
        if name not in self._old:
            path = self._output / name
            there = name in self._ours and path.is_file() and not path.is_symlink()
            self._old[name] = sha256(path.read_bytes()).hexdigest() if there else ""
        return self._old[name]


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
        raise Busy(message) from None
    else:
        yield
    finally:
        os.close(folder)


def _recover(output: Path, old: Path) -> None:
    """Puts back what a publishing that was cut off between the two renamings of a swap had moved away."""
    if old.exists() and not output.exists():
        old.rename(output)
    shutil.rmtree(old, ignore_errors=True)


def recorded(output: Path) -> frozenset[str]:
    """The paths of the files that the last publishing wrote."""
    record = output / RECORD
    if not record.is_file():
        return frozenset()
    return frozenset(filter(None, record.read_text(encoding="utf-8").split("\n")))


def _foreign(output: Path) -> list[str]:
    """The paths of files, links and empty folders that Turnfolio did not write."""
    ours = recorded(output) | {RECORD}
    found = []
    for path, folders, files in os.walk(output):
        here = Path(path).relative_to(output).as_posix()
        links = [name for name in folders if os.path.islink(os.path.join(path, name))]
        inside = [name if here == "." else f"{here}/{name}" for name in (*files, *links)]
        found += [name for name in inside if name not in ours]
        if here != "." and not files and not folders:
            found.append(here)
    return sorted(found)


def _link(there: Path, path: Path) -> None:
    """The same file at another place too, or a copy of the same date where the system knows no such links."""
    path.parent.mkdir(parents=True, exist_ok=True)
    try:
        os.link(there, path)
    except OSError:
        shutil.copy2(there, path)


def _write_one(path: Path, content: bytes) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(content)


def _refuse_clash(output: Path, kept: Sequence[str], names: Iterable[str]) -> None:
    """Raises OutputError for what is kept where a file was written, or above or below one."""
    if not kept:
        return
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
