"""The command `find`: the shortest sequences that satisfy claims."""

from __future__ import annotations

import json
from _thread import interrupt_main
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from threading import Event, Lock, Timer

import click

from sitegen.blocks.source import found_blocks
from sitegen.commands.terminal import (
    JSON,
    MARKED,
    PUZZLE,
    Memory,
    progress,
    puzzle_called,
    show_notes,
    told,
)
from sitegen.guide.asked import Asking, asked_within
from sitegen.guide.enclosing import enclosing
from sitegen.moves.metrics import METRICS
from sitegen.problems import Findings, Problem, Problems, written
from sitegen.reports.search_report import account, answer_as_data, answer_in_words
from sitegen.search.find import LONGEST_SOUGHT, NEVER, OUT_OF_MEMORY, OUT_OF_TIME, Found
from sitegen.search.find import find as search
from sitegen.search.turns import read_layer
from sitegen.statuses import INTERRUPTED

ADVICE = {
    OUT_OF_MEMORY: " Allow more with --memory, or fewer turns with --faces.",
    OUT_OF_TIME: " Allow more with --seconds, or fewer turns with --faces.",
    NEVER: " Allow more turns.",
}
"""What to do about a search that came to its end without having found all that was wanted."""


@click.command("find")
@click.argument("claims", nargs=-1, required=True)
@click.option(
    "--longest", type=click.IntRange(0, LONGEST_SOUGHT), help="List all sequences of up to so many turns."
)
@click.option("--most", type=click.IntRange(1, 10_000), default=20, show_default=True, help="Show so many.")
@click.option("--faces", help="Turn only these, as in R,U,F.")
@click.option("--slices", is_flag=True, help="Turn inner layers too.")
@click.option("--wide", is_flag=True, help="Turn blocks of outer layers too.")
@click.option(
    "--metric",
    type=click.Choice(METRICS, case_sensitive=False),
    default="obtm",
    show_default=True,
    help="How turns are counted.",
)
@click.option("--then", "layer", help="Show each sequence A also as [A, T] for the turns T of this layer.")
@click.option("--memory", type=Memory(), default="1 GB", show_default=True, help="Take no more than this.")
@click.option(
    "--seconds", type=click.FloatRange(0, 10**6), help="Search no longer than this.", show_default=False
)
@click.option("--block", "as_blocks", is_flag=True, help="Print blocks to paste into a page.")
@MARKED
@PUZZLE
@JSON
def find(
    claims: tuple[str, ...],
    longest: int | None,
    most: int,
    faces: str | None,
    slices: bool,
    wide: bool,
    metric: str,
    layer: str | None,
    memory: int,
    seconds: float | None,
    as_blocks: bool,
    marked: bool,
    puzzle_name: str | None,
    as_json: bool,
) -> None:
    """Find the shortest sequences that satisfy CLAIMS, as in "flips UF; keeps U except UF"."""
    if as_blocks and as_json:
        raise click.UsageError("--block and --json exclude each other")
    around = enclosing(Path())
    puzzle = puzzle_called(around, puzzle_name)
    findings = Findings()
    then = findings.attempt(None, read_layer, written(layer, "--then"), puzzle) if layer is not None else None
    asking = Asking(_joined(claims), puzzle_name, faces, slices, wide, metric, marked, longest)
    try:
        sought = asked_within(around, puzzle, asking, findings)
        show_notes(around.notes(asking.passage, puzzle))
    except (Problem, Problems) as error:
        raise SystemExit(told(error)) from None
    found = Found(most)
    over = Event()
    try:
        with _no_longer_than(seconds, over):
            search(sought, found, longest, memory, progress)
    except KeyboardInterrupt:
        click.echo(err=True)
        found.ended = found.ended or (OUT_OF_TIME if over.is_set() else "")
    if as_blocks and (blocks := list(found_blocks(sought, found, then))):
        click.echo("\n\n".join(blocks))
    for answer in () if as_blocks else found.answers:
        lines = (
            [json.dumps(answer_as_data(answer, then))] if as_json else [*answer_in_words(answer, then), ""]
        )
        click.echo("\n".join(lines))
    report = account(found, len(found.answers), sought) + ADVICE.get(found.ended, "")
    click.echo(report, err=as_blocks or as_json)
    if not found.ended:
        raise SystemExit(INTERRUPTED)


@contextmanager
def _no_longer_than(seconds: float | None, over: Event) -> Iterator[None]:
    """Interrupts what is done after so many seconds, and says by an event that it was this."""
    done, deciding = Event(), Lock()

    def interrupt() -> None:
        with deciding:
            if not done.is_set():
                over.set()
                interrupt_main()

    timer = Timer(seconds, interrupt) if seconds is not None else None
    if timer:
        timer.daemon = True
        timer.start()
    try:
        yield
    finally:
        with deciding:
            done.set()
        if timer:
            timer.cancel()


def _joined(claims: tuple[str, ...]) -> str:
    """Claims as one text: a claim in each argument, or one whose words are arguments."""
    if any(" " in claim for claim in claims):
        return "; ".join(claim.rstrip("; ") or claim for claim in claims).replace("\n", ";")
    return " ".join(claims).replace("\n", ";")
