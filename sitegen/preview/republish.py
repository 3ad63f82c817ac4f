"""Publishes again whenever something was saved, and knows what came of it the last time.

One publishing goes on at a time, in a process of its own. What is saved meanwhile is published after
it, once.
"""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from secrets import token_hex
from time import monotonic, sleep
from typing import Any

from sitegen.preview.other_process import ProcessEnded
from sitegen.problems import Problem, Problems
from sitegen.reports.problem_report import problem_as_data
from sitegen.site.output import Busy, OutputError
from sitegen.site.publish import Published, publish

PATIENCE, PAUSE = 60.0, 0.2
"""Seconds for which it waits for another publishing of the guide, and between one look and the next."""


@dataclass(frozen=True)
class Outcome:
    """What came of publishing a guide; plain enough to be sent from process to process."""

    problems: tuple[Mapping[str, Any], ...] = ()
    """As `problem_as_data` gives them, each with its `excerpt` and as a `text`, as commands print it."""
    notes: tuple[str, ...] = ()
    failure: str = ""
    """Why nothing could be written, where that is no problem of the guide."""
    pages: int = 0
    rendered: int = 0
    """How many pages of the site were made; the others are as they were."""

    @property
    def good(self) -> bool:
        return not self.problems and not self.failure


def publish_once(folder: Path) -> Outcome:
    """Publishes the guide in a folder, and tells what came of it whatever it was."""
    try:
        done = _publish_in_turn(folder)
    except Problems as found:
        return Outcome(problems=tuple(map(_told, found.problems)))
    except OutputError as error:
        return Outcome(failure=str(error))
    except OSError as error:
        return Outcome(failure=f"{error.filename or folder} cannot be read or written: {error.strerror}")
    except Exception as error:  # whatever it is, the preview goes on
        return Outcome(failure=f"a fault of Turnfolio, not of the guide: {type(error).__name__}: {error}")
    return Outcome(notes=done.notes, pages=done.pages, rendered=done.rendered)


def _publish_in_turn(folder: Path) -> Published:
    """Publishes as soon as nobody else does. Raises what publishing raises."""
    end = monotonic() + PATIENCE
    while True:
        try:
            return publish(folder)
        except Busy:
            if monotonic() > end:
                raise
            sleep(PAUSE)


def _told(problem: Problem) -> dict[str, Any]:
    excerpt = problem.passage.excerpt() if problem.passage.source.text.strip() else ""
    return {**problem_as_data(problem), "excerpt": excerpt, "text": str(problem)}


@dataclass(frozen=True)
class State:
    """What there is to show: the outcome of the last publishing, and which site stands."""

    step: int = 0
    """Counts all that was ever told."""
    revision: str = ""
    """Changes whenever the site does; never the same in two previews."""
    begun: int = 0
    """How many publishings have begun: whatever is read of the guide is as new as the last of them."""
    busy: bool = False
    last: Outcome | None = None
    over: bool = False
    """Whether the preview ends."""


class Republisher:
    """`job` publishes; `tell` is given each outcome."""

    def __init__(
        self,
        job: Callable[[], Awaitable[Outcome]],
        tell: Callable[[Outcome], None] = lambda outcome: None,
    ) -> None:
        self._job, self._tell = job, tell
        self._of_this = token_hex(4)
        self._published = 0
        self._saved = asyncio.Event()
        self._news = asyncio.Event()
        self.state = State(revision=f"{self._of_this}-0")

    def saved(self) -> None:
        """Says that something was saved."""
        self._saved.set()

    async def keep_up(self) -> None:
        """Publishes now, and then after everything that is saved; never ends."""
        while True:
            self._saved.clear()
            self._show(busy=True, begun=self.state.begun + 1)
            try:
                outcome = await self._job()
            except ProcessEnded:
                outcome = Outcome(
                    failure="the process that publishes has ended; save a file to begin another"
                )
            if outcome.good:
                self._published += 1
                revision = f"{self._of_this}-{self._published}"
                self._show(busy=False, last=outcome, revision=revision)
            else:
                self._show(busy=False, last=outcome)
            self._tell(outcome)
            await self._saved.wait()

    def end(self) -> None:
        """Says that there is no more to come."""
        self._show(over=True)

    async def after(self, step: int) -> State:
        """The state, as soon as it is another than that of this step."""
        while self.state.step == step:
            await self._news.wait()
        return self.state

    def _show(self, **changed: Any) -> None:
        self.state = replace(self.state, step=self.state.step + 1, **changed)
        news, self._news = self._news, asyncio.Event()
        news.set()
