"""Lays out a new guide that publishes as it stands."""

from __future__ import annotations

import shutil
from pathlib import Path

SKELETON = Path(__file__).with_name("skeleton")


def start(folder: Path) -> list[Path]:
    """Copies the skeleton of a guide into a folder and names the files.

    Raises FileExistsError where one of them is there already, having written nothing.
    """
    sources = sorted(path for path in SKELETON.rglob("*") if path.is_file())
    targets = [folder / source.relative_to(SKELETON) for source in sources]
    for target in targets:
        if target.exists():
            raise FileExistsError(str(target))
    for source, target in zip(sources, targets, strict=True):
        target.parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(source, target)
    return targets
