"""The command: each of its commands is a function in `commands/` and a line here."""

from __future__ import annotations

from collections.abc import Mapping
from importlib import import_module
from typing import NamedTuple

import click


class _Place(NamedTuple):
    """Where a command is, and what it does, as its own `--help` begins."""

    module: str
    does: str


COMMANDS: Mapping[str, _Place] = {
    "start": _Place("guide_commands", "Lay out a new guide in FOLDER that publishes as it stands."),
    "publish": _Place("guide_commands", "Check the guide in FOLDER, then replace its output/ whole."),
    "check": _Place("guide_commands", "Check everything in the guide in FOLDER; write nothing."),
    "preview": _Place(
        "preview_command", "Serve the guide in FOLDER on this machine, published anew whenever you save."
    ),
    "editor": _Place("editor_command", "Serve an editor over standard input and output."),
    "handout": _Place("guide_commands", "Publish the guide in FOLDER with a PDF of every handout."),
    "trial": _Place("guide_commands", "Solve random positions by the methods of the guide in FOLDER."),
    "find": _Place("find_command", "Find the shortest sequences that satisfy CLAIMS."),
    "effect": _Place("move_commands", "Say what MOVES do."),
    "draw": _Place(
        "move_commands", "Draw the position that MOVES solve, with arrows that show what they do."
    ),
    "puzzle": _Place("move_commands", "List the puzzles, or describe the one called NAME."),
}


class _OnDemand(click.Group):
    """Commands are read when they are called, since what they need takes time to read."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        place = COMMANDS.get(cmd_name)
        command: click.Command | None = (
            getattr(import_module(f"sitegen.commands.{place.module}"), cmd_name) if place else None
        )
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section("Commands"):
            formatter.write_dl([(name, place.does) for name, place in COMMANDS.items()])


@click.group(cls=_OnDemand)
@click.version_option(package_name="turnfolio", prog_name="turnfolio")
def main() -> None:
    """Publish guides to twisty puzzles, every claim about moves checked by turning."""
