"""A sequence of a guide: what was written, and all that turning it has shown.

Knows moves, effects and claims; knows nothing of HTML.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from functools import cached_property

from markupsafe import Markup

from sitegen.blocks.block import CheckedBlock, Turned
from sitegen.blocks.played import Played, tried_claims
from sitegen.effects.claims import Claim
from sitegen.effects.claims.claim import Reading
from sitegen.effects.effect import Effect
from sitegen.effects.likeness import alike
from sitegen.effects.words import likeness
from sitegen.moves.metrics import Length, total
from sitegen.moves.notation import on_one_line, write_all
from sitegen.moves.references import REFERENCE, UnknownSequence
from sitegen.moves.simplify import simplify
from sitegen.moves.tree import Node, SingleTurn, parts
from sitegen.problems import Passage, Problem
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Turn


@dataclass(frozen=True, eq=False, kw_only=True)
class Sequence(CheckedBlock):
    """Moves with all that they do; `name` is empty for those without one."""

    ANCHOR = "sequence"
    LINK = "sequence"

    written: Passage
    tree: Node
    turns: tuple[Turn, ...]
    """Written out; empty where they are too many for a page."""
    count: int
    effect: Effect
    length: Length
    claims: tuple[str, ...]
    """The author's words, each found true."""
    stated: tuple[Claim, ...]
    """And what they say."""
    before: Permutation
    """The position it starts from: where each sticker of the solved puzzle is."""
    tags: tuple[str, ...]
    derived_at: str = ""
    """The place on its page of the derivation that names it, if one does."""

    @property
    def anchor(self) -> str:
        """Its place on its page, where it stands in a block or is derived."""
        return self.derived_at or super().anchor

    @cached_property
    def moves(self) -> str:
        """The moves as written, on one line."""
        return on_one_line(self.written.text)

    @property
    def shows_again(self) -> str:
        """The sequence that a block without a name or a title of its own shows once more; mostly empty."""
        named = None if self.title else REFERENCE.fullmatch(self.moves)
        return named[1] if named else ""

    @cached_property
    def turning_back(self) -> str:
        """How the whole puzzle is turned at the end for its centres to be home; empty where they are."""
        return write_all(self.effect.turning_back, self.puzzle)

    @cached_property
    def likeness(self) -> str:
        """Whether pieces that look alike are told apart; empty where it makes no difference."""
        return likeness(self.effect)

    @property
    def by_itself(self) -> str:
        """The moves for whoever knows no other sequence: turn by turn where they refer to one."""
        return self.in_full if self.refers_to else self.moves

    @cached_property
    def in_full(self) -> str:
        """The turns one by one; empty where the moves are written so."""
        plain = all(isinstance(item, SingleTurn) for item in parts(self.tree))
        return "" if plain else write_all(self.turns, self.puzzle)

    @cached_property
    def cancelled(self) -> str:
        """The turns one by one when what cancels is taken away; empty where nothing does."""
        return write_all(self._fewer, self.puzzle) if len(self._fewer) < len(self.turns) else ""

    @cached_property
    def cancelled_length(self) -> Length:
        return total(self._fewer, self.puzzle)

    @cached_property
    def _fewer(self) -> tuple[Turn, ...]:
        """The turns without what cancels."""
        return simplify(self.turns, self.puzzle)

    @cached_property
    def played(self) -> Played:
        """It as a page plays it."""
        return Played(
            puzzle=self.puzzle,
            parts=(self.turns,),
            before=self.before,
            focus=self.shown.focus,
            marked=self.effect.marked,
            letters=self.shown.letters,
        )

    @property
    def tried(self) -> Markup:
        """The claims that a page can follow while a reader seeks other turns of which they hold."""
        if alike(self.puzzle) and not self.effect.marked:
            return Markup()
        reading = Reading(self.puzzle, {}, self.effect.marked)
        said = zip(self.claims, self.stated, strict=True)
        return tried_claims(self.puzzle, [(words, c.asks(reading)) for words, c in said if c.BY_STICKERS])

    @property
    def sequence(self) -> Sequence | None:
        """What others can refer to: itself, if it has a name."""
        return self if self.name else None

    @classmethod
    def page_of(cls, name: str) -> str:
        """The path of its own page below output/."""
        return f"sequences/{name}.html"

    @classmethod
    def unknown(cls, name: str, passage: Passage, known: Collection[str]) -> Problem:
        return UnknownSequence(name, passage, known)

    @property
    def turned(self) -> Turned:
        return Turned(claims=len(self.claims))
