"""How a page is printed that is made for paper: the keys at its head for that, and how they are read.

Knows settings; what the names among them mean is found out when the whole guide is read.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from sitegen.guide.config import PAPERS
from sitegen.moves.references import NAME
from sitegen.problems import Passage, Problem, shortened
from sitegen.settings import Setting

LANDSCAPE = "landscape"
ORIENTATIONS = ("portrait", LANDSCAPE)
MOST_COLUMNS = 4
LEAST_SIZE, SIZE, MOST_SIZE = 6.0, 10.0, 16.0
"""Text sizes in points: the least, the usual one and the most."""
SIZE_TEXT = re.compile(r"(?P<points>[0-9]{1,3}(?:\.[0-9])?) *(?:pt|points?)?")


@dataclass(frozen=True)
class Named:
    """A text, and where it was written."""

    text: str
    place: Passage


@dataclass(frozen=True)
class Sheet:
    paper: str
    orientation: str
    columns: int | None
    """As many as suit what stands there, where none is given."""
    text_size: float
    """In points."""
    cards: tuple[Named, ...]
    """Names of sequences for a pocket reference."""
    cases: tuple[Named, ...]
    """Each a method's name and a stage of it."""

    @property
    def size(self) -> str:
        """The paper as CSS calls it."""
        return PAPERS[self.paper] + (" landscape" if self.orientation == LANDSCAPE else "")

    @property
    def text_columns(self) -> int:
        return self.columns or 1

    @property
    def cards_across(self) -> int:
        """Cards of a pocket reference side by side."""
        return self.columns or (3 if self.orientation == LANDSCAPE else 2)

    @property
    def exercises_across(self) -> int:
        """Exercises side by side: one in each column of the text, where there are several."""
        return 1 if self.columns else self.cards_across


def _columns(setting: Setting) -> int:
    return int(setting.as_choice([str(n) for n in range(1, MOST_COLUMNS + 1)]))


def _text_size(setting: Setting) -> float:
    found = SIZE_TEXT.fullmatch(setting.as_text())
    points = float(found["points"]) if found else 0.0
    if not LEAST_SIZE <= points <= MOST_SIZE:
        message = f"the text size is a number of points from {LEAST_SIZE:g} to {MOST_SIZE:g}"
        raise setting.problem(message, f"write text size: {SIZE:g} pt")
    return points


def _names(setting: Setting) -> tuple[Named, ...]:
    """names := NAME (("," | "and") NAME)*, or a list of them; each may have its @.    Raises Problem."""
    words = [
        Named(text, place_of(text, item.place))
        for item in _items(setting)
        for text in re.findall(r"[^\s,@]+", item.text)
        if text != "and"
    ]
    for word in words:
        if not re.fullmatch(NAME, word.text):
            hint = f"write names with commas between them, as in {setting.key.text}: flip-pair, twist-pair"
            raise Problem(f"“{shortened(word.text)}” is not the name of a sequence", word.place, hint)
    return tuple(words)


def place_of(text: str, passage: Passage) -> Passage:
    """The part of a passage that says a text; the whole where YAML has put it together."""
    at = passage.text.find(text)
    return passage if at < 0 else passage.part(at, at + len(text))


def _items(setting: Setting) -> tuple[Named, ...]:
    """The texts of a list, each on one line. Raises Problem where there are none."""
    items = tuple(Named(" ".join(item.as_text().split()), item.passage) for item in setting.as_list())
    if not items:
        key = setting.key
        raise Problem(f"nothing is written for “{key.text}”", key, "write it, or take the key away")
    return items


SHEET_READERS: Mapping[str, Callable[[Setting], Any]] = {
    "paper": lambda setting: setting.as_choice(PAPERS),
    "orientation": lambda setting: setting.as_choice(ORIENTATIONS),
    "columns": _columns,
    "text size": _text_size,
    "cards": _names,
    "case sheet": _items,
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
    )
