"""The whole way: folder to guide, guide to files, files to output."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from sitegen.blocks.cache import read_cache
from sitegen.figures.cascade import PRINT, SCREEN, Cascade
from sitegen.figures.of_position import palette
from sitegen.figures.style import COLOURS
from sitegen.guide.guide import Guide
from sitegen.guide.load import read_guide
from sitegen.guide.printed import ANSWERS, OUTPUT, Printed, printed
from sitegen.pages.config import Config, read_config
from sitegen.pages.files import other_files
from sitegen.pages.scheme import colour_problems
from sitegen.problems import Passage, Problem, Problems
from sitegen.progress import Progress, quiet
from sitegen.puzzles.puzzle import Puzzle
from sitegen.site.output import RECORD, OutputError, replace_site
from sitegen.site.pdf import NOWHERE, PdfRenderer, made_here, page_count, unchanged
from sitegen.site.render import Site, render_site, told_by_template
from sitegen.site.stylesheets import cascade_of, shades, too_near, unprintable
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
    site = _site(_read(folder, progress), folder, draft)
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
    files = render_site(replace(site, pdfs=published), progress)
    answers = folder / ANSWERS
    concerned = kept_back or (answers / RECORD).is_file()
    if concerned and answers.is_symlink():
        message = f"{ANSWERS} is a link, which may lead into what is published: make it a folder"
        raise OutputError(message)
    replace_site(folder / OUTPUT, files)
    if concerned:
        replace_site(answers, kept_back)
    return len(files)


def _below(folder: str, files: Mapping[str, bytes]) -> dict[str, bytes]:
    """Of files by their paths those in a folder, by their paths there."""
    inside = {name: content for name, content in files.items() if name.startswith(f"{folder}/")}
    return {name.removeprefix(f"{folder}/"): content for name, content in inside.items()}


def check(folder: Path, progress: Progress = quiet) -> Guide:
    """Does all that publishing does but write. Raises Problems where something does not hold."""
    site = _site(read_guide(folder, progress), folder, False)
    render_site(site, progress)
    return site.guide


def handout(folder: Path, variants: str = "", progress: Progress = quiet) -> Handouts:
    """Publishes the guide in a folder with a PDF of each sheet.

    Answers that are not published are printed as well, into a folder of their own.
    Raises Problems as `publish` does; NoPdfRenderer where PDFs cannot be made; NothingToPrint.
    """
    site = _site(_read(folder, progress), folder, False)
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


def figure_look(folder: Path, puzzle: Puzzle) -> tuple[Config, Cascade]:
    """What a guide says of figures of a puzzle, and how its pages show them on screen. Raises Problems."""
    config = read_config(folder)
    if problems := colour_problems(config, puzzle):
        raise Problems(problems)
    guide = Guide(folder, config, (), {}, {}, {}, tuple(other_files(folder)))
    site = _site(guide, folder, False)
    _refuse_alike(site, [puzzle])
    return config, _look(site, SCREEN)


def _look(site: Site, medium: str) -> Cascade:
    with told_by_template(site.theme):
        page = site.text(site.bare())
    return cascade_of(page, "index.html", NOWHERE, site.resources, medium)


def _read(folder: Path, progress: Progress) -> Guide:
    """The guide; what took long is kept for the next time, even where this one comes to nothing."""
    cache = read_cache(folder)
    whole = False
    try:
        guide = read_guide(folder, progress, cache)
        whole = not guide.problems
    finally:
        cache.save(folder, whole)
    return guide


def _site(guide: Guide, folder: Path, draft: bool) -> Site:
    if guide.problems and not draft:
        raise Problems(guide.problems)
    site = Site(guide, load_theme(guide.config, folder))
    unclear = {
        name: value for medium in (SCREEN, PRINT) for name, value in unprintable(_look(site, medium)).items()
    }
    if unclear:
        raise Problems(site.theme.shade_problem(name, value) for name, value in unclear.items())
    _refuse_alike(site, dict.fromkeys(page.puzzle for page in guide.pages))
    return site


def _refuse_alike(site: Site, puzzles: Iterable[Puzzle]) -> None:
    """Raises Problems for colours of one puzzle whose shades nobody tells apart, on screen or in print."""
    looks = [_look(site, medium) for medium in (SCREEN, PRINT)]
    found: dict[tuple[str, str], Problem] = {}
    for puzzle in puzzles:
        names = sorted(set(palette(puzzle, site.guide.config.colours).faces.values()))
        for cascade in looks:
            for one, other in too_near(names, cascade):
                message = f"{one} and {other} of {puzzle.name} can hardly be told apart"
                place = _given((one, other), site, cascade)
                found.setdefault((one, other), Problem(message, place, "give one of them another shade"))
    if found:
        raise Problems(found.values())


def _given(names: Iterable[str], site: Site, cascade: Cascade) -> Passage:
    """Where the shade of one of these colours is given, by the guide or else by its theme."""
    places = site.guide.config.places
    own = [places[f"colours.{name}"] for name in names if f"colours.{name}" in places]
    values = [value for name, value in shades(cascade).items() if name in names and value != COLOURS[name]]
    return own[-1] if own else site.theme.place_of(values[-1] if values else "")
