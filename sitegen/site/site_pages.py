"""The pages of a site, each a function of what it is made from: on that and the frame alone it depends.

Each function here takes what stands on its page, and last the page as the theme sets it, and gives its HTML.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import partial

from markupsafe import Markup

from sitegen.blocks.kind import Block
from sitegen.blocks.kinds import ASKING
from sitegen.blocks.method.case_figures import of_case
from sitegen.blocks.method.method import Method, StageShown
from sitegen.blocks.moves.sequence import Sequence as MoveSequence
from sitegen.blocks.moves.sequence_figures import MOST_STEPS, by_cycle, pairs, steps
from sitegen.effects.layers import layers
from sitegen.effects.relations import RelationGroup, say_how
from sitegen.effects.words import brief
from sitegen.guide.contents import ContentsPart
from sitegen.guide.printed import Printed
from sitegen.guide.selection import CaseSheet
from sitegen.methods.coverage import Coverage
from sitegen.pages.page import Page
from sitegen.pages.sheet import Sheet
from sitegen.problems import Problem
from sitegen.site.around import Neighbours
from sitegen.site.isolating import OfOnePuzzle
from sitegen.site.list_parts import ListPart, WholeList
from sitegen.site.qr import qr_code
from sitegen.site.script_files import shortest
from sitegen.site.setting import PageSetting
from sitegen.site.sought import sought
from sitegen.site.tables import BRIEFLY_OF, HEADINGS_OF, PART, beside, row


@dataclass(frozen=True)
class OnPaper:
    """How a page is printed, and what of it was printed."""

    sheet: Sheet
    public: str
    """The address that a code on it leads to; empty for none. From answers it leads to the exercises."""
    made: tuple[Printed, ...]

    @property
    def values(self) -> dict[str, object]:
        return {
            "sheet": self.sheet,
            "public": self.public,
            "code": qr_code(self.public) if self.public else None,
            "made": self.made,
        }


def page_html(
    page: Page,
    blocks: Sequence[Block],
    problems: Sequence[Problem],
    above: Sequence[Page],
    neighbours: Neighbours,
    cards: Sequence[MoveSequence],
    case_sheets: Sequence[CaseSheet],
    tags: Mapping[str, str],
    paper: OnPaper,
    setting: PageSetting,
) -> str:
    """A page that an author has written.

    `tags` are its own with the paths of their pages, `above` the pages over it, from the first, `problems`
    what does not hold on it.
    """
    colours = setting.colours
    flows = setting.flows(page.prose, page.name, blocks)
    return setting.template(
        page.kind,
        page=page,
        above=above,
        problems=problems,
        body=Markup("").join(html for html, _ in flows),
        flows=flows,
        before=neighbours.before,
        after=neighbours.after,
        tags=tags,
        cards=[(s, pairs(s, colours(s.puzzle)), by_cycle(s, colours(s.puzzle))) for s in cards],
        case_sheets=[
            (each, partial(of_case, method=each.method, colours=colours(each.method.puzzle)))
            for each in case_sheets
        ],
        **paper.values,
    )


def embedded_html(block: Block, page: Page, setting: PageSetting) -> str:
    """A block that stands on `page`, by itself for pages elsewhere."""
    title = block.checked.title or page.title
    return setting.template("embedded", page=page, title=title, body=setting.card(block))


def answers_html(
    page: Page,
    asking: Sequence[Block],
    sequences: Mapping[str, MoveSequence],
    paper: OnPaper,
    setting: PageSetting,
) -> str:
    """The answers to a page's exercises; `sequences` are those that they are made from, by name."""
    made = [(each.checked, ASKING[each.kind](each.checked, setting)) for each in asking]
    return setting.template("answers", page=page, practice=made, sequences=sequences, **paper.values)


def sequence_html(
    sequence: MoveSequence,
    page: Page,
    isolating_at: str,
    related: Sequence[RelationGroup],
    sequences: Mapping[str, MoveSequence],
    used_in: Sequence[MoveSequence],
    mentioned_in: Sequence[Page],
    neighbours: Neighbours,
    tags: Mapping[str, str],
    setting: PageSetting,
) -> str:
    """The page of a sequence that stands on `page`; `sequences` are those that are related to it, by name.

    `isolating_at` is the path of the page on which it stands as an isolating one; empty if it is none.
    """
    colours = setting.colours(sequence.puzzle)
    return setting.template(
        "sequence",
        sequence=sequence,
        page=page,
        does=brief(sequence.effect),
        pairs=pairs(sequence, colours),
        cycles=by_cycle(sequence, colours),
        steps=list(steps(sequence, colours)),
        most_steps=MOST_STEPS,
        row=row(sequence),
        layers=layers(sequence.effect),
        isolating_at=isolating_at,
        related=[group for group in related if group.kind != PART],
        sequences=sequences,
        headings=HEADINGS_OF,
        way=say_how,
        used_in=used_in,
        mentioned_in=mentioned_in,
        before=neighbours.before,
        after=neighbours.after,
        tags=tags,
    )


def method_html(method: Method, page: Page, setting: PageSetting) -> str:
    """The case sheet of a method that stands on `page`."""
    case_figures = partial(of_case, method=method, colours=setting.colours(method.puzzle))
    return setting.template("case sheet", method=method, page=page, case_figures=case_figures)


def full_list(
    method: Method, stage: StageShown, step: Coverage, tools: Sequence[MoveSequence], setting: PageSetting
) -> str:
    """All cases of a step, as plain text; `tools` are the sequences that its stage uses."""
    return setting.template("full list", method=method, stage=stage, step=step, tools=tools)


def effects_html(
    part: ListPart,
    whole: WholeList,
    sequences: Mapping[str, MoveSequence],
    titles: Mapping[str, str],
    related: Mapping[str, Sequence[RelationGroup]],
    setting: PageSetting,
) -> str:
    """A part of the effect table.

    `titles` are those of the pages by name, `related` what its sequences are to others.
    """
    groups = [(group.puzzle, [row(sequence) for sequence in group.sequences]) for group in part.groups]
    return setting.template(
        "effect table",
        rows=[row for _, rows in groups for row in rows],
        groups=groups,
        sequences=sequences,
        titles=titles,
        related={name: beside(groups) for name, groups in related.items()},
        briefly=BRIEFLY_OF,
        sought={each.name: shortest(sought(each, titles[each.page])) for each in part.sequences},
        part=part,
        whole=whole,
    )


def contents_html(parts: Sequence[ContentsPart], setting: PageSetting) -> str:
    """All pages of the guide."""
    return setting.template("contents", parts=parts)


def tags_html(counts: Mapping[str, int], paths: Mapping[str, str], setting: PageSetting) -> str:
    """All tags, with how many things have each."""
    return setting.template("tags", counts=counts, paths=paths)


def tag_html(tag: str, pages: Sequence[Page], sequences: Sequence[MoveSequence], setting: PageSetting) -> str:
    """What has a tag."""
    return setting.template("tag", tag=tag, pages=pages, sequences=sequences)


def not_found_html(setting: PageSetting) -> str:
    """What is shown where there is no page."""
    return setting.template("not found")


def isolating_html(
    part: ListPart, whole: WholeList, puzzles: Sequence[OfOnePuzzle], setting: PageSetting
) -> str:
    """A part of the list of isolating sequences."""
    return setting.template("isolating sequences", part=part, whole=whole, puzzles=puzzles)
