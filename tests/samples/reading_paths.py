"""A reader of path data: what is drawn, whatever way it is written.

The reading itself is done by fontTools, a general library, which keeps to the grammar of SVG.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from fontTools.svgLib.path import parse_path  # type: ignore[import-untyped]

from sitegen.figures.plane import Point


@dataclass(frozen=True)
class HalfRound:
    """Half a round, from where the pen is."""

    radius: float
    clockwise: bool
    end: Point


Step = tuple[Point, ...] | HalfRound
"""A straight line to a point; a quadratic curve with a control to one; half a round."""


@dataclass
class Outline:
    start: Point
    steps: list[Step] = field(default_factory=list)
    closed: bool = False

    @property
    def corners(self) -> tuple[Point, ...]:
        """Of an outline of straight lines all corners, the first one once."""
        assert all(not isinstance(step, HalfRound) and len(step) == 1 for step in self.steps), "not straight"
        ends = [step[0] for step in self.steps if not isinstance(step, HalfRound)]
        return (self.start, *ends)


class _Pen:
    """Takes down what a reader of path data tells of it."""

    def __init__(self) -> None:
        self.outlines: list[Outline] = []

    def moveTo(self, point: Point) -> None:  # noqa: N802
        self.outlines.append(Outline(point))

    def lineTo(self, point: Point) -> None:  # noqa: N802
        self.outlines[-1].steps.append((point,))

    def qCurveTo(self, control: Point, point: Point) -> None:  # noqa: N802
        self.outlines[-1].steps.append((control, point))

    def arcTo(self, rx: float, ry: float, turned: float, large: bool, sweep: bool, end: Point) -> None:  # noqa: N802
        assert (rx, turned) == (ry, 0), "no part of a circle"
        self.outlines[-1].steps.append(HalfRound(rx, bool(sweep), end))

    def closePath(self) -> None:  # noqa: N802
        outline = self.outlines[-1]
        outline.closed = True
        # The line back to where it began is told like others; what is closed has it anyway.
        if outline.steps[-1] == (outline.start,):
            outline.steps.pop()

    def endPath(self) -> None:  # noqa: N802
        pass


def outlines(d: str) -> list[Outline]:
    """What the text of a path draws, in points of the page. ValueError where it is none."""
    pen = _Pen()
    parse_path(d, pen)
    return pen.outlines
