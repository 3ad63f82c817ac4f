"""What stands around the text of every page alike: the guide's title, its style, and what its foot says.

Every page of a site depends on this; a page on anything else only as far as its own function says.
"""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

from sitegen.figures.raster import can_draw
from sitegen.guide.guide import FILES, Guide
from sitegen.pages.config import PAPERS, Config
from sitegen.site.index_files import FINDER
from sitegen.site.languages import of_ours, of_page, of_theirs
from sitegen.site.policy import policy
from sitegen.site.theme import Theme
from sitegen.site.turning_files import SCRIPTS


@dataclass(frozen=True)
class Frame:
    title: str
    language: str
    address: str
    """The public URL of the guide, ending in a slash; empty where none was given."""
    author: str
    """Empty where none was given."""
    licence: tuple[str, str]
    """What it is called, and what leads to it; both may be empty."""
    footer: str
    """What else the foot says; empty for nothing."""
    links: tuple[tuple[str, str], ...]
    """What the author's own links in the head say, and what they lead to, as it is written."""
    logo: str
    """The path of the picture beside the title; empty for none."""
    pictures: bool
    """Whether pages have pictures for where others link to them."""
    feeds: bool
    """Whether the site has a feed."""
    policy: str
    """What browsers may load; empty where an author's own HTML may have scripts, and on paper."""
    paper: str
    """The size of paper, as CSS calls it."""
    sheets: tuple[str, ...]
    """The paths of the style sheets of the theme, behind those of what it is based on."""
    scripts: tuple[str, ...]
    puzzle: str
    """The name of the one that the guide is about, which goes without saying."""
    several_puzzles: bool
    isolating: bool
    """Whether the site has a page of isolating sequences."""
    tagged: bool
    """Whether the site has pages of tags."""
    turned: str
    """What the foot says that was turned, in numbers; empty for nothing."""

    @property
    def whole(self) -> Markup:
        """The attributes that say in which language the page is."""
        return of_page(self.language)

    @property
    def ours(self) -> Markup:
        """Those of what the page says of itself, in English; empty where all of it is."""
        return of_ours(self.language)

    @property
    def theirs(self) -> Markup:
        """Those of what the author wrote within that."""
        return of_theirs(self.language)


def pictured(config: Config) -> bool:
    """Whether pages have pictures: where it is known what they are called elsewhere, and they can be made."""
    return bool(config.address) and config.picture_cards and can_draw()


def frame_of(guide: Guide, theme: Theme, alone: bool) -> Frame:
    """The frame of a guide's pages; `alone` for paper, which has no ways to other pages."""
    config: Config = guide.config
    return Frame(
        title=config.title,
        language=config.language,
        address=config.address,
        author=config.author,
        licence=(config.licence.text, config.licence.target) if config.licence else ("", ""),
        footer=config.footer,
        links=() if alone else tuple((link.text, link.target) for link in config.links),
        logo=config.logo,
        pictures=pictured(config) and not alone,
        feeds=guide.feeds and not alone,
        policy=""
        if alone or config.html
        else policy(elsewhere=any("https:" in sheet.text for sheet in theme.texts(".css").values())),
        paper=PAPERS[config.paper],
        sheets=theme.loaded(".css"),
        scripts=() if alone else (*(f"{FILES}/{name}" for name in (*SCRIPTS, FINDER)), *theme.loaded(".js")),
        puzzle=config.puzzle,
        several_puzzles=len(guide.puzzles) > 1,
        isolating=not alone and guide.isolates,
        tagged=not alone and bool(guide.tags),
        turned="" if alone else str(guide.turned),
    )
