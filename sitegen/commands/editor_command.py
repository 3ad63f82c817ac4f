"""The command `editor`: a language server for whatever editor starts it."""

from __future__ import annotations

import sys

import click

from sitegen.commands.terminal import NotDone

NEEDED = ("pygls", "lsprotocol")
INSTALL = (
    "editors are served by pygls, which is not installed, or too old: "
    "install it with pip install 'pygls>=2', or the extra “editor” of Turnfolio"
)


@click.command()
@click.option("--stdio", is_flag=True, hidden=True)  # Some editors say so, though there is no other way.
def editor(stdio: bool) -> None:
    """Serve an editor over standard input and output.

    Any editor will do that speaks the Language Server Protocol. It starts this command by itself.
    """
    try:
        from sitegen.editor.features import serve
    except ModuleNotFoundError as error:
        if not (error.name or "").startswith(NEEDED):
            raise
        raise NotDone(INSTALL) from None
    if sys.stdin is None or sys.stdout is None:
        raise NotDone("an editor speaks over standard input and output, and one of these is closed")
    if sys.stdin.isatty():
        click.echo("waiting for an editor on standard input; end with Ctrl-D", err=True)
    raise SystemExit(serve())
