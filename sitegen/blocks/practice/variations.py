"""Named sequences made new for practice: in a mirror, behind a lead-in, the puzzle held otherwise.

Knows puzzles, turns and tools; knows nothing of what is asked about them. All that is random comes from one
generator, so that the same seed gives the same.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from random import Random
from typing import TypeVar

from sitegen.effects.effect import held_by
from sitegen.methods.tools import Tool
from sitegen.moves.notation import write_all
from sitegen.moves.simplify import simplify
from sitegen.moves.turning import held, inverse_turns, mirror, permutation_of
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Puzzle, Turn
from sitegen.search.turns import Turns, Word

T = TypeVar("T")


@dataclass(frozen=True, eq=False)
class Difficulty:
    """How far an exercise may be from the sequence as it is known."""

    lead_in: Turns
    longest: int
    """A lead-in has at most so many turns."""
    mirror: bool
    hold: tuple[Turn, ...]
    """Turns of the whole puzzle; each hold is made of them."""


@dataclass(frozen=True, eq=False)
class Variation:
    """`[HOLD LEAD-IN: CORE]`, where the core is a named sequence or its mirror image."""

    puzzle: Puzzle
    tool: Tool
    faces: tuple[str, ...]
    """The two that the mirror exchanges; none where the core is as it is named."""
    plane: Permutation
    """Where that mirror takes the slots."""
    hold: tuple[Turn, ...]
    lead: tuple[Turn, ...]

    @cached_property
    def core(self) -> tuple[Turn, ...]:
        """The turns of the named sequence, or of its mirror image."""
        return self.mirrored(self.tool.turns)

    @cached_property
    def turns(self) -> tuple[Turn, ...]:
        """All of it, the puzzle being held as usual, with nothing left to cancel."""
        return self.led(self.core)

    @cached_property
    def permutation(self) -> Permutation:
        """Where all of it takes what is in each slot."""
        return permutation_of(self.turns, self.puzzle)

    def mirrored(self, turns: tuple[Turn, ...]) -> tuple[Turn, ...]:
        """What becomes of some turns in the mirror, if there is one."""
        return mirror(turns, self.puzzle, self.plane) if self.faces else turns

    def led(self, core: tuple[Turn, ...]) -> tuple[Turn, ...]:
        """What another core comes to behind the same hold and lead-in."""
        led = simplify((*self.lead, *core, *inverse_turns(self.lead)), self.puzzle)
        return simplify(held(led, self.puzzle, permutation_of(self.hold, self.puzzle)), self.puzzle)

    @property
    def before(self) -> tuple[Turn, ...]:
        """What is turned before the core, and undone behind it."""
        return (*self.hold, *self.lead)

    @property
    def core_text(self) -> str:
        """The name, or a mirror image turn by turn."""
        return write_all(self.core, self.puzzle) if self.faces else self.tool.text

    @property
    def text(self) -> str:
        """As moves are written: `[y R: @name]` for a sequence held by y, behind the lead-in R."""
        return f"[{write_all(self.before, self.puzzle)}: {self.core_text}]" if self.before else self.core_text

    @property
    def hardness(self) -> tuple[int, bool, bool, int]:
        """What exercises are sorted by, the easier first."""
        return len(self.lead), bool(self.hold), bool(self.faces), len(self.turns)


def pick(among: Sequence[T], random: Random) -> T:
    """One of several. Of all that Python draws by, only `random()` is promised to stay as it is."""
    return among[int(random.random() * len(among))]


def variations(tools: Sequence[Tool], how: Difficulty, puzzle: Puzzle, random: Random) -> Iterator[Variation]:
    """Without end; every sequence comes up as often as any other. What would change nothing is left out."""
    kept = list(held_by(how.hold, puzzle).values())
    mirrors = list(puzzle.mirrors.items()) if how.mirror else []
    as_named: tuple[tuple[str, ...], Permutation] = ((), puzzle.identity)
    while True:
        for tool in sorted(tools, key=lambda _: random.random()):
            faces, plane = pick(mirrors, random) if mirrors and random.random() < 0.5 else as_named
            lead, hold = _lead_in(how, random), pick(kept, random)
            plain = Variation(puzzle, tool, faces, plane, (), ())
            if faces and plain.turns == simplify(tool.turns, puzzle):
                faces, plane = as_named
            led = Variation(puzzle, tool, faces, plane, (), lead)
            lead = lead if led.permutation != plain.permutation else ()
            whole = Variation(puzzle, tool, faces, plane, hold, lead)
            turned = whole.permutation != Variation(puzzle, tool, faces, plane, (), lead).permutation
            yield whole if turned else Variation(puzzle, tool, faces, plane, (), lead)


def _lead_in(how: Difficulty, random: Random) -> tuple[Turn, ...]:
    """A lead-in of any length allowed, each as likely as any other."""
    word: Word = ()
    for _ in range(pick(range(how.longest + 1), random)):
        if following := how.lead_in.following[word[-1] if word else -1]:
            word = (*word, pick(following, random))
    return how.lead_in.spelled(word)


def set_up(made: Variation, tools: Sequence[Tool], random: Random) -> tuple[Turn, ...]:
    """Turns that lead from the solved puzzle to the position that a variation solves.

    Not the variation backwards, which would tell the answer, if a symmetry takes one of the sequences to
    another way there.
    """
    back = inverse_turns(made.core)
    telling = {simplify(back, made.puzzle), simplify(made.core, made.puzzle)}
    wanted = permutation_of(back, made.puzzle)
    ways = dict.fromkeys(way for tool in tools for way in _images(tool, wanted, made.puzzle))
    others = [way for way in ways if way not in telling]
    return made.led(pick(others, random) if others else back)


def _images(tool: Tool, wanted: Permutation, puzzle: Puzzle) -> Iterator[tuple[Turn, ...]]:
    """What a sequence, forwards and backwards, is after each symmetry, where it does what is wanted."""
    rotations = frozenset(puzzle.rotations)
    for turns in (tool.turns, inverse_turns(tool.turns)):
        does = permutation_of(turns, puzzle)
        for symmetry in puzzle.symmetries:
            back = perm.inverse(symmetry)
            if perm.compose(perm.compose(back, does), symmetry) == wanted:
                turned = symmetry in rotations
                image = held(turns, puzzle, back) if turned else mirror(turns, puzzle, symmetry)
                yield simplify(image, puzzle)
