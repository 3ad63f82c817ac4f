"""A sequence of a guide: what was written, and all that turning it has shown.

Knows moves, effects and claims; knows nothing of HTML.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from sitegen.blocks.cache import Kept
from sitegen.effects.effect import Effect
from sitegen.effects.piece_sets import Pieces
from sitegen.effects.words import likeness
from sitegen.moves.metrics import Length, total
from sitegen.moves.notation import on_one_line, write_all
from sitegen.moves.simplify import simplify
from sitegen.moves.tree import Node, Step, parts
from sitegen.pages.markdown import Prose
from sitegen.problems import Passage
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Puzzle, Turn

Template = Callable[..., str]
"""Renders the theme's template with a name, and values for it."""


@dataclass(frozen=True, eq=False)
class Book:
    """What every block may refer to: the moves of all named sequences of one puzzle, and its other blocks."""

    puzzle: Puzzle
    trees: Mapping[str, Node]
    permutations: Mapping[str, Permutation]
    taken: frozenset[str] = frozenset()
    """All names of the guide, whatever has them."""
    kept: Kept = field(default_factory=Kept)
    parsed: Mapping[str, Any] = field(default_factory=dict)
    """What was read of each block that has a name."""


@dataclass(frozen=True)
class Shown:
    """How an author wants a sequence drawn."""

    views: tuple[str, ...]
    focus: Pieces | None
    arrows: bool
    letters: bool


@dataclass(frozen=True, eq=False)
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
    effect: Effect
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
        return on_one_line(self.written.text)

    @property
    def turning_back(self) -> str:
        """How the whole puzzle is turned at the end for its centres to be home; empty where they are."""
        return write_all(self.effect.turning_back, self.puzzle)

    @property
    def likeness(self) -> str:
        """Whether pieces that look alike are told apart; empty where it makes no difference."""
        return likeness(self.effect)

    @cached_property
    def in_full(self) -> str:
        """The turns one by one; empty where the moves are written so."""
        plain = all(isinstance(item, Step) for item in parts(self.tree))
        return "" if plain else write_all(self.turns, self.puzzle)

    @cached_property
    def cancelled(self) -> str:
        """The turns one by one when what cancels is taken away; empty where nothing does."""
        fewer = simplify(self.turns, self.puzzle)
        return write_all(fewer, self.puzzle) if len(fewer) < len(self.turns) else ""

    @property
    def cancelled_length(self) -> Length:
        return total(simplify(self.turns, self.puzzle), self.puzzle)

    @property
    def sequence(self) -> Sequence | None:
        """What others can refer to: itself, if it has a name."""
        return self if self.name else None

    @property
    def prose(self) -> tuple[Prose, ...]:
        """The author's texts in it."""
        return (self.say,) if self.say else ()

    @property
    def url(self) -> str:
        """The path of its own page below output/."""
        return f"sequences/{self.name}.html"

    @property
    def anchor(self) -> str:
        """Its place on the page where it stands."""
        return f"sequence-{self.name}"
