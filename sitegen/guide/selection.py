"""What a sheet shows beside its text: the sequences of a pocket reference, the stages of a case sheet."""

from __future__ import annotations

from dataclasses import dataclass

from sitegen.blocks.method.method import Method, StageShown
from sitegen.blocks.moves.sequence import Sequence
from sitegen.guide.guide import Guide
from sitegen.moves.references import UnknownSequence
from sitegen.pages.page import Page
from sitegen.problems import Findings, Passage, Problem, is_it
from sitegen.tokenizer import Tokenizer


@dataclass(frozen=True)
class CaseSheet:
    """Stages of a method whose cases a page shows."""

    method: Method
    stages: tuple[StageShown, ...]

    @property
    def held(self) -> bool:
        """Whether a case of them is drawn that stands for others, with the puzzle held otherwise."""
        steps = [step for stage in self.stages for step in stage.steps]
        return any(case.held for step in steps for case in step.drawn)


def cards(page: Page, guide: Guide, findings: Findings) -> list[Sequence]:
    """The sequences that a page names for its pocket reference."""
    named = page.sheet.cards if page.sheet else ()
    found = [findings.attempt(None, _sequence, name, guide) for name in named]
    return [sequence for sequence in found if sequence]


def _sequence(name: Passage, guide: Guide) -> Sequence:
    if name.text not in guide.sequences:
        raise UnknownSequence(name.text, name, guide.sequences)
    return guide.sequences[name.text]


def case_sheets(page: Page, guide: Guide, findings: Findings) -> list[CaseSheet]:
    """The methods whose cases a page shows, of one stage or of all."""
    named = page.sheet.cases if page.sheet else ()
    found = [findings.attempt(None, _case_sheet, each, guide) for each in named]
    return [sheet for sheet in found if sheet]


def _case_sheet(written: Passage, guide: Guide) -> CaseSheet:
    """case_sheet := METHOD (TITLE | NUMBER)?    Raises Problem."""
    tokens = Tokenizer(written, {"method": r"\S+"})
    token = tokens.expect("the name of a method", "method")
    name, place = token.text, token.passage
    stage = written.part(tokens.position, len(tokens.text))
    wanted = " ".join(stage.text.split())
    methods = guide.named(Method)
    if name not in methods:
        raise Method.unknown(name, place, methods)
    method = methods[name]
    if not wanted:
        return CaseSheet(method, method.stages)
    found = [each for each in method.stages if wanted in (str(each.number), " ".join(each.title.split()))]
    if not found:
        titles = [each.title for each in method.stages]
        hint = is_it(wanted, titles) or "its stages are " + ", ".join(titles)
        raise Problem(f"{name} has no stage “{wanted}”", stage, hint)
    return CaseSheet(method, tuple(found))
