"""A derivation as it was checked: step by step where the watched pieces go and how the guarded ones fare.

Knows positions and pieces; knows nothing of how steps are written or drawn.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from sitegen.blocks.block import CheckedBlock, Turned
from sitegen.blocks.moves.sequence import Sequence
from sitegen.blocks.played import Played
from sitegen.effects.effect import Effect
from sitegen.effects.fares import HOME, fares, fares_in_words, state
from sitegen.effects.piece_sets import Pieces
from sitegen.effects.words import brief, listed
from sitegen.moves.notation import write_all
from sitegen.pages.markdown import Prose
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Piece, Puzzle, Turn


@dataclass(frozen=True, eq=False)
class DerivationStep:
    """One step: the turns that it adds, and the position before and after them."""

    number: int
    text: str
    """The turns as the author wrote them, or one by one what a step undoes."""
    name: str
    """What later steps may undo it by; empty without a name."""
    undoes: str
    say: Prose | None
    turns: tuple[Turn, ...]
    before: Permutation
    after: Permutation
    puzzle: Puzzle
    watch: Pieces
    guard: Pieces
    aside: Pieces
    """What the next step must not move."""
    marked: bool = False
    """Whether pieces that look alike are told apart."""

    @cached_property
    def seen_before(self) -> Permutation:
        """The position before as far as it can be told: a piece is as good as one that looks like it."""
        return Effect(self.puzzle, self.before, self.marked).seen

    @cached_property
    def seen_after(self) -> Permutation:
        return Effect(self.puzzle, self.after, self.marked).seen

    @property
    def set_aside(self) -> str:
        return listed([self.puzzle.pieces[index].name for index in sorted(self.aside)])

    @cached_property
    def states(self) -> Mapping[int, str]:
        """How each guarded piece fares after the step."""
        return fares(self.guard, self.seen_after, self.puzzle)

    def slots(self, wanted: str) -> frozenset[int]:
        """Where the stickers of the guarded pieces in one state are now."""
        pieces = [self.puzzle.pieces[index] for index, found in self.states.items() if found == wanted]
        return frozenset(self.seen_after[slot] for piece in pieces for slot in piece.stickers)

    @property
    def did(self) -> str:
        """What became of the watched pieces: `UF goes from UF to RF`; without any, what the step does."""
        clauses = [self._fate(self.puzzle.pieces[index]) for index in sorted(self.watch)]
        if clauses:
            return f"{listed(clauses)}."
        step = perm.compose(perm.inverse(self.before), self.after)
        return brief(Effect(self.puzzle, step, marked=True))

    def _fate(self, piece: Piece) -> str:
        slot = piece.stickers[0]
        before, now = self.before[slot], self.after[slot]
        if all(self.before[s] == self.after[s] for s in piece.stickers):
            return f"{piece.name} stays {self._where(piece, now)}"
        return f"{piece.name} goes from {self._at(before)} to {self._at(now)}"

    def _where(self, piece: Piece, slot: int) -> str:
        return "home" if state(piece, self.after) == HOME else f"at {self._at(slot)}"

    def _at(self, slot: int) -> str:
        return self.puzzle.stickers[slot].name

    @property
    def guarded(self) -> str:
        """How many of the guarded pieces are home, and which are not: `7 of 8 home; UFR is away`."""
        return fares_in_words(self.states, self.puzzle)

    @property
    def stops(self) -> list[Permutation]:
        """The position before the step, and after each of its turns."""
        stops = [self.before]
        for turn in self.turns:
            stops.append(perm.compose(stops[-1], self.puzzle.permutation(turn)))
        return stops


@dataclass(frozen=True, eq=False, kw_only=True)
class Derivation(CheckedBlock):
    """Called as its block is, or else as the sequence that it names; `same_as` are others with its effect."""

    ANCHOR = "derivation"
    LINK = "derivation"

    stages: tuple[DerivationStep, ...]
    turns: tuple[Turn, ...]
    """All of them in full, what cancels taken away."""
    effect: str
    """In words."""
    likeness: str
    """Whether pieces that look alike are told apart in it; empty where it makes no difference."""
    length: str
    named: Sequence | None
    same_as: tuple[str, ...]
    failure: str
    """Which guarded pieces are not home at the end, where that is what is to be shown."""

    @property
    def lined(self) -> bool:
        return any(stage.guard or stage.watch for stage in self.stages)

    @property
    def played(self) -> Played:
        """It as a page plays it, step by step: the guard leaves and comes home."""
        guard: Pieces = frozenset().union(*(stage.guard for stage in self.stages))
        watch: Pieces = frozenset().union(*(stage.watch for stage in self.stages))
        return Played(
            puzzle=self.puzzle,
            parts=tuple(stage.turns for stage in self.stages),
            before=self.puzzle.identity,
            focus=guard | watch or None,
            guard=guard,
            watch=watch,
            marked=any(stage.marked for stage in self.stages),
            letters=self.shown.letters,
        )

    @property
    def sequence(self) -> Sequence | None:
        return self.named

    @property
    def in_full(self) -> str:
        return write_all(self.turns, self.puzzle)

    @property
    def prose(self) -> tuple[Prose, ...]:
        return (*super().prose, *(stage.say for stage in self.stages if stage.say))

    @property
    def turned(self) -> Turned:
        return self.named.turned if self.named else Turned()
