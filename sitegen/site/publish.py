"""The whole way: folder to guide, guide to files, files to output."""

from __future__ import annotations

from pathlib import Path

from sitegen.guide.guide import Guide, Progress, quiet
from sitegen.guide.load import read_guide
from sitegen.problems import Problems
from sitegen.site.output import replace_site
from sitegen.site.render import render_site
from sitegen.site.theme import load_theme

OUTPUT = "output"


def publish(folder: Path, draft: bool = False, progress: Progress = quiet) -> tuple[Guide, int]:
    """Publishes the guide in a folder; gives it back with the number of files written.

    Raises Problems and writes nothing where something does not hold; a draft marks it in the pages instead.
    """
    guide = check(folder, progress)
    if guide.problems and not draft:
        raise Problems(guide.problems)
    files = render_site(guide, load_theme(guide.config, folder), progress)
    replace_site(folder / OUTPUT, files)
    return guide, len(files)


def check(folder: Path, progress: Progress = quiet) -> Guide:
    """The guide with all its problems; nothing is written. Raises Problems where there is no guide."""
    guide = read_guide(folder, progress)
    load_theme(guide.config, folder)
    return guide
