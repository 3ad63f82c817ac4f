"""The command `cache`: what is kept of long computations for this user, and how to be rid of it."""

from __future__ import annotations

import click

from sitegen.cache import cache_folder, emptied, kept
from sitegen.commands.terminal import NotDone, counted


@click.command()
@click.option("--clear", is_flag=True, help="Take it all away. What is lost is time.")
def cache(clear: bool) -> None:
    """Say where results are kept that took long, and how much that is."""
    folder = cache_folder()
    try:
        sizes = emptied(folder) if clear else kept(folder)
    except OSError as error:
        raise NotDone(f"{error.filename or folder} cannot be taken away: {error.strerror}") from None
    done = " taken away from" if clear else " in"
    click.echo(f"{counted(len(sizes), 'result')}, {sum(sizes) / 1e6:.1f} MB,{done} {folder}")
