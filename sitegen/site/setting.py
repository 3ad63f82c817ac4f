"""One page as the theme sets it: its templates, and what stands in them of prose, moves, links and figures.

Knows where the page stands, and so where its links lead; what stands on it is given.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import PurePosixPath
from typing import Any
from urllib.parse import quote, unquote, urlsplit

from jinja2 import Environment
from markdown_it.token import Token
from markupsafe import Markup, escape

from sitegen.blocks.cell_figures import FIGURES, CellFigure
from sitegen.blocks.kind import Block, Values
from sitegen.blocks.kinds import KINDS
from sitegen.blocks.moves.sequence import Sequence as MoveSequence
from sitegen.blocks.played import Played
from sitegen.figures.chart import histogram
from sitegen.figures.legend import guard_legend
from sitegen.figures.of_position import Palette, palette
from sitegen.figures.style import Paints
from sitegen.guide.contents import Listed
from sitegen.guide.figure_numbers import figure_numbers
from sitegen.guide.guide import Stated
from sitegen.guide.inline import MOVES, PLAIN, mark_of
from sitegen.guide.links import Targets, address_of, is_elsewhere, ways_from
from sitegen.moves.references import REFERENCE
from sitegen.moves.spoken import without_links
from sitegen.pages.markdown import Prose, Surroundings, render, tables
from sitegen.pages.sheet import Sheet
from sitegen.problems import Problem, written
from sitegen.puzzles.puzzle import Puzzle
from sitegen.site.about import About
from sitegen.site.effect_files import exactly
from sitegen.site.for_machines import NOT_FOUND
from sitegen.site.frame import Frame
from sitegen.site.policy import with_styles
from sitegen.site.telling import Telling, nowhere
from sitegen.site.templates import BLOCKS, PAGES, template_of

NEW_SHEET = '<div class="new-sheet"></div>\n'
"""What stands, on a page for paper, where its next sheet begins."""


@dataclass(frozen=True)
class PageSetting:
    """The theme at one path of the site, and all that it needs to know to set a page there."""

    here: str
    """The path of the page below output/."""
    frame: Frame
    contents: Listed
    """What it lists of the guide's contents."""
    environment: Environment
    targets: Targets
    stated: Mapping[int, Stated]
    """The claims in prose that hold, by the identity of their tokens."""
    played: Mapping[int, Played]
    """The moves in prose that the page plays, likewise."""
    drawn: Mapping[int, CellFigure]
    """What is drawn in cells of tables, likewise."""
    puzzle: Puzzle
    """The one that the page is about, where nothing on it says otherwise."""
    colours_of_faces: Mapping[str, str]
    """Those that the guide gives them."""
    paints: Paints | None = None
    """The shades of figures, where they are not said by style sheets."""
    for_copies: bool = False
    """Whether figures must be told apart on a copy in grey."""
    about: About | None = None
    """What is said of the page elsewhere."""
    workings: bool = False
    """Whether it shows what is written for authors."""
    variant: str = ""
    answers: str = ""
    """The path of the page with the answers to its exercises; empty where none are published."""

    @property
    def hints(self) -> bool:
        """Whether hints may stand on it: not on a sheet, nor where answers are kept apart."""
        return bool(self.answers) and not self.for_copies

    def template(self, kind: str, /, **values: Any) -> str:
        """The HTML of the page, by the template for its kind, which is given the values."""
        html = self._filled(template_of(PAGES, kind, PurePosixPath(self.here).suffix), values)
        return with_styles(html) if self.frame.policy else html

    def _filled(self, template: str, values: Values, puzzle: Puzzle | None = None) -> str:
        moves = self.telling(puzzle or self.puzzle)
        return self.environment.get_template(template).render(
            frame=self.frame,
            contents=self.contents,
            here=self.here,
            address=quote(self.here),
            about=self.about,
            url=self._url,
            lead=self._lead,
            moves=moves,
            prose=lambda prose, page: self.prose(prose, page),
            histogram=self._histogram,
            words=moves.effect,
            variant=self.variant,
            workings=self.workings,
            **values,
        )

    @cached_property
    def _url(self) -> Callable[[str], str]:
        """The way from here to a path; what is shown in place of missing pages may stand at any address."""
        if self.here == NOT_FOUND:
            return lambda target: urlsplit(self.frame.address).path + quote(target)
        return ways_from(self.here)

    def _lead(self, target: str) -> str:
        """The way from here to what a setting of the guide leads to, elsewhere or on the site."""
        try:
            address = address_of(target, "index", "index.html", self.targets, written(target))
        except Problem:  # as in a draft
            return target
        if address.startswith("#"):
            address = f"index.html{address}"
        path, sign, place = address.partition("#")
        elsewhere = urlsplit(address).scheme or urlsplit(address).netloc
        return address if elsewhere else f"{self._url(unquote(path))}{sign}{place}"

    def telling(self, puzzle: Puzzle) -> Telling:
        """How notation of a puzzle stands on this page: on paper nobody listens."""
        return Telling(
            puzzle, self._way_to, self.paints is None, self._title_of, self.frame.ours, self.frame.theirs
        )

    def _histogram(self, counts: Mapping[int, int], title: str, what: str, unit: str) -> Markup:
        return Markup(histogram(counts, title, what, unit, self.paints))

    def colours(self, puzzle: Puzzle) -> Palette:
        return palette(puzzle, self.colours_of_faces, self.for_copies, self.paints)

    def _way_to(self, name: str) -> str:
        sequence = self.targets.linked[MoveSequence.LINK].get(name)
        return self._url(sequence.url) if sequence else ""

    def _title_of(self, name: str) -> str:
        sequence = self.targets.linked[MoveSequence.LINK].get(name)
        return sequence.title if sequence else ""

    def prose(self, prose: Prose, page: str, blocks: Sequence[Block] = ()) -> Markup:
        """A text that an author wrote on a page, with the blocks that stand in it."""
        html = Markup("").join(html for html, _ in self.flows(prose, page, blocks))
        return self.telling(self.puzzle).authored(html) if prose.within_block else html

    def flows(self, prose: Prose, page: str, blocks: Sequence[Block]) -> list[tuple[Markup, bool]]:
        """The same in parts that follow each other, and of each whether it stands across columns of text."""
        by_token = {id(block.fence.token): block for block in blocks}
        written_on = self.targets.pages.get(page)
        numbers = figure_numbers(written_on, blocks) if written_on else {}
        first_lined = next((block for block in blocks if block.checked and block.checked.lined), None)

        def fence(token: Token) -> str | None:
            block = by_token.get(id(token))
            return self._block(block, block is first_lined, numbers.get(id(token))) if block else None

        def address(target: str, loaded: bool) -> str:
            # Only a draft shows what leads nowhere, and it loads nothing of that.
            if loaded and is_elsewhere(target):
                return ""
            try:
                return address_of(target, page, self.here, self.targets, prose.passage)
            except Problem:
                return "" if loaded else target

        def title(target: str) -> str:
            return self.targets.titles.of(target, page)

        telling = self.telling(written_on.puzzle if written_on else self.puzzle)

        def told(token: Token, linked: bool) -> str | None:
            if token.type == "text":
                return telling.places(token.content)
            return self._code(token, replace(telling, leading=nowhere) if linked else telling, linked)

        sheet = written_on.sheet if written_on and written_on.sheet else None
        if sheet and sheet.by_heading:
            prose = replace(prose, tokens=[*_on_new_sheets(prose.tokens)])
        wide = self._wide(prose, by_token, sheet) if sheet and sheet.text_columns > 1 else frozenset()

        def across(token: Token) -> bool:
            return id(token) in wide

        def number(token: Token) -> int | None:
            return numbers.get(id(token))

        around = Surroundings(fence, told, address, title, number)
        return [(Markup(html), alone) for html, alone in render(prose, around, across)]

    def _wide(self, prose: Prose, blocks: Mapping[int, Block], sheet: Sheet) -> frozenset[int]:
        """The identities of the tokens of what has no room in a column of a sheet: some blocks and tables."""
        fences = (token for token in prose.tokens if token.level == 0 and id(token) in blocks)
        wide = {id(token) for token in fences if KINDS[blocks[id(token)].kind].wide}
        wide.update(id(token) for token in prose.tokens if token.content == NEW_SHEET)
        for table in tables(prose):
            columns = sum(token.type == "th_open" for token in table)
            drawn = any(id(child) in self.drawn for token in table for child in token.children or ())
            if not sheet.has_room(columns, drawn):
                wide.update(map(id, table))
        return frozenset(wide)

    def card(self, block: Block) -> Markup:
        """A block by itself."""
        return Markup(self._block(block, with_legend=True))

    def _code(self, token: Token, telling: Telling, linked: bool) -> str | None:
        """Moves, and claims in plain words; what was found true has a sign that says so."""
        marked = mark_of(token)
        if marked is None:
            return telling.code(token.content)
        if marked.kind in FIGURES and id(token) in self.drawn:
            figure = self.drawn[id(token)]
            return (
                f'<span class="in-cell"{telling.ours}>{figure.drawn(self.colours(figure.of.puzzle))}</span>'
            )
        if marked.kind == PLAIN or marked.kind in FIGURES:
            return None
        if marked.kind == MOVES:
            played = self.played.get(id(token))
            attributes = played.attributes if played and not linked else ""
            return f'<code class="moves"{attributes}>{telling.in_text(token.content)}</code>'
        text = telling.words(token.content)
        stated = self.stated.get(id(token))
        if stated is None:
            return f'<span class="claim fails"{telling.ours}>{text}</span>'
        return f'<span class="claim"{telling.ours}>{text}{_checked(stated.about, telling)}</span>'

    def _block(self, block: Block, with_legend: bool, number: int | None = None) -> str:
        """What a block shows, with its caption, below what does not hold in it."""
        problems = block.findings.problems
        html = ""
        if problems or block.checked is None:
            html = self._filled(template_of(BLOCKS, "problem"), {"problems": problems})
        if block.checked is not None:
            values = {**KINDS[block.kind].show(block.checked, self)}
            if block.checked.lined:
                values["legend"] = guard_legend(self.paints) if with_legend else ()
            shown = self._filled(template_of(BLOCKS, block.kind), values, block.checked.puzzle)
            if block.checked.shown.caption:
                values = {"caption": block.checked.shown.caption, "page": block.checked.page}
                values |= {"number": number, "body": Markup(shown)}
                shown = self._filled(template_of(BLOCKS, "captioned"), values)
            html += shown
        return html


