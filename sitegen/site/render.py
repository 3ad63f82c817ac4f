"""A Guide to the files of its site: path below output/ to bytes.

Knows templates and where pages stand; what stands on them comes from the guide.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from functools import cached_property, partial
from typing import Any
from urllib.parse import quote

from jinja2 import Environment
from markdown_it.token import Token
from markupsafe import Markup, escape

from sitegen.bench.coverage import Coverage
from sitegen.effects.layers import layers
from sitegen.effects.relations import Group, say
from sitegen.effects.words import brief
from sitegen.figures.chart import histogram
from sitegen.figures.position import palette
from sitegen.figures.style import COLOURS, css, properties
from sitegen.guide.blocks import KINDS
from sitegen.guide.chosen import cards, case_sheets
from sitegen.guide.config import PAPERS
from sitegen.guide.guide import Block, Guide
from sitegen.guide.inline import MOVES, PLAIN, mark_of
from sitegen.guide.links import relative, resolve, text_of
from sitegen.guide.markdown import Prose, Surroundings, render
from sitegen.guide.mentions import mentions
from sitegen.guide.method import Method, StageShown
from sitegen.guide.page import Page
from sitegen.guide.printed import OUTPUT, printed
from sitegen.guide.sequence import Sequence
from sitegen.guide.sheet import sheet_of
from sitegen.guide.turned import turned
from sitegen.moves.references import REFERENCE
from sitegen.moves.turning import in_words
from sitegen.problems import Findings, Problem, Problems
from sitegen.progress import Progress, quiet
from sitegen.site import pictures
from sitegen.site.figures import Figures
from sitegen.site.isolating import any_isolating, entries
from sitegen.site.qr import qr_code
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


def css_text(text: str) -> Markup:
    """A text in quotation marks as it stands in a style sheet within a page."""
    safe = "".join(c if c.isalnum() or c in " .,:;!?()/-–—" else f"\\{ord(c):x} " for c in text)
    return Markup(f'"{safe}"')


def together(turns: str) -> Markup:
    """Turns as HTML, of which the last is never parted from the one before by the end of a line."""
    last_two = re.search(r"\S+\s+\S+$", turns)
    at = last_two.start() if last_two else 0
    first, last = (str(escape(part)).replace("&#39;", "'") for part in (turns[:at], turns[at:]))
    return Markup(f'{first}<span class="together">{last}</span>')


def render_site(site: Site, progress: Progress = quiet) -> dict[str, bytes]:
    """Every file of the site, in one order. Raises Problems for a mistake in a template."""
    jobs = list(site.jobs())
    with told_by_template(site.theme):
        files = {path: job().encode() for path, job in progress(jobs, len(jobs), "Drawing")}
    return dict(sorted({**files, **site.resources, **site.pdfs}.items()))


@contextmanager
def told_by_template(theme: Theme) -> Iterator[None]:
    """Raises Problems in place of what a mistake in a template raises."""
    try:
        yield
    except Exception as error:
        problem = template_problem(error, theme)
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
    """Whether pages are for paper and nothing else, without the ways to other pages, which nobody prints."""

    def jobs(self) -> Iterator[tuple[str, Any]]:
        """What is rendered: each path with the function that gives its text."""
        for page in self.guide.pages:
            yield page.url, lambda page=page: self.page(page)
            if self.guide.practice(page) and page.answers:
                yield page.answers_url, lambda page=page: self.answers(page)
        for sequence in self.guide.sequences.values():
            yield sequence.url, lambda sequence=sequence: self._sequence(sequence)
        for method in self.guide.methods.values():
            yield method.url, lambda method=method: self._method(method)
            for path, stage, step in method.full_lists:
                yield path, lambda args=(path, method, stage, step): self._full_list(*args)
        yield "effects.html", self._effects
        if self.has_isolating:
            yield "isolating.html", self._isolating

    @cached_property
    def resources(self) -> dict[str, bytes]:
        """What pages load, and the author's own files."""
        static = {f"static/{name}": content for name, content in self.theme.static()}
        own = {name: (self.guide.folder / "content" / name).read_bytes() for name in self.guide.files}
        return {**static, **own, "static/figures.css": self._figure_css().encode()}

    @cached_property
    def environment(self) -> Environment:
        environment = self.theme.environment()
        environment.filters["css_text"] = css_text
        environment.filters["together"] = together
        environment.filters["number"] = lambda count: str(count) if count < 10**15 else in_words(count)
        return environment

    @cached_property
    def _has_extra_css(self) -> bool:
        return any(name == "extra.css" for name, _ in self.theme.static())

    @cached_property
    def contents(self) -> tuple[NavEntry, ...]:
        """The pages in reading order, those of a folder below its index page."""
        pages = () if self.alone else self.guide.pages
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
        return not self.alone and any_isolating(self.guide)

    @cached_property
    def turned(self) -> str:
        """What the foot of every page says that was turned; nothing on paper, which stands alone."""
        return "" if self.alone else str(turned(self.guide))

    @cached_property
    def mentioned_in(self) -> dict[str, list[Page]]:
        return mentions(self.guide)

    def _template(self, name: str, /, here: str, **values: Any) -> str:
        guide = self.guide
        return self.environment.get_template(name).render(
            config=guide.config,
            contents=self.contents,
            here=here,
            url=lambda target: relative(target, here),
            moves=lambda text: self._moves(text, here),
            published_answers=self._published_answers,
            **Figures(guide, here in self._for_paper, self.variant).by_name,
            histogram=lambda *args: Markup(histogram(*args)),
            words=brief,
            several_puzzles=len(self.guide.books) > 1,
            extra_css=self._has_extra_css,
            address=quote(here),
            prose=lambda prose, page: Markup(self._prose(prose, page, here, ())),
            paper=PAPERS[guide.config.paper],
            row=row,
            has_isolating=self.has_isolating,
            turned=self.turned,
            sequences=guide.sequences,
            methods=guide.methods,
            **values,
        )

    @cached_property
    def _for_paper(self) -> frozenset[str]:
        """The paths of pages whose figures must be told apart on a copy in grey."""
        sheets = [page.url for page in self.guide.pages if page.sheet]
        return frozenset([*sheets, *(page.answers_url for page in self.guide.pages)])

    def page(self, page: Page) -> str:
        order = [page] if self.alone else list(self.guide.pages)
        at = order.index(page)
        return self._template(
            "sheet.html" if page.sheet else "page.html",
            page.url,
            page=page,
            trail=self._trail(page),
            problems=self._page_problems(page),
            body=Markup(self._prose(page.prose, page.name, page.url, self.guide.blocks[page.name])),
            before=order[at - 1] if at else None,
            after=order[at + 1] if at + 1 < len(order) else None,
            cards=cards(page, self.guide, Findings()),
            case_sheets=case_sheets(page, self.guide, Findings()),
            **self._on_paper(page, page.url),
        )

    def bare(self) -> str:
        """A page with nothing on it, as it stands at index.html."""
        return self._template("base.html", "index.html")

    def answers(self, page: Page) -> str:
        """The sheet with the answers to a page's exercises."""
        return self._template(
            "answers.html",
            page.answers_url,
            page=page,
            practice=self.guide.practice(page),
            **self._on_paper(page, page.answers_url),
        )

    def _published_answers(self, page: str) -> str:
        """The path of the answers to the exercises of a page; empty where they are not published."""
        found = self.guide.targets.pages[page]
        return found.answers_url if found.answers else ""

    def _on_paper(self, page: Page, url: str) -> dict[str, Any]:
        """What runs along on each sheet, and what was made for printing.

        No code leads to answers: from them, too, it leads to the exercises.
        """
        address = f"{self.guide.config.address}{quote(page.url)}" if self.guide.config.address else ""
        return {
            "sheet": page.sheet or sheet_of({}, self.guide.config.paper),
            "variant": self.variant,
            "public": address,
            "code": qr_code(address) if address else None,
            "made": [
                each
                for each in printed(page, self.guide)
                if each.url == url and each.folder == OUTPUT and each.path in self.pdfs
            ],
        }

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
        pages = {} if self.alone else self.guide.targets.pages
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
                for step in pictures.steps(sequence, palette(sequence.puzzle, self.guide.config.colours))
            ],
            most_steps=pictures.MOST_STEPS,
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

    def _full_list(self, path: str, method: Method, stage: StageShown, step: Coverage) -> str:
        """All cases of a step, as plain text."""
        named = dict.fromkeys(REFERENCE.findall(stage.using))
        tools = [self.guide.sequences[name] for name in named if name in self.guide.sequences]
        return self._template("cases.txt", path, method=method, stage=stage, step=step, tools=tools)

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
        own = {name: shade for name, shade in self.guide.config.colours.items() if name in COLOURS}
        shades = {**self.theme.colours, **own}
        return css() + (f":root{{{properties(shades)}}}\n" if shades else "")

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

        def code(token: Token, linked: bool) -> str | None:
            return self._marked(token, here, linked)

        return render(prose, Surroundings(fence, code, link))

    def _marked(self, token: Token, here: str, linked: bool) -> str | None:
        """Moves, and claims in plain words; what was found true has a sign that says so."""
        marked = mark_of(token)
        if marked is None or marked.kind == PLAIN:
            return None
        text = escape(token.content) if linked else self._moves(token.content, here)
        if marked.kind == MOVES:
            return f'<code class="moves">{text}</code>'
        stated = self.guide.stated.get(id(token))
        if stated is None:
            return f'<span class="claim fails">{text}</span>'
        told = escape(f"checked by turning {stated.about}")
        sign = f'<span class="checked" role="img" aria-label="{told}" title="{told}">✓</span>'
        return f'<span class="claim">{text}{sign}</span>'

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
