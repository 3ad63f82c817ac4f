"""What there is to print: each sheet, the answers to it, and variants of both for other tables.

Knows pages and the paths of their PDFs; knows nothing of how these are made.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from sitegen.guide.guide import Guide
from sitegen.guide.page import Page
from sitegen.guide.practice import VARIANTS


@dataclass(frozen=True)
class Printed:
    """One document."""

    page: Page
    answers: bool
    variant: str = ""

    @property
    def path(self) -> str:
        """Of the PDF, below output/."""
        name = f"{self.page.name}-variant-{self.variant.lower()}" if self.variant else self.page.name
        return f"{name}-answers.pdf" if self.answers else f"{name}.pdf"

    @property
    def url(self) -> str:
        """Of the published page that it is made from."""
        return self.page.answers_url if self.answers else self.page.url


def printed(page: Page, guide: Guide, variants: str = VARIANTS) -> Iterator[Printed]:
    """All that can be printed of a page that is made for paper, sheets before their answers."""
    if page.sheet is None:
        return
    practised = bool(guide.practice(page))
    for variant in ("", *variants) if practised else ("",):
        yield Printed(page, False, variant)
        if practised:
            yield Printed(page, True, variant)
