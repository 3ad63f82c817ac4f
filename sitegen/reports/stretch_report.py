"""What each stretch of an account is for, as turning shows it: drafts of what an author says of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from sitegen.effects.piece_sets import Pieces
from sitegen.effects.words import listed
from sitegen.moves.notation import write_all
from sitegen.moves.turning import inverse_turns, permutation_of
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Puzzle, Turn
from sitegen.reports.step_report import (
    MOST_NAMED_HERE,
    ToldStep,
    moved_between,
    moves_told,
    names_told,
    told_step,
    ways_told,
)
from sitegen.search.stretches import (
    ASIDE,
    BACK,
    FIRST,
    FIRST_UNDONE,
    SECOND,
    SECOND_UNDONE,
    WITHIN,
    Account,
    Bracket,
    Stretch,
)


@dataclass(frozen=True)
class _Within:
    """A bracket as a step by which something is set aside."""

    puzzle: Puzzle
    bracket: Bracket

    @property
    def aside(self) -> tuple[Turn, ...]:
        return self.bracket.a.turns

    @property
    def aside_written(self) -> str:
        return self.bracket.a.written

    @property
    def back_written(self) -> str:
        return write_all(inverse_turns(self.aside), self.puzzle)

    @property
    def turn_written(self) -> str:
        return self.bracket.b.written

    @property
    def aside_alone(self) -> Permutation:
        return permutation_of(self.aside, self.puzzle)

    @property
    def turn_alone(self) -> Permutation:
        return permutation_of(self.bracket.b.turns, self.puzzle)

    @property
    def permutation(self) -> Permutation:
        return permutation_of(self.bracket.form.turns, self.puzzle)


def told_stretches(account: Account) -> list[str]:
    """A sentence or two for each stretch, with moves set as Markdown sets them."""
    return list(_told(account))


def _told(account: Account) -> Iterator[str]:
    puzzle = account.puzzle
    begun: dict[Bracket, Permutation] = {}
    set_aside: dict[Bracket, ToldStep] = {}
    for number, stretch in enumerate(account.stretches):
        bracket, here = stretch.bracket, account.positions[number]
        if bracket and stretch.role == ASIDE:
            set_aside[bracket] = told_step(_Within(puzzle, bracket), here, account.guard, account.watch)
        if bracket and stretch.role == SECOND:
            begun[bracket] = perm.compose(here, perm.inverse(permutation_of(bracket.a.turns, puzzle)))
        if bracket in set_aside and stretch.role in (ASIDE, WITHIN, BACK):
            told = set_aside[bracket]
            yield {ASIDE: told.why, WITHIN: told.turned, BACK: told.back}[stretch.role]
        elif bracket in begun and stretch.role in (SECOND, FIRST_UNDONE, SECOND_UNDONE):
            yield _in_commutator(account, number, bracket, begun[bracket])
        else:
            yield f"{_subject(stretch)} {_deeds(account, number)}."


def _subject(stretch: Stretch) -> str:
    moves = moves_told(stretch.form.written)
    if stretch.undoes:
        return f"Undoing {moves}"
    return f"Once more {moves}" if stretch.again else f"First {moves}" if stretch.role == FIRST else moves


def _deeds(account: Account, number: int) -> str:
    """What a stretch does to what is watched and guarded: `takes UF to RF, and carries UFL away`."""
    puzzle, identity = account.puzzle, account.puzzle.identity
    before, after = account.positions[number], account.positions[number + 1]
    watched = moved_between(account.watch, before, after, puzzle)
    was_away, is_away = (
        frozenset(moved_between(account.guard, identity, account.seen(each), puzzle))
        for each in (number, number + 1)
    )
    still = was_away & is_away & frozenset(moved_between(account.guard, before, after, puzzle))
    deeds = [f"takes {ways_told(watched, before, after, puzzle)}"] if watched else []
    for pieces, told in (
        (is_away - was_away, "carries {} away"),
        (still, "moves {} on"),
        (was_away - is_away, "brings {} home"),
    ):
        deeds += [told.format(_some(pieces, puzzle))] if pieces else []
    if not deeds:
        return "moves nothing that is followed here"
    return f", and {deeds[-1]}".join([", ".join(deeds[:-1]), ""]) if deeds[1:] else deeds[0]


def _in_commutator(account: Account, number: int, bracket: Bracket, begun: Permutation) -> str:
    """What it is for to do the second, and to undo the first and the second."""
    stretch, puzzle = account.stretches[number], account.puzzle
    does, other = f"{_subject(stretch)} {_deeds(account, number)}", moves_told(bracket.b.written)
    if stretch.role == SECOND:
        return f"Then {other} {_exchanged(account, number, begun)}."
    last = stretch.role == SECOND_UNDONE
    alone = puzzle.identity if last else permutation_of(bracket.b.turns, puzzle)
    here, everywhere = account.positions[number + 1], frozenset(range(len(puzzle.pieces)))
    changed = frozenset(moved_between(everywhere, perm.compose(begun, alone), here, puzzle))
    if len(changed) > MOST_NAMED_HERE or not changed:
        return f"{does}."
    some = names_told(changed, puzzle)
    if not last:
        return f"{does}: all but {some} are where {other} alone takes them."
    whole = "" if begun == puzzle.identity else f" by {moves_told(bracket.form.written)}"
    return f"{does}: {some} {'is' if len(changed) == 1 else 'are'} changed{whole}, and nothing else."


def _exchanged(account: Account, number: int, begun: Permutation) -> str:
    """What a turn brings to the places where something was changed before; without any, what it does."""
    puzzle, pieces = account.puzzle, account.puzzle.pieces
    here, after = account.positions[number], account.positions[number + 1]
    followed = account.watch | account.guard
    changed = moved_between(followed, begun, here, puzzle)
    places = {begun[slot]: index for index in changed for slot in pieces[index].stickers}
    come = [
        f"{pieces[index].name} to where {pieces[places[after[slot]]].name} was"
        for index in sorted(followed)
        for slot in pieces[index].stickers[:1]
        if after[slot] in places and here[slot] not in places and places[after[slot]] != index
    ]
    return f"brings {listed(come)}" if 0 < len(come) <= MOST_NAMED_HERE else _deeds(account, number)


def _some(pieces: Pieces, puzzle: Puzzle) -> str:
    """Pieces by name, or how many they are."""
    if len(pieces) > MOST_NAMED_HERE:
        return f"{len(pieces)} pieces"
    return names_told(pieces, puzzle) if pieces else "nothing"
