"""The whole way: folder to guide, guide to files, files to output."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

from sitegen.cache import Cache, NotKnown
from sitegen.figures.of_position import Palette, palette
from sitegen.figures.raster import INSTALL, Drawing, can_draw
from sitegen.figures.style import Paints
from sitegen.folders import is_file
from sitegen.guide.anew import OthersConcerned, known_pages, read_anew
from sitegen.guide.guide import Guide
from sitegen.guide.load import read_guide
from sitegen.guide.printed import ANSWERS, OUTPUT, Printed, printed, repeated_notes
from sitegen.pages.config import Config, read_config
from sitegen.pages.files import other_files
from sitegen.pages.scheme import colour_problems
from sitegen.problems import Note, Problem, Problems
from sitegen.progress import Progress, quiet
from sitegen.puzzles.puzzle import Puzzle
from sitegen.site.looks import refuse_looks
from sitegen.site.output import RECORD, NewSite, OutputError, alone, recorded, replace_site, replaced
from sitegen.site.pdf import PdfRenderer, made_here, page_count, unchanged
from sitegen.site.readable import hard_to_read
from sitegen.site.record import DRAFTS, MadePart, Record, inputs_of, last, remember
from sitegen.site.render import Content, Site, SitePart, render_parts, render_site, told_by_template
from sitegen.site.theme import load_theme


class NothingToPrint(Exception):
    """Why there is nothing to print, and what to write."""


@dataclass(frozen=True)
class Published:
    """What was published, in numbers, and what is to be told of it."""

    pages: int
    sequences: int
    files: int
    rendered: int
    """How many pages of the site were made; all others are as they were."""
    kept: int
    own: tuple[str, ...] = ()
    """Files of the last publishing that are none of this one, and had been changed since: these were kept."""
    outdated: int = 0
    """How many PDFs were taken away, their pages having changed or gone."""
    problems: tuple[Problem, ...] = ()
    """What does not hold in a draft."""
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class Handouts:
    """What was printed: each PDF by its path in the guide's folder, with its number of pages."""

    guide: Guide
    pages: Mapping[str, int]


def publish(folder: Path, draft: bool = False, progress: Progress = quiet) -> Published:
    """Publishes the guide in a folder.

    Raises Problems and leaves the site as it was where something does not hold. As a draft the site has the
    pages too that are drafts, and what does not hold is marked instead, as long as the settings and a page
    can be read. PDFs stay as long as they are of what is published.
    """
    with alone(folder):
        done, pdfs = _published_alone(folder, draft, progress)
        if pdfs is not None:
            _put_aside(folder, pdfs)
    return done


def _published_alone(
    folder: Path, draft: bool, progress: Progress
) -> tuple[Published, Mapping[str, bytes] | None]:
    """Publishes, and gives the PDFs that still are of what is published; None where none can have changed."""
    inputs, cache = inputs_of(folder, draft), Cache()
    with replaced(folder / OUTPUT) as new:
        known = last(folder / OUTPUT, cache)
        if inputs == known.inputs and new.stands(known.files):
            new.as_it_was = True
            return _published(known, 0), None
        if changed := [] if draft else known.changed(inputs):
            done = _put_changed(folder, changed, known, inputs, new)
            if done is not None:
                return done, None
        site = _site(read_guide(folder, progress, drafts=draft), folder, draft)
        still = unchanged(_there(site, folder), site, folder)
        gone = _printed(folder) - still.keys() - {f"{OUTPUT}/{name}" for name in site.guide.files}
        done = _put(site, still, inputs, new, progress)
    return replace(done, outdated=len(gone), own=tuple(new.kept)), still


def _pages_among(names: Iterable[str]) -> int:
    """How many files are pages: not their pictures, nor what is for programs."""
    return sum(name.endswith((".html", ".txt")) for name in names)


def _published(record: Record, rendered: int) -> Published:
    made = sum(_pages_among(part.files) for part in record.parts.values())
    return Published(
        len(record.pages), record.sequences, len(record.files), rendered, made - rendered, notes=record.notes
    )


