"""An effect said in words, plain enough to stand under a figure or in its description."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from itertools import pairwise

from sitegen.effects.effect import Cycle, Effect

MOST_NAMED = 20
"""With more pieces changed than this, a brief account counts them."""


def listed(parts: Sequence[str], last: str = "and") -> str:
    """`a`, `a and b`, `a, b and c`."""
    return f" {last} ".join(filter(None, [", ".join(parts[:-1]), parts[-1]])) if parts else ""


def say(effect: Effect) -> str:
    """What an effect does, as a sentence: “UF and UR are flipped; everything else is home.”"""
    clauses = [clause for clause in (flips(effect), twists(effect), *where_pieces_go(effect)) if clause]
    if not clauses:
        return "Everything is home."
    return "; ".join([*clauses, "everything else is home"]) + "."


def brief(effect: Effect) -> str:
    """What an effect does, as a sentence; of more than MOST_NAMED pieces with numbers in place of names."""
    if len(effect.changed) <= MOST_NAMED:
        return say(effect)
    clauses = [flips(effect), twists(effect), listed(cycles_counted(effect)) + " go round"]
    return "; ".join(filter(None, clauses)) + "."


def cycles_counted(effect: Effect) -> list[str]:
    """How many pieces of a kind each cycle takes round: `8 edges`, `2 × 3 corners`."""
    sizes = Counter(f"{len(c.slots)} {effect.puzzle.piece_at(c.slots[0]).kind}s" for c in effect.cycles)
    return [f"{count} × {size}" if count > 1 else size for size, count in sizes.items()]


def flips(effect: Effect) -> str:
    """`UF and UR are flipped`; empty where no piece is."""
    names = [piece.name for piece in effect.flips]
    return f"{listed(names)} {'is' if len(names) == 1 else 'are'} flipped" if names else ""


def twists(effect: Effect) -> str:
    """`UFR is twisted clockwise and UBL anticlockwise`."""
    by_sense: dict[str, list[str]] = {}
    for twist in effect.twists:
        by_sense.setdefault(twist.sense, []).append(twist.piece.name)
    parts: list[str] = []
    for sense, names in by_sense.items():
        verb = "" if parts else (" is twisted" if len(names) == 1 else " are twisted")
        parts.append(f"{listed(names)}{verb} {sense}")
    return listed(parts)


def where_pieces_go(effect: Effect) -> list[str]:
    """One clause for each cycle: `UF goes to UL, UL to UB and UB to UF`."""
    return [_round(cycle, effect, "goes", "to", "change places") for cycle in effect.cycles]


def _round(cycle: Cycle, effect: Effect, verb: str, join: str, swapped: str) -> str:
    """Where each piece of a cycle goes, or is; of two that change places in the words for that."""
    names = [effect.name(slot) for slot in (*cycle.slots, cycle.closes)]
    if len(cycle.slots) == 2 and cycle.plain:
        return f"{names[0]} and {names[1]} {swapped}"
    return in_a_row(pairwise(names), verb, join)


def in_a_row(pairs: Iterable[tuple[str, str]], verb: str, join: str) -> str:
    """`UF is at UL, UL at UB and UB at UF`: the verb is said once."""
    first, *others = pairs
    return listed([f"{first[0]} {verb} {join} {first[1]}", *(f"{a} {join} {b}" for a, b in others)])


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


def where(effect: Effect) -> str:
    """Where pieces are that are not home: “UF is at UL, UL at UB and UB at UF; everything else is home.”"""
    if not effect.changed:
        return "Everything is home."
    turned = [clause for clause in (flips(effect), twists(effect)) if clause]
    if len(effect.changed) > MOST_NAMED:
        away = [f"{listed(cycles_counted(effect))} are in each other's places"] if effect.cycles else []
        return "; ".join([*turned, *away]) + "."
    away = [_round(cycle, effect, "is", "at", "are in each other's places") for cycle in effect.cycles]
    return "; ".join([*turned, *away, "everything else is home"]) + "."
