"""What the scripts here share: how what was tried is told, and what is in a folder."""

from __future__ import annotations

from collections.abc import Sequence
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
