"""Writes a site beside the old one and swaps them: all or nothing, and no file of anyone else's is lost."""

from __future__ import annotations

import json
import os
import shutil
from collections.abc import Collection, Iterable, Iterator, Mapping
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager, suppress
from hashlib import sha256
from pathlib import Path
from tempfile import mkdtemp
from time import monotonic, sleep

from sitegen.folders import content_of
from sitegen.parallel import cores
from sitegen.site.exchange import exchanged

try:
    import fcntl
except ImportError:  # no such locks on Windows
    fcntl = None  # type: ignore[assignment]

RECORD = ".turnfolio"
"""Names the files that were written, each with its digest, as JSON; all else is somebody's own."""
WORKSHOP = ".turnfolio-"
"""How the name of a folder begins in which a site is made, beside the one that it will replace."""
SITE, OLD, WHOSE = "site", "old", "whose.json"
"""What is in it: the new site, for a moment the old one, and a file that says for whom it was made."""
PATIENCE = 0.5
"""Seconds after which another command is at work."""
NAMED = 3
"""So many files are named where something is wrong with several."""


class OutputError(Exception):
    """Why the site cannot be written, and what to do."""


class Busy(OutputError):
    """Somebody else is publishing the same guide, and will be done."""


@contextmanager
def alone(folder: Path) -> Iterator[None]:
    """Keeps everybody else from publishing the guide in a folder. Raises Busy.

    The system ends the lock with the process, and with those that it has started.
    """
    if fcntl is None:
        yield
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        _lock(handle)
    except BlockingIOError:
        numbers = [number for place in _workshops(folder) if (number := _whose(place).get("process"))]
        who = f"process {numbers[0]}" if len(numbers) == 1 else "another command"
        raise Busy(f"{folder.resolve()} is being published by {who}: wait until it is done") from None
    else:
        yield
    finally:
        os.close(handle)


def _lock(handle: int) -> None:
    """Locks a folder, as soon as what was started by a process that was killed has ended too."""
    end = monotonic() + PATIENCE
    while True:
        try:
            return fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            if monotonic() > end:
                raise
        sleep(PATIENCE / 20)


def replace_site(output: Path, files: Iterable[tuple[str, bytes]]) -> int:
    """Puts files at `output`, as `replaced` does; counts them. They may be made while they are written."""
    with replaced(output) as new:
        for name, content in files:
            new.write(name, content)
    return len(new.files)


@contextmanager
def replaced(output: Path) -> Iterator[NewSite]:
    """Puts a new site at `output`, whole, or leaves the old one as it was where anything is raised.

    Files in `output` that the last publishing did not write, or that have changed since, are kept. Only one
    may do so at a time (`alone`). Raises OutputError.
    """
    put_back(output)
    if output.is_symlink():
        raise OutputError(f"{output} is a link: a site is published to a folder of the guide, make it one")
    if output.exists() and not output.is_dir():
        raise OutputError(f"{output.name} is not a folder: move it elsewhere and publish again")
    workshop = Path(mkdtemp(prefix=WORKSHOP, dir=output.parent))
    try:
        whose = {"output": output.name, "process": os.getpid()}
        with _called(workshop, WHOSE):
            (workshop / WHOSE).write_text(json.dumps(whose), encoding="ascii")
        new = NewSite(output, workshop / SITE)
        yield new
        if not new.as_it_was:
            new.finish()
            _swap(output, workshop)
    finally:
        left = [place for place in _workshops(output.parent, output.name) if not _removed(place)]
    if left:
        raise OutputError(f"{left[0]} is left over and cannot be removed: remove it")


