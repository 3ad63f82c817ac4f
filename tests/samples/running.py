"""The command as a terminal calls it, without one."""

from __future__ import annotations

from click.testing import CliRunner, Result

from sitegen.cli import main


def run(*arguments: str, stdin: str | None = None) -> Result:
    return CliRunner().invoke(main, list(arguments), input=stdin, prog_name="turnfolio")


def ended_well(result: Result) -> bool:
    """With a status of the design's: 0 done, 1 problems, 2 called wrongly; never by an exception."""
    return result.exit_code in (0, 1, 2) and (
        result.exception is None or isinstance(result.exception, SystemExit)
    )
