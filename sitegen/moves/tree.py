"""The tree that moves are parsed to, and `fold`, by which everything else is computed from it.

Knows the shape of what was written and where; knows nothing of how a puzzle is made.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Generic, TypeVar

from sitegen.problems import Passage
from sitegen.puzzles.puzzle import Turn


@dataclass(frozen=True, eq=False)
class Node:
    """A stretch of moves, and the passage in which it was written."""

    passage: Passage


@dataclass(frozen=True, eq=False)
class SingleTurn(Node):
    """One turn."""

    turn: Turn


@dataclass(frozen=True, eq=False)
class Series(Node):
    """One thing after another."""

    items: tuple[Node, ...]


@dataclass(frozen=True, eq=False)
class Repeat(Node):
    """(body)3 or (body)'; a negative count undoes."""

    body: Node
    count: int


@dataclass(frozen=True, eq=False)
class Commutator(Node):
    """[a, b] = a b a' b'."""

    a: Node
    b: Node


@dataclass(frozen=True, eq=False)
class Conjugate(Node):
    """[a: b] = a b a'; a is the lead-in."""

    a: Node
    b: Node


@dataclass(frozen=True, eq=False)
class Reference(Node):
    """@name: the moves of another sequence; `body` is known once references are resolved."""

    name: str
    body: Node | None = None


T = TypeVar("T")


@dataclass(frozen=True)
class Algebra(Generic[T]):
    """What a fold makes of a turn, of things in a row, and of a thing done a number of times."""

    turn: Callable[[Turn], T]
    join: Callable[[list[T]], T]
    times: Callable[[T, int], T]


def parts(node: Node) -> tuple[Node, ...]:
    """The nodes whose values that of a node is made from. Raises LookupError for an unresolved reference."""
    match node:
        case Series(items=items):
            return items
        case Repeat(body=body, count=count):
            return (body,) if count else ()
        case Commutator(a=a, b=b) | Conjugate(a=a, b=b):
            return (a, b)
        case Reference(name=name, body=body):
            if body is None:
                raise LookupError(f"@{name} is not resolved")
            return (body,)
    return ()


def fold(node: Node, algebra: Algebra[T]) -> T:
    """The value of a tree, from the leaves up. What is referred to from many places is computed once."""
    known: dict[int, T] = {}
    # A stack of its own, since sequences may refer to sequences deeper than Python calls may be nested.
    waiting = [node]
    while waiting:
        below = parts(waiting[-1])
        missing = [part for part in below if id(part) not in known and not isinstance(part, SingleTurn)]
        if missing:
            waiting += missing
        else:
            top = waiting.pop()
            # Most of all nodes are turns: these are not worth a place of their own.
            values = [
                algebra.turn(part.turn) if isinstance(part, SingleTurn) else known[id(part)] for part in below
            ]
            known[id(top)] = _value(top, values, algebra)
    return known[id(node)]


def _value(node: Node, values: list[T], algebra: Algebra[T]) -> T:
    match node:
        case SingleTurn(turn=turn):
            return algebra.turn(turn)
        case Repeat(count=count):
            return algebra.times(values[0], count) if values else algebra.join([])
        case Commutator():
            a, b = values
            return algebra.join([a, b, algebra.times(a, -1), algebra.times(b, -1)])
        case Conjugate():
            a, b = values
            return algebra.join([a, b, algebra.times(a, -1)])
        case Reference():
            return values[0]
    return algebra.join(values)