def _put_changed(
    folder: Path,
    changed: Collection[str],
    known: Record,
    inputs: Mapping[str, str],
    new: NewSite,
) -> Published | None:
    """Writes the site of a guide in which the text of some pages has changed, and makes these alone.

    None, and nothing done, where that concerns more than these pages, or where the old site is not as it was
    written.
    """
    try:
        guide = read_anew(folder, changed, known.pages)
    except (OthersConcerned, NotKnown, Problem, Problems):
        return None
    still = {name: known.pages[name] for name in changed}
    alone = not guide.problems and known_pages(guide) == still and not any(e.noted for e in still.values())
    on_paper = (sheet for page in guide.read for sheet in printed(page, guide))
    if not alone or any(made_here(folder, sheet.file) for sheet in on_paper) or not new.stands(known.files):
        return None
    site = Site(guide, load_theme(guide.config, folder))
    with told_by_template(site.theme):
        made = {file.path: site.content(file) for page in guide.read for file in site.of_page(page)}
    new.take_over({name: digest for name, digest in known.files.items() if name not in made})
    written = {name: _written(new, known, name, content) for name, content in made.items()}
    new.files |= {name: each.digest for name, each in written.items()}
    # What the others would be made from follows from all of the guide, so that it is not known of these.
    anew = {page.url: replace(known.parts[page.url], made_from="") for page in guide.read}
    record = replace(
        known,
        inputs=_as_read(inputs, folder),
        parts={**known.parts, **anew},
        files=new.files,
        drawings={**known.drawings, **_drawings(written)},
    )
    remember(folder / OUTPUT, record, Cache())
    return _published(record, _pages_among(made))


def _as_read(inputs: Mapping[str, str], folder: Path) -> Mapping[str, str]:
    """Digests of what was read; none where it has changed meanwhile, and nobody knows what was read."""
    return inputs if inputs == inputs_of(folder, DRAFTS in inputs) else {}


def _there(site: Site, folder: Path) -> list[Printed]:
    """What was printed the last time, of pages that there still are."""
    every = (sheet for page in site.guide.pages for sheet in printed(page, site.guide))
    return [sheet for sheet in every if made_here(folder, sheet.file)]


def _printed(folder: Path) -> set[str]:
    """All PDFs of the last publishing, the author's own too, by their paths in the guide's folder."""
    written = ((each, name) for each in (OUTPUT, ANSWERS) for name in recorded(folder / each))
    return {f"{each}/{name}" for each, name in written if name.endswith(".pdf")}


def _put(
    site: Site, pdfs: Mapping[str, bytes], inputs: Mapping[str, str], new: NewSite, progress: Progress
) -> Published:
    """Writes the site."""
    guide, cache = site.guide, Cache()
    _refuse_link(guide.folder, pdfs)
    known = last(guide.folder / OUTPUT, cache)
    if guide.problems:  # what does not hold is told on pages, which follow from more than is known of them
        known = replace(known, parts={})
    parts, drawings, rendered = _write(replace(site, pdfs=_below(OUTPUT, pdfs)), known, new, progress)
    record = Record(
        inputs=_as_read(inputs, guide.folder),
        pages={} if guide.problems else known_pages(guide),
        sequences=len(guide.sequences),
        notes=tuple(map(str, _notes(site))),
        parts=parts,
        files=new.files,
        drawings=drawings,
    )
    if not guide.problems:
        remember(guide.folder / OUTPUT, record, cache)
    return replace(_published(record, rendered), pages=len(guide.pages), problems=guide.problems)


def _notes(site: Site) -> tuple[Note, ...]:
    """All that may not be meant as it is published."""
    guide = site.guide
    return (*guide.notes, *hard_to_read(site.theme), *_unpictured(guide.config))


def _unpictured(config: Config) -> list[Note]:
    """What to tell an author whose pages could have pictures."""
    if not (config.address and config.picture_cards) or can_draw():
        return []
    message = "pages have no pictures for where others link to them, which resvg-py makes"
    return [Note(message, [config.places["address"]], INSTALL)]


def _put_aside(folder: Path, pdfs: Mapping[str, bytes]) -> None:
    """Writes answers that are no part of the site into a folder of their own."""
    if _concerned(folder, pdfs):
        replace_site(folder / ANSWERS, _below(ANSWERS, pdfs).items())


