"""Puts the moves of the sequences that are referred to by name into the trees that refer to them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from difflib import get_close_matches

from sitegen.moves.tree import Commutator, Conjugate, Node, Reference, Repeat, Series
from sitegen.problems import Problem

LONGEST_CHAIN = 60
"""A sequence may refer to one that refers to another … this many times."""


def parts(node: Node) -> tuple[Node, ...]:
    """The nodes directly inside one."""
    match node:
        case Series(items=items):
            return items
        case Repeat(body=body):
            return (body,)
        case Commutator(a=a, b=b) | Conjugate(a=a, b=b):
            return (a, b)
    return ()


def references(node: Node) -> Iterator[Reference]:
    """Every reference that was written in a tree, in order."""
    if isinstance(node, Reference):
        yield node
    for part in parts(node):
        yield from references(part)


def resolve(trees: Mapping[str, Node]) -> tuple[dict[str, Node], list[Problem]]:
    """All trees with their references filled in, and a problem for each that cannot be."""
    work = _Work(trees)
    for name in trees:
        work.of(name)
    return work.done, work.problems


def resolve_one(tree: Node, known: Mapping[str, Node]) -> Node:
    """One more tree, which may refer to trees that are resolved already. Raises Problem."""
    for reference in references(tree):
        if reference.name not in known:
            raise unknown(reference, known)
    return _filled(tree, known)


def unknown(reference: Reference, known: Mapping[str, Node]) -> Problem:
    near = get_close_matches(reference.name, known, n=1)
    hint = f"is it @{near[0]}?" if near else "a sequence gets its name in the first line of its block"
    return Problem(f"no sequence is named {reference.name}", reference.passage, hint)


@dataclass
class _Work:
    trees: Mapping[str, Node]
    done: dict[str, Node] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)
    chain: list[str] = field(default_factory=list)
    depths: dict[str, int] = field(default_factory=dict)
    failed: set[str] = field(default_factory=set)

    def of(self, name: str) -> bool:
        """Whether the tree with this name could be resolved."""
        if name in self.done or name in self.failed:
            return name in self.done
        self.chain.append(name)
        found = [self._follow(reference) for reference in references(self.trees[name])]
        self.chain.pop()
        self.depths[name] = 1 + max(
            (self.depths.get(r.name, 0) for r in references(self.trees[name])), default=0
        )
        if not all(found):
            self.failed.add(name)
            return False
        self.done[name] = _filled(self.trees[name], self.done)
        return True

    def _follow(self, reference: Reference) -> bool:
        if reference.name not in self.trees:
            self.problems.append(unknown(reference, self.trees))
            return False
        if reference.name in self.chain:
            round_trip = [*self.chain[self.chain.index(reference.name) :], reference.name]
            self.problems.append(
                Problem(
                    "the sequences refer to each other in a circle: " + " → ".join(round_trip),
                    reference.passage,
                    "write out the moves of one of them",
                )
            )
            return False
        too_long = len(self.chain) >= LONGEST_CHAIN
        resolved = not too_long and self.of(reference.name)
        if too_long or self.depths.get(reference.name, 0) >= LONGEST_CHAIN:
            self.problems.append(
                Problem(
                    f"references follow references more than {LONGEST_CHAIN} times",
                    reference.passage,
                    "write out the moves of one sequence on the way",
                )
            )
            return False
        return resolved


def _filled(node: Node, known: Mapping[str, Node]) -> Node:
    match node:
        case Reference(name=name):
            return replace(node, body=known[name])
        case Series(items=items):
            return replace(node, items=tuple(_filled(item, known) for item in items))
        case Repeat(body=body):
            return replace(node, body=_filled(body, known))
        case Commutator(a=a, b=b) | Conjugate(a=a, b=b):
            return replace(node, a=_filled(a, known), b=_filled(b, known))
    return node
