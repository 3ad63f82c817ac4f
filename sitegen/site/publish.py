"""The whole way: folder to guide, guide to files, files to output."""

from __future__ import annotations

from pathlib import Path

from sitegen.guide.guide import Guide
from sitegen.guide.kept import read_kept
from sitegen.guide.load import read_guide
from sitegen.problems import Problems
from sitegen.progress import Progress, quiet
from sitegen.site.output import replace_site
from sitegen.site.render import render_site
from sitegen.site.theme import load_theme

OUTPUT = "output"


def publish(folder: Path, draft: bool = False, progress: Progress = quiet) -> tuple[Guide, int]:
    """Publishes the guide in a folder; gives it back with the number of files written.

    Raises Problems and leaves the site as it was where something does not hold; a draft marks it in the pages
    instead.
    """
    guide = _read(folder, progress)
    files = _made(guide, folder, draft, progress)
    replace_site(folder / OUTPUT, files)
    return guide, len(files)


def _read(folder: Path, progress: Progress) -> Guide:
    """The guide; what took long is kept for the next time, even where this one comes to nothing."""
    kept = read_kept(folder)
    whole = False
    try:
        guide = read_guide(folder, progress, kept)
        whole = not guide.problems
    finally:
        kept.save(folder, whole)
    return guide


def check(folder: Path, progress: Progress = quiet) -> Guide:
    """Does all that publishing does but write. Raises Problems where something does not hold."""
    guide = read_guide(folder, progress)
    _made(guide, folder, False, progress)
    return guide


def _made(guide: Guide, folder: Path, draft: bool, progress: Progress) -> dict[str, bytes]:
    if guide.problems and not draft:
        raise Problems(guide.problems)
    return render_site(guide, load_theme(guide.config, folder), progress)
