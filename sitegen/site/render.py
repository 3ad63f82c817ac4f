"""A checked guide to the files of its site: which there are, what each is made from, and then its bytes."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from functools import cached_property, partial
from hashlib import sha256
from itertools import chain
from typing import TypeVar
from urllib.parse import quote

from jinja2 import Environment

from sitegen.blocks.kind import Block
from sitegen.blocks.method.method import Method
from sitegen.blocks.moves.sequence import Sequence as MoveSequence
from sitegen.figures.raster import Drawing
from sitegen.figures.style import COLOURS, Paints, css
from sitegen.folders import digests_below
from sitegen.guide.contents import Listed
from sitegen.guide.guide import CONTENTS, EMBED, FILES, SITEMAP, Guide
from sitegen.guide.printed import OUTPUT, printed
from sitegen.guide.selection import cards, case_sheets
from sitegen.guide.tags import TAGS
from sitegen.moves.references import REFERENCE
from sitegen.pages.files import file_of_guide
from sitegen.pages.page import Page
from sitegen.pages.sheet import sheet_of
from sitegen.parallel import on_all_cores
from sitegen.problems import Findings, Problem, Problems
from sitegen.progress import Progress, quiet
from sitegen.puzzles.puzzle import Puzzle
from sitegen.site.about import About
from sitegen.site.announcing import Announcing, first_shown
from sitegen.site.around import Around, Neighbours
from sitegen.site.effect_files import as_csv, as_json, facts_of
from sitegen.site.for_machines import NOT_FOUND
from sitegen.site.frame import Frame, frame_of
from sitegen.site.index_files import FINDER, INDEX, finder, index_files
from sitegen.site.isolating import isolated_in
from sitegen.site.list_parts import ListPart
from sitegen.site.made_from import MadeFrom
from sitegen.site.setting import PageSetting, with_filters
from sitegen.site.shades import Given, given
from sitegen.site.site_pages import (
    OnPaper,
    answers_html,
    contents_html,
    effects_html,
    embedded_html,
    full_list,
    isolating_html,
    method_html,
    not_found_html,
    page_html,
    sequence_html,
    tag_html,
    tags_html,
)
from sitegen.site.sought import sought_in, sought_path
from sitegen.site.tables import beside, row
from sitegen.site.templates import template_problem
from sitegen.site.theme import Theme
from sitegen.site.theme_folder import FIGURES
from sitegen.site.turning_files import turning_files


@dataclass(frozen=True)
class File:
    """A file to be made: its path below output/, and what it is when it is set there."""

    path: str
    made: Callable[[PageSetting], str | Drawing]
    page: Page | None = None
    """The author's page that it belongs to; None for what is of the whole guide."""
    for_copies: bool = False
    answers: str = ""
    about: About | None = None
    """What is said of it elsewhere, if it is a page."""


@dataclass(frozen=True)
class SitePart:
    """Pages that are made together, since they show the same figures, which are then drawn once."""

    name: str
    made_from: Callable[[], str]
    """A digest of all that they are made from, in a guide in which everything holds."""
    files: Callable[[], Iterable[File]]
    of_blocks: bool = False
    """Whether there are pages of blocks among them."""


EFFECTS_ARE = "Every sequence of this guide, what it does and what it keeps."
ISOLATING_ARE = "Sequences after which only one or two pieces of a layer are not home."
CASES_ARE = "its cases, each with a figure and its solution."
"""What is said elsewhere of pages that no author has written."""
Content = bytes | Drawing
"""What is to stand in a file."""
T = TypeVar("T")


def render_site(site: Site, progress: Progress = quiet) -> Iterator[tuple[str, Content]]:
    """Every file of the site, by its path, in any order. Raises Problems for a mistake in a template."""
    yield from site.resources.items()
    yield from site.pdfs.items()
    for _, made in render_parts(site, site.parts(), lambda name, content: content, progress):
        yield from made.items()


