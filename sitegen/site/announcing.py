"""What a guide says of itself elsewhere: a description and a picture of each page, a map and a feed of all.

Knows a guide, a theme and the shades of figures; knows nothing of what stands on a page.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

from sitegen.blocks.method.method import Method
from sitegen.blocks.moves.sequence import Sequence
from sitegen.blocks.moves.sequence_figures import after_alone, by_cycle, pairs
from sitegen.figures.draw import draw
from sitegen.figures.of_position import palette, picture
from sitegen.figures.raster import Drawing
from sitegen.figures.style import Paints
from sitegen.figures.views import DEFAULT_VIEW
from sitegen.guide.guide import CONTENTS, FEED, SITEMAP, Guide
from sitegen.guide.tags import TAGS
from sitegen.pages.page import Page
from sitegen.puzzles.puzzle import Puzzle
from sitegen.site.about import About, about_page, about_sequence
from sitegen.site.around import Around
from sitegen.site.for_machines import NOT_FOUND, ROBOTS, Mapped, at_root, dated, feed, robots, sitemap
from sitegen.site.picture_cards import CardShades, card_path, card_shades, picture_card
from sitegen.site.theme import Theme

FIRST = "index.html"
"""The page with which every guide begins."""


@dataclass(frozen=True)
class Announcing:
    guide: Guide
    around: Around
    theme: Theme
    shades: Mapping[str, str]
    """Those of figures on light screens."""
    pictures: bool
    """Whether pages have some."""

    def page(self, page: Page) -> About:
        """A page that an author has written."""
        title_of = self.guide.targets.titles.of
        return self._pictured(page.url, about_page(page, lambda target: title_of(target, page.name)))

    def sequence(self, sequence: Sequence) -> About:
        """The page of a sequence."""
        title_of = self.guide.targets.titles.of
        with_facts = bool(self.guide.config.address)
        said = about_sequence(sequence, lambda target: title_of(target, sequence.page), with_facts)
        return self._pictured(sequence.url, said)

    def other(self, title: str, description: str) -> About:
        """A page without a picture of its own: it has that of the guide's first page."""
        return self._pictured(FIRST, About(title, description))

    def _pictured(self, url: str, about: About) -> About:
        return replace(about, picture=card_path(url)) if self.pictures else about

    def picture(self, title: str, below: str, shown: Puzzle | Sequence) -> Drawing:
        """The picture of a page, with a sequence before it is turned, or a puzzle as it is solved."""
        puzzle = shown.puzzle if isinstance(shown, Sequence) else shown
        paints = Paints(self.shades, on_paper=False)
        colours = palette(puzzle, self.guide.config.colours, paints=paints)
        if isinstance(shown, Sequence):
            # A solved puzzle without arrows would say nothing.
            plain = shown.before == puzzle.identity and bool(by_cycle(shown, colours).figures)
            after = plain or not shown.shown.arrows
            figure = str(after_alone(shown, colours) if after else pairs(shown, colours)[0].before)
        else:
            figure = draw(picture(puzzle, puzzle.identity, colours, puzzle.title, ""), DEFAULT_VIEW)
        return Drawing(picture_card(title, below, self.guide.config.title, figure, self._card_shades))

    @cached_property
    def _card_shades(self) -> CardShades:
        sheets = self.theme.texts(".css")
        return card_shades(sheets[name] for name in self.theme.loaded(".css"))

    @property
    def facts(self) -> Any:
        """All that is said of all pages, as JSON can say it."""
        pages = [[p.title, p.url, p.summary, p.tags, p.date, p.updated] for p in self.guide.pages]
        return [pages, [[page.path, page.changed] for page in self._mapped()], self.guide.files]

    def for_machines(self) -> Iterator[tuple[str, str]]:
        """The files that say something of all pages, by path; what an author has put there stands."""
        config = self.guide.config
        made = {SITEMAP: sitemap(self._mapped(), config.address)}
        if at_root(config.address):
            made[ROBOTS] = robots(config.address)
        if self.guide.feeds:
            pages = dated(self.guide.pages)
            made[FEED] = feed(pages, config.title, config.language, config.author, config.address)
        return ((path, text) for path, text in made.items() if self.is_free(path))

    def is_free(self, path: str) -> bool:
        """Whether no author has put something at a path."""
        return path not in self.guide.files and all(page.url != path for page in self.guide.pages)

    def _mapped(self) -> list[Mapped]:
        """All pages of the site but those that only answer others."""
        guide = self.guide
        lists = [self.around.effect_table, *([self.around.isolating] if guide.isolates else [])]
        optional = {CONTENTS: guide.contents.cut, TAGS: guide.tags}
        blocks = (*guide.sequences.values(), *guide.named(Method).values())
        return [
            *(Mapped(page.url, page.changed) for page in guide.pages if page.url != NOT_FOUND),
            *(Mapped(part.path) for whole in lists for part in whole.parts),
            *(Mapped(path) for path, there in optional.items() if there),
            *(Mapped(path) for path in guide.tags.values()),
            *(Mapped(block.url) for block in blocks),
        ]


def first_shown(page: Page, guide: Guide) -> Puzzle | Sequence:
    """What stands for a page in a picture: the first sequence on it, or else its puzzle."""
    checked = (block.checked for block in guide.blocks[page.name])
    return next((each for each in checked if isinstance(each, Sequence)), page.puzzle)
