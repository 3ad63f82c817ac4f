"""A line of turns divided at the places where most of a layer is home: what derivations are told by.

Knows forms, positions, and what is guarded and watched; knows nothing of words.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import accumulate

from sitegen.effects.effect import Effect
from sitegen.effects.fares import HOME, state
from sitegen.effects.piece_names import part_of, shortest_text
from sitegen.effects.piece_sets import Part, Pieces
from sitegen.effects.words import listed
from sitegen.moves.forms import COMMUTATOR, CONJUGATE, PRODUCT, REPEAT, TURNS, Form, as_they_stand, undone
from sitegen.moves.notation import outer_layers, write
from sitegen.moves.simplify import simplify
from sitegen.moves.turning import inverse_turns, permutation_of
from sitegen.problems import Problem
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Puzzle, Turn

MOST_STRETCHES = 30
"""Into more than these no line is divided."""
MOST_WATCHED = 3
"""More than these are not followed unless it is asked."""

ALONE, ASIDE, WITHIN, BACK = "alone", "aside", "within", "back"
FIRST, SECOND, FIRST_UNDONE, SECOND_UNDONE = "first", "second", "first undone", "second undone"
"""What a stretch is in the bracket that it stands in."""


@dataclass(frozen=True, eq=False)
class Bracket:
    """A conjugate or a commutator that is told part by part."""

    form: Form

    @property
    def a(self) -> Form:
        return self.form.parts[0]

    @property
    def b(self) -> Form:
        return self.form.parts[1]


@dataclass(frozen=True, eq=False)
class Stretch:
    """What is told as one step; equal only to itself, so that another one can undo it."""

    form: Form
    turns: tuple[Turn, ...]
    role: str = ALONE
    bracket: Bracket | None = None
    undoes: Stretch | None = None
    again: bool = False
    """Whether it is told before, and only done once more."""


@dataclass(frozen=True, eq=False)
class Account:
    """A line of turns as it is told: stretch by stretch, with pieces that are guarded and watched."""

    puzzle: Puzzle
    marked: bool
    forms: tuple[Form, ...]
    """What the line is, the simplest first; nothing where no structure was found."""
    guard: Pieces
    watch: Pieces
    guarded: str
    """As an author may write it; empty for nothing."""
    watched: str
    stretches: tuple[Stretch, ...]

    @cached_property
    def positions(self) -> tuple[Permutation, ...]:
        """Before the first stretch, and after each."""
        done = (permutation_of(stretch.turns, self.puzzle) for stretch in self.stretches)
        return tuple(accumulate(done, perm.compose, initial=self.puzzle.identity))

    @property
    def effect(self) -> Effect:
        return Effect(self.puzzle, self.positions[-1], self.marked)

    @property
    def left(self) -> tuple[Turn, ...]:
        """What does not cancel."""
        return simplify((turn for stretch in self.stretches for turn in stretch.turns), self.puzzle)

    def seen(self, number: int) -> Permutation:
        """The position before a stretch, as far as it can be told."""
        return Effect(self.puzzle, self.positions[number], self.marked).seen


def account_for(
    turns: Sequence[Turn],
    forms: Sequence[Form],
    puzzle: Puzzle,
    marked: bool = False,
    guard: Part | None = None,
    watch: Part | None = None,
) -> Account:
    """Divides a line by the first of its forms, each of which is turned, and has to do what the line does.

    Raises Problem where what is to be guarded is not kept, or what is watched is guarded.

    Where nothing is said, one layer is kept in mind: its pieces that change are watched, the others guarded.
    """
    effect = Effect(puzzle, permutation_of(tuple(turns), puzzle), marked)
    for form in forms:
        if permutation_of(form.turns, puzzle) != effect.permutation:
            raise AssertionError(f"{form.written} does not do what it was made of")
    layer = _layer(effect, _turned_alone(forms[0]) if forms else None)
    changed = frozenset(piece.index for piece in effect.changed)
    around = puzzle.pieces_in(layer) if layer else frozenset[int]()
    watch = watch or part_of(frozenset(sorted(around & changed or changed)[:MOST_WATCHED]), puzzle)
    guard = guard or part_of(around - changed - watch[1], puzzle)
    _check(guard, watch, changed, puzzle)
    told = Account(
        puzzle=puzzle,
        marked=marked,
        forms=tuple(forms),
        guard=guard[1],
        watch=watch[1],
        guarded=shortest_text(guard, puzzle) if guard[1] else "",
        watched=shortest_text(watch, puzzle) if watch[1] else "",
        stretches=(),
    )
    calm = _Calm(told, layer if guard[1] | watch[1] <= around else None)
    stretches = (
        _divided(forms[0], calm)
        if forms
        else [Stretch(as_they_stand(write(turn, puzzle), (turn,)), (turn,)) for turn in turns]
    )
    return replace(told, stretches=tuple(stretches))


def _layer(effect: Effect, turned: str | None) -> Turn | None:
    """Of the outer layers mostly kept the one that a commutator turns, or that has all that is changed.

    Else one that is kept whole, if what is changed is all in another; else the one with the least of it.
    """
    changed = {piece.index for piece in effect.changed}
    found = {turn: effect.puzzle.pieces_in(turn) for turn in outer_layers(effect.puzzle).values()}
    kept = {turn: layer for turn, layer in found.items() if 2 * len(layer & changed) < len(layer)}
    beyond = any(changed <= layer for turn, layer in found.items() if turn not in kept)

    def order(turn: Turn) -> tuple[bool, bool, bool, int]:
        here = found[turn] & changed
        return turn.axis != turned or not here, bool(here) == beyond, here < changed, len(here)

    return min(kept, key=order, default=None) if changed else None


def _turned_alone(form: Form) -> str | None:
    """The axis of the outer layer that one part of a commutator turns, the second before the first."""
    parts = reversed(form.parts) if form.kind == COMMUTATOR else ()
    alone = (part.turns[0] for part in parts if part.kind == TURNS and part.count == 1)
    return next((turn.axis for turn in alone if turn.first == 1), None)


def _check(guard: Part, watch: Part, changed: Pieces, puzzle: Puzzle) -> None:
    for part, others, what in (
        (guard, changed, "not home at the end"),
        (watch, guard[1], "guarded, and what is watched is to change"),
    ):
        if wrong := part[1] & others:
            names = listed([puzzle.pieces[index].name for index in sorted(wrong)])
            verb = "is" if len(wrong) == 1 else "are"
            left = shortest_text(part_of(part[1] - wrong, puzzle), puzzle)
            hint = f"say {left} instead" if left else "leave it out"
            raise Problem(f"{names} {verb} {what}", part[0], hint)


@dataclass(frozen=True)
class _Calm:
    """Whether most of what is kept in mind is home, if only after its layer is turned back."""

    account: Account
    layer: Turn | None

    @cached_property
    def turnings(self) -> tuple[Permutation, ...]:
        puzzle, layer = self.account.puzzle, self.layer
        amounts = range(puzzle.full_turn) if layer else ()
        turns = [puzzle.permutation(layer.by(amount)) for amount in amounts if layer]
        return tuple(turns) or (puzzle.identity,)

    def at(self, position: Permutation) -> bool:
        told = self.account
        kept = told.puzzle.pieces_in(self.layer) if self.layer else told.guard | told.watch
        for turning in self.turnings:
            seen = Effect(told.puzzle, perm.compose(position, turning), told.marked).seen
            if 2 * sum(state(told.puzzle.pieces[index], seen) == HOME for index in kept) > len(kept):
                return True
        return False

    def broken(self, stretches: Sequence[Stretch]) -> int:
        """At how many places between stretches most is not home."""
        done = (permutation_of(stretch.turns, self.account.puzzle) for stretch in stretches[:-1])
        return sum(not self.at(position) for position in accumulate(done, perm.compose))


def _divided(form: Form, calm: _Calm) -> list[Stretch]:
    """A form part by part; a part of a part is told by itself where most is home in between."""
    told = [_whole(form)]
    if form.kind in (PRODUCT, CONJUGATE, COMMUTATOR):
        told = _opened(told, told[0])
    while finer := next(_finer(told, calm), None):
        told = finer
    return told


def _finer(stretches: list[Stretch], calm: _Calm) -> Iterator[list[Stretch]]:
    """The same with one stretch in parts, where this makes no place in which most is not home."""
    broken = calm.broken(stretches)
    for stretch in stretches:
        if stretch.form.kind != TURNS and not stretch.undoes and not stretch.again:
            opened = _opened(stretches, stretch)
            if len(opened) <= MOST_STRETCHES and calm.broken(opened) <= broken:
                yield opened


def _opened(stretches: list[Stretch], one: Stretch) -> list[Stretch]:
    """With the parts of one stretch in its place; what undoes it stays one, and undoes all of them."""
    parts = list(_parts(one.form))
    found: list[Stretch] = []
    for stretch in stretches:
        if stretch is one:
            found += parts
        elif stretch.undoes is one:
            found.append(replace(stretch, form=undone(stretch.form), undoes=None))
        else:
            found.append(stretch)
    return found


def _parts(form: Form) -> Iterator[Stretch]:
    if form.kind == PRODUCT:
        yield from (_whole(part) for part in form.parts)
    elif form.kind == REPEAT:
        yield from (replace(_whole(form.parts[0]), again=number > 0) for number in range(form.times))
    else:
        bracket = Bracket(form)
        roles = (ASIDE, WITHIN) if form.kind == CONJUGATE else (FIRST, SECOND)
        first, then = (
            Stretch(part, part.turns, role, bracket) for part, role in zip(form.parts, roles, strict=True)
        )
        yield from (first, then)
        yield _undoing(first, BACK if form.kind == CONJUGATE else FIRST_UNDONE)
        if form.kind == COMMUTATOR:
            yield _undoing(then, SECOND_UNDONE)


def _whole(form: Form) -> Stretch:
    return Stretch(form, form.turns)


def _undoing(stretch: Stretch, role: str) -> Stretch:
    return Stretch(stretch.form, inverse_turns(stretch.turns), role, stretch.bracket, stretch)