def _refuse_link(folder: Path, pdfs: Mapping[str, bytes]) -> None:
    """Raises OutputError where answers could come into the site."""
    if _concerned(folder, pdfs) and (folder / ANSWERS).is_symlink():
        message = f"{ANSWERS} is a link, which may lead into what is published: make it a folder"
        raise OutputError(message)


def _concerned(folder: Path, pdfs: Mapping[str, bytes]) -> bool:
    """Whether there are answers to put aside, or were the last time."""
    return bool(_below(ANSWERS, pdfs)) or is_file(folder, f"{ANSWERS}/{RECORD}")


@dataclass(frozen=True)
class _Written:
    """A file that was written: its digest, and of a picture of pixels that of what it was made from."""

    digest: str
    drawing: str = ""


def _written(new: NewSite, known: Record, name: str, content: Content) -> _Written:
    """Puts a file there. A picture that was made from the same drawing is not made again."""
    if not isinstance(content, Drawing):
        return _Written(new.put(name, content))
    drawing, digest = content.digest, known.files.get(name, "")
    if known.drawings.get(name) == drawing and new.take_over({name: digest}):
        return _Written(digest, drawing)
    return _Written(new.put(name, content.png()), drawing)


def _drawings(written: Mapping[str, _Written]) -> dict[str, str]:
    return {name: each.drawing for name, each in written.items() if each.drawing}


def _write(
    site: Site, known: Record, new: NewSite, progress: Progress
) -> tuple[dict[str, MadePart], dict[str, str], int]:
    """Puts all files into the new site, and makes those that were made of something else the last time.

    Gives what each part was made from, what pictures were, and how many pages were made.
    """
    for name, content in (*site.resources.items(), *site.pdfs.items()):
        new.write(name, content)
    done: dict[str, MadePart] = {}
    drawings: dict[str, str] = {}
    left: dict[SitePart, str] = {}
    for part in site.parts():
        made_from = "" if site.guide.problems else part.made_from()
        before = known.parts.get(part.name)
        same = before is not None and before.made_from == made_from
        if before and same and new.take_over({name: known.files[name] for name in before.files}):
            done[part.name] = before
            drawings |= {name: known.drawings[name] for name in before.files if name in known.drawings}
        else:
            left[part] = made_from
    rendered = 0
    for part, written in render_parts(site, [*left], partial(_written, new, known), progress):
        done[part.name] = MadePart(left[part], tuple(written))
        drawings |= _drawings(written)
        rendered += _pages_among(written)
        new.files |= {name: each.digest for name, each in written.items()}
    return done, drawings, rendered


def _below(folder: str, files: Mapping[str, bytes]) -> dict[str, bytes]:
    """Of files by their paths those in a folder, by their paths there."""
    inside = {name: content for name, content in files.items() if name.startswith(f"{folder}/")}
    return {name.removeprefix(f"{folder}/"): content for name, content in inside.items()}


def check(folder: Path, progress: Progress = quiet) -> Guide:
    """Does all that publishing does but write. Raises Problems where something does not hold."""
    site = _site(read_guide(folder, progress), folder, False)
    for _ in render_site(site, progress):
        pass
    return replace(site.guide, notes=_notes(site))


def handout(folder: Path, variants: str = "", progress: Progress = quiet) -> Handouts:
    """Publishes the guide in a folder with a PDF of each sheet.

    Answers that are not published are printed as well, into a folder of their own.
    Raises Problems as `publish` does; NoPdfRenderer where PDFs cannot be made; NothingToPrint.
    """
    with alone(folder):
        return _handout(folder, variants, progress)


def _handout(folder: Path, variants: str, progress: Progress) -> Handouts:
    inputs = inputs_of(folder, False)
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
    made |= progress(renderer.pdfs(site, missing), len(missing), "Printing")
    with replaced(folder / OUTPUT) as new:
        _put(site, made, inputs, new, progress)
    _put_aside(folder, made)
    told = replace(site.guide, notes=(*_notes(site), *repeated_notes(site.guide, variants)))
    return Handouts(told, {sheet.file: page_count(made[sheet.file]) for sheet in wanted})


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
    if guide.problems and (not draft or guide.config.problems or not guide.pages):
        raise Problems(guide.problems)
    site = Site(guide, load_theme(guide.config, folder))
    refuse_looks(site, dict.fromkeys(page.puzzle for page in guide.pages))
    return site
