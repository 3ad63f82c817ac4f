"""Puts the moves of the sequences that are referred to by name into the trees that refer to them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from graphlib import CycleError, TopologicalSorter

from sitegen.moves.tree import Commutator, Conjugate, Node, Reference, Repeat, Series, parts
from sitegen.problems import Passage, Problem, nearest

NAME = r"[a-z][a-z0-9]*(?:-[a-z0-9]+)*"
"""What can be the name of a sequence."""
REFERENCE = re.compile(f"@({NAME})")
"""A sequence referred to in a text."""
LONGEST_CHAIN = 60
"""A sequence may refer to one that refers to another … this many times."""


def references(node: Node) -> Iterator[Reference]:
    """Every reference that was written in a tree, in order."""
    if isinstance(node, Reference):
        yield node
    elif isinstance(node, Repeat):
        yield from references(node.body)
    else:
        for part in parts(node):
            yield from references(part)


def resolve(trees: Mapping[str, Node]) -> tuple[dict[str, Node], list[Problem]]:
    """All trees with their references filled in, and a problem for each that cannot be."""
    written = {name: list(references(tree)) for name, tree in trees.items()}
    every = [reference for found in written.values() for reference in found]
    problems: list[Problem] = []
    problems += [UnknownSequence(r.name, r.passage, trees) for r in every if r.name not in trees]
    order, circles = _in_order(written)
    problems += [_circle(circle, written) for circle in circles]
    done: dict[str, Node] = {}
    depths: dict[str, int] = {}
    for name in order:
        if not all(reference.name in done for reference in written[name]):
            continue
        deepest = max(written[name], key=lambda r: depths[r.name], default=None)
        depths[name] = 1 + depths[deepest.name] if deepest else 0
        if deepest and depths[name] > LONGEST_CHAIN:
            problems.append(_too_long(deepest))
        else:
            done[name] = _filled(trees[name], done)
    return done, problems


def _in_order(written: Mapping[str, list[Reference]]) -> tuple[list[str], list[list[str]]]:
    """Names so that each comes after those it refers to, and the circles, whose names are left out."""
    graph = {name: [r.name for r in found if r.name in written] for name, found in written.items()}
    circles: list[list[str]] = []
    while True:
        try:
            return list(TopologicalSorter(graph).static_order()), circles
        except CycleError as error:
            circle = error.args[1][:0:-1]
            circles.append(circle)
            graph = {
                name: [n for n in names if n not in circle]
                for name, names in graph.items()
                if name not in circle
            }


def _circle(circle: list[str], written: Mapping[str, list[Reference]]) -> Problem:
    """Told from the sequence that was written first, where the last refers back to it."""
    names = list(written)
    first = min(range(len(circle)), key=lambda i: names.index(circle[i]))
    path = circle[first:] + circle[:first]
    return Problem(
        "the sequences refer to each other in a circle: " + " → ".join([*path, path[0]]),
        next(r.passage for r in written[path[-1]] if r.name == path[0]),
        "write out the moves of one of them",
    )


def _too_long(reference: Reference) -> Problem:
    return Problem(
        f"references follow references more than {LONGEST_CHAIN} times",
        reference.passage,
        "write out the moves of one sequence on the way",
    )


def resolve_one(tree: Node, known: Mapping[str, Node]) -> Node:
    """One more tree, which may refer to trees that are resolved already. Raises Problem."""
    for reference in references(tree):
        if reference.name not in known:
            raise UnknownSequence(reference.name, reference.passage, known)
    return _filled(tree, known)


class UnknownSequence(Problem):
    """A name that no sequence has."""

    def __init__(self, name: str, passage: Passage, known: Iterable[str]) -> None:
        super().__init__(f"no sequence is named {name}", passage, _instead(name, passage, list(known)))
        self.name = name


def _instead(name: str, passage: Passage, known: list[str]) -> str:
    stem, meant = name.rstrip("0123456789"), name.lower()  # names have no capitals
    if stem in known and passage.text.startswith("@"):
        return f"the sequence {stem} is repeated as (@{stem}){name.removeprefix(stem)}"
    if not known:
        return f"no sequence has a name here: write out its moves, or name it in a block “moves {meant}”"
    near = nearest(name, known)
    if not near:
        return f"a sequence gets its name in the first line of its block, as in “moves {meant}”"
    # What is marked may be more than the name, such as the @ before it, or another text altogether.
    return f"is it {passage.text.replace(name, near[0]) if name in passage.text else near[0]}?"


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
