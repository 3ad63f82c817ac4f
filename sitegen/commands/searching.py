"""What commands that search have in common: their options, when they end, and what to do about that."""

from __future__ import annotations

from _thread import interrupt_main
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from signal import SIGINT, default_int_handler, signal
from threading import Event, Lock, Timer

import click

from sitegen.commands.terminal import Memory
from sitegen.problems import Findings, written
from sitegen.puzzles.puzzle import Puzzle, Turn
from sitegen.search.find import NEVER, OUT_OF_MEMORY, OUT_OF_TIME, Tally
from sitegen.search.turns import read_layer
from sitegen.statuses import INTERRUPTED

FACES = click.option("--faces", help="Turn only these, as in R,U,F.")
SLICES = click.option("--slices", is_flag=True, help="Turn inner layers too.")
WIDE = click.option("--wide", is_flag=True, help="Turn blocks of outer layers too.")
THEN = click.option(
    "--then", "layer", help="Show each sequence A also as [A, T] for the turns T of this layer."
)
MEMORY = click.option(
    "--memory", type=Memory(), default="1 GB", show_default=True, help="Take no more than this."
)
SECONDS = click.option("--seconds", type=click.FloatRange(0, 10**6), help="Search no longer than this.")
MOST = click.option(
    "--most", type=click.IntRange(1, 10_000), default=20, show_default=True, help="Show so many."
)
BLOCK = click.option("--block", "as_blocks", is_flag=True, help="Print blocks to paste into a page.")
ADVICE = {
    OUT_OF_MEMORY: " Allow more with --memory, or fewer turns with --faces.",
    OUT_OF_TIME: " Allow more with --seconds, or fewer turns with --faces.",
    NEVER: " Allow more turns.",
}
"""What to do about a search that came to its end without having found all that was wanted."""


def excluding(as_blocks: bool, as_json: bool) -> None:
    """Ends a command of which two forms are asked at once."""
    if as_blocks and as_json:
        raise click.UsageError("--block and --json exclude each other")


def layer_to_turn(name: str | None, puzzle: Puzzle, findings: Findings) -> Turn | None:
    """The layer that is named by --then, if one is; what cannot be read goes to the findings."""
    return findings.attempt(None, read_layer, written(name, "--then"), puzzle) if name is not None else None


def conclude(account: str, found: Tally, apart: bool) -> None:
    """Tells how far a search came, `apart` from what others read; ends the command if it was broken off."""
    click.echo(account, err=apart)
    if not found.ended:
        raise SystemExit(INTERRUPTED)


def searched(search: Callable[[], None], found: Tally, seconds: float | None) -> None:
    """Searches until it is interrupted, or for so many seconds: what was found by then is there."""
    over = Event()
    try:
        with _no_longer_than(seconds, over):
            search()
    except KeyboardInterrupt:
        click.echo(err=True)
        found.ended = found.ended or (OUT_OF_TIME if over.is_set() else "")


@contextmanager
def _no_longer_than(seconds: float | None, over: Event) -> Iterator[None]:
    """Interrupts what is done after so many seconds, and says by an event that it was this."""
    done, deciding = Event(), Lock()

    def interrupt() -> None:
        with deciding:
            if not done.is_set():
                over.set()
                interrupt_main()

    if seconds is None:
        yield
        return
    timer = Timer(seconds, interrupt)
    timer.daemon = True
    # What was started so that interrupts are ignored has to hear this one.
    usual = signal(SIGINT, default_int_handler)
    timer.start()
    try:
        yield
    finally:
        with deciding:
            done.set()
        timer.cancel()
        signal(SIGINT, usual)


def joined(claims: tuple[str, ...]) -> str:
    """Claims as one text: a claim in each argument, or one whose words are arguments."""
    if any(" " in claim for claim in claims):
        return "; ".join(claim.rstrip("; ") or claim for claim in claims).replace("\n", ";")
    return " ".join(claims).replace("\n", ";")
