"""An account of a line of turns, line by line, and as data for programs."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from sitegen.effects.fares import fares, fares_in_words
from sitegen.effects.words import brief
from sitegen.moves.metrics import Length
from sitegen.moves.notation import write_all
from sitegen.reports.effect_report import effect_data
from sitegen.reports.step_report import plainly
from sitegen.reports.stretch_report import told_stretches
from sitegen.search.stretches import Account, Stretch

ALL_CANCELS = "nothing: all of it cancels"
NO_STRUCTURE = "no commutator, conjugate, repeat or product of these that is written with fewer turns"


def structure_in_words(moves: str, account: Account) -> Iterator[str]:
    """A line, what it is, and what it does."""
    yield moves
    told = [form.written for form in account.forms] or [_without_structure(account)]
    yield f"  is        {told[0]}"
    yield from (f"  or        {other}" for other in told[1:])


def account_in_words(moves: str, account: Account, length: Length) -> Iterator[str]:
    """Line by line a line of turns: what it is, stretch by stretch, and what comes of it."""
    yield from structure_in_words(moves, account)
    unchanged = "" if account.effect.changed else "nothing: no piece is changed"
    yield f"  guard     {account.guarded or unchanged or 'nothing: of no outer layer most is kept'}"
    yield f"  watch     {account.watched or unchanged}"
    for number, (stretch, said) in enumerate(zip(account.stretches, told_stretches(account), strict=True), 1):
        fared = _fared(account, number)
        yield f"  step {number:<4} {_named(stretch)}" + (f"  ({fared})" if fared else "")
        yield f"            {plainly(said)}"
    yield from outcome_in_words(account, length)


def outcome_in_words(account: Account, length: Length) -> Iterator[str]:
    """What comes of a line, and how long it is."""
    yield f"  does      {brief(account.effect)}"
    yield f"  length    {length}"


def account_as_data(moves: str, account: Account, length: Length) -> dict[str, Any]:
    """What `account_in_words` tells, for programs."""
    return {
        "puzzle": account.puzzle.name,
        "moves": moves,
        "is": [form.written for form in account.forms],
        "guard": account.guarded,
        "watch": account.watched,
        "steps": [
            {
                "undo" if stretch.undoes else "turn": stretch.form.written,
                "guard": _fared(account, number),
                "say": plainly(said),
            }
            for number, (stretch, said) in enumerate(
                zip(account.stretches, told_stretches(account), strict=True), 1
            )
        ],
        "length": length._asdict(),
        "effect": {"order": account.effect.order, **effect_data(account.effect)},
    }


def _without_structure(account: Account) -> str:
    left = write_all(account.left, account.puzzle)
    if not left:
        return ALL_CANCELS
    shorter = len(account.left) < sum(len(stretch.turns) for stretch in account.stretches)
    return f"{left}, as the rest cancels" if shorter else NO_STRUCTURE


def _named(stretch: Stretch) -> str:
    return f"undo {stretch.form.written}" if stretch.undoes else stretch.form.written


def _fared(account: Account, number: int) -> str:
    """How what is guarded fares after a stretch."""
    return fares_in_words(fares(account.guard, account.seen(number), account.puzzle), account.puzzle)
