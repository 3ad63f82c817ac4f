"""Guides checked while they are being written: in a thread of its own, the last state of their texts alone.

Knows guides and their problems; who shows these, and how, is for others.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from threading import Condition, Thread
from time import monotonic
from typing import Any, NamedTuple

from sitegen.guide.guide import Guide
from sitegen.guide.load import read_guide
from sitegen.pages.config import Unsaved
from sitegen.problems import Problem, Problems
from sitegen.progress import Progress
from sitegen.reports.problem_report import NOTE, PROBLEM

PAUSE = 0.3
"""A check begins so many seconds after the last change."""


class Asked(NamedTuple):
    """What is to be checked, and from when on."""

    due: float
    folder: Path
    unsaved: Unsaved


class Checked(NamedTuple):
    """What was found in a guide, of the texts with which it was asked for."""

    folder: Path
    unsaved: Unsaved
    found: tuple[tuple[str, Problem], ...]
    """Problems and notes, each with its kind."""


class Overtaken(Exception):
    """A text has changed since, so that nobody wants to know any more."""


class Checker:
    """Checks what it is asked to, one guide at a time, and tells of it; what is overtaken is dropped."""

    def __init__(self, tell: Callable[[Checked], None], fail: Callable[[Exception], None]) -> None:
        self._tell, self._fail = tell, fail
        self._asked: dict[Path, Asked] = {}
        self._changed = Condition()
        # A search that takes long keeps nobody from ending the program.
        Thread(target=self._work, name="checks", daemon=True).start()

    def ask(self, folder: Path, unsaved: Unsaved) -> None:
        """Has a guide checked; what was asked about it before is overtaken."""
        with self._changed:
            self._asked[folder] = Asked(monotonic() + PAUSE, folder, unsaved)
            self._changed.notify()

    def _work(self) -> None:
        while True:
            asked = self._next()
            try:
                found = tuple(problems_of(asked.folder, asked.unsaved, self._unless_overtaken(asked.folder)))
            except Overtaken:
                continue
            except Exception as error:  # A fault of ours: the next check may do without it.
                self._fail(error)
                continue
            if asked.folder not in self._asked:
                self._tell(Checked(asked.folder, asked.unsaved, found))

    def _next(self) -> Asked:
        """What has been due longest, as soon as it is."""
        with self._changed:
            while True:
                first = min(self._asked.values(), default=None)
                wait = first and first.due - monotonic()
                if first and wait is not None and wait <= 0:
                    return self._asked.pop(first.folder)
                self._changed.wait(wait)

    def _unless_overtaken(self, folder: Path) -> Progress:
        def going_on(items: Iterable[Any], total: int, what: str) -> Iterator[Any]:
            for item in items:
                if folder in self._asked:
                    raise Overtaken
                yield item

        return going_on


def problems_of(folder: Path, unsaved: Unsaved, progress: Progress) -> list[tuple[str, Problem]]:
    """All that is wrong with a guide, and what may not be meant in it; on drafts by what stands on drafts."""
    try:
        guide = read_guide(folder, progress, unsaved, drafts=False)
        with_drafts = read_guide(folder, progress, unsaved, drafts=True) if guide.left_out else guide
    except Problems as error:
        return [(PROBLEM, problem) for problem in error.problems]
    drafts = {page.prose.passage.source.name for page in guide.left_out}
    found = _found(with_drafts) if drafts else []
    return [*_found(guide), *(each for each in found if each[1].passage.source.name in drafts)]


def _found(guide: Guide) -> list[tuple[str, Problem]]:
    return [*((PROBLEM, each) for each in guide.problems), *((NOTE, each) for each in guide.notes)]
