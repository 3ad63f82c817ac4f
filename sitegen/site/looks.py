"""Whether the figures of a site can look as its sheets say: all texts of a guide and its theme that say it.

Knows where style sheets stand; what may be said in them is `shades.py`'s to know.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import combinations

from sitegen.figures.difference import LEAST, difference
from sitegen.figures.of_position import palette
from sitegen.guide.guide import Guide
from sitegen.pages.markdown import html_texts
from sitegen.problems import Passage, Problem, Problems, Source
from sitegen.puzzles.puzzle import Puzzle
from sitegen.site.render import Site
from sitegen.site.shades import EVERYWHERE, problems, problems_in_html
from sitegen.site.theme import Theme


def refuse_looks(site: Site, puzzles: Iterable[Puzzle]) -> None:
    """Raises Problems for what sheets must not say of figures, or else for colours that look alike."""
    found = list(_wrong(site.guide, site.theme)) or list(_alike(site, puzzles))
    if found:
        raise Problems(found)


def _wrong(guide: Guide, theme: Theme) -> Iterator[Problem]:
    loaded = theme.sheets()
    files = [*loaded, *theme.other_sheets()]
    for name in guide.files:
        if name.endswith(".css"):
            text = (guide.folder / "content" / name).read_text(encoding="utf-8-sig", errors="replace")
            files.append(Source(f"content/{name}", text).passage())
    for sheet in files:
        yield from problems(sheet, gives_shades=sheet in loaded)
    texts = [prose for page in guide.pages for prose in guide.texts(page)] if guide.config.html else []
    for html in (*theme.templates(), *(place for prose in texts for _, place in html_texts(prose))):
        yield from problems_in_html(html)


def _alike(site: Site, puzzles: Iterable[Puzzle]) -> Iterator[Problem]:
    """Colours of one puzzle whose shades nobody tells apart, on screens or on paper."""
    told = set()
    for puzzle in puzzles:
        names = sorted(set(palette(puzzle, site.guide.config.colours).faces.values()))
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
