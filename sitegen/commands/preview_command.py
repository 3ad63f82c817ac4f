"""The command `preview`: the site as it is written, in a browser on this machine."""

from __future__ import annotations

import webbrowser
from pathlib import Path
from threading import Timer

import click

from sitegen.commands.terminal import FOLDER, NotDone, counted
from sitegen.preview.local_server import ADDRESS, LAST_PORT, PORT, NoPort, keep_serving, listening
from sitegen.preview.republish import Outcome
from sitegen.preview.serving import Desk


@click.command()
@FOLDER
@click.option(
    "--port", type=click.IntRange(1, LAST_PORT), default=PORT, show_default=True, help="Listen there."
)
@click.option("--open", "opened", is_flag=True, help="Open the browser.")
def preview(folder: Path, port: int, opened: bool) -> None:
    """Serve the guide in FOLDER on this machine, published anew whenever you save.

    Problems are shown in the page, which stays as it was until they are mended. Ctrl-C ends it.
    """
    try:
        sock = listening(port)
    except NoPort as error:
        raise NotDone(str(error)) from None
    found = sock.getsockname()[1]
    if found != port:
        click.echo(f"port {port} is in use: this is port {found}")
    address = f"http://{ADDRESS}:{found}/"
    click.echo(f"{address} shows {folder.resolve()}; Ctrl-C ends it")
    browser = Timer(0.5, webbrowser.open, [address])
    browser.daemon = True
    keep_serving(Desk(folder.resolve(), _told), sock, browser.start if opened else lambda: None)
    click.echo("the preview has ended")


def _told(outcome: Outcome) -> None:
    """What came of publishing, as `publish` would say it."""
    if outcome.failure:
        click.echo(outcome.failure, err=True)
    for text in (*(each["text"] for each in outcome.problems), *outcome.notes):
        click.echo(text, err=True)
    if outcome.problems:
        click.echo(f"{counted(len(outcome.problems), 'problem')}; nothing was published", err=True)
    elif not outcome.failure:
        click.echo(f"published: {counted(outcome.pages, 'page')}, {outcome.rendered:,} rendered")
