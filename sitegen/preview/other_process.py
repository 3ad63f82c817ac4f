"""A process of its own for what takes long or copies itself, so that whoever asks goes on answering.

Knows how to send it work and to stop it; what the work is, it is told.
"""

from __future__ import annotations

import asyncio
import multiprocessing
import os
import signal
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from multiprocessing.connection import Connection
from types import FrameType
from typing import Any, TypeVar

T = TypeVar("T")
PATIENCE = 5.0
"""Seconds within which a process that is told to end has to."""
LOOK = 0.2
"""Seconds after which is looked whether a job is to end."""
READY = "ready"
"""What a process says first: it is not ended by Ctrl-C any more, which ends whoever has started it."""


class ProcessEnded(Exception):
    """The process ended before it had an answer."""


class OtherProcess:
    """Begins with its first job, and does one after another. Jobs are functions of modules; they, what they
    are given and what they return are sent, so that these must be plain."""

    def __init__(self) -> None:
        self._process: multiprocessing.process.BaseProcess | None = None
        self._line: Connection | None = None
        self._free = asyncio.Lock()

    async def ask(self, job: Callable[..., T], *given: Any, until: asyncio.Event | None = None) -> T:
        """What a job returns. Raises ProcessEnded where it came to no end.

        As soon as `until` is set, that does to the job what Ctrl-C does, if it listens: see `interruptible`.
        """
        async with self._free:
            try:
                line = await asyncio.to_thread(self._begun)
                line.send((job, given))
                while not await asyncio.to_thread(line.poll, LOOK):
                    if until is not None and until.is_set():
                        self._interrupt()
                answer: T = line.recv()
            except (EOFError, OSError):
                self.end()
                raise ProcessEnded from None
            return answer

    def _interrupt(self) -> None:
        """May come too early for a job to listen, and is therefore done again and again until it ends."""
        if sys.platform == "win32":  # there only a console can do that to a process
            self.end()
        elif self._process is not None and self._process.pid and self._process.is_alive():
            os.kill(self._process.pid, signal.SIGINT)

    def end(self) -> None:
        """Ends the process, whatever it does; another one begins with the next job."""
        process, self._process = self._process, None
        if process is None:
            return
        process.terminate()
        process.join(PATIENCE)
        if process.is_alive():
            process.kill()
            process.join()
        if self._line is not None:
            self._line.close()

    def _begun(self) -> Connection:
        """The line to the process, once it listens. Raises EOFError or OSError where it never does."""
        if self._process is None or self._line is None or not self._process.is_alive():
            # Not a copy of this one, in which there are threads; and it may copy itself, having none.
            fresh = multiprocessing.get_context("spawn")
            self._line, other = fresh.Pipe()
            self._process = fresh.Process(target=_work, args=(other,), name="turnfolio")
            with _deaf():
                self._process.start()
            other.close()
            self._line.recv()
        return self._line


def _work(line: Connection) -> None:
    """One job after another, until nobody is there to ask."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    signal.signal(signal.SIGTERM, _leave)
    if sys.platform != "win32":
        signal.pthread_sigmask(signal.SIG_UNBLOCK, {signal.SIGINT})
    with suppress(EOFError, OSError, KeyboardInterrupt):
        line.send(READY)
        while True:
            job, given = line.recv()
            line.send(job(*given))


@contextmanager
def _deaf() -> Iterator[None]:
    """A process that begins within this hears of Ctrl-C when it is ready to, and does not fall over it."""
    if sys.platform == "win32":
        yield
        return
    usual = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, usual)


def _leave(number: int, frame: FrameType | None) -> None:
    """Ends as a program does, so that it takes the processes with it that it has started."""
    raise SystemExit


@contextmanager
def interruptible() -> Iterator[None]:
    """Within this a job listens: Ctrl-C, or what does the same, raises KeyboardInterrupt."""
    usual = signal.signal(signal.SIGINT, signal.default_int_handler)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, usual)
