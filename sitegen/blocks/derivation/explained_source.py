"""A line of turns as a block `derivation`: a step for each stretch, with drafts of what to say."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence

from sitegen.blocks.derivation.derivation_source import (
    EXPLAINED,
    fenced,
    free_for_derivations,
    set_aside_in_words,
)
from sitegen.blocks.source import free, name_of, title_of
from sitegen.effects.claims.claims_of_effect import claims_of
from sitegen.effects.fares import HOME, fares
from sitegen.reports.stretch_report import told_stretches
from sitegen.search.stretches import ASIDE, FIRST, SECOND, Account, Stretch

NOTHING = "does nothing"
NAMES = {ASIDE: "aside", FIRST: "first part", SECOND: "second part"}
"""What a stretch is called, by what it is in its bracket."""


def explained_blocks(accounts: Iterable[Account], taken: Collection[str] = ()) -> Iterator[str]:
    """A block for each line, none with a name that is taken."""
    used = set(taken)
    for account in accounts:
        turns = sum(len(stretch.turns) for stretch in account.stretches)
        claims = claims_of(account.effect) if account.effect.changed else [NOTHING]
        name = free_for_derivations(name_of(claims[0]) if claims else f"line-of-{turns}-turns", used)
        used.add(name)
        title = title_of(claims[0]) if claims else f"A line of {turns} turns"
        yield _block(account, name, title, claims)


def _block(account: Account, name: str, title: str, claims: Sequence[str]) -> str:
    """What it names does what the line does."""
    lines = [f"```derivation {name}{EXPLAINED}", f"title: {title}"]
    lines += [f"guard: {account.guarded}"] if account.guarded else []
    lines += [f"watch: {account.watched}"] if account.watched else []
    lines += [*["marked: yes"] * account.marked, f"names: {name}"]
    lines += ["claims:", *(f"- {claim}" for claim in claims)] if claims else []
    return fenced([*lines, "steps:", *_steps(account)])


def _steps(account: Account) -> Iterator[str]:
    called = dict(_names(account))
    for number, (stretch, said) in enumerate(zip(account.stretches, told_stretches(account), strict=True), 1):
        if stretch.undoes:
            yield f"- undo: {called[stretch.undoes]}"
        else:
            yield f"- turn: {stretch.form.written}"
        if stretch in called:
            yield f"  as: {called[stretch]}"
        if stretch.role == ASIDE and (aside := _set_aside(account, stretch, number)):
            yield f"  set aside: {aside}"
        if _home(account, number):
            yield "  guard: home"
        yield f"  say: {said}"


def _names(account: Account) -> Iterator[tuple[Stretch, str]]:
    """What the stretches are called that are undone later, which readers see as well."""
    used = set[str]()
    for undone in dict.fromkeys(stretch.undoes for stretch in account.stretches):
        if undone:
            name = free(NAMES[undone.role], used)
            used.add(name)
            yield undone, name


def _home(account: Account, number: int) -> bool:
    """Whether something is guarded, and all of it is home after so many steps."""
    return {*fares(account.guard, account.seen(number), account.puzzle).values()} == {HOME}


def _set_aside(account: Account, stretch: Stretch, number: int) -> str:
    """What a stretch moves of the guard, and no turn of the next one then moves."""
    puzzle, following = account.puzzle, account.stretches[number]
    before, after = account.positions[number - 1], account.positions[number]
    touching = [puzzle.permutation(turn) for turn in following.turns]
    return set_aside_in_words(
        frozenset(
            index
            for index in account.guard
            for slots in [puzzle.pieces[index].stickers]
            if any(before[slot] != after[slot] for slot in slots)
            and all(turn[after[slot]] == after[slot] for turn in touching for slot in slots)
        ),
        puzzle,
    )