def put_back(output: Path) -> None:
    """Puts back what a publishing that was cut off in its swap had moved away, where there is no exchange."""
    for place in _workshops(output.parent, output.name):
        if (place / OLD).is_dir() and not os.path.lexists(output):
            (place / OLD).rename(output)


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
        self.kept: list[str] = []
        """The files that were published once, have been changed since, and are the author's now."""
        self._output, self._beside = output, beside
        self._is_first = not output.exists()
        self._ours = recorded(output)
        self._old: dict[str, str] = {}
        beside.mkdir()

    def write(self, name: str, content: bytes) -> None:
        """Puts a file into it. Raises OutputError."""
        self.files[name] = self.put(name, content)

    def put(self, name: str, content: bytes) -> str:
        """The digest of a file that was put there and is not counted yet, so that any process may do it."""
        if ".." in name.split("/") or name.startswith("/"):
            raise OutputError(f"{name} is not below {self._output.name}")
        digest = sha256(content).hexdigest()
        with _called(self._output, name):
            if self._digest(name) == digest:
                _link(f"{self._output}/{name}", f"{self._beside}/{name}")
            else:
                _write_one(self._beside / name, content)
        return digest

    def take_over(self, files: Mapping[str, str]) -> bool:
        """Puts files of the old site into it, if each is there with this digest."""
        there = all(self._digest(name) == digest for name, digest in files.items())
        if there:
            self.files |= files
            before, after = os.fspath(self._output), os.fspath(self._beside)
            for name in files:
                with _called(self._output, name):
                    _link(f"{before}/{name}", f"{after}/{name}")
        return there

    def stands(self, files: Mapping[str, str]) -> bool:
        """Whether these are the files of the old site, each with this digest."""
        return self._ours == files and not self._changed()

    def finish(self) -> None:
        """Puts into it what is not the site's, and the record. Raises OutputError where names clash."""
        changed = self._changed()
        own = [name for name in _inside(self._output) if name not in self._ours or name in changed]
        folders = {folder for name in self.files for folder in _above(name)}
        there = {name for name in folders if _is_folder(self._output / name)}
        kept = [n for n in own if n not in there and self.files.get(n) != self._digest(n)]
        self.kept = [name for name in kept if name in self._ours]
        self._refuse_clash(kept, {*self.files, RECORD, *folders})
        for name in kept:
            with _called(self._output, name):
                _carry_over(self._output / name, self._beside / name)
        record = json.dumps({"files": self.files}, indent=1, sort_keys=True)
        with _called(self._output, RECORD):
            _write_one(self._beside / RECORD, record.encode())
        # Last, since a folder may be one in which nobody writes.
        for folder, _, _ in os.walk(self._beside):
            before = self._output / Path(folder).relative_to(self._beside)
            if _is_folder(before):
                shutil.copymode(before, folder)

    def _refuse_clash(self, kept: Iterable[str], taken: Collection[str]) -> None:
        """Raises OutputError for what is kept where a file was written or a folder made, or below a file."""
        found = [name for name in kept if name in taken or any(each in self.files for each in _above(name))]
        if found:
            several = len(found) > 1
            names = [f"{self._output.name}/{name}" for name in found[:NAMED]]
            others = [f"{len(found) - NAMED} more"] if len(found) > NAMED else []
            *before, last = *names, *others
            message = " and ".join(filter(None, [", ".join(before), last]))
            if all(name in self._ours for name in found):
                message += " have" if several else " has"
                message += " changed since the last publishing"
            else:
                message += f" {'were' if several else 'was'} not written by Turnfolio"
            what = "them" if several else "it"
            whole = f", or all of {self._output.name}/ if none of it is yours," if others else ""
            raise OutputError(f"{message}: move {what} elsewhere{whole} and publish again")

    def _changed(self) -> set[str]:
        """The files of the old site that are not as they were written."""
        names, several = [*self._ours], cores()
        with ThreadPoolExecutor(several) as threads:  # reading and digesting a file hold up no other thread
            shares = [*threads.map(self._digests, (names[n::several] for n in range(several)))]
        return {name for share in shares for name in share if share[name] != self._ours[name]}

    def _digests(self, names: Iterable[str]) -> dict[str, str]:
        return {name: self._digest(name) for name in names}

    def _digest(self, name: str) -> str:
        """That of a file in the old site; empty for none, and for what cannot be read."""
        if self._is_first:
            return ""
        if name not in self._old:
            try:
                self._old[name] = sha256(content_of(self._output, name)).hexdigest()
            except OSError:
                self._old[name] = ""
        return self._old[name]


def recorded(output: Path) -> Mapping[str, str]:
    """The files that the last publishing wrote, each with its SHA-256; none where nobody can tell."""
    try:
        files = json.loads(content_of(output, RECORD))["files"]
        whole = all(type(each) is str for pair in files.items() for each in pair)
    except (OSError, ValueError, LookupError, TypeError, AttributeError, RecursionError):
        return {}
    return files if whole else {}


