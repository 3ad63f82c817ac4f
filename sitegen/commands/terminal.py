"""What all commands share: their options, what they say is wrong, exit statuses, and a bar for long jobs."""

from __future__ import annotations

import os
import re
import sys
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from signal import SIGINT, signal
from tempfile import TemporaryDirectory
from threading import Event
from time import monotonic
from types import FrameType
from typing import Any

import click

from sitegen.cache import PLACE
from sitegen.guide.enclosing import Enclosing
from sitegen.guide.printed import ANSWERS, OUTPUT
from sitegen.pages.config import Config
from sitegen.problems import Problem, Problems, Source, is_it
from sitegen.progress import Labelled, Progress
from sitegen.puzzles.puzzle import Puzzle
from sitegen.site.output import Busy, OutputError, alone, put_back
from sitegen.statuses import MISUSE, PROBLEMS


class NotDone(click.ClickException):
    """What could not be done, though nothing is wrong with the guide or the command."""

    exit_code = MISUSE


def _put_back(context: click.Context, parameter: click.Parameter, folder: Path) -> Path:
    """Before anything is done with a guide: its site is put back, if a publishing was cut off in its swap."""
    with suppress(OSError, Busy), alone(folder):
        for each in (OUTPUT, ANSWERS):
            put_back(folder / each)
    return folder


FOLDER = click.argument(
    "folder",
    type=click.Path(exists=True, file_okay=False, path_type=Path),
    default=Path(),
    required=False,
    callback=_put_back,
)


def _distrust(context: click.Context, parameter: click.Parameter, distrusted: bool) -> None:
    """Nothing that was kept is read, and nothing is kept beyond this command."""
    if distrusted:
        usual = os.environ.get(PLACE)
        os.environ[PLACE] = context.with_resource(TemporaryDirectory(prefix="turnfolio-"))
        context.call_on_close(lambda: os.environ.update({PLACE: usual}) if usual else os.environ.pop(PLACE))


NO_CACHE = click.option(
    "--no-cache",
    is_flag=True,
    expose_value=False,
    callback=_distrust,
    help="Work all out anew, and keep nothing of it.",
)
PUZZLE = click.option(
    "--puzzle", "puzzle_name", help=f"Which puzzle to turn: if not said the guide's, or {Config.puzzle}."
)
MARKED = click.option(
    "--marked", is_flag=True, help="Tell pieces apart that look alike, as centres of one colour."
)
JSON = click.option("--json", "as_json", is_flag=True, help="One JSON object a line.")


MOST_SHOWN = 50
"""So many problems are shown, since nobody reads more at one time."""


class Memory(click.ParamType[int]):
    """An amount of memory, in bytes."""

    name = "amount"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> int:
        if isinstance(value, int):
            return value
        found = re.fullmatch(r"([0-9]{1,6}(?:\.[0-9]{1,3})?) *(MB|GB)", value.strip().upper())
        if not found or not float(found[1]):
            self.fail(f"“{value}” is no amount of memory; write it as 500 MB or 2 GB", param, ctx)
        return int(float(found[1]) * {"MB": 10**6, "GB": 10**9}[found[2]])


def counted(number: int, what: str) -> str:
    """A number and what is counted: `1 page`, `2 pages`."""
    return f"{number} {what}" if number == 1 else f"{number} {what}s"


def puzzle_called(around: Enclosing, name: str | None) -> Puzzle:
    """The puzzle of a name, or the one of the guide around. Ends the command where there is none."""
    try:
        return around.puzzle(name)
    except Problems as found:
        raise SystemExit(told(found)) from None
    except KeyError:
        known = around.puzzles.names()
        near = is_it((name or "").lower(), known)
        instead = f"{near} There" if near else "there"
        message = f"no puzzle is called {name}; {instead} are {', '.join(known)}"
        raise click.BadParameter(message) from None


def sequences_in(moves: tuple[str, ...]) -> Iterator[Source]:
    """Moves that are arguments, or each line of what is read for “-”."""
    if moves != ("-",):
        yield Source("moves", " ".join(moves))
        return
    for number, line in enumerate(sys.stdin or (), 1):
        if text := line.strip().removeprefix("\ufeff"):
            yield Source("-", text, first_line=number)


def show(problems: Iterable[Problem]) -> None:
    """Writes problems, and how many there are, to standard error."""
    listed = list(problems)
    for problem in listed[:MOST_SHOWN]:
        click.echo(str(problem), err=True)
    if len(listed) > MOST_SHOWN:
        click.echo(f"{len(listed):,} problems, of which these are the first {MOST_SHOWN}", err=True)
    elif len(listed) > 1:
        click.echo(f"{len(listed)} problems", err=True)


def show_notes(notes: Iterable[Problem | str]) -> None:
    """What is not wrong, and may not be meant."""
    for note in notes:
        click.echo(str(note), err=True)


def told(error: Problem | Problems) -> int:
    """Shows what is wrong. The exit status: a guide with problems, or a command called wrongly."""
    problems = error.problems if isinstance(error, Problems) else (error,)
    show(problems)
    in_guide = any(problem.passage.source.name.startswith("content/") for problem in problems)
    return PROBLEMS if in_guide else MISUSE


@contextmanager
def refusing(target: Path) -> Iterator[None]:
    """Ends a command with a message for what is wrong in a guide, or where nothing can be written."""
    try:
        yield
    except Problems as found:
        show(found.problems)
        raise SystemExit(PROBLEMS) from None
    except OutputError as error:
        raise NotDone(str(error)) from None
    except OSError as error:
        message = f"{error.filename or target} cannot be read or written: {error.strerror or error}"
        raise NotDone(message) from None


def progress(items: Iterable[Any], total: int, what: str) -> Iterator[Any]:
    """A bar while a long job goes on, where somebody watches; else a line now and then."""
    if not sys.stderr.isatty() or os.environ.get("TERM") == "dumb":
        yield from _in_lines(items, total, what)
        return
    with click.progressbar(items, length=total, label=what, file=sys.stderr, item_show_func=_label) as bar:
        yield from bar


PATIENCE = 5.0
"""Seconds after which somebody wants to know how far a job is."""


def _in_lines(items: Iterable[Any], total: int, what: str) -> Iterator[Any]:
    """Says how far a job is from time to time, and that it is done if it took as long."""
    begun = told = monotonic()
    for number, item in enumerate(items):
        if monotonic() - told >= PATIENCE:
            told = monotonic()
            label = _label(item)
            click.echo(f"{what}: {number:,} of {total:,}" + (f", {label}" if label else ""), err=True)
        yield item
    if monotonic() - begun >= PATIENCE:
        click.echo(f"{what}: done", err=True)


def _label(item: Any) -> str | None:
    return item.label if isinstance(item, Labelled) else None


@contextmanager
def heard() -> Iterator[Progress]:
    """Progress that stops for an interrupt even where a library has swallowed it."""
    asked = Event()

    def stop(number: int, frame: FrameType | None) -> None:
        asked.set()
        raise KeyboardInterrupt

    def stopping(items: Iterable[Any], total: int, what: str) -> Iterator[Any]:
        for item in progress(items, total, what):
            if asked.is_set():
                raise KeyboardInterrupt
            yield item

    usual = signal(SIGINT, stop)
    try:
        yield stopping
    finally:
        signal(SIGINT, usual)
