"""Doing something as a user who may not do everything, also where the tests are run by one who may."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import mkdtemp

NOBODY = 65534
"""The number that most systems have for the user who owns nothing."""
IS_ROOT = hasattr(os, "geteuid") and os.geteuid() == 0


@contextmanager
def folder_of_nobody() -> Iterator[Path]:
    """A folder that this user gets to, and may write in; taken away afterwards, whatever its files forbid."""
    folder = Path(mkdtemp(prefix="of-nobody-")).resolve()
    if IS_ROOT:
        os.chown(folder, NOBODY, NOBODY)
    try:
        yield folder
    finally:
        for path, _, _ in os.walk(folder):
            os.chmod(path, 0o700)
        shutil.rmtree(folder)


@contextmanager
def as_nobody() -> Iterator[None]:
    """All that this process does meanwhile it may do only if that user may."""
    if not IS_ROOT:
        yield
        return
    os.setegid(NOBODY)
    os.seteuid(NOBODY)
    try:
        yield
    finally:
        os.seteuid(0)
        os.setegid(0)
