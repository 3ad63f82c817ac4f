"""What a search has found, told and as data: which sequences, how many, and how far that is certain."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict
from typing import Any

from sitegen.bench.commutators import commutators
from sitegen.bench.find import NEVER, OUT_OF_MEMORY, SHORTEST, Answer, Found
from sitegen.effects.effect import Effect
from sitegen.effects.facts import facts
from sitegen.effects.words import brief
from sitegen.puzzles.puzzle import Turn


def account(found: Found, metric: str) -> str:
    """“8 sequences of 8 OBTM; none is shorter.”"""
    unit = metric.upper()
    lengths = [(length, number) for length, number in found.counts.items() if number]
    numbers = [f"{number:,} {'sequence' if number == 1 else 'sequences'}" for _, number in lengths]
    parts = [f"{number} of {length} {unit}" for number, (length, _) in zip(numbers, lengths, strict=True)]
    sure = f"up to {found.searched} {unit}" if found.searched >= 0 else ""
    if found.shortest is not None:
        parts.append("none is shorter" if found.ended == SHORTEST else f"none is shorter; searched {sure}")
    elif found.ended == NEVER:
        parts.append("no sequence of these turns does this, however long")
    elif sure:
        parts.append(f"no sequence of {sure} does this")
    if found.ended == OUT_OF_MEMORY:
        parts.append(f"{found.searched + 1} {unit} was not searched: it takes more memory than is allowed")
    elif not found.ended:
        some = f", {found.partly:,} found so far" if found.partly else ""
        parts.append(f"stopped while searching {found.searched + 1} {unit}{some}")
    total = sum(found.counts.values()) + found.partly
    if total > len(found.answers):
        shown = len(found.answers)
        parts.append("one of them is shown" if shown == 1 else f"the first {shown} are shown")
    return "; ".join(parts) + "."


def in_words(answer: Answer, then: Turn | None) -> Iterator[str]:
    """Line by line an answer, with what becomes of it together with turns of a layer."""
    yield answer.moves or "no turn at all"
    back = f" (afterwards turn {answer.turned_back})" if answer.turned_back else ""
    yield f"  does      {brief(answer.effect)}{back}"
    yield f"  length    {answer.length}"
    for each in commutators(answer.whole, answer.effect, then) if then else ():
        yield f"  [A, {each.turn}]".ljust(12) + brief(each.effect)


def as_data(answer: Answer, then: Turn | None) -> dict[str, Any]:
    """The same for programs; `turned` is how the whole puzzle is turned afterwards."""
    data: dict[str, Any] = {
        "moves": answer.moves,
        "length": asdict(answer.length),
        "effect": _effect(answer.effect),
    }
    if answer.turned_back:
        data["turned"] = answer.turned_back
    if then:
        data["then"] = [
            {"moves": each.moves, "effect": _effect(each.effect)}
            for each in commutators(answer.whole, answer.effect, then)
        ]
    return data


def _effect(effect: Effect) -> dict[str, Any]:
    return {"order": effect.order, **facts(effect)}
