"""The command: each of its commands is a function in `commands/` and a line here."""

from __future__ import annotations

import click

from sitegen import __version__
from sitegen.commands.find_command import find
from sitegen.commands.guide_commands import check, handout, publish, start, trial
from sitegen.commands.move_commands import draw, effect, puzzle


@click.group()
@click.version_option(__version__, prog_name="turnfolio")
def main() -> None:
    """Publish guides to twisty puzzles, every claim about moves checked by turning."""


for command in (start, publish, check, effect, draw, find, handout, trial, puzzle):
    main.add_command(command)
