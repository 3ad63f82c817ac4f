"""A sequence of a guide: what was written, and all that turning it has shown.

Knows moves, effects and claims; knows nothing of HTML.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cached_property

from sitegen.effects.effect import Report
from sitegen.effects.piece_sets import Pieces
from sitegen.guide.markdown import Prose
from sitegen.moves.metrics import Length
from sitegen.moves.notation import write_all
from sitegen.moves.simplify import simplify
from sitegen.moves.tree import Node
from sitegen.problems import Passage
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Puzzle, Turn

Template = Callable[..., str]
"""Renders the theme's template with a name, and values for it."""


@dataclass(frozen=True)
class Book:
    """What every block may refer to: the moves of all named sequences of one puzzle."""

    puzzle: Puzzle
    trees: Mapping[str, Node]
    permutations: Mapping[str, Permutation]


@dataclass(frozen=True)
class Shown:
    """How an author wants a sequence drawn."""

    views: tuple[str, ...]
    focus: Pieces | None
    arrows: bool
    letters: bool


@dataclass(frozen=True)
class Sequence:
    """`name` is empty for a sequence without one; `page` is the name of the page where it stands."""

    name: str
    title: str
    page: str
    puzzle: Puzzle
    written: Passage
    tree: Node
    turns: tuple[Turn, ...]
    """Written out; empty where they are too many for a page."""
    count: int
    report: Report
    length: Length
    claims: tuple[str, ...]
    """The author's words, each found true."""
    refers_to: tuple[str, ...]
    before: Permutation
    """The position it starts from: where each sticker of the solved puzzle is."""
    shown: Shown
    tags: tuple[str, ...]
    say: Prose | None

    @property
    def moves(self) -> str:
        """The moves as written, on one line."""
        return " ".join(self.written.text.split()).replace("’", "'").replace("′", "'")

    @cached_property
    def in_full(self) -> str:
        """The turns one by one, what cancels taken away; empty where that is how the moves are written."""
        full = write_all(simplify(self.turns, self.puzzle), self.puzzle)
        return "" if full == self.moves else full

    @property
    def url(self) -> str:
        """The path of its own page below output/."""
        return f"sequences/{self.name}.html"

    @property
    def anchor(self) -> str:
        """Its place on the page where it stands."""
        return f"sequence-{self.name}"
