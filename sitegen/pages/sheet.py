"""How a page is printed that is made for paper: the keys at its head for that, and how they are read.

Knows settings; what the names among them mean is found out when the whole guide is read.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from sitegen.moves.references import NAME
from sitegen.names import once
from sitegen.pages.config import PAPERS
from sitegen.problems import Passage, Problem, shortened
from sitegen.settings import OneOf, Setting

LANDSCAPE = "landscape"
ORIENTATIONS = ("portrait", LANDSCAPE)
MOST_COLUMNS = 4
LEAST_SIZE, SIZE, MOST_SIZE = 6.0, 10.0, 16.0
"""Text sizes in points: the least, the usual one and the most."""
BETWEEN_MARGINS = {"portrait": 180, LANDSCAPE: 265}
"""Millimetres that a sheet of A4 has for text, by the way it lies."""
FIGURE_CELL, WORDS_CELL = 28, 18
"""About as many a cell of a table takes with a figure or with words, in the usual text size."""
SIZE_TEXT = re.compile(r"(?P<points>[0-9]{1,3}(?:\.[0-9])?) *(?:pt|points?)?")


@dataclass(frozen=True)
class Sheet:
    """How a page is printed, and what stands on it beside its text."""

    paper: str
    orientation: str
    columns: int | None
    """As many as suit what stands there, where none is given."""
    text_size: float
    """In points."""
    cards: tuple[Passage, ...]
    """Names of sequences for a pocket reference."""
    cases: tuple[Passage, ...]
    """Each a method's name, and a stage of it or none."""
    by_heading: bool
    """Whether each heading of the second level begins a sheet."""

    @property
    def size(self) -> str:
        """The paper as CSS calls it."""
        return PAPERS[self.paper] + (" landscape" if self.orientation == LANDSCAPE else "")

    @property
    def text_columns(self) -> int:
        """Columns of text side by side."""
        return self.columns or 1

    def has_room(self, cells: int, figures: bool) -> bool:
        """Whether a column of text is wide enough for a table of so many columns, with or without figures."""
        cell = FIGURE_CELL * max(1, self.text_size / SIZE) if figures else WORDS_CELL * self.text_size / SIZE
        return cells * cell <= BETWEEN_MARGINS[self.orientation] / self.text_columns

    @property
    def across(self) -> int:
        """How many cards of a pocket reference, or exercises, stand side by side."""
        return self.columns or (3 if self.orientation == LANDSCAPE else 2)


class _Paper(OneOf):
    """A size; how the paper lies is said elsewhere."""

    def __call__(self, setting: Setting) -> str:
        size, _, other = setting.as_text().partition(" ")
        if size in self.words and other in ORIENTATIONS:
            hint = f"write paper: {size}, and in another line orientation: {other}"
            raise setting.problem("the paper is a size", hint)
        return super().__call__(setting)


def _columns(setting: Setting) -> int:
    return setting.as_number(1, MOST_COLUMNS)


def _text_size(setting: Setting) -> float:
    text = setting.as_text()
    points = _points(text)
    if points is None:
        message = f"the text size is a number of points from {LEAST_SIZE:g} to {MOST_SIZE:g}"
        found = SIZE_TEXT.fullmatch(text.replace(",", "."))
        meant = min(max(float(found["points"]), LEAST_SIZE), MOST_SIZE) if found else SIZE
        raise setting.problem(message, f"write text size: {meant:g} pt")
    return points


def _points(text: str) -> float | None:
    """How large a text is; None for none that may be."""
    found = SIZE_TEXT.fullmatch(text)
    points = float(found["points"]) if found else 0.0
    return points if LEAST_SIZE <= points <= MOST_SIZE else None


def _names(setting: Setting) -> tuple[Passage, ...]:
    """names := a list of names; each may have its @.    Raises Problem."""
    hint = f"write names with commas between them, as in {setting.key.text}: flip-pair, twist-pair"
    names = tuple(
        word.part(1, len(word.text)) if word.text.startswith("@") else word
        for word in setting.as_names("the name of a sequence", hint)
    )
    for name in names:
        if not re.fullmatch(NAME, name.text):
            raise Problem(f"“{shortened(name.text)}” is not the name of a sequence", name, hint)
    return once(names)


SHEET_READERS: Mapping[str, Callable[[Setting], Any]] = {
    "paper": _Paper(tuple(PAPERS)),
    "orientation": OneOf(ORIENTATIONS),
    "columns": _columns,
    "text size": _text_size,
    "cards": _names,
    "case sheet": lambda setting: tuple(item.said for item in setting.as_list()),
    "sheet for each heading": Setting.as_yes,
}
"""The keys for paper, and how their values are read."""


def sheet_of(head: Mapping[str, Any], paper: str) -> Sheet:
    """What the head of a page says; the paper is the guide's where it says none."""
    return Sheet(
        paper=head.get("paper") or paper,
        orientation=head.get("orientation") or ORIENTATIONS[0],
        columns=head.get("columns"),
        text_size=head.get("text size") or SIZE,
        cards=head.get("cards") or (),
        cases=head.get("case sheet") or (),
        by_heading=bool(head.get("sheet for each heading")),
    )
