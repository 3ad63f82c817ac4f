"""The command `explain`: a line of turns from scratch paper, its structure, and a derivation of it."""

from __future__ import annotations

import json
from pathlib import Path

import click

from sitegen.blocks.derivation.explained_source import explained_blocks
from sitegen.commands.searching import BLOCK, excluding
from sitegen.commands.terminal import JSON, MARKED, PUZZLE, puzzle_called, sequences_in, show_notes, told
from sitegen.effects.piece_sets import Part, parse_pieces
from sitegen.guide.enclosing import Enclosing, enclosing
from sitegen.moves.metrics import Length, length
from sitegen.moves.turning import expand, turn_count
from sitegen.problems import Problem, Problems, Source, written
from sitegen.puzzles.puzzle import Puzzle
from sitegen.reports.account_report import (
    account_as_data,
    account_in_words,
    outcome_in_words,
    structure_in_words,
)
from sitegen.search.stretches import Account, account_for
from sitegen.search.structure import Structure

MOST_EXPLAINED = 100
"""With more turns than these a line is not looked through: it would take minutes."""


@click.command("explain")
@click.argument("moves", nargs=-1, required=True)
@click.option("--guard", help="Pieces to tell of at every step: if not said, what is kept of a layer.")
@click.option("--watch", help="Pieces to follow: if not said, up to three that are changed there.")
@click.option(
    "--most", type=click.IntRange(1, 1000), default=5, show_default=True, help="Show so many structures."
)
@BLOCK
@MARKED
@PUZZLE
@JSON
def explain(
    moves: tuple[str, ...],
    guard: str | None,
    watch: str | None,
    most: int,
    as_blocks: bool,
    marked: bool,
    puzzle_name: str | None,
    as_json: bool,
) -> None:
    """Tell the structure of a line of MOVES, and derive it step by step; "-" reads one line a sequence.

    Shown is in which ways it is a commutator [A, B], a conjugate [A: B], a repeat, or a product of these.
    """
    excluding(as_blocks, as_json)
    around = enclosing(Path())
    puzzle = puzzle_called(around, puzzle_name)
    structure = Structure(puzzle)
    try:
        parts = (_part(guard, "--guard", puzzle), _part(watch, "--watch", puzzle))
    except Problem as error:
        raise SystemExit(told(error)) from None
    told_of: list[Account] = []
    notes: dict[str, None] = {}
    failed = 0
    sources = [source for source in sequences_in(moves) if source.text]
    if not sources:
        message = "no line was read" if moves == ("-",) else "there are no turns to explain"
        raise click.UsageError(message)
    for source in sources:
        try:
            account, long = _account(around, structure, source, most, marked, parts)
            notes |= dict.fromkeys(map(str, around.notes(source.passage(), puzzle)))
        except (Problem, Problems) as error:
            failed = told(error)
            continue
        text = " ".join(source.text.split())
        if as_blocks:
            told_of.append(account)
        elif as_json:
            click.echo(json.dumps(account_as_data(text, account, long)))
        elif moves == ("-",):
            click.echo("\n".join([*structure_in_words(text, account), *outcome_in_words(account, long), ""]))
        else:
            click.echo("\n".join(account_in_words(text, account, long)))
    if told_of:
        click.echo("\n\n".join(explained_blocks(told_of, around.every(puzzle).taken)))
    show_notes(notes)
    if failed:
        raise SystemExit(failed)


def _account(
    around: Enclosing,
    structure: Structure,
    source: Source,
    most: int,
    marked: bool,
    parts: tuple[Part | None, Part | None],
) -> tuple[Account, Length]:
    """What is told of one line, and how long it is. Raises Problem or Problems."""
    puzzle = structure.syllables.puzzle
    tree = around.tree(source.passage(), puzzle)
    if (number := turn_count(tree)) > MOST_EXPLAINED:
        message = (
            f"structure is looked for in lines of up to {MOST_EXPLAINED} turns, and these are {number:,}"
        )
        raise Problem(message, source.passage(), "explain a part of them, or what is repeated")
    turns = expand(tree)
    return account_for(turns, structure.forms(turns, most), puzzle, marked, *parts), length(tree, puzzle)


def _part(text: str | None, option: str, puzzle: Puzzle) -> Part | None:
    if text is None:
        return None
    passage = written(text, option)
    return passage, parse_pieces(passage, puzzle)
