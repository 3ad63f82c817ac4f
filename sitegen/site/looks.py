"""Whether a site and its figures can look as its sheets say: all texts of a guide and its theme that say it.

Knows where style sheets stand; what they say is for `sheet_text.py` to know, and of figures for `shades.py`.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import combinations

from sitegen.figures.difference import LEAST, difference
from sitegen.figures.of_position import faces_coloured
from sitegen.figures.style import USUAL
from sitegen.guide.guide import FILES, Guide
from sitegen.pages.files import file_of_guide
from sitegen.pages.markdown import html_texts
from sitegen.problems import Passage, Problem, Problems, Source
from sitegen.puzzles.puzzle import Puzzle
from sitegen.site.policy import in_vain
from sitegen.site.render import Site
from sitegen.site.shades import EVERYWHERE, problems, problems_in_html
from sitegen.site.sheet_text import addresses_to_nothing, properties_of_nobody, unread
from sitegen.site.theme import Theme
from sitegen.site.theme_folder import FIGURES

NAMING = (".js", ".html", ".svg")
"""The endings of an author's files, beside sheets, in which custom properties may be named."""


def refuse_looks(site: Site, puzzles: Iterable[Puzzle]) -> None:
    """Raises Problems for what sheets say in vain or must not say, or else for colours that look alike."""
    found = list(_wrong(site.guide, site.theme)) or list(_alike(site, puzzles))
    if found:
        raise Problems(found)


def _wrong(guide: Guide, theme: Theme) -> Iterator[Problem]:
    own = _texts(guide, (".css",))
    if theme.shipped and not own and not guide.config.html:
        return  # Nobody has written any but those that tests hold to be right.
    sheets = {**theme.texts(".css"), **own}
    if unreadable := [problem for sheet in sheets.values() for problem in unread(sheet)]:
        yield from unreadable
        return
    loaded = theme.sheets()
    for sheet in sheets.values():
        yield from problems(sheet, gives_shades=sheet in loaded)
    texts = [prose for page in guide.pages for prose in guide.texts(page)] if guide.config.html else []
    html = [*theme.templates(), *(place for prose in texts for _, place in html_texts(prose))]
    for each in html:
        yield from problems_in_html(each)
    if not guide.config.html:
        yield from in_vain(theme.templates(ours=False))
    if guide.pages:  # Which may name properties too; who draws a single figure reads none.
        naming = [*html, *theme.texts(".js").values(), *_texts(guide, NAMING).values()]
        yield from properties_of_nobody([*sheets.values()], (each.text for each in naming), USUAL.light)
    files = {*theme.paths(), *guide.files, f"{FILES}/{FIGURES}"}
    for path, sheet in sheets.items():
        yield from addresses_to_nothing(sheet, path, files)


def _texts(guide: Guide, endings: tuple[str, ...]) -> dict[str, Passage]:
    """The author's own files with these endings, by their paths on the site."""
    names = [name for name in guide.files if name.endswith(endings)]
    files = {name: file_of_guide(guide.folder, f"content/{name}") for name in names}
    texts = {name: content.decode("utf-8-sig", "replace") for name, content in files.items()}
    return {name: Source(f"content/{name}", text).passage() for name, text in texts.items()}


def _alike(site: Site, puzzles: Iterable[Puzzle]) -> Iterator[Problem]:
    """Colours of one puzzle whose shades nobody tells apart, on screens or on paper."""
    told = set()
    for puzzle in puzzles:
        names = sorted(set(faces_coloured(puzzle, site.guide.config.colours).values()))
        for one, other in combinations(names, 2):
            if (one, other) not in told and _near(site, one, other):
                told.add((one, other))
                message = f"{one} and {other} of {puzzle.name} can hardly be told apart"
                yield Problem(message, _place(site, (one, other)), "give one of them another shade")


def _near(site: Site, one: str, other: str) -> bool:
    looks = (getattr(site.given.shades, place) for place in EVERYWHERE)
    pairs = ((look[one], look[other]) for look in looks)
    return any("none" in pair or difference(*pair) < LEAST for pair in pairs)


def _place(site: Site, names: Iterable[str]) -> Passage:
    """Where the shade of one of these colours is given: by a sheet, by the guide, or else by its theme."""
    places = site.guide.config.places
    own = {name: places[f"colours.{name}"] for name in names if f"colours.{name}" in places}
    own |= {name: site.given.places[name] for name in names if name in site.given.places}
    values = [site.theme.colours[name] for name in names if name in site.theme.colours]
    return list(own.values())[-1] if own else site.theme.place_of(values[-1] if values else "")
