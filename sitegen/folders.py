"""The files of a folder that may be somebody else's: no link in it is followed, only files are read.

A guide is passed on. A link in it, followed, would publish a file of whoever publishes, or write over one.
"""

from __future__ import annotations

import os
import re
import stat
from collections.abc import Iterator
from contextlib import suppress
from hashlib import sha256
from pathlib import Path
from secrets import token_hex
from typing import BinaryIO, NamedTuple

LINK, NO_FILE = "this is a link", "this is no file that could be read"
LEFT_BEHIND = ("Thumbs.db", "desktop.ini")
"""What systems write into folders that are looked at."""
COPIES = ("~", ".bak", ".orig", ".rej", ".swp", ".tmp")
"""The ends of names that editors give to what they keep of a file."""
DEEPEST = 100
"""So many folders may be in each other."""
TOO_DEEP = f"more than {DEEPEST} folders are in each other here"
RESERVED = re.compile(r"(?i)(?:con|prn|aux|nul|(?:com|lpt)[0-9¹²³])(?:\..*)?")
"""What Windows takes for a device, with whatever ending."""
NO_TEXT = re.compile(r"[\x00-\x1f\x7f\ud800-\udfff]")
"""Signs for machines, and what Python has for bytes that are not UTF-8."""
BY_HANDLES = {os.open, os.mkdir} <= os.supports_dir_fd and os.scandir in os.supports_fd
"""Whether the system opens a file from the folder that it is in, and nobody can exchange that meanwhile."""
ONLY = getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_CLOEXEC", 0)
"""No link, and nothing that lets one wait, as a pipe does."""
FOLDER = os.O_RDONLY | getattr(os, "O_DIRECTORY", 0)
READING = os.O_RDONLY | getattr(os, "O_BINARY", 0)
WRITING = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0)
"""A file that was not there."""


class NotOurs(OSError):
    """What is there leads elsewhere, or is no file."""


class Met(NamedTuple):
    """Something in a folder, by its path there; `wrong` is why it cannot be read, and empty for a file."""

    name: str
    wrong: str = ""


def met_below(folder: Path, name: str) -> Iterator[Met]:
    """Everything below the folder of a name but folders that can be read, in the order of the alphabet.

    What is hidden is passed over, and files that nobody means.
    """
    try:
        entries = _listed(folder, name)
    except FileNotFoundError:
        return
    except NotOurs as error:
        yield Met("", str(error.strerror))
        return
    except OSError as error:
        yield Met("", f"this folder cannot be read: {error.strerror}")
        return
    for entry, kind in entries:
        if entry.startswith("."):
            continue
        if wrong := _not_everywhere(entry):
            yield Met(NO_TEXT.sub("\N{REPLACEMENT CHARACTER}", entry), wrong)
        elif kind == "link":
            yield Met(entry, LINK)
        elif kind == "folder" and name.count("/") >= DEEPEST:
            yield Met(entry, TOO_DEEP)
        elif kind == "folder":
            for below, wrong in met_below(folder, f"{name}/{entry}"):
                yield Met(f"{entry}/{below}".rstrip("/"), wrong)
        elif not passed_over(entry):
            yield Met(entry, "" if kind == "file" else NO_FILE)


def passed_over(name: str) -> bool:
    """Whether nobody means the file at a path: a hidden one, or what editors and systems leave behind."""
    parts = name.split("/")
    hidden = any(part.startswith(".") for part in parts)
    return hidden or parts[-1].startswith("~$") or parts[-1].endswith(COPIES) or parts[-1] in LEFT_BEHIND


def folders_in(folder: Path, name: str) -> list[str]:
    """The names of the folders in the folder of a name; none where that cannot be read."""
    with suppress(OSError):
        return [entry for entry, kind in _listed(folder, name) if kind == "folder"]
    return []


def _listed(folder: Path, name: str) -> list[tuple[str, str]]:
    """What is in the folder of a name, each with what it is: a link, a folder, a file, or something else.

    Raises OSError: where a link leads there, NotOurs.
    """
    handle = _handle(folder, name, FOLDER) if BY_HANDLES else None
    try:
        if handle is None and first_link(folder, name):
            raise NotOurs(None, LINK, name)
        with os.scandir(folder / name if handle is None else handle) as entries:
            return sorted((entry.name, _kind(entry)) for entry in entries)
    finally:
        if handle is not None:
            os.close(handle)


def _kind(entry: os.DirEntry[str]) -> str:
    if entry.is_symlink() or _is_junction(entry):
        return "link"
    if entry.is_dir():
        return "folder"
    return "file" if entry.is_file() else ""


def met_unsaved(name: str) -> Met:
    """A path at which nothing is yet, or the part of it that cannot be on every system, and why."""
    parts = name.split("/")
    for count, part in enumerate(parts, 1):
        if wrong := _not_everywhere(part):
            return Met(NO_TEXT.sub("\N{REPLACEMENT CHARACTER}", "/".join(parts[:count])), wrong)
    return Met(name)


