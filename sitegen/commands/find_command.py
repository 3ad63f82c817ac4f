"""The command `find`: the shortest sequences that satisfy claims."""

from __future__ import annotations

import json
from functools import partial
from pathlib import Path

import click

from sitegen.blocks.source import found_blocks
from sitegen.commands.searching import (
    ADVICE,
    BLOCK,
    FACES,
    MEMORY,
    MOST,
    SECONDS,
    SLICES,
    THEN,
    WIDE,
    conclude,
    excluding,
    joined,
    layer_to_turn,
    searched,
)
from sitegen.commands.terminal import (
    JSON,
    MARKED,
    PUZZLE,
    progress,
    puzzle_called,
    show_notes,
    told,
)
from sitegen.guide.asked import Asking, asked_within
from sitegen.guide.enclosing import enclosing
from sitegen.moves.metrics import METRICS
from sitegen.problems import Findings, Problem, Problems
from sitegen.reports.search_report import account, answer_as_data, answer_in_words
from sitegen.search.find import LONGEST_SOUGHT, Found
from sitegen.search.find import find as search


@click.command("find")
@click.argument("claims", nargs=-1, required=True)
@click.option(
    "--longest", type=click.IntRange(0, LONGEST_SOUGHT), help="List all sequences of up to so many turns."
)
@MOST
@FACES
@SLICES
@WIDE
@click.option(
    "--metric",
    type=click.Choice(METRICS, case_sensitive=False),
    default="obtm",
    show_default=True,
    help="How turns are counted.",
)
@THEN
@MEMORY
@SECONDS
@BLOCK
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
    excluding(as_blocks, as_json)
    around = enclosing(Path())
    puzzle = puzzle_called(around, puzzle_name)
    findings = Findings()
    then = layer_to_turn(layer, puzzle, findings)
    asking = Asking(joined(claims), puzzle_name, faces, slices, wide, metric, marked, longest)
    try:
        sought = asked_within(around, puzzle, asking, findings)
        show_notes(around.notes(asking.passage, puzzle))
        taken = around.every(puzzle).taken if as_blocks else frozenset[str]()
    except (Problem, Problems) as error:
        raise SystemExit(told(error)) from None
    found = Found(most)
    searched(partial(search, sought, found, longest, memory, progress), found, seconds)
    if as_blocks and (blocks := list(found_blocks(sought, found, then, taken))):
        click.echo("\n\n".join(blocks))
    for answer in () if as_blocks else found.answers:
        lines = (
            [json.dumps(answer_as_data(answer, then))] if as_json else [*answer_in_words(answer, then), ""]
        )
        click.echo("\n".join(lines))
    report = account(found, len(found.answers), sought) + ADVICE.get(found.ended, "")
    conclude(report, found, as_blocks or as_json)