def _on_new_sheets(tokens: Iterable[Token]) -> Iterator[Token]:
    """The tokens of a text with a break before each heading of the second level but one that begins it."""
    for number, token in enumerate(tokens):
        if number and (token.type, token.tag, token.level) == ("heading_open", "h2", 0):
            yield Token("html_block", "", 0, content=NEW_SHEET)
        yield token


def _checked(about: str, telling: Telling) -> str:
    """The sign that a claim was found true. Moves stand before it, and need not be heard again."""
    named = REFERENCE.fullmatch(about)
    words = f"checked by turning {telling.called(named[1]) if named else without_links(about)}"
    heard = telling.words_label(words) if named else "checked by turning"
    if not telling.heard:
        return '<span class="checked">✓</span>'
    return (
        f'<span class="checked"><span aria-hidden="true" title="{escape(words)}">✓</span>'
        f'<span class="heard">, {escape(heard)}</span></span>'
    )


def with_filters(environment: Environment) -> Environment:
    """The templates of a theme, with what they may do to texts and numbers."""
    environment.filters["css_text"] = css_text
    environment.filters["number"] = lambda count: str(exactly(count))
    return environment


def css_text(text: str) -> Markup:
    """A text in quotation marks as it stands in a style sheet within a page."""
    safe = "".join(c if c.isalnum() or c in " .,:;!?()/-–—" else f"\\{ord(c):x} " for c in text)
    return Markup(f'"{safe}"')
