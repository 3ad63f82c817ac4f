"""How often each number comes up, as a row of bars.

Knows numbers and what they are called; knows nothing of puzzles.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import cycle

from sitegen.figures import svg

WIDTH, HEIGHT = 640, 190
LEFT, TOP, FOOT = 12, 26, 26
"""What is left free round the bars, for numbers."""
SIZE = 14
MOST_BARS = 40
MOST_COUNTED, MOST_TICKS = 16, 14
"""With more bars than this their counts are not written on them, and not under each what it stands for."""


def histogram(counts: Mapping[int, int], title: str, what: str, unit: str) -> str:
    """An <svg> with a bar for each number, or for a few that lie together; `counts` has one at least.

    `what` is counted, by a number of `unit`, as in “cases” and “turns”.
    """
    step = _step(counts)
    bars = _bars(counts, step)
    wide = (WIDTH - 2 * LEFT) / max(len(bars), 8)
    highest = max(bars.values())
    every = -(-len(bars) // MOST_TICKS)
    shapes, marks = [], []
    for number, (first, many) in enumerate(bars.items()):
        middle = round(LEFT + (number + 0.5) * wide)
        height = (HEIGHT - TOP - FOOT) * many / highest
        if many:
            shapes.append(_bar(LEFT + number * wide, wide, max(height, 1.5)))
        if number % every == 0:
            marks.append(svg.text(str(first), None, [middle], [HEIGHT - 7]))
        if many and len(bars) <= MOST_COUNTED:
            marks.append(svg.text(f"{many:,}", None, [middle], [round(HEIGHT - FOOT - height) - 6]))
    if len(bars) > MOST_COUNTED:
        top = max(bars, key=bars.__getitem__)
        middle = round(LEFT + (list(bars).index(top) + 0.5) * wide)
        marks.append(svg.text(f"{highest:,}", None, [middle], [TOP - 6]))
    children = [
        svg.words("title", title),
        svg.words("desc", f"{_told(bars, step, what, unit)}."),
        svg.path("".join(shapes), "bar"),
        svg.path(f"M{LEFT} {HEIGHT - FOOT}H{round(LEFT + len(bars) * wide)}", "axis"),
        svg.group("numbers", marks, font_size=SIZE),
    ]
    return svg.written(children, title, class_="chart", viewBox=f"0 0 {WIDTH} {HEIGHT}")


def _step(counts: Mapping[int, int]) -> int:
    """How many numbers share a bar: 1, 2, 5, 10, 20 …"""
    spread = max(counts) - min(counts)
    step = 1
    for factor in cycle((2, 2.5, 2)):
        if spread // step < MOST_BARS:
            break
        step = int(step * factor)
    return step


def _bars(counts: Mapping[int, int], step: int) -> dict[int, int]:
    """For the first number of each bar how many there are, those in between with none."""
    firsts = [number // step * step for number in counts]
    bars = dict.fromkeys(range(min(firsts), max(firsts) + 1, step), 0)
    for number, many in counts.items():
        bars[number // step * step] += many
    return bars


def _bar(left: float, wide: float, height: float) -> str:
    gap = min(wide * 0.12, 4)
    return f"M{left + gap:.1f} {HEIGHT - FOOT}v{-height:.1f}h{wide - 2 * gap:.1f}v{height:.1f}z"


def _told(bars: Mapping[int, int], step: int, what: str, unit: str) -> str:
    """“6 cases of 1 turns, 13 of 2, 4 of 3”."""

    def parts() -> Iterator[str]:
        for first, many in bars.items():
            if many:
                yield f"{many:,} of {first}" + (f" to {first + step - 1}" if step > 1 else "")

    return f"{what} by {unit}: {', '.join(parts())}".capitalize()
