"""The command: each of its commands is a function in `commands/` and a line here."""

from __future__ import annotations

import os
import sys
from collections.abc import Mapping
from contextlib import suppress
from errno import EPIPE
from importlib import import_module
from typing import Any, NamedTuple

import click

from sitegen.statuses import FAULT, INTERRUPTED, MISUSE


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
    "derive": _Place("derive_command", "Find ways to a GOAL by steps that each keep the guard."),
    "explain": _Place(
        "explain_command", "Tell the structure of a line of MOVES, and derive it step by step."
    ),
    "effect": _Place("move_commands", "Say what MOVES do."),
    "draw": _Place(
        "move_commands", "Draw the position that MOVES solve, with arrows that show what they do."
    ),
    "cache": _Place("cache_command", "Say where results are kept that took long, and how much that is."),
    "puzzle": _Place("move_commands", "List the puzzles, or describe the one called NAME."),
}


class _OnDemand(click.Group):
    """Commands are read when they are called, since what they need takes time to read."""

    shown = False
    """Whether a fault is shown with where it comes from."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        place = COMMANDS.get(cmd_name)
        command: click.Command | None = (
            getattr(import_module(f"sitegen.commands.{place.module}"), cmd_name) if place else None
        )
        return command

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """As usual; who misspells a command is asked which was meant."""
        if args[0] in COMMANDS or ctx.resilient_parsing:
            return super().resolve_command(ctx, args)
        from sitegen.problems import is_it

        hint = is_it(args[0], COMMANDS) or f"commands are {', '.join(COMMANDS)}"
        raise click.UsageError(f"there is no command “{args[0]}”: {hint}", ctx)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section("Commands"):
            formatter.write_dl([(name, place.does) for name, place in COMMANDS.items()])

    def invoke(self, ctx: click.Context) -> Any:
        try:
            result = super().invoke(ctx)
            _flush()
        except OSError as error:
            raise SystemExit(_not_done(error)) from None
        return result

    def main(self, *args: Any, **named: Any) -> Any:
        """Calls a command and ends with its status; whatever goes wrong is told in a line or two."""
        self.shown = False
        try:
            status = super().main(*args, **{**named, "standalone_mode": False}) or 0
            _flush()
        except click.ClickException as error:
            error.show()
            status = error.exit_code
        except (click.Abort, KeyboardInterrupt):
            status = INTERRUPTED
        except OSError as error:
            status = _not_done(error)
        except Exception as error:
            if self.shown:
                raise
            click.echo(f"Fault in Turnfolio, not in your guide: {type(error).__name__}: {error}", err=True)
            click.echo("Please pass on to its makers what turnfolio --traceback … shows.", err=True)
            status = FAULT
        sys.exit(status)


def _flush() -> None:
    """Writes what is still to be written, while somebody can be told that it cannot be."""
    for stream in (sys.stdout, sys.stderr):
        if stream is not None:
            stream.flush()


def _not_done(error: OSError) -> int:
    """Tells what the system did not let be done; nothing where nobody reads any more. The exit status."""
    with suppress(OSError):
        if error.errno != EPIPE:
            what = error.filename or "what was to be printed"
            click.echo(f"Error: {what} cannot be read or written: {error.strerror or error}", err=True)
    # What could not be written is tried again when Python ends, which would tell of it once more.
    sys.stdout = open(os.devnull, "w", encoding="utf-8")  # noqa: SIM115
    return 0 if error.errno == EPIPE else MISUSE


@click.group(cls=_OnDemand)
@click.version_option(package_name="turnfolio", prog_name="turnfolio")
@click.option("--traceback", is_flag=True, help="Show where in Turnfolio a fault of its own comes from.")
def main(traceback: bool) -> None:
    """Publish guides to twisty puzzles, every claim about moves checked by turning."""
    main.shown = traceback
