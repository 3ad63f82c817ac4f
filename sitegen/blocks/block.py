"""What all kinds of block have in common: as an author wrote them, and as they were checked.

Knows texts and the place where they stand; what a kind says beside that is its own.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import ClassVar

from sitegen.blocks.moves.sequence import Shown
from sitegen.pages.markdown import Prose, inline_prose
from sitegen.problems import Passage
from sitegen.puzzles.puzzle import Puzzle
from sitegen.settings import Setting


@dataclass(frozen=True, eq=False, kw_only=True)
class WrittenBlock:
    """Parsed, but not turned yet; `page` is the name of the page where it stands."""

    name: str
    defines: str = ""
    """The sequence that it names, if it does."""
    page: str
    puzzle: Puzzle
    fields: Mapping[str, Setting]
    written: Passage
    """What it is about: problems with the whole of it are shown there."""
    shown: Shown
    html: bool

    @property
    def title(self) -> str:
        """What is written, or else the name in plain words."""
        if "title" in self.fields:
            return self.fields["title"].as_text()
        return (self.name or self.defines).replace("-", " ").capitalize()

    @property
    def say(self) -> Prose | None:
        return said(self.fields, self.html)


def said(fields: Mapping[str, Setting], html: bool) -> Prose | None:
    """The author's sentence among some fields."""
    return inline_prose(fields["say"].said, html) if "say" in fields else None


@dataclass(frozen=True, eq=False, kw_only=True)
class CheckedBlock:
    """Turned and found true, of a kind that names no sequence."""

    KIND: ClassVar[str]
    sequence: ClassVar[None] = None

    name: str
    title: str
    page: str
    puzzle: Puzzle
    refers_to: tuple[str, ...]
    """The names of the sequences that it uses."""
    shown: Shown
    say: Prose | None

    @property
    def prose(self) -> tuple[Prose, ...]:
        """The author's texts in it."""
        return (self.say,) if self.say else ()

    @property
    def anchor(self) -> str:
        """Its place on the page where it stands."""
        return f"{self.KIND}-{self.name}"
