"""A checked guide to the files of its site: which there are, what each is made from, and then its bytes."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from functools import cached_property, partial
from urllib.parse import quote

from jinja2 import Environment

from sitegen.blocks.method.method import Method
from sitegen.blocks.moves.sequence import Sequence as MoveSequence
from sitegen.effects.relations import RelationGroup
from sitegen.figures.style import COLOURS, Paints, css
from sitegen.guide.contents import Listed
from sitegen.guide.guide import CONTENTS, FILES, ISOLATING, Guide
from sitegen.guide.mentions import mentions
from sitegen.guide.printed import OUTPUT, printed
from sitegen.guide.selection import cards, case_sheets
from sitegen.moves.references import REFERENCE
from sitegen.pages.page import Page
from sitegen.pages.sheet import sheet_of
from sitegen.parallel import on_all_cores
from sitegen.problems import Findings, Problem, Problems
from sitegen.progress import Progress, quiet
from sitegen.site.frame import Frame, frame_of
from sitegen.site.isolating import entries
from sitegen.site.setting import PageSetting, with_filters
from sitegen.site.shades import Given, given
from sitegen.site.site_pages import (
    Neighbours,
    OnPaper,
    answers_html,
    contents_html,
    effects_html,
    full_list,
    isolating_html,
    method_html,
    neighbours_in,
    page_html,
    sequence_html,
)
from sitegen.site.tables import related_sequences, used_in
from sitegen.site.templates import template_problem
from sitegen.site.theme import Theme
from sitegen.site.theme_folder import FIGURES


@dataclass(frozen=True)
class File:
    """A page to be made: its path below output/, and its text when it is set there."""

    path: str
    html: Callable[[PageSetting], str]
    page: Page | None = None
    """The author's page that it belongs to; None for what is of the whole guide."""
    for_copies: bool = False
    answers: str = ""


Content = tuple[str, bytes]
"""A path below output/, and what is there."""


def render_site(site: Site, progress: Progress = quiet) -> Iterator[Content]:
    """Every file of the site, in any order. Raises Problems for a mistake in a template."""
    yield from site.resources.items()
    yield from site.pdfs.items()
    parts = list(site.parts())
    with told_by_template(site.theme):
        for made in progress(on_all_cores(partial(_texts, site), parts), len(parts), "Drawing"):
            yield from made


def _texts(site: Site, files: Iterable[File]) -> list[Content]:
    return [(file.path, site.text(file).encode()) for file in files]


@contextmanager
def told_by_template(theme: Theme) -> Iterator[None]:
    """Raises Problems in place of what a mistake in a template raises."""
    try:
        yield
    except Exception as error:
        problem = template_problem(error, theme.folders)
        if problem is None:
            raise
        raise Problems([problem]) from None


