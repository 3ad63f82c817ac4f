"""The files of a folder that may be somebody else's: no link in it is followed, only files are read.

A guide is passed on. A link in it, followed, would publish a file of whoever publishes, or write over one.
"""

from __future__ import annotations

import os
import re
import stat
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

LINK, NO_FILE = "this is a link", "this is no file that could be read"
RESERVED = re.compile(r"(?i)(?:con|prn|aux|nul|(?:com|lpt)[0-9¹²³])(?:\..*)?")
"""What Windows takes for a device, with whatever ending."""
NO_TEXT = re.compile(r"[\x00-\x1f\x7f\ud800-\udfff]")
"""Signs for machines, and what Python has for bytes that are not UTF-8."""
BY_HANDLES = os.open in os.supports_dir_fd
"""Whether the system opens a file from the folder that it is in, and nobody can exchange that meanwhile."""
ONLY = getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_CLOEXEC", 0)
"""No link, and nothing that lets one wait, as a pipe does."""


class NotOurs(OSError):
    """What is there leads elsewhere, or is no file."""


class Met(NamedTuple):
    """Something in a folder, by its path there; `wrong` is why it cannot be read, and empty for a file."""

    name: str
    wrong: str = ""


def met_below(folder: Path, name: str = "") -> Iterator[Met]:
    """Everything below a folder but folders that can be read, in the order of the alphabet.

    What is hidden is passed over, and files that editors leave behind.
    """
    try:
        entries = sorted(os.scandir(folder), key=lambda entry: entry.name)
    except OSError as error:
        if name or folder.exists():
            yield Met(name, f"this folder cannot be read: {error.strerror}")
        return
    for entry in entries:
        below = f"{name}/{entry.name}" if name else entry.name
        if entry.name.startswith("."):
            continue
        if wrong := _not_everywhere(entry.name):
            yield Met(NO_TEXT.sub("\N{REPLACEMENT CHARACTER}", below), wrong)
        elif entry.is_symlink() or _is_junction(entry):
            yield Met(below, LINK)
        elif entry.is_dir():
            yield from met_below(Path(entry.path), below)
        elif not entry.name.endswith("~"):
            yield Met(below, "" if entry.is_file() else NO_FILE)


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


def content_of(folder: Path, name: str) -> bytes:
    """What is in a file, by its path below a folder. Raises OSError: for a link, and for no file, NotOurs."""
    try:
        handle = _opened(folder, name) if BY_HANDLES else _opened_by_name(folder, name)
    except OSError:
        if any(map(os.path.islink, _way(folder, name))):
            raise NotOurs(None, LINK, name) from None
        raise
    if not stat.S_ISREG(os.fstat(handle).st_mode):
        os.close(handle)
        raise NotOurs(None, NO_FILE, name)
    with open(handle, "rb") as file:
        return file.read()


def text_of(folder: Path, name: str, errors: str = "strict") -> str:
    """The same as text in UTF-8, with any kind of line end as one. Raises UnicodeDecodeError too."""
    return content_of(folder, name).decode("utf-8-sig", errors).replace("\r\n", "\n").replace("\r", "\n")


def _way(folder: Path, name: str) -> list[Path]:
    """All that lies on the way to a file, and the file."""
    parts = name.split("/")
    return [folder.joinpath(*parts[:count]) for count in range(1, len(parts) + 1)]


def _opened(folder: Path, name: str) -> int:
    *above, last = name.split("/")
    at = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    try:
        for part in above:
            inside = os.open(part, os.O_RDONLY | os.O_DIRECTORY | ONLY, dir_fd=at)
            os.close(at)
            at = inside
        return os.open(last, os.O_RDONLY | ONLY, dir_fd=at)
    finally:
        os.close(at)


def _opened_by_name(folder: Path, name: str) -> int:
    if any(path.is_symlink() or _is_junction(path) for path in _way(folder, name)):
        raise NotOurs(None, LINK, name)
    return os.open(folder / name, os.O_RDONLY | getattr(os, "O_BINARY", 0))


def _is_junction(there: Path | os.DirEntry[str]) -> bool:
    """Whether it is what Windows has beside links; Python tells only since 3.12."""
    asked = getattr(there, "is_junction", None)
    return bool(asked and asked())