def _not_everywhere(name: str) -> str:
    """Why a file of this name cannot be on every system; empty where it can.

    The rules are those of Windows ("Naming Files, Paths, and Namespaces", Microsoft Learn), the narrowest.
    """
    if NO_TEXT.search(name):
        return "this file name is no text in UTF-8"
    if found := re.search(r'[<>:"|?*\\]', name):
        return f"{found[0]!r} cannot stand in the name of a file on every system"
    if name.endswith((".", " ")):
        return "the name of a file ends in no dot and no blank on some systems"
    if RESERVED.fullmatch(name):
        return f"{name.partition('.')[0]} is the name of a device on some systems, and not of a file"
    return ""


def opened(folder: Path, name: str) -> BinaryIO:
    """A file to be read, by its path below a folder. Raises OSError: for a link, and for no file, NotOurs."""
    handle = _handle(folder, name, READING)
    if not stat.S_ISREG(os.fstat(handle).st_mode):
        os.close(handle)
        raise NotOurs(None, NO_FILE, name)
    return open(handle, "rb")


def content_of(folder: Path, name: str) -> bytes:
    """What is in a file, as `opened` gives it."""
    with opened(folder, name) as file:
        return file.read()


def text_of(folder: Path, name: str, errors: str = "strict") -> str:
    """The same as text. Raises UnicodeDecodeError too."""
    return as_text(content_of(folder, name), errors)


def as_text(content: bytes, errors: str = "strict") -> str:
    """What UTF-8 says, with any kind of line end as one. Raises UnicodeDecodeError."""
    return content.decode("utf-8-sig", errors).replace("\r\n", "\n").replace("\r", "\n")


def is_file(folder: Path, name: str) -> bool:
    """Whether there is a file that can be read."""
    with suppress(OSError), opened(folder, name):
        return True
    return False


def digests_below(folder: Path, name: str) -> dict[str, str]:
    """SHA-256 of each file below the folder of a name, in hexadecimal digits, by its path there.

    Another one each time for what cannot be read, so that nothing is known to follow from it.
    """
    return {
        below: token_hex() if wrong else _digest(folder, f"{name}/{below}")
        for below, wrong in met_below(folder, name)
    }


def _digest(folder: Path, name: str) -> str:
    with suppress(OSError):
        return sha256(content_of(folder, name)).hexdigest()
    return token_hex()


def write_new(folder: Path, name: str, content: bytes) -> None:
    """Writes a file that was not there, whole, and makes the folders above it. Raises OSError; NotOurs."""
    folder.mkdir(parents=True, exist_ok=True)
    handle = _handle(folder, name, WRITING)
    try:
        with open(handle, "wb") as file:
            file.write(content)
    except BaseException as error:
        (folder / name).unlink(missing_ok=True)
        if isinstance(error, OSError):
            raise OSError(error.errno, error.strerror, str(folder / name)) from None
        raise


def first_link(folder: Path, name: str) -> str:
    """The first link on the way to what is below a folder, by its path there; empty for none."""
    links = (path for path in _way(folder, name) if os.path.islink(path) or _is_junction(path))
    return next((path.relative_to(folder).as_posix() for path in links), "")


def _way(folder: Path, name: str) -> list[Path]:
    """All that lies on the way to a file, and the file."""
    parts = name.split("/")
    return [folder.joinpath(*parts[:count]) for count in range(1, len(parts) + 1)]


def _handle(folder: Path, name: str, how: int) -> int:
    """What is at a path, open. Raises OSError: where a link leads there, NotOurs."""
    if {"", ".", ".."} & {*name.split("/")}:
        raise NotOurs(None, NO_FILE, name)
    try:
        return _by_handles(folder, name, how) if BY_HANDLES else _by_name(folder, name, how)
    except NotOurs:
        raise
    except OSError as error:
        if first_link(folder, name):
            raise NotOurs(None, LINK, name) from None
        raise OSError(error.errno, error.strerror, str(folder / name)) from None  # not by its last name alone


def _by_handles(folder: Path, name: str, how: int) -> int:
    *above, last = name.split("/")
    at = os.open(folder, FOLDER)
    try:
        for part in above:
            if how == WRITING:
                with suppress(FileExistsError):
                    os.mkdir(part, dir_fd=at)
            inside = os.open(part, FOLDER | ONLY, dir_fd=at)
            os.close(at)
            at = inside
        return os.open(last, how | ONLY, 0o666, dir_fd=at)
    finally:
        os.close(at)


def _by_name(folder: Path, name: str, how: int) -> int:
    if first_link(folder, name):
        raise NotOurs(None, LINK, name)
    if how == WRITING:
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
    return os.open(folder / name, how, 0o666)


def _is_junction(there: Path | os.DirEntry[str]) -> bool:
    """Whether it is what Windows has beside links; Python tells only since 3.12."""
    asked = getattr(there, "is_junction", None)
    return bool(asked and asked())