def render_parts(
    site: Site, parts: Sequence[SitePart], put: Callable[[str, Content], T], progress: Progress = quiet
) -> Iterator[tuple[SitePart, dict[str, T]]]:
    """Some parts of a site, in any order, each with what `put` makes of its pages, by their paths.

    That may be in another process, so that what it does beside is lost. One part is made here before any
    other: it leaves behind compiled templates and geometry, which all processes then have. Raises Problems
    for a mistake in a template.
    """
    numbers, work = range(len(parts)), partial(_part_put, site, parts, put)
    first = [number for number in numbers if parts[number].of_blocks][:1]
    others = [number for number in numbers if number not in first]
    with told_by_template(site.theme):
        made = chain(map(work, first), on_all_cores(work, others))
        for number, pages in progress(made, len(parts), "Drawing"):
            yield parts[number], pages


def _as_it_is(text: str, setting: PageSetting) -> str:
    """A file in which the theme has no part."""
    return text


def _part_put(
    site: Site, parts: Sequence[SitePart], put: Callable[[str, Content], T], number: int
) -> tuple[int, dict[str, T]]:
    return number, {file.path: put(file.path, site.content(file)) for file in parts[number].files()}


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

    def parts(self) -> list[SitePart]:
        """All pages that are made."""
        of_blocks: dict[str, list[Callable[[], Iterable[File]]]] = {
            page.name: [] for page in self.guide.pages
        }
        for sequence in self.guide.sequences.values():
            of_blocks[sequence.page].append(partial(self._sequence, sequence))
        for method in self.guide.named(Method).values():
            of_blocks[method.page].append(partial(self._method, method))
        for page in self.guide.pages if self.guide.config.embed else ():
            for block in self.guide.blocks[page.name]:
                if block.name and block.checked is not None:
                    of_blocks[page.name].append(partial(self._embedded, block, page))
        return [*self._of_the_whole(), *(self._part(page, of_blocks[page.name]) for page in self.guide.pages)]

    def _part(self, page: Page, of_blocks: Sequence[Callable[[], Iterable[File]]]) -> SitePart:
        """What is made of an author's page."""

        def files() -> Iterator[File]:
            yield from self.of_page(page)
            for of_block in of_blocks:
                yield from of_block()

        pdfs = [sheet.path for sheet in printed(page, self.guide) if sheet.path in self.pdfs]
        return SitePart(page.url, partial(self._made_from.page, page, pdfs), files, bool(of_blocks))

    def _of_the_whole(self) -> Iterator[SitePart]:
        """What lists all that there is."""
        made_from = self._made_from
        for part in self.around.effect_table.parts:
            yield SitePart(part.path, partial(made_from.effect_table, part), partial(self._effects, part))
        yield SitePart("effects.json", made_from.sequences, self._effects_as_data)
        for part in self.around.isolating.parts if self._frame.isolating else ():
            yield SitePart(part.path, partial(made_from.isolating, part), partial(self._isolating, part))
        if self.guide.contents.cut:
            yield SitePart(CONTENTS, made_from.contents, self._contents)
        if self._frame.tagged:
            yield SitePart(TAGS, made_from.tags, self._tags)
        if self._frame.scripts:
            yield SitePart(INDEX, made_from.index, self._index)
        if self.guide.config.address:
            yield SitePart(
                SITEMAP, partial(made_from.of_all_pages, self._announcing.facts), self._for_machines
            )

    def _for_machines(self) -> Iterator[File]:
        """What says something of all pages, and what is shown in place of those that are not there."""
        for path, text in self._announcing.for_machines():
            yield File(path, partial(_as_it_is, text))
        if self._announcing.is_free(NOT_FOUND):
            yield File(NOT_FOUND, not_found_html)

    def _effects(self, part: ListPart) -> Iterator[File]:
        titles = {page.name: page.title for page in self.guide.pages}
        related = {each.name: self.around.related[each.name] for each in part.sequences}
        whole = self.around.effect_table
        html = partial(effects_html, part, whole, self.guide.sequences, titles, related)
        title = "Effect table" if part.number == 1 else f"Effect table, {part.first} to {part.last}"
        yield File(part.path, html, about=self._announcing.other(title, EFFECTS_ARE))
        if len(whole.parts) > 1:
            yield File(f"{FILES}/{sought_path(part)}", partial(_as_it_is, sought_in(part, titles)))

    def _effects_as_data(self) -> Iterator[File]:
        titles = {page.name: page.title for page in self.guide.pages}
        facts = [
            facts_of(row(each), titles[each.page], beside(self.around.related[each.name]))
            for each in self.guide.sequences.values()
        ]
        yield File("effects.csv", partial(_as_it_is, as_csv(facts)))
        yield File("effects.json", partial(_as_it_is, as_json(facts)))

    def _isolating(self, part: ListPart) -> Iterator[File]:
        taken = next(iter(self.guide.scopes.values())).taken
        html = partial(isolating_html, part, self.around.isolating, isolated_in(part, taken))
        title = (
            "Isolating sequences" if part.number == 1 else f"Isolating sequences, {part.first} to {part.last}"
        )
        yield File(part.path, html, about=self._announcing.other(title, ISOLATING_ARE))

    def _contents(self) -> Iterator[File]:
        about = self._announcing.other("All pages", "All pages of this guide.")
        yield File(CONTENTS, partial(contents_html, self.guide.contents.parts), about=about)

    def _tags(self) -> Iterator[File]:
        paths, sequences = self.guide.tags, [*self.guide.sequences.values()]
        pages_of = {tag: [page for page in self.guide.pages if tag in page.tags] for tag in paths}
        sequences_of = {tag: [each for each in sequences if tag in each.tags] for tag in paths}
        counts = {tag: len(pages_of[tag]) + len(sequences_of[tag]) for tag in paths}
        about = self._announcing.other("Tags", "All tags of this guide.")
        yield File(TAGS, partial(tags_html, counts, paths), about=about)
        for tag, path in paths.items():
            about = self._announcing.other(tag, f"What has the tag “{tag}” in this guide.")
            yield File(path, partial(tag_html, tag, pages_of[tag], sequences_of[tag]), about=about)

    def _index(self) -> Iterator[File]:
        for path, text in index_files(self.guide).items():
            yield File(f"{FILES}/{path}", partial(_as_it_is, text))

    def _paths_of(self, tags: Iterable[str]) -> dict[str, str]:
        """Tags with the paths of their pages."""
        return {tag: self.guide.tags[tag] for tag in tags}

    def content(self, file: File) -> Content:
        """What is to stand in a file."""
        made = self._set(file)
        return made.encode() if isinstance(made, str) else made

    def text(self, file: File) -> str:
        """The HTML of a page."""
        made = self._set(file)
        assert isinstance(made, str)
        return made

    def _set(self, file: File) -> str | Drawing:
        return file.made(
            PageSetting(
                here=file.path,
                frame=self._frame,
                contents=Listed((), True) if self.alone else self.guide.contents.listed(file.page),
                environment=self.environment,
                targets=self.guide.targets,
                stated=self.guide.stated,
                played={} if self.alone else self.guide.played,
                drawn=self.guide.drawn,
                puzzle=(file.page or self.guide.pages[0]).puzzle,
                colours_of_faces=self.guide.config.colours,
                paints=Paints(self.given.shades.paper, on_paper=True) if self.alone else None,
                for_copies=file.for_copies,
                about=None if self.alone else file.about,
                workings=(file.page or self.guide.config).workings,
                variant=self.variant,
                answers=file.answers,
            )
        )

    @cached_property
    def resources(self) -> dict[str, bytes]:
        """What pages load, and the author's own files."""
        loaded = {f"{FILES}/{name}": content for name, content in self.theme.files()}
        own = {name: file_of_guide(self.guide.folder, f"content/{name}") for name in self.guide.files}
        return {
            **loaded,
            **own,
            f"{FILES}/{FIGURES}": css(self.given.shades).encode(),
            **({} if self.alone else {f"{FILES}/{FINDER}": finder(), **self._turning()}),
        }

    @cached_property
    def digests(self) -> dict[str, str]:
        """Of each of these, the SHA-256."""
        return {name: sha256(content).hexdigest() for name, content in self.resources.items()}

    @cached_property
    def loading(self) -> str:
        """The texts of those that may load others."""
        texts = (content for name, content in self.resources.items() if name.endswith((".css", ".svg")))
        return "\n".join(text.decode(errors="replace") for text in texts)

    def on_paper(self, variant: str) -> Site:
        """The same site as single pages are printed from it, which know of no other."""
        if variant not in self._printed:
            self._printed[variant] = replace(self, variant=variant, pdfs={}, alone=True)
        return self._printed[variant]

    @cached_property
    def _printed(self) -> dict[str, Site]:
        return {}

    def _turning(self) -> dict[str, bytes]:
        """What plays turns, with what it has to know of the guide's puzzles."""
        config = self.guide.config
        puzzles = [config.puzzles.puzzle(name) for name in sorted(self.guide.puzzles)]
        return {f"{FILES}/{name}": content for name, content in turning_files(puzzles, config.colours)}

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
    def _announcing(self) -> Announcing:
        return Announcing(self.guide, self.around, self.theme, self.given.shades.light, self._frame.pictures)

    def _picture(self, about: About, below: str, shown: Puzzle | MoveSequence) -> Iterator[File]:
        """A picture of a page, if it has one."""
        if about.picture:
            made = partial(self._announcing.picture, about.title, below, shown)
            yield File(about.picture, lambda _: made())

    @cached_property
    def around(self) -> Around:
        return Around(self.guide)

    @cached_property
    def _made_from(self) -> MadeFrom:
        config = self.guide.config
        every = [
            repr(self._frame),
            self.theme.digest,
            {**config.colours},
            config.html,
            config.embed,
            config.workings,
            config.figure_numbers,
            {key: setting.passage.text for key, setting in config.blocks.items()},
            config.paper,
            digests_below(self.guide.folder, "content/puzzles"),
            self.variant,
        ]
        return MadeFrom(self.guide, self.around, every)

    def of_page(self, page: Page) -> Iterator[File]:
        """A page that an author has written, with the answers to its exercises; none of its blocks."""
        yield self.page(page)
        if self._frame.pictures:
            about = self._announcing.page(page)
            yield from self._picture(about, page.summary, first_shown(page, self.guide))
        if self.guide.asking(page) and page.answers:
            yield self.answers(page)

    def page(self, page: Page) -> File:
        """A page that an author has written."""
        html = partial(
            page_html,
            page,
            self.guide.blocks[page.name],
            self._problems_on(page),
            [] if self.alone else self.around.above(page),
            Neighbours() if self.alone else self.around.neighbours[page],
            cards(page, self.guide, Findings()),
            case_sheets(page, self.guide, Findings()),
            {} if self.alone else self._paths_of(page.tags),
            self._on_paper(page, page.url),
        )
        answers = page.answers_url if page.answers else ""
        about = None if self.alone else self._announcing.page(page)
        return File(page.url, html, page, for_copies=page.sheet is not None, answers=answers, about=about)

    def answers(self, page: Page) -> File:
        """The sheet with the answers to a page's exercises."""
        asking = self.guide.asking(page)
        names = dict.fromkeys(name for block in asking for name in block.checked.refers_to)
        known = {name: self.guide.sequences[name] for name in names if name in self.guide.sequences}
        html = partial(answers_html, page, asking, known, self._on_paper(page, page.answers_url))
        about = self._announcing.other(f"Answers: {page.title}", "")
        return File(page.answers_url, html, page, for_copies=True, about=about)

    def _sequence(self, sequence: MoveSequence) -> Iterator[File]:
        groups = self.around.related[sequence.name]
        page = self.guide.targets.pages[sequence.page]
        html = partial(
            sequence_html,
            sequence,
            page,
            self.around.isolating_at.get(sequence.name, ""),
            groups,
            {each.name: self.guide.sequences[each.name] for group in groups for each in group.listed},
            self.around.used_in[sequence.name],
            self.around.mentioned_in[sequence.name],
            self.around.neighbours[sequence],
            self._paths_of(sequence.tags),
        )
        about = self._announcing.sequence(sequence)
        yield File(sequence.url, html, page, about=about)
        yield from self._picture(about, sequence.by_itself, sequence)

    def _method(self, method: Method) -> Iterator[File]:
        """Its case sheet, and of each step with more cases than that shows all of them."""
        page = self.guide.targets.pages[method.page]
        about = self._announcing.other(method.title, f"{method.title}: {CASES_ARE}")
        yield File(method.url, partial(method_html, method, page), page, about=about)
        for path, stage, step in method.full_lists:
            named = dict.fromkeys(REFERENCE.findall(stage.using))
            tools = [self.guide.sequences[name] for name in named if name in self.guide.sequences]
            yield File(path, partial(full_list, method, stage, step, tools))

    def _embedded(self, block: Block, page: Page) -> Iterator[File]:
        """A block for pages elsewhere."""
        yield File(f"{EMBED}/{block.name}.html", partial(embedded_html, block, page), page)

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
