"""An effect said in words, plain enough to stand under a figure or in its description."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

from sitegen.effects.effect import Cycle, Effect, Twist
from sitegen.puzzles.puzzle import Piece

MOST_NAMED = 20
"""With more pieces changed than this, a brief account counts them."""


def listed(parts: Sequence[str], last: str = "and") -> str:
    """`a`, `a and b`, `a, b and c`."""
    return f" {last} ".join(filter(None, [", ".join(parts[:-1]), parts[-1]])) if parts else ""


@dataclass(frozen=True)
class _Manner:
    """How it is said of pieces that they move, or that they have moved."""

    verb: str
    joint: str
    swapped: str
    """Said of two that change places."""
    counted: str
    """Said of many that are counted."""


_GOES = _Manner("goes", "to", "change places", "go round")
_IS = _Manner("is", "at", "are in each other's places", "are in each other's places")


def say(effect: Effect) -> str:
    """What an effect does, as a sentence: “UF and UR are flipped; everything else is home.”"""
    return _sentence(effect, _GOES, len(effect.changed))


def brief(effect: Effect) -> str:
    """What an effect does, as a sentence; of more than MOST_NAMED pieces with numbers in place of names."""
    return _sentence(effect, _GOES, MOST_NAMED)


def where(effect: Effect) -> str:
    """Where pieces are that are not home: “UF is at UL, UL at UB and UB at UF; everything else is home.”"""
    return _sentence(effect, _IS, MOST_NAMED)


@lru_cache(maxsize=4096)
def _sentence(effect: Effect, manner: _Manner, most: int) -> str:
    """Where more pieces than `most` have changed, those that move are counted instead of named."""
    if not effect.changed:
        return "Everything is home."
    turned = filter(None, (flips(effect), twists(effect)))
    if len(effect.changed) <= most:
        moved = [_round(cycle, effect, manner) for cycle in effect.cycles]
        return "; ".join([*turned, *moved, "everything else is home"]) + "."
    counted = [f"{listed(cycles_counted(effect))} {manner.counted}"] if effect.cycles else []
    return "; ".join([*turned, *counted]) + "."


def cycles_counted(effect: Effect) -> list[str]:
    """How many pieces of a kind each cycle takes round: `8 edges`, `2 × 3 corners`."""
    sizes = Counter(f"{len(c.slots)} {effect.puzzle.piece_at(c.slots[0]).kind}s" for c in effect.cycles)
    return [f"{count} × {size}" if count > 1 else size for size, count in sizes.items()]


def way_round(cycle: Cycle, effect: Effect) -> str:
    """`UF goes to UL, UL to UB and UB to UF`, or `UF and UB change places`."""
    return _round(cycle, effect, _GOES)


def flips(effect: Effect) -> str:
    """`UF and UR are flipped`; empty where no piece is."""
    return flips_of(effect.flips)


def flips_of(pieces: Iterable[Piece]) -> str:
    """The same, of some pieces."""
    names = [piece.name for piece in pieces]
    return f"{listed(names)} {'is' if len(names) == 1 else 'are'} flipped" if names else ""


def twists(effect: Effect) -> str:
    """`UFR is twisted clockwise and UBL anticlockwise`; empty where no piece is."""
    return twists_of(effect.twists)


def twists_of(twists: Iterable[Twist]) -> str:
    """The same, of some pieces."""
    by_sense: dict[str, list[str]] = {}
    for twist in twists:
        by_sense.setdefault(twist.sense, []).append(twist.piece.name)
    parts: list[str] = []
    for sense, names in by_sense.items():
        verb = "" if parts else (" is twisted" if len(names) == 1 else " are twisted")
        parts.append(f"{listed(names)}{verb} {sense}")
    return listed(parts)


def _round(cycle: Cycle, effect: Effect, manner: _Manner) -> str:
    """Where each piece of a cycle goes, or is."""
    names = [effect.name(slot) for slot in (*cycle.slots, cycle.closes)]
    if len(cycle.slots) == 2 and cycle.plain:
        return f"{names[0]} and {names[1]} {manner.swapped}"
    return in_a_row(pairwise(names), manner.verb, manner.joint)


def in_a_row(pairs: Iterable[tuple[str, str]], verb: str, joint: str) -> str:
    """`UF is at UL, UL at UB and UB at UF`: the verb is said once."""
    first, *others = pairs
    return listed([f"{first[0]} {verb} {joint} {first[1]}", *(f"{a} {joint} {b}" for a, b in others)])


def slot_names(cycle: Cycle, effect: Effect) -> list[str]:
    """The slots of a cycle by name; where it closes turned, the slot it closes on comes last."""
    names = [effect.name(slot) for slot in cycle.slots]
    return names if cycle.plain else [*names, effect.name(cycle.closes)]


def likeness(effect: Effect) -> str:
    """Whether pieces that look alike are told apart, as a sentence; empty where it makes no difference."""
    if not effect.blurred:
        return ""
    if effect.marked:
        return "Pieces that look alike are told apart here."
    return "Pieces that look alike count as one: more of them moved than can be seen."
