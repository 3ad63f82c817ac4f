"""A commit of this project with which the benchmarks beside this file compare: it is unpacked for a while."""

from __future__ import annotations

import tarfile
from collections.abc import Iterator
from contextlib import contextmanager
from io import BytesIO
from pathlib import Path
from subprocess import run
from tempfile import TemporaryDirectory

HERE = Path(__file__).parents[2]
FORMER = "3e612ae"


@contextmanager
def unpacked() -> Iterator[Path]:
    """The folder of that commit."""
    packed = run(["git", "archive", FORMER], cwd=HERE, capture_output=True, check=True).stdout
    with TemporaryDirectory() as name, tarfile.open(fileobj=BytesIO(packed)) as tar:
        tar.extractall(name, filter="data")
        yield Path(name)
