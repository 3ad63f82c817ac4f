"""A Guide to the files of its site: path below output/ to bytes.

Knows templates and where pages stand; what stands on them comes from the guide.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property, partial
from typing import Any
from urllib.parse import quote

from jinja2 import Environment
from markdown_it.token import Token
from markupsafe import Markup, escape

from sitegen.bench.coverage import Case
from sitegen.effects.layers import layers
from sitegen.effects.relations import Group, say
from sitegen.effects.words import brief
from sitegen.figures.chart import histogram
from sitegen.figures.position import Palette, palette
from sitegen.figures.style import css
from sitegen.guide.blocks import KINDS
from sitegen.guide.config import PAPERS
from sitegen.guide.derivation import Derivation, Stage
from sitegen.guide.guide import Block, Guide
from sitegen.guide.links import relative, resolve, text_of
from sitegen.guide.markdown import Prose, Surroundings, render
from sitegen.guide.mentions import mentions
from sitegen.guide.method import Method, StageShown, WorkedExample
from sitegen.guide.page import Page
from sitegen.guide.position import Position
from sitegen.guide.sequence import Sequence
from sitegen.moves.notation import write_all
from sitegen.moves.references import REFERENCE
from sitegen.moves.turning import in_words
from sitegen.problems import Problem, Problems
from sitegen.progress import Progress, quiet
from sitegen.site import pictures
from sitegen.site.isolating import any_isolating, entries
from sitegen.site.tables import (
    BRIEFLY_OF,
    BUILT,
    HEADINGS_OF,
    PART,
    effect_rows,
    related,
    row,
    used_in,
)
from sitegen.site.theme import Theme, template_problem


@dataclass(frozen=True)
class NavEntry:
    """A page in the list of contents, and those in its folder."""

    page: Page
    inside: tuple[Page, ...]


def render_site(guide: Guide, theme: Theme, progress: Progress = quiet) -> dict[str, bytes]:
    """Every file of the site, in one order. Raises Problems for a mistake in a template."""
    site = Site(guide, theme)
    jobs = list(site.jobs())
    try:
        files = {path: job().encode() for path, job in progress(jobs, len(jobs), "Drawing")}
    except Exception as error:
        problem = template_problem(error, theme)
        if problem is None:
            raise
        raise Problems([problem]) from None
    for name, content in theme.static():
        files[f"static/{name}"] = content
    for name in guide.files:
        files[name] = (guide.folder / "content" / name).read_bytes()
    return dict(sorted(files.items()))


@dataclass(frozen=True)
class Site:
    guide: Guide
    theme: Theme

    def jobs(self) -> Iterator[tuple[str, Any]]:
        """What is rendered: each path with the function that gives its text."""
        for page in self.guide.pages:
            yield page.url, lambda page=page: self._page(page)
        for sequence in self.guide.sequences.values():
            yield sequence.url, lambda sequence=sequence: self._sequence(sequence)
        for method in self.guide.methods.values():
            yield method.url, lambda method=method: self._method(method)
        yield "effects.html", self._effects
        if self.has_isolating:
            yield "isolating.html", self._isolating
        yield "static/figures.css", self._figure_css

    @cached_property
    def environment(self) -> Environment:
        environment = self.theme.environment()
        environment.filters["number"] = lambda count: str(count) if count < 10**15 else in_words(count)
        return environment

    @cached_property
    def _has_extra_css(self) -> bool:
        return any(name == "extra.css" for name, _ in self.theme.static())

    @cached_property
    def contents(self) -> tuple[NavEntry, ...]:
        """The pages in reading order, those of a folder below its index page."""
        pages = self.guide.pages
        tops = {page.folder: page for page in pages if page.folder != "." and page.name.endswith("/index")}
        return tuple(
            NavEntry(page, tuple(p for p in pages if tops.get(p.folder) is page and p is not page))
            for page in pages
            if page.folder not in tops or tops[page.folder] is page
        )

    @cached_property
    def used_in(self) -> dict[str, list[Sequence]]:
        return used_in(self.guide)

    @cached_property
    def related(self) -> dict[str, tuple[Group, ...]]:
        return related(self.guide)

    @cached_property
    def has_isolating(self) -> bool:
        return any_isolating(self.guide)

    @cached_property
    def mentioned_in(self) -> dict[str, list[Page]]:
        return mentions(self.guide)

    def _template(self, name: str, /, here: str, **values: Any) -> str:
        guide = self.guide
        return self.environment.get_template(name).render(
            guide=guide,
            config=guide.config,
            contents=self.contents,
            here=here,
            url=lambda target: relative(target, here),
            moves=lambda text: self._moves(text, here),
            pairs=lambda sequence: self._pairs(sequence),
            results=lambda sequence: self._results(sequence),
            stages=lambda derivation: self._stages(derivation),
            figures=lambda position: self._figures(position),
            case_figures=lambda case, stage, method: self._case(case, stage, method),
            example_figures=lambda example: self._example(example),
            histogram=lambda *args: Markup(histogram(*args)),
            words=brief,
            several_puzzles=len(self.guide.books) > 1,
            extra_css=self._has_extra_css,
            address=quote(here),
            prose=lambda prose, page: Markup(self._prose(prose, page, here, ())),
            paper=PAPERS[guide.config.paper],
            row=row,
            has_isolating=self.has_isolating,
            sequences=guide.sequences,
            methods=guide.methods,
            **values,
        )

    def _page(self, page: Page) -> str:
        order = list(self.guide.pages)
        at = order.index(page)
        return self._template(
            "page.html",
            page.url,
            page=page,
            trail=self._trail(page),
            problems=self._page_problems(page),
            body=Markup(self._prose(page.prose, page.name, page.url, self.guide.blocks[page.name])),
            before=order[at - 1] if at else None,
            after=order[at + 1] if at + 1 < len(order) else None,
        )

    def _page_problems(self, page: Page) -> list[Problem]:
        """What does not hold on a page of a draft, beside its blocks."""
        in_blocks = [problem for block in self.guide.blocks[page.name] for problem in block.findings.problems]
        return [
            problem
            for problem in self.guide.problems
            if problem.passage.source.name == f"content/{page.name}.md" and problem not in in_blocks
        ]

    def _trail(self, page: Page) -> list[Page]:
        """The pages above a page, from the first."""
        pages = self.guide.targets.pages
        above = [pages.get("index"), pages.get(f"{page.folder}/index")]
        return [step for step in above if step is not None and step is not page]

    def _sequence(self, sequence: Sequence) -> str:
        order = list(self.guide.sequences.values())
        at = order.index(sequence)
        return self._template(
            "sequence.html",
            sequence.url,
            sequence=sequence,
            page=self.guide.targets.pages[sequence.page],
            steps=[
                (step.number, step.turn, Markup(step.figure))
                for step in pictures.steps(sequence, self._palette(sequence))
            ],
            most_steps=pictures.MOST_STEPS,
            hold=write_all(sequence.report.hold, sequence.puzzle),
            layers=layers(sequence.effect),
            related=[group for group in self.related[sequence.name] if group.kind != PART],
            headings=HEADINGS_OF,
            way=say,
            used_in=self.used_in[sequence.name],
            mentioned_in=self.mentioned_in[sequence.name],
            before=order[at - 1] if at else None,
            after=order[at + 1] if at + 1 < len(order) else None,
        )

    def _method(self, method: Method) -> str:
        return self._template(
            "method.html",
            method.url,
            method=method,
            page=self.guide.targets.pages[method.page],
        )

    def _effects(self) -> str:
        titles = {page.name: page.title for page in self.guide.pages}
        # The moves that a sequence is built from stand in the table already, each with a link.
        beside = {
            name: [group for group in groups if group.kind != BUILT] for name, groups in self.related.items()
        }
        return self._template(
            "effects.html",
            "effects.html",
            rows=effect_rows(self.guide),
            titles=titles,
            related=beside,
            briefly=BRIEFLY_OF,
        )

    def _isolating(self) -> str:
        return self._template("isolating.html", "isolating.html", entries=entries(self.guide))

    def _figure_css(self) -> str:
        """The rules for figures, with the theme's and then the guide's own shades of colours."""
        faces = {face.name for page in self.guide.pages for face in page.puzzle.faces}
        own = {name: shade for name, shade in self.guide.config.colours.items() if name not in faces}
        shades = {**self.theme.colours, **own}
        override = ":root{" + ";".join(f"--{name}:{shade}" for name, shade in shades.items()) + "}\n"
        return css() + (override if shades else "")

    def _palette(self, sequence: Sequence) -> Palette:
        return palette(sequence.puzzle, self.guide.config.colours)

    def _pairs(self, sequence: Sequence) -> list[tuple[str, Markup, Markup]]:
        return [
            (pair.view, Markup(pair.before), Markup(pair.after))
            for pair in pictures.pairs(sequence, self._palette(sequence))
        ]

    def _results(self, sequence: Sequence) -> list[tuple[str, Markup]]:
        drawn = pictures.results(sequence, self._palette(sequence))
        return [(view, Markup(figure)) for view, figure in drawn]

    def _figures(self, position: Position) -> list[tuple[str, Markup]]:
        colours = palette(position.puzzle, self.guide.config.colours)
        return [(view, Markup(drawn)) for view, drawn in pictures.of_position(position, colours)]

    def _case(self, case: Case, stage: StageShown, method: Method) -> list[tuple[str, Markup]]:
        colours = palette(method.puzzle, self.guide.config.colours)
        return [(view, Markup(drawn)) for view, drawn in pictures.of_case(case, stage, method, colours)]

    def _example(self, example: WorkedExample) -> list[list[tuple[str, Markup]]]:
        colours = palette(example.puzzle, self.guide.config.colours)
        stages = [stage.title for stage in self.guide.methods[example.method].stages]
        drawn = pictures.of_example(example, stages, colours)
        return [[(view, Markup(figure)) for view, figure in each] for each in drawn]

    def _stages(self, derivation: Derivation) -> list[tuple[Stage, list[Markup]]]:
        colours = palette(derivation.puzzle, self.guide.config.colours)
        figures = [[Markup(figure) for figure in each] for each in pictures.stages(derivation, colours)]
        return list(zip(derivation.stages, figures, strict=True))

    def _moves(self, text: str, here: str) -> Markup:
        """Moves as HTML, each reference leading to its sequence."""
        shown = str(escape(text)).replace("&#39;", "'")
        return Markup(REFERENCE.sub(lambda found: self._reference(found.group(1), here), shown))

    def _reference(self, name: str, here: str) -> str:
        sequence = self.guide.sequences.get(name)
        return f'<a href="{relative(sequence.url, here)}">@{name}</a>' if sequence else f"@{name}"

    def _prose(self, prose: Prose, page: str, here: str, blocks: tuple[Block, ...]) -> str:
        by_token = {id(block.fence.token): block for block in blocks}

        def fence(token: Token) -> str | None:
            block = by_token.get(id(token))
            return self._block(block, here) if block else None

        def link(target: str) -> tuple[str, str]:
            try:
                address = resolve(target, page, here, self.guide.targets, prose.passage)
            except Problem:
                return target, target
            return address, text_of(target, page, self.guide.targets)

        def moves(text: str) -> str:
            return f'<code class="moves">{self._moves(text, here)}</code>'

        return render(prose, Surroundings(fence, moves, link))

    def _block(self, block: Block, here: str) -> str:
        """What a block shows, below what does not hold in it."""
        problems = block.findings.problems
        html = ""
        if problems or block.checked is None:
            html = self._template("blocks/problem.html", here, problems=problems)
        if block.checked is not None:
            template = partial(self._template, here=here)
            html += KINDS[block.kind].render(block.checked, template)
        return html
