"""What a search has found, told and as data: which sequences, how many, and how far that is certain."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from sitegen.effects.effect import Effect
from sitegen.effects.words import brief
from sitegen.puzzles.puzzle import Turn
from sitegen.reports.effect_report import effect_data
from sitegen.search.commutators import commutators
from sitegen.search.find import IN_VAIN, NEVER, OUT_OF_MEMORY, OUT_OF_TIME, SHORTEST, Answer, Tally
from sitegen.search.query import Query


def account(tally: Tally, shown: int, sought: Query) -> str:
    """“8 sequences of 8 OBTM; none is shorter.”"""
    unit = sought.turns.metric.upper()
    parts = [
        f"{number:,} {'sequence' if number == 1 else 'sequences'} of {length} {unit}"
        for length, number in tally.counts.items()
        if number
    ]
    sure = f"up to {tally.searched} {unit}"
    if tally.shortest is not None:
        parts.append("none is shorter" if tally.ended == SHORTEST else f"none is shorter; searched {sure}")
    elif tally.ended == NEVER:
        parts.append("no sequence of these turns does this, however long")
    elif tally.searched >= 0:
        parts.append(f"no sequence of {sure} does this")
    if end := _end(tally, unit, sought):
        parts.append(end)
    if tally.total > shown:
        parts.append("one of them is shown" if shown == 1 else f"the first {shown} are shown")
    return "; ".join(parts) + "."


def _end(tally: Tally, unit: str, sought: Query) -> str:
    """Why no longer ones were searched for, if they should have been; else nothing."""
    after = f"{tally.searched + 1} {unit}"
    some = f", {tally.partly:,} found so far" if tally.partly else ""
    return {
        OUT_OF_MEMORY: f"{after} was not searched: it takes more memory than is allowed",
        IN_VAIN: f"{after} was not searched to its end: too many were turned in vain; {sought.unsaid}{some}",
        OUT_OF_TIME: f"{after} was not searched to its end: the time is over{some}",
        "": f"stopped while searching {after}{some}",
    }.get(tally.ended, "")


def answer_in_words(answer: Answer, then: Turn | None) -> Iterator[str]:
    """Line by line an answer, with what becomes of it together with turns of a layer."""
    yield answer.moves or "no turn at all"
    yield f"  does      {brief(answer.effect)}"
    yield f"  length    {answer.length}"
    if then and answer.turns:
        yield from commutators_in_words(answer.moves, answer.effect, then)


def commutators_in_words(moves: str, effect: Effect, then: Turn) -> Iterator[str]:
    """Line by line what becomes of moves together with turns of a layer."""
    for each in commutators(moves, effect, then):
        yield f"  [A, {each.turn}]".ljust(12) + brief(each.effect)


def answer_as_data(answer: Answer, then: Turn | None) -> dict[str, Any]:
    """What `answer_in_words` tells, for programs."""
    data: dict[str, Any] = {
        "moves": answer.moves,
        "length": answer.length._asdict(),
        "effect": _effect(answer.effect),
    }
    if then:
        data |= commutators_as_data(answer.moves, answer.effect, then) if answer.turns else {"then": []}
    return data


def commutators_as_data(moves: str, effect: Effect, then: Turn) -> dict[str, Any]:
    """What `commutators_in_words` tells, for programs."""
    found = commutators(moves, effect, then)
    return {"then": [{"moves": each.moves, "effect": _effect(each.effect)} for each in found]}


def _effect(effect: Effect) -> dict[str, Any]:
    return {"order": effect.order, **effect_data(effect)}
