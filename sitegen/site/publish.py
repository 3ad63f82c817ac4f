"""The whole way: folder to guide, guide to files, files to output."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from sitegen.figures.of_position import Palette, palette
from sitegen.figures.style import Paints
from sitegen.guide.guide import Guide
from sitegen.guide.load import read_guide
from sitegen.guide.printed import ANSWERS, OUTPUT, Printed, printed
from sitegen.pages.config import read_config
from sitegen.pages.files import other_files
from sitegen.pages.scheme import colour_problems
from sitegen.problems import Problems
from sitegen.progress import Progress, quiet
from sitegen.puzzles.puzzle import Puzzle
from sitegen.site.looks import refuse_looks
from sitegen.site.output import RECORD, OutputError, replace_site
from sitegen.site.pdf import PdfRenderer, made_here, page_count, unchanged
from sitegen.site.render import Site, render_site
from sitegen.site.theme import load_theme


class NothingToPrint(Exception):
    """Why there is nothing to print, and what to write."""


@dataclass(frozen=True)
class Published:
    """What was published, how many files, and how many PDFs were taken away, their pages having changed."""

    guide: Guide
    files: int
    outdated: int


@dataclass(frozen=True)
class Handouts:
    """What was printed: each PDF by its path in the guide's folder, with its number of pages."""

    guide: Guide
    pages: Mapping[str, int]


def publish(folder: Path, draft: bool = False, progress: Progress = quiet) -> Published:
    """Publishes the guide in a folder.

    Raises Problems and leaves the site as it was where something does not hold; a draft marks it in the pages
    instead. PDFs stay as long as they are of what is published.
    """
    site = _site(read_guide(folder, progress), folder, draft)
    there = _there(site, folder)
    kept = unchanged(there, site, folder)
    files = _put(site, folder, kept, progress)
    return Published(site.guide, files, len(there) - len(kept))


def _there(site: Site, folder: Path) -> list[Printed]:
    """What was printed the last time, of pages that there still are."""
    every = (sheet for page in site.guide.pages for sheet in printed(page, site.guide))
    return [sheet for sheet in every if made_here(folder / sheet.file)]


def _put(site: Site, folder: Path, pdfs: Mapping[str, bytes], progress: Progress) -> int:
    """Writes the site, and into a folder of their own answers that are no part of it; counts its files."""
    published, kept_back = _below(OUTPUT, pdfs), _below(ANSWERS, pdfs)
    answers = folder / ANSWERS
    concerned = kept_back or (answers / RECORD).is_file()
    if concerned and answers.is_symlink():
        message = f"{ANSWERS} is a link, which may lead into what is published: make it a folder"
        raise OutputError(message)
    files = replace_site(folder / OUTPUT, render_site(replace(site, pdfs=published), progress))
    if concerned:
        replace_site(answers, kept_back.items())
    return files


def _below(folder: str, files: Mapping[str, bytes]) -> dict[str, bytes]:
    """Of files by their paths those in a folder, by their paths there."""
    inside = {name: content for name, content in files.items() if name.startswith(f"{folder}/")}
    return {name.removeprefix(f"{folder}/"): content for name, content in inside.items()}


def check(folder: Path, progress: Progress = quiet) -> Guide:
    """Does all that publishing does but write. Raises Problems where something does not hold."""
    site = _site(read_guide(folder, progress), folder, False)
    for _ in render_site(site, progress):
        pass
    return site.guide


def handout(folder: Path, variants: str = "", progress: Progress = quiet) -> Handouts:
    """Publishes the guide in a folder with a PDF of each sheet.

    Answers that are not published are printed as well, into a folder of their own.
    Raises Problems as `publish` does; NoPdfRenderer where PDFs cannot be made; NothingToPrint.
    """
    site = _site(read_guide(folder, progress), folder, False)
    wanted = [sheet for page in site.guide.pages for sheet in printed(page, site.guide, variants)]
    if not wanted:
        hint = "write a page with “kind: handout” or “kind: exercises” at its head"
        raise NothingToPrint(f"the guide has nothing to print; {hint}")
    if variants and not any(sheet.variant for sheet in wanted):
        raise NothingToPrint("variants are of exercises; write a block “practice” on a page made for paper")
    renderer = PdfRenderer()
    made = unchanged(_there(site, folder), site, folder)
    missing = [sheet for sheet in wanted if sheet.file not in made]
    for sheet in progress(missing, len(missing), "Printing"):
        made[sheet.file] = renderer.pdf(site, sheet)
    _put(site, folder, made, progress)
    return Handouts(site.guide, {sheet.file: page_count(made[sheet.file]) for sheet in wanted})


def palette_of(folder: Path, puzzle: Puzzle) -> Palette:
    """The colours of a puzzle in figures that stand alone, which are those of a guide. Raises Problems."""
    config = read_config(folder)
    if problems := colour_problems(config, puzzle):
        raise Problems(problems)
    guide = Guide(folder, config, (), {}, {}, {}, tuple(other_files(folder)))
    site = Site(guide, load_theme(config, folder))
    refuse_looks(site, [puzzle])
    return palette(puzzle, config.colours, paints=Paints(site.given.shades.light, on_paper=False))


def _site(guide: Guide, folder: Path, draft: bool) -> Site:
    if guide.problems and not draft:
        raise Problems(guide.problems)
    site = Site(guide, load_theme(guide.config, folder))
    refuse_looks(site, dict.fromkeys(page.puzzle for page in guide.pages))
    return site
