"""A puzzle laid out on the page: where each slot, the body and any point of a face falls.

Knows panes (one face each) and the page; knows nothing of colours, marks or how a view chose its panes.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from statistics import median

from sitegen.figures import plane as page
from sitegen.figures.path_text import path_text, polygon
from sitegen.figures.plane import Point, Shape
from sitegen.puzzles.geometry import (
    EPSILON,
    Plane,
    Polygon,
    Vector,
    add,
    clip,
    cross,
    dot,
    norm,
    scale,
    subtract,
    unit,
)
from sitegen.puzzles.puzzle import Puzzle

LONGER_SIDE = 1000
"""Units along the longer side of a figure, so that whole numbers are fine enough."""
MARGIN = 26
GAP = 0.045
"""Body left free on each side of a sticker, as a share of the sticker's width."""
ROUNDING = 0.085
"""Radius of a sticker's corners, as a share of its width."""


@dataclass(frozen=True)
class Pane:
    """One face as a view shows it: which of its slots, and how its points fall on the page."""

    face: str
    slots: tuple[int, ...]
    at: Callable[[Vector], Point]
    body: Shape
    limit: Plane | None = None
    """Where the pane shows only a part of its face: the plane on whose inner side that part lies."""
    mirrored: bool = False
    main: bool = False
    blank: bool = False
    """Whether there is only room for it, and nothing of it is seen."""


@dataclass(frozen=True, eq=False)
class Layout:
    puzzle: Puzzle
    shapes: Mapping[int, Shape]
    """For each visible slot the core of its sticker, to be drawn with a line `2 * rounding` wide round it."""
    rounding: float
    scale: float
    """Units of the figure to one of the view; in space that is how far faces are from the middle."""
    bodies: tuple[Shape, ...]
    places: Mapping[str, Callable[[Vector], Point | None]]
    """For each visible face where a point of it falls; None where the view does not show it."""
    mirrored: frozenset[int]
    main: frozenset[int]
    """Slots of the face that the view is about; empty where it is about all."""
    width: int
    height: int
    project: Callable[[Vector], Point] | None = None
    """In a view in space, where any point of it falls."""

    @cached_property
    def centres(self) -> Mapping[int, Point]:
        return {slot: page.middle(shape) for slot, shape in self.shapes.items()}

    @cached_property
    def outlines(self) -> Mapping[int, str]:
        """Path text of each sticker, which can stand behind any other."""
        return {slot: path_text(polygon(shape), None) for slot, shape in self.shapes.items()}

    @cached_property
    def body(self) -> str:
        """Path text of the bodies."""
        return path_text(command for body in self.bodies for command in polygon(body))

    @cached_property
    def unit(self) -> float:
        """The width of a usual sticker."""
        return median(page.size(shape) for shape in self.shapes.values()) + 2 * self.rounding

    def place(self, face: str, point: Vector) -> Point | None:
        """Where a point of a face falls, if the view shows it."""
        return self.places[face](point) if face in self.places else None

    def reflected(self, face: str) -> bool:
        """Whether a face is seen in a mirror."""
        return any(self.puzzle.stickers[slot].face == face for slot in self.mirrored)

    def visible(self, slots: Iterable[int]) -> list[int]:
        """Those of the slots that can be seen, on the main face and not in a mirror if possible."""
        seen = [slot for slot in slots if slot in self.shapes]
        return (
            [slot for slot in seen if slot in self.main]
            or [slot for slot in seen if slot not in self.mirrored]
            or seen
        )


def arrange(
    puzzle: Puzzle,
    panes: Sequence[Pane],
    silhouettes: Sequence[Shape] = (),
    project: Callable[[Vector], Point] | None = None,
) -> Layout:
    """Panes in any unit, brought to the size of a figure; `silhouettes` are bodies that no pane has."""
    bodies = (*silhouettes, *(pane.body for pane in panes if pane.body))
    seen = [pane for pane in panes if not pane.blank]
    (left, top), (right, bottom) = page.box(point for body in bodies for point in body)
    by = (LONGER_SIDE - 2 * MARGIN) / max(right - left, bottom - top)

    def fit(point: Point) -> Point:
        return ((point[0] - left) * by + MARGIN, (point[1] - top) * by + MARGIN)

    full = {slot: _shape(puzzle, slot, pane, fit) for pane in panes for slot in pane.slots}
    usual = median(map(page.size, full.values()))
    rounding = min(ROUNDING * usual, 0.5 * min(map(page.inner_radius, full.values())))
    return Layout(
        puzzle=puzzle,
        shapes={
            slot: page.inset(full[slot], rounding)
            for slot in sorted(slot for pane in seen for slot in pane.slots)
        },
        rounding=rounding,
        scale=by,
        bodies=tuple(
            tuple(map(fit, body)) for body in (*silhouettes, *(pane.body for pane in seen if pane.body))
        ),
        places={pane.face: _placed(pane, fit) for pane in seen},
        mirrored=frozenset(slot for pane in seen if pane.mirrored for slot in pane.slots),
        main=frozenset(slot for pane in seen if pane.main for slot in pane.slots),
        width=page.whole_number((right - left) * by + 2 * MARGIN),
        height=page.whole_number((bottom - top) * by + 2 * MARGIN),
        project=(lambda point: fit(project(point))) if project else None,
    )


def _shape(puzzle: Puzzle, slot: int, pane: Pane, fit: Callable[[Point], Point]) -> Shape:
    """A sticker on the page, a gap away from its neighbours; the gap is as foreshortened as the face is."""
    polygon = puzzle.stickers[slot].polygon
    return tuple(fit(pane.at(c)) for c in gapped(clip(polygon, pane.limit) if pane.limit else polygon))


def gapped(polygon: Polygon) -> Polygon:
    """A sticker in space, a gap away from its neighbours."""
    by = GAP * min(norm(subtract(a, polygon[i - 1])) for i, a in enumerate(polygon))
    return tuple(
        _mitre(polygon[i - 1], corner, polygon[(i + 1) % len(polygon)], by)
        for i, corner in enumerate(polygon)
    )


def _mitre(before: Vector, corner: Vector, after: Vector, by: float) -> Vector:
    u, v = unit(subtract(before, corner)), unit(subtract(after, corner))
    return add(corner, scale(add(u, v), by / norm(cross(u, v))))


def _placed(pane: Pane, fit: Callable[[Point], Point]) -> Callable[[Vector], Point | None]:
    if pane.limit is None:
        return lambda point: fit(pane.at(point))
    normal, distance = pane.limit
    return lambda point: fit(pane.at(point)) if dot(normal, point) >= distance - EPSILON else None


def slots_of(puzzle: Puzzle, face: str) -> tuple[int, ...]:
    """The slots on one face, by its name, in the puzzle's order."""
    return tuple(sticker.index for sticker in puzzle.stickers if sticker.face == face)
