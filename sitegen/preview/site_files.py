"""The files of a published site as the preview serves them: those below output/, and nothing else."""

from __future__ import annotations

import mimetypes
import re
from collections.abc import Iterator
from contextlib import suppress
from io import BytesIO
from pathlib import Path
from time import sleep
from typing import BinaryIO, NamedTuple

from sitegen.folders import is_file, opened
from sitegen.preview.guards import OWN

INDEX = "index.html"
SCRIPT = f'<script type="module" src="{OWN}preview.js" data-revision="{{}}"></script>'
"""What is put into each page on its way to the browser; the files stay as they are."""
PART = 2**16
"""So many bytes of a file are sent at a time."""
TRIES, PAUSE = 20, 0.01
"""How often, and after how many seconds, a file is looked for again while the site is being replaced."""
TYPES = mimetypes.MimeTypes()


class Served(NamedTuple):
    """What is to be read, open, and its type with which it is sent."""

    file: BinaryIO
    type: str

    def parts(self) -> Iterator[bytes]:
        """All of it, by and by, so that who takes it slowly takes up no room."""
        with self.file:
            while part := self.file.read(PART):
                yield part


def served(output: Path, path: str, revision: str) -> Served | None:
    """What is at a path, with the slash that it begins with, after decoding; None where nothing is served."""
    file = _opened(output, path)
    if file is None:
        return None
    name = path if not path.endswith("/") else INDEX
    kind = TYPES.guess_type(f"/{name}", strict=False)[0] or "application/octet-stream"
    if kind == "text/html":
        with file:
            file = BytesIO(with_script(file.read(), revision))
    return Served(file, f"{kind}; charset=utf-8" if kind.startswith("text/") else kind)


def with_script(page: bytes, revision: str) -> bytes:
    """A page with the script of the preview at the end of its body, whatever it ends with."""
    script = SCRIPT.format(revision).encode()
    ends = [found.start() for found in re.finditer(rb"</body\s*>", page, re.IGNORECASE)]
    at = ends[-1] if ends else len(page)
    return page[:at] + script + page[at:]


def file_of(output: Path, path: str) -> str:
    """The file at a path, by its own below output/; empty for what is hidden, no file, or anywhere else.

    A link within output/ leads to its file, as it does where the site is served from.
    """
    parts = path.removeprefix("/").split("/")
    if parts[-1] == "":
        parts[-1] = INDEX
    if any(not part or part.startswith(".") or re.search(r"[\\:\x00-\x1f\x7f]", part) for part in parts):
        return ""
    try:
        root, file = output.resolve(strict=True), output.joinpath(*parts).resolve(strict=True)
    except (OSError, RuntimeError, ValueError):
        return ""
    name = file.relative_to(root).as_posix() if file.is_relative_to(root) else ""
    return name if name and is_file(root, name) else ""


def _opened(output: Path, path: str) -> BinaryIO | None:
    """A file of the site, of the old one or the new one while it is being replaced.

    On some systems that is two renamings, and between them there is none. So what is missing is looked for
    again, unless it was one and the same site before and after.
    """
    for _ in range(TRIES):
        site, file = _identity(output), file_of(output, path)
        if file:
            with suppress(OSError):
                return opened(output.resolve(), file)
        elif site is not None and site == _identity(output):
            return None
        sleep(PAUSE)
    return None


def _identity(folder: Path) -> tuple[int, int] | None:
    """Which folder it is, whatever it is called; None for none."""
    try:
        found = folder.stat()
    except OSError:
        return None
    return found.st_dev, found.st_ino
