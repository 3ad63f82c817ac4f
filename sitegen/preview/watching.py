"""Tells when something was saved of what publishing reads: content/ and themes/, however it is saved."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from pathlib import Path

from watchfiles import Change, awatch

from sitegen.folders import passed_over

READ = ("content", "themes")
"""The folders that publishing reads in that of a guide."""
QUIET = 30
"""Milliseconds without another save that make of many saves one."""
LONGEST = 1_000
"""Milliseconds after which saves are told of though there is no end to them."""


def counts(folder: Path, path: Path) -> bool:
    """Whether a file may be read when publishing."""
    inside = path.relative_to(folder) if path.is_relative_to(folder) else path
    return not passed_over(inside.as_posix())


async def watch(folder: Path, saved: Callable[[], None]) -> None:
    """Calls `saved` after each save, once for those of one moment; never ends."""
    folder = folder.resolve()
    while True:
        there = [folder / name for name in READ if (folder / name).is_dir()]
        # A folder that comes, or goes and comes again, is another one, which nobody watches yet.
        others = asyncio.create_task(_replaced(folder))
        within = asyncio.create_task(_within(folder, there, saved))
        try:
            await asyncio.wait([others, within], return_when=asyncio.FIRST_COMPLETED)
        finally:
            for task in (others, within):
                task.cancel()
            await asyncio.gather(others, within, return_exceptions=True)
        saved()


async def _replaced(folder: Path) -> None:
    """Ends as soon as one of the folders that are read comes or goes."""
    names = {str(folder / name) for name in READ}

    def concerns(change: Change, path: str) -> bool:
        return path in names and change is not Change.modified

    async for _ in awatch(folder, watch_filter=concerns, step=QUIET, debounce=LONGEST, recursive=False):
        return


async def _within(folder: Path, there: list[Path], saved: Callable[[], None]) -> None:
    """Tells of all saves in some folders; where there are none, waits for the others to come."""
    if not there:
        await asyncio.Event().wait()

    def concerns(change: Change, path: str) -> bool:
        return counts(folder, Path(path))

    async for _ in awatch(*there, watch_filter=concerns, step=QUIET, debounce=LONGEST):
        saved()
