"""Lays out a new guide that publishes as it stands."""

from __future__ import annotations

import os
from collections.abc import Collection, Iterable
from contextlib import suppress
from pathlib import Path

from sitegen.folders import write_new

SKELETON = Path(__file__).with_name("skeleton")


def start(folder: Path) -> list[Path]:
    """Copies the skeleton of a guide into a folder and names the files.

    Raises FileExistsError where one of them is there already, and OSError where they cannot be written, and
    leaves nothing of them then.
    """
    sources = sorted(path for path in SKELETON.rglob("*") if path.is_file())
    names = [source.relative_to(SKELETON).as_posix() for source in sources]
    targets = [folder / name for name in names]
    for target in targets:
        if os.path.lexists(target):
            raise FileExistsError(str(target))
    new = {above for target in targets for above in target.parents if not above.exists()}
    written: list[Path] = []
    try:
        for source, name in zip(sources, names, strict=True):
            write_new(folder, name, source.read_bytes())
            written.append(folder / name)
    except BaseException:
        _take_away(written, new)
        raise
    return written


def _take_away(files: Iterable[Path], folders: Collection[Path]) -> None:
    """What was begun and came to no end, so that it can be begun again."""
    for file in files:
        file.unlink(missing_ok=True)
    for folder in sorted(folders, reverse=True):  # what is in another one before that
        with suppress(OSError):
            folder.rmdir()