@dataclass(frozen=True)
class Site:
    guide: Guide
    theme: Theme
    variant: str = ""
    """Which of the variants of its exercises."""
    pdfs: Mapping[str, bytes] = field(default_factory=dict)
    """Those that were made to be published, by their paths."""
    alone: bool = False
    """Whether pages are for paper and nothing else: without the ways to other pages, which nobody prints, and
    with figures that need no style sheet."""

    def parts(self) -> Iterator[Sequence[File]]:
        """All pages that are made, those together that show the same figures, which are then drawn once."""
        yield list(self._of_the_whole())
        of_blocks: dict[str, list[File]] = {page.name: [] for page in self.guide.pages}
        for sequence in self.guide.sequences.values():
            of_blocks[sequence.page].append(self._sequence(sequence))
        for method in self.guide.named(Method).values():
            of_blocks[method.page] += [self._method(method), *self._full_lists(method)]
        for page in self.guide.pages:
            answers = [self.answers(page)] if self.guide.asking(page) and page.answers else []
            yield [self.page(page), *answers, *of_blocks[page.name]]

    def _of_the_whole(self) -> Iterator[File]:
        """What lists all that there is."""
        titles = {page.name: page.title for page in self.guide.pages}
        table = partial(effects_html, self.guide.sequences, titles, self._related)
        yield File("effects.html", table)
        if self._frame.isolating:
            yield File(ISOLATING, partial(isolating_html, entries(self.guide)))
        if self.guide.contents.cut:
            yield File(CONTENTS, partial(contents_html, self.guide.contents.entries))

    def text(self, file: File) -> str:
        """The HTML of a file."""
        return file.html(
            PageSetting(
                here=file.path,
                frame=self._frame,
                contents=Listed((), True) if self.alone else self.guide.contents.listed(file.page),
                environment=self.environment,
                targets=self.guide.targets,
                stated=self.guide.stated,
                colours_of_faces=self.guide.config.colours,
                paints=Paints(self.given.shades.paper, on_paper=True) if self.alone else None,
                for_copies=file.for_copies,
                variant=self.variant,
                answers=file.answers,
            )
        )

    @cached_property
    def resources(self) -> dict[str, bytes]:
        """What pages load, and the author's own files."""
        loaded = {f"{FILES}/{name}": content for name, content in self.theme.files()}
        own = {name: (self.guide.folder / "content" / name).read_bytes() for name in self.guide.files}
        return {**loaded, **own, f"{FILES}/{FIGURES}": css(self.given.shades).encode()}

    @cached_property
    def given(self) -> Given:
        """The shades of figures: those of sheets before the guide's own, and these before the theme's."""
        own = {name: shade for name, shade in self.guide.config.colours.items() if name in COLOURS}
        return given({**self.theme.colours, **own}, self.theme.sheets())

    @cached_property
    def environment(self) -> Environment:
        return with_filters(self.theme.environment())

    @cached_property
    def _frame(self) -> Frame:
        return frame_of(self.guide, self.theme, self.alone)

    @cached_property
    def _neighbours(self) -> Mapping[Page | MoveSequence, Neighbours]:
        """Of each page of an author, and of each sequence, those before and after it."""
        return {**neighbours_in(self.guide.pages), **neighbours_in([*self.guide.sequences.values()])}

    @cached_property
    def _used_in(self) -> dict[str, list[MoveSequence]]:
        return used_in(self.guide)

    @cached_property
    def _related(self) -> dict[str, tuple[RelationGroup, ...]]:
        return related_sequences(self.guide)

    @cached_property
    def _mentioned_in(self) -> dict[str, list[Page]]:
        return mentions(self.guide)

    def page(self, page: Page) -> File:
        """A page that an author has written."""
        html = partial(
            page_html,
            page,
            self.guide.blocks[page.name],
            self._problems_on(page),
            self._above(page),
            Neighbours() if self.alone else self._neighbours[page],
            cards(page, self.guide, Findings()),
            case_sheets(page, self.guide, Findings()),
            self._on_paper(page, page.url),
        )
        answers = page.answers_url if page.answers else ""
        return File(page.url, html, page, for_copies=page.sheet is not None, answers=answers)

    def answers(self, page: Page) -> File:
        """The sheet with the answers to a page's exercises."""
        asking = self.guide.asking(page)
        names = dict.fromkeys(name for block in asking for name in block.checked.refers_to)
        known = {name: self.guide.sequences[name] for name in names if name in self.guide.sequences}
        html = partial(answers_html, page, asking, known, self._on_paper(page, page.answers_url))
        return File(page.answers_url, html, page, for_copies=True)

    def _sequence(self, sequence: MoveSequence) -> File:
        groups = self._related[sequence.name]
        page = self.guide.targets.pages[sequence.page]
        html = partial(
            sequence_html,
            sequence,
            page,
            groups,
            {each.name: self.guide.sequences[each.name] for group in groups for each in group.listed},
            self._used_in[sequence.name],
            self._mentioned_in[sequence.name],
            self._neighbours[sequence],
        )
        return File(sequence.url, html, page)

    def _method(self, method: Method) -> File:
        page = self.guide.targets.pages[method.page]
        return File(method.url, partial(method_html, method, page), page)

    def _full_lists(self, method: Method) -> Iterator[File]:
        """Of each step with more cases than its sheet shows all of them."""
        for path, stage, step in method.full_lists:
            named = dict.fromkeys(REFERENCE.findall(stage.using))
            tools = [self.guide.sequences[name] for name in named if name in self.guide.sequences]
            yield File(path, partial(full_list, method, stage, step, tools))

    def _on_paper(self, page: Page, url: str) -> OnPaper:
        """What runs along on each sheet, and what was made for printing."""
        address = self.guide.config.address
        made = (each for each in printed(page, self.guide) if each.url == url and each.folder == OUTPUT)
        return OnPaper(
            sheet=page.sheet or sheet_of({}, self.guide.config.paper),
            public=f"{address}{quote(page.url)}" if address else "",
            made=tuple(each for each in made if each.path in self.pdfs),
        )

    def _problems_on(self, page: Page) -> list[Problem]:
        """What does not hold on a page of a draft, beside its blocks."""
        in_blocks = [problem for block in self.guide.blocks[page.name] for problem in block.findings.problems]
        return [
            problem
            for problem in self.guide.problems
            if problem.passage.source.name == f"content/{page.name}.md" and problem not in in_blocks
        ]

    def _above(self, page: Page) -> list[Page]:
        """The pages above a page, from the first."""
        pages = {} if self.alone else self.guide.targets.pages
        above = [pages.get("index"), pages.get(f"{page.folder}/index")]
        return [step for step in above if step is not None and step is not page]
