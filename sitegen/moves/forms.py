"""Forms: turns as commutators, conjugates, repeats and products of these, nested; and how they are written.

Knows how a form is built; knows nothing of how it was found, nor of what it does.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from sitegen.moves.turning import inverse_turns
from sitegen.puzzles.puzzle import Turn

TURNS, PRODUCT, REPEAT, CONJUGATE, COMMUTATOR = "turns", "product", "repeat", "conjugate", "commutator"
"""What a form can be."""


@dataclass(frozen=True)
class Form:
    """Its kind, its parts, and how many turns are written in it."""

    kind: str
    parts: tuple[Form, ...]
    count: int
    moves: str = ""
    """Of turns that stand for themselves: these, as they are written."""
    alone: tuple[Turn, ...] = ()
    """And what these are."""
    times: int = 1
    """Of a repeat: how often."""
    cut_short: bool = False
    """Whether the end of a repeat cancels against what follows, which makes it harder to see."""

    @cached_property
    def written(self) -> str:
        """`[R, U]2 F`"""
        match self.kind, self.parts:
            case "commutator", (a, b):
                return f"[{a.written}, {b.written}]"
            case "conjugate", (a, b):
                return f"[{a.written}: {b.written}]"
            case "repeat", (body,):
                return f"{body.in_brackets}{self.times}"
            case "product", parts:
                return " ".join(part.written for part in parts)
        return self.moves

    @cached_property
    def turns(self) -> tuple[Turn, ...]:
        """Written out one by one."""
        match self.kind, [part.turns for part in self.parts]:
            case "commutator", [a, b]:
                return (*a, *b, *inverse_turns(a), *inverse_turns(b))
            case "conjugate", [a, b]:
                return (*a, *b, *inverse_turns(a))
            case "repeat", [body]:
                return body * self.times
            case "product", parts:
                return tuple(turn for part in parts for turn in part)
        return self.alone

    @property
    def in_brackets(self) -> str:
        """As it is written where something follows that is said of all of it."""
        return self.written if self.kind in (COMMUTATOR, CONJUGATE) else f"({self.written})"

    @cached_property
    def brackets(self) -> int:
        """How many brackets are written in it."""
        return (
            (self.kind not in (TURNS, PRODUCT)) + self.cut_short + sum(part.brackets for part in self.parts)
        )

    @cached_property
    def rank(self) -> tuple[int, int, int, str]:
        """By which the simplest comes first: few turns written, few brackets, few parts."""
        return self.count, self.brackets, len(self.parts), self.written


def as_they_stand(moves: str, turns: tuple[Turn, ...], count: int = 0) -> Form:
    """Turns that stand for themselves, written with fewer where they are in brackets."""
    return Form(TURNS, (), count or len(turns), moves, turns)


def in_a_product(parts: tuple[Form, ...]) -> Form:
    """One after the other; turns that stand together are one part."""
    flat: list[Form] = []
    for factor in parts:
        for part in factor.parts if factor.kind == PRODUCT else (factor,):
            if flat and part.kind == TURNS == flat[-1].kind:
                before = flat.pop()
                turns = (*before.turns, *part.turns)
                flat.append(as_they_stand(f"{before.moves} {part.moves}", turns, before.count + part.count))
            else:
                flat.append(part)
    return flat[0] if len(flat) == 1 else Form(PRODUCT, tuple(flat), sum(part.count for part in flat))


def commutator(a: Form, b: Form) -> Form:
    """`[a, b]`"""
    return Form(COMMUTATOR, (a, b), a.count + b.count)


def conjugate(a: Form, b: Form) -> Form:
    """`[a: b]`; what is a conjugate within is set aside together: `[a: [b: c]]` is `[a b: c]`."""
    if b.kind == CONJUGATE:
        return conjugate(in_a_product((a, b.parts[0])), b.parts[1])
    return Form(CONJUGATE, (a, b), a.count + b.count)


def repeated(body: Form, times: int) -> Form:
    """`(body)3`; a repeat of a repeat is one."""
    if body.kind == REPEAT:
        return repeated(body.parts[0], body.times * times)
    return Form(REPEAT, (body,), body.count, times=times)


def undone(form: Form) -> Form:
    """`[a, b]'`"""
    return as_they_stand(f"{form.in_brackets}'", inverse_turns(form.turns), form.count)