def _inside(output: Path) -> list[str]:
    """The paths of all files, links and empty folders in it, but for the record. Raises OSError."""
    found = []
    for path, folders, files in os.walk(output, onerror=_raised) if output.is_dir() else ():
        here = Path(path).relative_to(output).as_posix()
        links = [name for name in folders if os.path.islink(os.path.join(path, name))]
        found += [name if here == "." else f"{here}/{name}" for name in (*files, *links)]
        if here != "." and not files and not folders:
            found.append(here)
    return sorted(name for name in found if name != RECORD)


def _is_folder(path: Path) -> bool:
    return path.is_dir() and not path.is_symlink()


def _raised(error: OSError) -> None:
    raise error


def _above(name: str) -> list[str]:
    """The folders above a file, by their paths below `output`."""
    parts = name.split("/")
    return ["/".join(parts[:end]) for end in range(len(parts) - 1, 0, -1)]


def _link(there: str, path: str) -> None:
    """The same file at another place too, or a copy of the same date where the system knows no such links."""
    with suppress(OSError, NotImplementedError):  # mostly there is room
        return os.link(there, path, follow_symlinks=False)
    _make_room(Path(path))
    try:
        os.link(there, path, follow_symlinks=False)
    except (OSError, NotImplementedError):
        shutil.copy2(there, path, follow_symlinks=False)


@contextmanager
def _called(folder: Path, name: str) -> Iterator[None]:
    """What cannot be written is called as it will be, not by a place in a workshop or by nothing at all."""
    try:
        yield
    except OSError as error:
        raise OSError(error.errno, error.strerror or str(error), str(folder / name)) from None


def _write_one(path: Path, content: bytes) -> None:
    _make_room(path)
    path.write_bytes(content)


def _make_room(path: Path) -> None:
    """A part that broke off elsewhere is made again: what is there already may be a file of the old site."""
    path.parent.mkdir(parents=True, exist_ok=True)
    path.unlink(missing_ok=True)


def _carry_over(source: Path, target: Path) -> None:
    if _is_folder(source):
        target.mkdir(parents=True, exist_ok=True)
    else:
        _link(os.fspath(source), os.fspath(target))


def _swap(output: Path, workshop: Path) -> None:
    try:
        _swap_as_one_may(output, workshop / SITE, workshop / OLD)
    except PermissionError as error:
        raise OutputError(
            f"{output} cannot be moved, to put a new site in its place ({error.strerror}):"
            f" remove it, or let the user publish to whom it belongs"
        ) from None


def _swap_as_one_may(output: Path, new: Path, old: Path) -> None:
    if not output.exists():
        new.rename(output)
    elif not exchanged(new, output):
        output.rename(old)
        try:
            new.rename(output)
        except BaseException:
            old.rename(output)
            raise


def _workshops(folder: Path, output: str = "") -> list[Path]:
    """The folders that were made in one to write a site in; of one site if that is named."""
    places = [path for path in folder.glob(f"{WORKSHOP}*") if _is_folder(path)]
    ours = ((place, whose) for place in places if (whose := _whose(place)))
    return [place for place, whose in ours if output in ("", whose.get("output") or output)]


def _whose(workshop: Path) -> Mapping[str, object]:
    """For whom it was made; empty for a folder of somebody else's, who may have put links into it.

    One in which nothing stands yet was cut off before it said so, and there is nothing in it to lose.
    """
    with suppress(OSError, ValueError):
        inside = {path.name: path for path in workshop.iterdir()}
        said = content_of(workshop, WHOSE) if WHOSE in inside else b""
        if not said and inside.keys() <= {WHOSE}:
            return {"output": None}
        folders = all(_is_folder(path) for name, path in inside.items() if name != WHOSE)
        found = json.loads(said)
        if isinstance(found, dict) and folders and inside.keys() <= {SITE, OLD, WHOSE}:
            return found
    return {}


def _removed(workshop: Path) -> bool:
    """Whether it could be taken away. What says whose it is goes last, so that the rest is known again."""
    for place in (SITE, OLD):
        with suppress(OSError):
            for folder, _, _ in os.walk(workshop / place):
                os.chmod(folder, 0o700)
        shutil.rmtree(workshop / place, ignore_errors=True)
    if not (workshop / SITE).exists() and not (workshop / OLD).exists():
        with suppress(OSError):
            (workshop / WHOSE).unlink(missing_ok=True)
            workshop.rmdir()
    return not workshop.exists()
