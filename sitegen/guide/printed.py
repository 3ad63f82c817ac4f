"""What there is to print: each sheet, the answers to it, and variants of both for other tables.

Knows pages and where their PDFs go; knows nothing of how these are made.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from sitegen.blocks.practice.practice import VARIANTS, Practice
from sitegen.effects.words import listed
from sitegen.guide.guide import Guide
from sitegen.pages.page import Page
from sitegen.problems import Note

OUTPUT, ANSWERS = "output", "answers"
"""The folders of a guide for what is published, and for answers that are not: what is in one is never in the
other."""


@dataclass(frozen=True)
class Printed:
    """One PDF to be made: of a page or of the answers to its exercises, in a variant of these or not."""

    page: Page
    answers: bool
    variant: str = ""

    @property
    def folder(self) -> str:
        """The folder of the guide that the PDF goes into."""
        return ANSWERS if self.answers and not self.page.answers else OUTPUT

    @property
    def path(self) -> str:
        """The path of the PDF in that folder."""
        name = f"{self.page.name}-variant-{self.variant.lower()}" if self.variant else self.page.name
        return f"{name}-answers.pdf" if self.answers else f"{name}.pdf"

    @property
    def file(self) -> str:
        """The path of the PDF, in the guide's folder."""
        return f"{self.folder}/{self.path}"

    @property
    def url(self) -> str:
        """The path below output/ of the page that it is made from, published or not."""
        return self.page.answers_url if self.answers else self.page.url


def repeated_notes(guide: Guide, variants: str) -> Iterator[Note]:
    """What to tell an author of whose exercises there are too few for that many variants."""
    for block in (block for page in guide.pages if page.sheet for block in guide.asking(page)):
        if not isinstance(block.checked, Practice):
            continue
        times = {variant: block.checked.repeated(variant) for variant in variants}
        told = listed([f"{number} in variant {variant}" for variant, number in times.items() if number])
        if told:
            message = f"exercises come again that the sheet or an earlier variant has: {told}"
            hint = "name other sequences too, ask for fewer, or allow a lead-in or the mirror"
            yield Note(message, [block.fence.info], hint)


def printed(page: Page, guide: Guide, variants: str = VARIANTS) -> Iterator[Printed]:
    """All that can be printed of a page, sheets before their answers.

    Of a page that is not made for paper these are the answers that are not published.
    """
    practised = bool(guide.asking(page))
    if page.sheet is None:
        if practised and not page.answers:
            yield Printed(page, True)
        return
    for variant in ("", *variants) if practised else ("",):
        yield Printed(page, False, variant)
        if practised:
            yield Printed(page, True, variant)
