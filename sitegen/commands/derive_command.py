"""The command `derive`: ways to a goal by steps that each keep a guard."""

from __future__ import annotations

import json
from functools import partial
from pathlib import Path

import click

from sitegen.blocks.derivation.derivation_source import found_derivations
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
from sitegen.commands.terminal import JSON, MARKED, PUZZLE, progress, puzzle_called, show_notes, told
from sitegen.guide.asked import Asking, aim_within
from sitegen.guide.enclosing import enclosing
from sitegen.problems import Findings, Problem, Problems, written
from sitegen.reports.search_report import commutators_as_data, commutators_in_words
from sitegen.reports.step_report import account_of_ways, way_as_data, way_in_words
from sitegen.search.derive import LONGEST_ASIDE, MOST_STEPS, USUAL_ASIDE
from sitegen.search.derive import derive as search
from sitegen.search.find import LONGEST_SOUGHT, NEVER
from sitegen.search.step_ways import StepWays

MORE = {**ADVICE, NEVER: " Allow more turns, or longer asides with --aside."}


@click.command("derive")
@click.argument("goal", nargs=-1, required=True)
@click.option("--guard", help="Pieces that are home after every step: if not said, the rest of a layer.")
@click.option("--watch", help="Pieces to follow: if not said, those that the goal changes.")
@click.option("--steps", type=click.IntRange(1, MOST_STEPS), help="List all ways of up to so many steps.")
@click.option("--longest", type=click.IntRange(1, LONGEST_SOUGHT), help="List no ways of more turns.")
@click.option(
    "--aside",
    type=click.IntRange(1, LONGEST_ASIDE),
    default=USUAL_ASIDE,
    show_default=True,
    help="Set aside by up to so many turns.",
)
@MOST
@FACES
@SLICES
@WIDE
@THEN
@MEMORY
@SECONDS
@BLOCK
@MARKED
@PUZZLE
@JSON
def derive(
    goal: tuple[str, ...],
    guard: str | None,
    watch: str | None,
    steps: int | None,
    longest: int | None,
    aside: int,
    most: int,
    faces: str | None,
    slices: bool,
    wide: bool,
    layer: str | None,
    memory: int,
    seconds: float | None,
    as_blocks: bool,
    marked: bool,
    puzzle_name: str | None,
    as_json: bool,
) -> None:
    """Find ways to a GOAL by steps that each keep the guard, as in "flips UF".

    A step is a turn, or one before which something is set aside that is brought back after it.
    """
    excluding(as_blocks, as_json)
    around = enclosing(Path())
    puzzle = puzzle_called(around, puzzle_name)
    findings = Findings()
    then = layer_to_turn(layer, puzzle, findings)
    asking = Asking(joined(goal), puzzle_name, faces, slices, wide, marked=marked)
    try:
        kept, followed = (
            written(text, name) if text is not None else None
            for text, name in ((guard, "--guard"), (watch, "--watch"))
        )
        sought = aim_within(around, puzzle, asking, kept, followed, findings)
        show_notes(around.notes(asking.passage, puzzle))
    except (Problem, Problems) as error:
        raise SystemExit(told(error)) from None
    found = StepWays(most, aside=aside)
    look = partial(
        search,
        sought.query,
        sought.guard,
        found,
        steps=steps,
        longest=longest,
        aside=aside,
        memory=memory,
        progress=progress,
    )
    searched(look, found, seconds)
    if as_blocks:
        click.echo("\n\n".join(found_derivations(found.answers, sought, around.every(puzzle).taken)))
    for way in () if as_blocks else found.answers:
        if as_json:
            more = commutators_as_data(str(way), way.effect, then) if then else {}
            click.echo(json.dumps({**way_as_data(way), **more}))
        else:
            lines = [*way_in_words(way, sought.guard, sought.watch)]
            lines += commutators_in_words(str(way), way.effect, then) if then else []
            click.echo("\n".join([*lines, ""]))
    report = account_of_ways(found, len(found.answers)) + MORE.get(found.ended, "")
    conclude(report, found, as_blocks or as_json)
