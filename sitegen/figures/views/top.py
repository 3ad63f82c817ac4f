"""One face seen straight on, the first that the puzzle names, and apart from it a strip along each edge.

A strip is what borders the face, folded outward. It is as wide as it truly is, so that its stickers stand
beside their neighbours on the face, and room for a letter is left where the figure is small.
Knows how a border is folded and foreshortened; knows nothing of what is drawn on the stickers.
"""

from __future__ import annotations

from collections.abc import Callable

from sitegen.figures.layout import Layout, Pane, arrange, slots_of
from sitegen.figures.plane import Point, between, left, plus, towards
from sitegen.figures.views.faces import corners, on_face, plane_of, shared_edge
from sitegen.puzzles.definition import FaceDefinition
from sitegen.puzzles.geometry import Plane, Polygon, Vector, clip, cross, dot, mean, scale, subtract, unit
from sitegen.puzzles.puzzle import Puzzle

HEIGHT = 0.55
"""Height of a strip on the page, as a share of its true height: it is foreshortened, but not narrowed."""
CREASE = 0.05
"""Page left free between the face and a strip, as a share of the edge that they have in common."""

Edge = tuple[Vector, Vector]


def top(puzzle: Puzzle) -> Layout:
    face = puzzle.faces[0]
    at = plane_of(face.towards)
    body = tuple(map(at, corners(puzzle.solid, face.towards)))
    main = Pane(face.name, slots_of(puzzle, face.name), at, body, main=True)
    return arrange(puzzle, [main, *_borders(puzzle, face, at)])


def has_borders(puzzle: Puzzle) -> bool:
    """Whether stickers of other faces lie along the first one."""
    return bool(_borders(puzzle, puzzle.faces[0], plane_of(puzzle.faces[0].towards)))


def _borders(puzzle: Puzzle, face: FaceDefinition, at: Callable[[Vector], Point]) -> list[Pane]:
    edges = ((other, shared_edge(puzzle.solid, face.towards, other.towards)) for other in puzzle.faces[1:])
    panes = (_border(puzzle, face, other, edge, at) for other, edge in edges if edge)
    return [pane for pane in panes if pane.slots]


def _border(
    puzzle: Puzzle, face: FaceDefinition, other: FaceDefinition, edge: Edge, at: Callable[[Vector], Point]
) -> Pane:
    """The part of another face that is as deep as its stickers with a side on the first one."""
    outside = corners(puzzle.solid, other.towards)
    down = _down(other, edge, outside)
    polygons = {slot: puzzle.stickers[slot].polygon for slot in slots_of(puzzle, other.name)}
    bordering = [p for p in polygons.values() if sum(on_face(point, face.towards) for point in p) >= 2]
    limit: Plane = (scale(down, -1), -max((dot(point, down) for p in bordering for point in p), default=0.0))
    slots = tuple(slot for slot, polygon in polygons.items() if bordering and clip(polygon, limit))
    fold = _fold(edge, down, at)
    return Pane(other.name, slots, fold, tuple(map(fold, clip(outside, limit))), limit)


def _down(other: FaceDefinition, edge: Edge, outside: Polygon) -> Vector:
    """The direction within the other face that leads straight away from the edge."""
    across = unit(cross(other.towards, subtract(edge[1], edge[0])))
    return across if dot(across, subtract(mean(outside), edge[0])) > 0 else scale(across, -1)


def _fold(edge: Edge, down: Vector, at: Callable[[Vector], Point]) -> Callable[[Vector], Point]:
    """Points of the other face, turned outward about the edge into the page."""
    along = unit(subtract(edge[1], edge[0]))
    start, end = at(edge[0]), at(edge[1])
    right = towards(start, end)
    centre = between(start, end)
    half = dot(subtract(edge[1], edge[0]), along) / 2
    # The face lies to the left of an anticlockwise edge on a page whose y axis points down.
    outward = (-left(right)[0], -left(right)[1])

    def fold(point: Vector) -> Point:
        height = dot(subtract(point, edge[0]), down)
        aside = dot(subtract(point, edge[0]), along) - half
        return plus(plus(centre, right, aside), outward, 2 * half * CREASE + HEIGHT * height)

    return fold
