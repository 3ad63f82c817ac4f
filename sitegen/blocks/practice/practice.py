"""Practice: exercises made from named sequences with a seed, and their answers.

Knows variations and what may be asked about them, and what gives an answer away; knows nothing of how a block
is written or drawn.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from random import Random

from markupsafe import Markup

from sitegen.blocks.block import CheckedBlock, Turned
from sitegen.blocks.played import tried
from sitegen.blocks.practice.variations import Difficulty, Variation, set_up, variations
from sitegen.effects.effect import Effect
from sitegen.effects.likeness import appearance
from sitegen.figures.trace import MOST_MARKED
from sitegen.figures.views import layout
from sitegen.methods.tools import Tool
from sitegen.moves.notation import write_all
from sitegen.moves.parse import parse
from sitegen.moves.references import REFERENCE
from sitegen.moves.tree import Commutator, Node, Reference, Repeat, Series
from sitegen.moves.turning import expand, inverse_turns, permutation, permutation_of
from sitegen.problems import written
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Puzzle, Turn

FEW_TRIES, TRIES = 200, 2000
"""So often a variation is drawn before others will do, and at most."""
VARIANTS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
"""The same sheet for other tables: other exercises of the same kind."""

Halves = tuple[tuple[Turn, ...], tuple[Turn, ...]]


@dataclass(frozen=True)
class Ask:
    """What an exercise asks for."""

    name: str
    prompt: str
    figure: str = ""
    """What is drawn of it: the puzzle before the moves that solve it, solved, or after the moves; or nothing.

    Every piece that is changed must be seen in it.
    """
    marked: bool = False
    """Whether there must be an arrow or a mark for each."""
    halves: bool = False
    """Whether it is about commutators alone."""
    turned: bool = False
    """Whether it is answered by turns that leave the puzzle solved, so that a page lets it be tried."""


BEFORE, SOLVED, AFTER = "before", "solved", "after"
SOLVE = Ask("solve", "Set it up and put it right.", figure=BEFORE, turned=True)
FILL_IN: Mapping[str, Ask] = {
    "arrows": Ask(
        "arrows", "Draw an arrow or a mark for each piece that changes.", figure=SOLVED, marked=True
    ),
    "effect": Ask("effect", "Say in words what these moves do.", figure=AFTER),
    "undoing": Ask("undoing", "Write down the moves that undo these.", turned=True),
    "commutator": Ask("commutator", "Finish the commutator.", halves=True),
}
"""What there is to fill in, by the words with which an author asks for it."""


@dataclass(frozen=True, eq=False)
class Exercise:
    """One exercise: what is asked, about which moves, and what sets it up."""

    number: int
    ask: Ask
    made: Variation
    set_up_turns: tuple[Turn, ...]
    """Turns to the position that it is about, from the solved puzzle."""
    halves: Halves | None

    @property
    def name(self) -> str:
        """The name of the sequence that it is made from."""
        return str(REFERENCE.findall(self.made.tool.text)[0])

    @cached_property
    def effect(self) -> Effect:
        return Effect(self.made.puzzle, self.made.permutation)

    @property
    def set_up(self) -> str:
        return write_all(self.set_up_turns, self.made.puzzle)

    @property
    def moves(self) -> str:
        return write_all(self.made.turns, self.made.puzzle)

    @property
    def undoing(self) -> str:
        return write_all(inverse_turns(self.made.turns), self.made.puzzle)

    @property
    def position(self) -> Permutation:
        """The position that the moves solve."""
        return perm.inverse(self.made.permutation)

    @property
    def begin(self) -> Permutation:
        """The position before its moves are done."""
        return self.position if self.ask.figure == BEFORE else self.made.puzzle.identity

    @property
    def drawn(self) -> Permutation | None:
        """The position that it shows, if any."""
        shown = {BEFORE: self.position, SOLVED: self.made.puzzle.identity, AFTER: self.made.permutation}
        return shown.get(self.ask.figure)

    def tried(self, hints: bool) -> Markup:
        """What is to be solved or undone, as a page lets it be tried; nothing for what is only written.

        With hints its answer stands on the page.
        """
        if not self.ask.turned:
            return Markup()
        undone = self.ask.figure != BEFORE
        begin = self.made.permutation if undone else self.position
        core = inverse_turns(self.made.core) if undone else self.made.core
        steps = (self.made.before, core, inverse_turns(self.made.before)) if self.made.before else (core,)
        return tried(self.made.puzzle, begin, steps, hinting=hints)

    @property
    def given(self) -> tuple[str, ...]:
        """Of a commutator both halves, and what is still to be done."""
        if self.halves is None:
            return ()
        undone = [inverse_turns(half) for half in self.halves]
        return tuple(write_all(turns, self.made.puzzle) for turns in (*self.halves, *undone))

    @cached_property
    def about(self) -> frozenset[Permutation]:
        """What its moves do and what undoes them, as far as can be seen: all that its figures show."""
        return _about(self.made)

    @cached_property
    def _shown(self) -> frozenset[Permutation]:
        """What any two or more of the turns come to that stand one behind the other in what it shows."""
        shown = self.set_up_turns if self.ask.figure == BEFORE else self.made.turns
        if self.halves is not None:
            shown = (*self.halves[0], *self.halves[1])
        return frozenset(_runs(shown, self.made.puzzle))

    @cached_property
    def _sought(self) -> frozenset[Permutation]:
        """What turns come to that are to be found or written down."""
        if self.halves is not None:
            a, b = self.halves
            return frozenset(
                [
                    self.made.permutation,
                    permutation_of((*inverse_turns(a), *inverse_turns(b)), self.made.puzzle),
                ]
            )
        if self.ask.figure == BEFORE:
            return frozenset([self.made.permutation])
        return frozenset() if self.ask.figure else frozenset([self.position])

    def gives_away(self, other: Exercise) -> bool:
        """Whether the answer to another can be read off this one.

        It can where both are about the same position, or the one about what the other undoes, since the moves
        or the figure of one then answer the other; and where the turns shown here contain those to be written
        there, or others that come to the same.
        """
        return bool(self.about & other.about or self._shown & other._sought)

    @property
    def parts(self) -> Iterator[tuple[str, Permutation]]:
        """What is done step by step to a position that is to be solved, and the position after it."""
        if self.ask.figure != BEFORE:
            return
        at, puzzle = self.position, self.made.puzzle
        before, core = write_all(self.made.before, puzzle), write_all(self.made.core, puzzle)
        after = write_all(inverse_turns(self.made.before), puzzle)
        for shown, turns in ((before, before), (self.made.core_text, core), (after, after)):
            if turns:
                at = perm.compose(at, permutation(parse(written(turns), puzzle), puzzle))
                yield shown, at

    @property
    def true(self) -> bool:
        """Whether the moves, read as printed, solve what was set up, and the undoing undoes them."""
        puzzle = self.made.puzzle
        first, moves, undoing = (
            permutation(parse(written(text), puzzle), puzzle)
            for text in (self.set_up, self.moves, self.undoing)
        )
        home = puzzle.identity
        return perm.compose(first, moves) == perm.compose(moves, undoing) == home


@dataclass(frozen=True, eq=False, kw_only=True)
class Practice(CheckedBlock):
    """Exercises from named sequences, always the same for a seed."""

    ANCHOR = "practice"
    LINK = "practice"

    tools: tuple[Tool, ...]
    commutators: Mapping[str, Halves]
    """The halves of those that are commutators, by the text of each tool."""
    how: Difficulty
    asks: tuple[Ask, ...]
    count: int
    seed: int
    earlier: tuple[Practice, ...] = ()
    """The others that stand before it on its page."""
    tries: int = field(default_factory=lambda: TRIES)
    """So often something is drawn for an exercise before it is said that there is no other."""

    @property
    def turned(self) -> Turned:
        return Turned(positions=len(self.exercises()))

    def wanted(self, ask: Ask) -> int:
        """How many exercises of a kind there are to be."""
        return len(range(self.asks.index(ask), self.count, len(self.asks)))

    def exercises(self, variant: str = "") -> tuple[Exercise, ...]:
        """Always the same for a variant, kind by kind, the easier first; numbered through a page.

        Fewer than wanted where no more can be made.
        """
        drawn = sorted(self._drawn(variant), key=lambda each: (self.asks.index(each.ask), each.made.hardness))
        before = sum(len(practice._drawn(variant)) for practice in self.earlier)
        return tuple(replace(each, number=number) for number, each in enumerate(drawn, before + 1))

    def _drawn(self, variant: str) -> list[Exercise]:
        """One kind after another, none of which gives away another on the page, nor is given away.

        None is about what was asked in an earlier variant either, as long as there are others; and each is
        about the same sequence as its like on the sheet itself, with as long a lead-in, as far as that goes.
        """
        if variant not in self._known:
            likes = [each.made for each in self._drawn("")] if variant else []
            made = variations(self.tools, self.how, self.puzzle, Random(f"{self.seed} {variant}".strip()))
            asked = {each for other in _before(variant) for one in self._drawn(other) for each in one.about}
            drawn: list[Exercise] = []
            here = [each for practice in self.earlier for each in practice._drawn(variant)]
            fresh, left = set(self.asks), set(self.asks)
            for number in range(self.count):
                ask, random = self.asks[number % len(self.asks)], Random(f"{self.seed} {variant} {number}")
                others, like = [*here, *drawn], likes[number] if number < len(likes) else None
                found = None
                if ask in fresh:
                    found = like and self._next(made, ask, others, asked, FEW_TRIES, random, like)
                    found = found or self._next(made, ask, others, asked, FEW_TRIES, random)
                if not found:
                    fresh.discard(ask)
                    found = self._next(made, ask, others, set(), self.tries, random) if ask in left else None
                if not found:
                    left.discard(ask)
                drawn += [found] if found else []
            self._known[variant] = drawn
        return self._known[variant]

    @cached_property
    def _known(self) -> dict[str, list[Exercise]]:
        """What was drawn for each variant so far."""
        return {}

    def _next(
        self,
        made: Iterator[Variation],
        ask: Ask,
        others: list[Exercise],
        asked: set[Permutation],
        tries: int,
        random: Random,
        like: Variation | None = None,
    ) -> Exercise | None:
        """The next that goes with others on a page and is about nothing that was asked, if one comes soon.

        It is as hard as one that it is to be `like`.
        """
        taken = asked.union(*(each.about for each in others))
        for _ in range(tries):
            suited = self._suited(next(made), ask)
            if like and suited and (suited.tool, len(suited.lead)) != (like.tool, len(like.lead)):
                continue
            if suited and not taken & _about(suited):  # this is soon known, without a way to set it up
                found = self._exercise(ask, suited, random)
                if not any(found.gives_away(each) or each.gives_away(found) for each in others):
                    return found
        return None

    def repeated(self, variant: str) -> int:
        """How many exercises of a variant are about what was asked on the sheet or in an earlier one."""
        before = {each for other in _before(variant) for one in self._drawn(other) for each in one.about}
        return sum(bool(before & each.about) for each in self._drawn(variant))

    def reached(self) -> int:
        """The most exercises that could be asked for, up to as many as are wanted."""
        drawn = self._drawn("")
        made = {ask: sum(each.ask is ask for each in drawn) for ask in self.asks}
        first_missing = (
            at + made[ask] * len(self.asks)
            for at, ask in enumerate(self.asks)
            if made[ask] < self.wanted(ask)
        )
        return min(first_missing, default=self.count)

    def unsuited(self, ask: Ask) -> Tool | None:
        """A sequence that this cannot be asked about, however it is varied."""
        if not ask.figure:
            return None
        for tool in self.tools:
            made = variations([tool], self.how, self.puzzle, Random(0))
            if not any(self._suited(next(made), ask) for _ in range(FEW_TRIES)):
                return tool
        return None

    def _suited(self, made: Variation, ask: Ask) -> Variation | None:
        """The variation, if this can be asked about it."""
        if ask.halves:
            made = Variation(made.puzzle, made.tool, made.faces, made.plane, made.hold, ())
            return made if made.tool.text in self.commutators else None
        changed = Effect(self.puzzle, made.permutation).changed
        if not changed or (ask.marked and len(changed) > MOST_MARKED):
            return None
        seen = self._seen
        shown = all(any(slot in seen for slot in piece.stickers) for piece in changed)
        return made if shown or not ask.figure else None

    @property
    def shows_all(self) -> bool:
        """Whether its views show every piece."""
        return all(self._seen.intersection(piece.stickers) for piece in self.puzzle.pieces)

    @cached_property
    def _seen(self) -> frozenset[int]:
        return frozenset(slot for view in self.shown.views for slot in layout(self.puzzle, view).shapes)

    def _exercise(self, ask: Ask, made: Variation, random: Random) -> Exercise:
        halves = self.commutators[made.tool.text] if ask.halves else None
        led = [made.led(made.mirrored(half)) for half in halves or ()]
        return Exercise(
            number=0,
            ask=ask,
            made=made,
            set_up_turns=set_up(made, self.tools, random),
            halves=(led[0], led[1]) if led else None,
        )


def _about(made: Variation) -> frozenset[Permutation]:
    """Something that variations share when what they do, or undo, looks the same."""
    both = (made.permutation, perm.inverse(made.permutation))
    return frozenset(appearance(made.puzzle, each) for each in both)


def _runs(turns: tuple[Turn, ...], puzzle: Puzzle) -> Iterator[Permutation]:
    """What each stretch of two or more turns comes to; a turn alone is no answer to anything."""
    for start, first in enumerate(turns):
        at = puzzle.permutation(first)
        for turn in turns[start + 1 :]:
            at = perm.compose(at, puzzle.permutation(turn))
            yield at


def _before(variant: str) -> tuple[str, ...]:
    """The sheet itself and the variants before this one."""
    return ("", *VARIANTS[: VARIANTS.index(variant)]) if variant else ()


def halves(node: Node) -> Halves | None:
    """A and B of moves that are [A, B], or the undoing of [B, A], and nothing else."""
    match node:
        case Commutator(a=a, b=b):
            return expand(a), expand(b)
        case Reference(body=body) if body is not None:
            return halves(body)
        case Series(items=(only,)):
            return halves(only)
        case Repeat(body=body, count=count) if abs(count) == 1:
            found = halves(body)
            return found[::count] if found else None  # type: ignore[return-value]
    return None
