"""How often each number comes up, as a row of bars.

Knows numbers and what they are called; knows nothing of puzzles.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import cycle

from sitegen.figures.parts import CHART, Figure, Part, PartGroup, Path, Text
from sitegen.figures.self_contained import self_contained
from sitegen.figures.style import Paints
from sitegen.figures.svg import on_page

WIDTH, HEIGHT = 640, 190
LEFT, TOP, FOOT = 12, 26, 26
"""What is left free round the bars, for numbers."""
SIZE = 14
FEW_BARS, MOST_BARS = 8, 40
"""Bars are no wider than if there were a few, and no more than many."""
MOST_TICKS = 14
"""With more bars than this it is not written under each what it stands for."""
DIGIT = 0.62 * SIZE
"""How wide a digit is at most."""


def histogram(
    counts: Mapping[int, int], title: str, what: str, unit: str, paints: Paints | None = None
) -> str:
    """An <svg> with a bar for each number, or for a few that lie together; `counts` has one at least.

    `what` is counted, by a number of `unit`, as in “cases” and “turns”. Without `paints` it is for a page,
    which has the rules for it.
    """
    step = _step(counts)
    bars = _bars(counts, step)
    wide = (WIDTH - 2 * LEFT) / max(len(bars), FEW_BARS)
    parts: list[Part] = [
        Path("".join(_shapes(bars, wide)), "bar"),
        Path(f"M{LEFT} {HEIGHT - FOOT}H{round(LEFT + len(bars) * wide)}", "axis"),
        PartGroup("numbers", [*_counts(bars, wide), *_ticks(bars, wide)], size=SIZE),
    ]
    figure = Figure(CHART, title, f"{_told(bars, step, what, unit)}.", WIDTH, HEIGHT, parts)
    return self_contained(figure, paints) if paints else on_page(figure)


def _shapes(bars: Mapping[int, int], wide: float) -> Iterator[str]:
    """The outline of each bar that is not empty."""
    gap = min(wide * 0.12, 4)
    for number, many in enumerate(bars.values()):
        if many:
            left, tall = LEFT + number * wide + gap, max(_height(many, bars), 1.5)
            yield f"M{left:.1f} {HEIGHT - FOOT}v{-tall:.1f}h{wide - 2 * gap:.1f}v{tall:.1f}z"


def _height(many: int, bars: Mapping[int, int]) -> float:
    return (HEIGHT - TOP - FOOT) * many / max(bars.values())


def _counts(bars: Mapping[int, int], wide: float) -> Iterator[Text]:
    """How many there are, on each bar; on the highest alone where there is no room."""
    highest = max(bars, key=bars.__getitem__)
    room = max(len(f"{many:,}") for many in bars.values()) * DIGIT < wide
    for number, (first, many) in enumerate(bars.items()):
        if many and (room or first == highest):
            yield _number(f"{many:,}", LEFT + (number + 0.5) * wide, HEIGHT - FOOT - _height(many, bars) - 6)


def _ticks(bars: Mapping[int, int], wide: float) -> Iterator[Text]:
    """What bars stand for, under some of them."""
    every = -(-len(bars) // MOST_TICKS)
    for number, first in enumerate(bars):
        if number % every == 0:
            yield _number(str(first), LEFT + (number + 0.5) * wide, HEIGHT - 7)


def _number(text: str, middle: float, foot: float) -> Text:
    """A number about a middle, moved in where it would stand out on a side."""
    half = len(text) * DIGIT / 2
    return Text(text, (round(min(max(middle, half), WIDTH - half)),), (round(foot),))


def _step(counts: Mapping[int, int]) -> int:
    """How many numbers share a bar: 1, 2, 5, 10, 20 …"""
    step = 1
    for factor in cycle((2, 2.5, 2)):
        if max(counts) // step - min(counts) // step < MOST_BARS:
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


def _told(bars: Mapping[int, int], step: int, what: str, unit: str) -> str:
    """“Cases by turns: 6 of 1, 13 of 2, 4 of 3”."""

    def parts() -> Iterator[str]:
        for first, many in bars.items():
            if many:
                yield f"{many:,} of {first}" + (f" to {first + step - 1}" if step > 1 else "")

    return f"{what} by {unit}: {', '.join(parts())}".capitalize()
