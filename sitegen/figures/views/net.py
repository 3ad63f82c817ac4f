"""All faces unfolded into the page, each along an edge that it shares with one already there.

Knows how to choose the edges so that nothing overlaps; knows nothing of what is drawn on the stickers.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from sitegen.figures.camera import camera
from sitegen.figures.layout import Layout, Pane, arrange, slots_of
from sitegen.figures.plane import Point, Shape, apart, middle
from sitegen.figures.views.faces import corners, plane_of, shared_edge
from sitegen.puzzles.definition import FaceDefinition
from sitegen.puzzles.geometry import EPSILON, Vector, dot, sure
from sitegen.puzzles.puzzle import Puzzle


@dataclass(frozen=True)
class Leaf:
    """A face in the page: its points' places, and its outline there."""

    face: FaceDefinition
    at: Callable[[Vector], Point]
    body: Shape
    hub: bool
    """The first face and its opposite, round which the others are laid as far as they go."""


def net(puzzle: Puzzle) -> Layout:
    panes = [
        Pane(leaf.face.name, slots_of(puzzle, leaf.face.name), leaf.at, leaf.body) for leaf in unfold(puzzle)
    ]
    return arrange(puzzle, panes)


def unfold(puzzle: Puzzle) -> list[Leaf]:
    """The faces from the front one on, in the order in which they are laid down."""
    root = front(puzzle)
    at = plane_of(root.towards)
    leaves = [Leaf(root, at, tuple(map(at, corners(puzzle.solid, root.towards))), True)]
    waiting = [face for face in puzzle.faces if face is not root]
    while waiting:
        leaf = max(_candidates(puzzle, leaves, waiting), key=lambda entry: entry[0])[1]
        leaves.append(leaf)
        waiting.remove(leaf.face)
    return leaves


def front(puzzle: Puzzle) -> FaceDefinition:
    """The face called F, or the one that looks most at the reader."""
    to_reader = camera(puzzle).rows[2]
    return max(puzzle.faces, key=lambda face: (face.name == "F", sure(dot(face.towards, to_reader))))


def _candidates(
    puzzle: Puzzle, leaves: list[Leaf], waiting: list[FaceDefinition]
) -> list[tuple[tuple[bool, bool, float, int], Leaf]]:
    """Every way to lay one more face down, with its rank: round a hub, then a hub, then far to the right."""
    root = leaves[0].face.towards
    found = []
    for order, face in enumerate(waiting):
        hub = abs(dot(face.towards, root) + 1) < EPSILON
        for parent in leaves:
            leaf = _attached(puzzle, parent, face, hub)
            if leaf and all(apart(leaf.body, other.body, -1e-6) for other in leaves):
                rank = (parent.hub, hub, sure(middle(leaf.body)[0]), -order)
                found.append((rank, leaf))
    return found


def _attached(puzzle: Puzzle, parent: Leaf, face: FaceDefinition, hub: bool) -> Leaf | None:
    edge = shared_edge(puzzle.solid, parent.face.towards, face.towards)
    if edge is None:
        return None
    own = plane_of(face.towards)
    at = _carried(own, (own(edge[0]), own(edge[1])), (parent.at(edge[0]), parent.at(edge[1])))
    return Leaf(face, at, tuple(map(at, corners(puzzle.solid, face.towards))), hub)


def _carried(
    own: Callable[[Vector], Point], edge: tuple[Point, Point], onto: tuple[Point, Point]
) -> Callable[[Vector], Point]:
    """A face turned and shifted in the page until one of its edges lies where it is wanted."""
    # Points of the page as complex numbers: the quotient of two vectors is the turn from one to the other.
    turn = (complex(*onto[1]) - complex(*onto[0])) / (complex(*edge[1]) - complex(*edge[0]))

    def at(point: Vector) -> Point:
        placed = complex(*onto[0]) + turn * (complex(*own(point)) - complex(*edge[0]))
        return placed.real, placed.imag

    return at
