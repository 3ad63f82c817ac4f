"""Practice: exercises made from named sequences with a seed, and their answers.

Knows variations and what may be asked about them; knows nothing of how a block is written or drawn.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from random import Random

from sitegen.bench.practice import Difficulty, Variation, set_up, variations
from sitegen.bench.tools import Tool
from sitegen.effects.effect import Effect
from sitegen.effects.likeness import appearance
from sitegen.figures.trace import MOST_MARKED
from sitegen.figures.views import layout
from sitegen.guide.block import CheckedBlock
from sitegen.guide.page import answers_of
from sitegen.moves.notation import write_all
from sitegen.moves.parse import parse
from sitegen.moves.references import REFERENCE
from sitegen.moves.tree import Commutator, Node, Reference, Repeat, Series
from sitegen.moves.turning import expand, inverse, permutation
from sitegen.problems import written
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Turn

FEW_TRIES, TRIES = 200, 2000
"""So often a variation is drawn before others will do, and before it is said that there are no more."""
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


BEFORE, SOLVED, AFTER = "before", "solved", "after"
SOLVE = Ask("solve", "Set it up and put it right.", figure=BEFORE)
FILL_IN: Mapping[str, Ask] = {
    "arrows": Ask(
        "arrows", "Draw an arrow or a mark for each piece that changes.", figure=SOLVED, marked=True
    ),
    "effect": Ask("effect", "Say in words what these moves do.", figure=AFTER),
    "undoing": Ask("undoing", "Write down the moves that undo these."),
    "commutator": Ask("commutator", "Finish the commutator.", halves=True),
}
"""What there is to fill in, by the words with which an author asks for it."""


@dataclass(frozen=True, eq=False)
class Exercise:
    number: int
    ask: Ask
    made: Variation
    set_up: str
    """Moves to the position that it is about, from the solved puzzle."""
    halves: Halves | None

    @property
    def name(self) -> str:
        """Of the sequence that it is made from."""
        return str(REFERENCE.findall(self.made.tool.text)[0])

    @cached_property
    def effect(self) -> Effect:
        return Effect(self.made.puzzle, self.made.permutation)

    @property
    def moves(self) -> str:
        return write_all(self.made.turns, self.made.puzzle)

    @property
    def undoing(self) -> str:
        return write_all(inverse(self.made.turns), self.made.puzzle)

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

    @property
    def given(self) -> tuple[str, ...]:
        """Of a commutator both halves, and what is still to be done."""
        if self.halves is None:
            return ()
        undone = [inverse(half) for half in self.halves]
        return tuple(write_all(turns, self.made.puzzle) for turns in (*self.halves, *undone))

    @property
    def parts(self) -> Iterator[tuple[str, Permutation]]:
        """What is done step by step to a position that is to be solved, and the position after it."""
        if self.ask.figure != BEFORE:
            return
        at, puzzle = self.position, self.made.puzzle
        before, core = write_all(self.made.before, puzzle), write_all(self.made.core, puzzle)
        after = write_all(inverse(self.made.before), puzzle)
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
    KIND = "practice"

    tools: tuple[Tool, ...]
    commutators: Mapping[str, Halves]
    """The halves of those that are commutators, by the text of each tool."""
    how: Difficulty
    asks: tuple[Ask, ...]
    count: int
    seed: int

    @property
    def answers_url(self) -> str:
        """The path of the published answers."""
        return answers_of(self.page)

    def wanted(self, ask: Ask) -> int:
        """How many exercises of a kind there are to be."""
        return len(range(self.asks.index(ask), self.count, len(self.asks)))

    def exercises(self, variant: str = "") -> tuple[Exercise, ...]:
        """Always the same for a variant, kind by kind, the easier first.

        Fewer than wanted where no more can be made.
        """
        kinds = list(self.asks)
        drawn = list(enumerate(self._drawn(variant)))
        drawn.sort(key=lambda each: (kinds.index(each[1][0]), each[1][1].hardness))
        return tuple(
            self._exercise(number, ask, made, Random(f"{self.seed} {variant} {draw}"))
            for number, (draw, (ask, made)) in enumerate(drawn, 1)
        )

    def _drawn(self, variant: str) -> list[tuple[Ask, Variation]]:
        """One kind after another, no two of a kind with the same effect.

        Nor with that of any other here, or in an earlier variant, as long as there are others.
        """
        if variant not in self._known:
            made = variations(self.tools, self.how, self.puzzle, Random(f"{self.seed} {variant}".strip()))
            elsewhere = {_look(each) for other in _before(variant) for _, each in self._drawn(other)}
            drawn: list[tuple[Ask, Variation]] = []
            fresh, left = set(self.asks), set(self.asks)
            for number in range(self.count):
                ask = self.asks[number % len(self.asks)]
                here = elsewhere | {_look(each) for _, each in drawn}
                same = {_look(each) for kind, each in drawn if kind is ask}
                found = self._next(made, ask, here, FEW_TRIES) if ask in fresh else None
                if not found:
                    fresh.discard(ask)
                    found = self._next(made, ask, same, TRIES) if ask in left else None
                if not found:
                    left.discard(ask)
                drawn += [(ask, found)] if found else []
            self._known[variant] = drawn
        return self._known[variant]

    @cached_property
    def _known(self) -> dict[str, list[tuple[Ask, Variation]]]:
        """What was drawn for each variant so far."""
        return {}

    def _next(
        self, made: Iterator[Variation], ask: Ask, taken: set[Permutation], tries: int
    ) -> Variation | None:
        """The next that can be asked about and does none of what is taken, if one comes soon enough."""
        drawn = (self._suited(next(made), ask) for _ in range(tries))
        return next((each for each in drawn if each and _look(each) not in taken), None)

    def unsuited(self, ask: Ask) -> Tool | None:
        """A sequence that this cannot be asked about, however it is varied."""
        if not ask.figure:
            return None
        for tool in self.tools:
            made = variations([tool], self.how, self.puzzle, Random(0))
            if self._next(made, ask, set(), FEW_TRIES) is None:
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

    @cached_property
    def _seen(self) -> frozenset[int]:
        return frozenset(slot for view in self.shown.views for slot in layout(self.puzzle, view).shapes)

    def _exercise(self, number: int, ask: Ask, made: Variation, random: Random) -> Exercise:
        halves = self.commutators[made.tool.text] if ask.halves else None
        led = [made.led(made.mirrored(half)) for half in halves or ()]
        return Exercise(
            number=number,
            ask=ask,
            made=made,
            set_up=write_all(set_up(made, self.tools, random), self.puzzle),
            halves=(led[0], led[1]) if led else None,
        )


def _look(made: Variation) -> Permutation:
    """Something that variations share just when what they do looks the same."""
    return appearance(made.puzzle, made.permutation)


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
