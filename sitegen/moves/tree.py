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
class Step(Node):
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


def fold(node: Node, algebra: Algebra[T], known: dict[int, T] | None = None) -> T:
    """The value of a tree. A node that is referenced from many places is computed once."""
    known = {} if known is None else known

    def value(node: Node) -> T:
        if id(node) not in known:
            known[id(node)] = compute(node)
        return known[id(node)]

    def compute(node: Node) -> T:
        match node:
            case Step(turn=turn):
                return algebra.turn(turn)
            case Series(items=items):
                return algebra.join([value(item) for item in items])
            case Repeat(body=body, count=count):
                return algebra.times(value(body), count)
            case Commutator(a=a, b=b):
                return algebra.join(
                    [value(a), value(b), algebra.times(value(a), -1), algebra.times(value(b), -1)]
                )
            case Conjugate(a=a, b=b):
                return algebra.join([value(a), value(b), algebra.times(value(a), -1)])
            case Reference(name=name, body=body):
                if body is None:
                    raise LookupError(f"@{name} is not resolved")
                return value(body)
        raise TypeError(f"no moves: {node}")

    return value(node)
