"""What each part of a site is made from, as a digest: parts with the same digest are the same bytes.

Said for guides in which everything holds, since what does not is told on pages with its place. A page of an
author's stands for all that is read of it by its text. Of what stands elsewhere in the guide there is what a
page can show of it: for a link an address and a title, for a sequence its block and those that it refers to.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from sitegen.blocks.block import CheckedBlock
from sitegen.blocks.kind import Block
from sitegen.blocks.kinds import KINDS
from sitegen.blocks.moves.sequence import Sequence
from sitegen.cache import digest
from sitegen.guide.contents import ContentsPart, Listed
from sitegen.guide.guide import Guide
from sitegen.guide.inline import mentioned
from sitegen.guide.links import resolved
from sitegen.guide.selection import cards, case_sheets
from sitegen.pages.markdown import Prose, inline_tokens
from sitegen.pages.page import Page
from sitegen.problems import Findings
from sitegen.site.around import Around, Neighbours
from sitegen.site.list_parts import ListPart, WholeList

Facts = Any
"""What JSON can say."""


@dataclass(frozen=True)
class MadeFrom:
    """`every` is what all parts are made from: the theme, and what stands around each page."""

    guide: Guide
    around: Around
    every: Facts

    def page(self, page: Page, pdfs: Iterable[str]) -> str:
        """A page of an author with those of its blocks; `pdfs` are the paths of those made of it."""
        blocks, findings = self.guide.blocks[page.name], Findings()
        on_cards, on_sheets = cards(page, self.guide, findings), case_sheets(page, self.guide, findings)
        named = [block.checked.sequence for block in blocks if block.checked.sequence]
        shown = [*on_cards, *(sheet.method for sheet in on_sheets)]
        return self._digest(
            _shown(page),
            page.prose.passage.source.text,
            [[heading.level, heading.anchor, heading.text] for heading in page.headings],
            page.puzzle.name,
            self._listed(self.guide.contents.listed(page)),
            [_shown(each) for each in self.around.above(page)],
            _neighbours(self.around.neighbours[page]),
            self._leading(page, shown),
            self._titles(page, shown),
            [self._block(block) for block in blocks],
            self._played(page),
            self._drawn(page),
            [self._of_sequence(sequence) for sequence in named],
            [self._named(each.name) for each in on_cards],
            [self._all_of(sheet.method.puzzle.name) for sheet in on_sheets],
            sorted(pdfs),
            [self.guide.tags[tag] for tag in self.guide.tags_on(page)],
        )

    def sequences(self) -> str:
        """What tells of all sequences, with all that they are to each other."""
        related = [self._related(sequence) for sequence in self.guide.sequences.values()]
        return self._digest([self._all_of(name) for name in self.guide.scopes], related, self.contents())

    def effect_table(self, part: ListPart) -> str:
        """A part of what lists all sequences, with what they are to each other."""
        return self._digest(
            _parts(self.around.effect_table),
            [[self._named(each.name), self._related(each)] for each in part.sequences],
            self.contents(),
        )

    def isolating(self, part: ListPart) -> str:
        """A part of what lists those that isolate pieces, with names for what comes of them."""
        taken = [sorted(scope.taken) for scope in self.guide.scopes.values()]
        of_part = [self._named(each.name) for each in part.sequences]
        return self._digest(_parts(self.around.isolating), of_part, taken, self.contents())

    def of_all_pages(self, facts: Facts) -> str:
        """What says something of all pages, with these facts."""
        return self._digest(facts, self.contents())

    def contents(self) -> str:
        """What lists all pages."""
        return self._digest(
            self._listed(self.guide.contents.listed(None)), [_shown(page) for page in self.guide.pages]
        )

    def tags(self) -> str:
        """What lists all that has a tag."""
        return self._digest(
            self._tagged(),
            [page.summary for page in self.guide.pages],
            [self._all_of(name) for name in self.guide.scopes],
            self.contents(),
        )

    def index(self) -> str:
        """What all pages and sequences are found by."""
        headings = [
            [[heading.level, heading.anchor, heading.text] for heading in page.headings]
            for page in self.guide.pages
        ]
        return self._digest(headings, self.tags())

    def _tagged(self) -> Facts:
        return [{**self.guide.tags}, [page.tags for page in self.guide.pages]]

    def _digest(self, *facts: Facts) -> str:
        return digest([self.every, *facts])

    def _listed(self, listed: Listed) -> Facts:
        return [listed.whole, [[p.title, _shown(p.first), _entries(p)] for p in listed.parts]]

    def _leading(self, page: Page, shown: Iterable[CheckedBlock]) -> Facts:
        """Where links lead from what is written on a page, and on others in blocks that it shows."""
        texts = self._texts(page, shown)
        return [resolved(prose, name, page.url, self.guide.targets) for name, prose in texts]

    def _titles(self, page: Page, shown: Iterable[CheckedBlock]) -> Facts:
        """What the sequences are called that claims name there."""
        tokens = (token for _, prose in self._texts(page, shown) for token, _ in inline_tokens(prose))
        names = {name for token in tokens for name in mentioned(token)}
        return [self.guide.sequences[name].title for name in sorted(names & self.guide.sequences.keys())]

    def _texts(self, page: Page, shown: Iterable[CheckedBlock]) -> list[tuple[str, Prose]]:
        """What is written on a page, and on others in blocks that it shows; each with the page's name."""
        own = [(page.name, prose) for prose in self.guide.texts(page)]
        return own + [(each.page, prose) for each in shown if each.page != page.name for prose in each.prose]

    def _played(self, page: Page) -> Facts:
        """What moves in the texts of a page are turn by turn."""
        tokens = (token for prose in self.guide.texts(page) for token, _ in inline_tokens(prose))
        return [self.guide.played[id(token)].attributes for token in tokens if id(token) in self.guide.played]

    def _drawn(self, page: Page) -> Facts:
        """What figures in the texts of a page follow from, beside the names and moves that stand there."""
        tokens = (token for prose in self.guide.texts(page) for token, _ in inline_tokens(prose))
        figures = (figure for token in tokens if (figure := self.guide.drawn.get(id(token))))
        return [
            [self._named(name) for name in (figure.of.name, *figure.of.refers_to) if name]
            for figure in figures
        ]

    def _block(self, block: Block) -> Facts:
        """What a block follows from beside its text."""
        if KINDS[block.kind].looks_about:
            return self._all_of(block.head.puzzle.name)
        return [self._named(name) for name in block.checked.refers_to]

    def _of_sequence(self, sequence: Sequence) -> Facts:
        """What the page of a sequence shows of others."""
        name = sequence.name
        return [
            self._related(sequence),
            self.around.isolating_at.get(name, ""),
            [self._named(each.name) for each in self.around.used_in[name]],
            [_shown(page) for page in self.around.mentioned_in[name]],
            _neighbours(self.around.neighbours[sequence]),
        ]

    def _related(self, sequence: Sequence) -> Facts:
        """What others are to a sequence, and these themselves."""
        groups = self.around.related[sequence.name]
        return [
            [group.kind, group.count, [[repr(each.way), self._named(each.name)] for each in group.listed]]
            for group in groups
        ]

    def _all_of(self, puzzle: str) -> str:
        """All blocks of a puzzle that have a name, and which names are taken."""
        return self._alls[puzzle]

    @cached_property
    def _alls(self) -> Mapping[str, str]:
        taken = [sorted(scope.taken) for scope in self.guide.scopes.values()]
        return {
            puzzle: digest(
                [
                    taken,
                    [
                        self._named(name)
                        for name, block in self._blocks.items()
                        if block.head.puzzle.name == puzzle
                    ],
                ]
            )
            for puzzle in self.guide.scopes
        }

    @cached_property
    def _blocks(self) -> Mapping[str, Block]:
        """All blocks by the names that they have or give."""
        found: dict[str, Block] = {}
        for blocks in self.guide.blocks.values():
            for block in blocks:
                found |= {name: block for name in (block.name, block.parsed.defines) if name}
        return found

    def _named(self, name: str) -> str:
        """The blocks that a name leads to, by way of what they refer to."""
        if name not in self._digests:
            self._digests[name] = digest([self._written[each] for each in self._reached(name)])
        return self._digests[name]

    @cached_property
    def _digests(self) -> dict[str, str]:
        return {}

    @cached_property
    def _written(self) -> Mapping[str, Facts]:
        """Each block that has a name, or gives one, as it is written."""
        return {
            name: [
                block.head.page,
                block.head.puzzle.name,
                block.fence.info.text,
                block.fence.body.text,
                {key: setting.passage.text for key, setting in block.head.defaults.items()},
                block.head.tags,
            ]
            for name, block in self._blocks.items()
        }

    def _reached(self, name: str) -> list[str]:
        """A name, and all that are referred to from its block, and from theirs."""
        reached = {name: None}
        for each in (left := [name]):
            others = [other for other in self._blocks[each].checked.refers_to if other not in reached]
            reached |= dict.fromkeys(others)
            left += others
        return [*reached]


def _parts(whole: WholeList) -> Facts:
    """The ways from each part of a list to others."""
    return [
        [part.path, part.first, part.last, [group.puzzle.name for group in part.groups]]
        for part in whole.parts
    ]


def _shown(page: Page | Sequence) -> Facts:
    """A link to a page."""
    return [page.title, page.url]


def _entries(part: ContentsPart) -> Facts:
    return [[_shown(each.page), [_shown(page) for page in each.inside]] for each in part.entries]


def _neighbours(neighbours: Neighbours) -> Facts:
    return [each and _shown(each) for each in (neighbours.before, neighbours.after)]
