"""The chart of how often each number comes up: bars in proportion, nothing untold, nothing outside."""

from __future__ import annotations

import re
from itertools import pairwise
from xml.etree import ElementTree

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from sitegen.figures.chart import MOST_BARS, histogram

Bar = tuple[float, float, float, float]
"""Left, right, top and bottom."""
NUMBER = r"(-?\d+(?:\.\d+)?)"
COUNTS = st.dictionaries(st.integers(0, 3_000), st.integers(1, 400_000), min_size=1, max_size=60)
FEW = st.dictionaries(st.integers(0, 30), st.integers(1, 400_000), min_size=1, max_size=30)


def chart(counts: dict[int, int], title: str = "Cases") -> ElementTree.Element:
    return ElementTree.fromstring(histogram(counts, title, "cases", "turns"))


def bars(svg: ElementTree.Element) -> list[Bar]:
    (path,) = [e for e in svg.iter("path") if e.get("class") == "bar"]
    drawn = re.findall(rf"M{NUMBER} {NUMBER}v{NUMBER}h{NUMBER}v{NUMBER}z", path.get("d", ""))
    assert re.sub(rf"M{NUMBER} {NUMBER}v{NUMBER}h{NUMBER}v{NUMBER}z", "", path.get("d", "")) == ""
    found = []
    for left, foot, up, wide, down in [tuple(map(float, bar)) for bar in drawn]:
        assert up == -down
        found.append((left, left + wide, foot + up, foot))
    return found


def heights(svg: ElementTree.Element) -> list[float]:
    return [foot - top for _, _, top, foot in bars(svg)]


def told(svg: ElementTree.Element) -> dict[tuple[int, int], int]:
    """From the description: for each number, or the first and the last of several, how often they come up."""
    text = svg.findtext("desc") or ""
    parts = re.findall(r"([\d,]+) of (\d+)(?: to (\d+))?", text)
    assert len(parts) == text.count(" of ")
    return {(int(a), int(b or a)): int(many.replace(",", "")) for many, a, b in parts}


def texts(svg: ElementTree.Element) -> list[tuple[str, float, float]]:
    """What is written, and where: x in the middle, y at the foot."""
    found = [(e.text or "", e.get("x", ""), e.get("y", "")) for e in svg.iter("text")]
    return [(text, float(x), float(y)) for text, x, y in found]


def width(text: str, size: float) -> float:
    """No wider than it is for certain: a digit takes half its height and more in any common typeface."""
    return size * sum(0.5 if letter.isdigit() else 0.2 for letter in text)


def size(svg: ElementTree.Element) -> float:
    (found,) = [float(e.get("font-size", "0")) for e in svg.iter("g") if e.get("font-size")]
    return found


def box(svg: ElementTree.Element) -> tuple[float, float]:
    left, top, right, bottom = map(float, svg.get("viewBox", "").split())
    assert (left, top) == (0, 0)
    return right, bottom


# Bars -----------------------------------------------------------------------------------------------------


def test_a_bar_is_as_high_as_its_count() -> None:
    low, high, middle = heights(chart({0: 1, 1: 6, 2: 5}))
    assert low / high == pytest.approx(1 / 6, abs=0.002)
    assert middle / high == pytest.approx(5 / 6, abs=0.002)


@settings(max_examples=60)
@given(FEW)
def test_bars_are_in_proportion_and_even_the_least_is_seen(counts: dict[int, int]) -> None:
    drawn = heights(chart(counts))
    highest = max(drawn)
    for (_, many), height in zip(sorted(counts.items()), drawn, strict=True):
        exact = highest * many / max(counts.values())
        assert height == pytest.approx(exact, abs=0.15) or (exact < height <= 3)
        assert height >= 1


def test_a_number_that_does_not_come_up_has_a_place_and_no_bar() -> None:
    # By hand: of the five places from 1 to 5 the first, the second and the last are taken.
    first, second, last = bars(chart({1: 3, 2: 3, 5: 3}))
    step = second[0] - first[0]
    assert last[0] - first[0] == pytest.approx(4 * step, abs=0.3)
    assert {text for text, _, y in texts(chart({1: 3, 2: 3, 5: 3})) if y > last[3]} == {*"12345"}


def test_bars_stand_side_by_side_on_one_line() -> None:
    drawn = bars(chart({n: n + 1 for n in range(12)}))
    assert {foot for *_, foot in drawn} == {drawn[0][3]}
    assert all(one[1] < other[0] for one, other in pairwise(drawn))


def test_a_line_runs_below_all_bars() -> None:
    svg = chart({n: n + 1 for n in range(12)})
    (line,) = [e.get("d", "") for e in svg.iter("path") if e.get("class") == "axis"]
    left, height, right = map(float, re.fullmatch(rf"M{NUMBER} {NUMBER}H{NUMBER}", line).groups())  # type: ignore[union-attr]
    first, *_, last = bars(svg)
    assert height == first[3]
    assert 0 <= left <= first[0]
    assert last[1] <= right <= box(svg)[0]


def test_where_counts_have_no_room_the_highest_alone_has_its() -> None:
    counts = {n: 100_000 + n * (30 - n) for n in range(25)}
    svg = chart(counts)
    above = [(text, x) for text, x, y in texts(svg) if y < bars(svg)[0][3]]
    left, right, *_ = bars(svg)[15]
    [(text, x)] = above
    assert text == "100,225"  # 15 times 15 by hand
    assert left < x < right


def test_the_order_in_which_numbers_are_given_does_not_matter() -> None:
    assert histogram({2: 5, 0: 1, 1: 6}, "T", "cases", "turns") == histogram(
        {0: 1, 1: 6, 2: 5}, "T", "cases", "turns"
    )


def test_one_number_alone_is_one_bar() -> None:
    svg = chart({5: 3})
    (bar,) = bars(svg)
    assert bar[1] - bar[0] < box(svg)[0] / 4  # and no wall
    assert told(svg) == {(5, 5): 3}
    assert sorted(text for text, *_ in texts(svg)) == ["3", "5"]


def test_each_bar_has_its_count_above_it_and_its_number_below() -> None:
    svg = chart({3: 1_500, 4: 20, 5: 700})
    for (left, right, top, foot), number, many in zip(
        bars(svg), ("3", "4", "5"), ("1,500", "20", "700"), strict=True
    ):
        inside = {text: y for text, x, y in texts(svg) if left <= x <= right}
        assert inside[many] < top
        assert inside[number] > foot


# Numbers that lie together --------------------------------------------------------------------------------


def test_there_are_as_many_bars_as_there_may_be_and_never_more() -> None:
    assert len(bars(chart(dict.fromkeys(range(1, 41), 1)))) == MOST_BARS == 40
    for last in range(41, 400):  # by twos from 1 to 80 they were 41
        assert len(bars(chart(dict.fromkeys(range(1, last + 1), 1)))) <= MOST_BARS


@settings(max_examples=60)
@given(COUNTS)
@example(dict.fromkeys(range(50), 7))
@example(dict.fromkeys(range(3, 900, 3), 2))
def test_numbers_that_spread_widely_share_bars_and_none_is_lost(counts: dict[int, int]) -> None:
    svg = chart(counts)
    found = told(svg)
    assert len(bars(svg)) == len(found)
    (wide,) = {last - first + 1 for first, last in found}
    assert re.fullmatch("[125]0*", str(wide)), "1, 2, 5, 10, 20 …"
    for (first, last), many in found.items():
        assert many == sum(count for number, count in counts.items() if first <= number <= last)
    assert sum(found.values()) == sum(counts.values())


def test_as_long_as_there_is_room_every_number_has_a_bar_of_its_own() -> None:
    counts = {n: n + 1 for n in range(7, 40)}
    assert told(chart(counts)) == {(n, n): many for n, many in counts.items()}


def test_bars_begin_at_round_numbers() -> None:
    starts = [first for first, _ in told(chart(dict.fromkeys(range(37, 180), 1)))]
    step = starts[1] - starts[0]
    assert step in (2, 5, 10)
    assert all(start % step == 0 for start in starts)


# What it says ---------------------------------------------------------------------------------------------


def test_the_description_tells_what_is_counted_and_by_what() -> None:
    svg = chart({0: 1, 1: 6, 2: 1_234})
    assert svg.findtext("desc") == "Cases by turns: 1 of 0, 6 of 1, 1,234 of 2."
    assert svg.findtext("title") == "Cases"
    assert svg.get("role") == "img"


def test_nothing_is_told_of_a_number_that_does_not_come_up() -> None:
    assert told(chart({1: 3, 5: 3})) == {(1, 1): 3, (5, 5): 3}


@pytest.mark.parametrize("title", ["<b>", "a & b", '"quoted"', "]]>", "é 🧩"])
def test_any_title_is_well_formed(title: str) -> None:
    svg = chart({1: 1}, title)
    assert svg.findtext("title") == title


# Where everything is --------------------------------------------------------------------------------------

WIDE = [
    {0: 1},
    dict.fromkeys(range(41), 1),
    dict.fromkeys(range(16), 100_000),
    dict.fromkeys(range(12), 12_345),
    {**dict.fromkeys(range(40), 1), 0: 400_000},
    {**dict.fromkeys(range(40), 1), 39: 400_000},
    {0: 1, 1_000_000: 1},
    dict.fromkeys(range(0, 20_000, 7), 1),
]


@pytest.mark.parametrize("counts", WIDE)
def test_everything_is_inside(counts: dict[int, int]) -> None:
    svg = chart(counts)
    right, bottom = box(svg)
    assert all(0 <= a < b <= right and 0 <= top < foot <= bottom for a, b, top, foot in bars(svg))
    for text, x, y in texts(svg):
        half = width(text, size(svg)) / 2
        assert x - half >= 0, text
        assert x + half <= right, text
        assert y - 0.7 * size(svg) >= 0, text
        assert y <= bottom, text


@pytest.mark.parametrize("counts", WIDE)
def test_no_number_is_written_over_another(counts: dict[int, int]) -> None:
    svg = chart(counts)
    written = [(text, x, y, width(text, size(svg)) / 2) for text, x, y in texts(svg)]
    for i, (one, x, y, half) in enumerate(written):
        for other, x2, y2, half2 in written[:i]:
            apart = abs(y - y2) >= 0.6 * size(svg) or abs(x - x2) >= half + half2
            assert apart, f"{one} and {other}"


@settings(max_examples=60)
@given(COUNTS)
def test_every_bar_is_inside(counts: dict[int, int]) -> None:
    svg = chart(counts)
    right, bottom = box(svg)
    assert all(0 <= a < b <= right and 0 <= top < foot <= bottom for a, b, top, foot in bars(svg))


def test_the_same_counts_give_the_same_bytes() -> None:
    counts = {n: n * n + 1 for n in range(50)}
    assert histogram(counts, "T", "cases", "turns") == histogram(dict(counts), "T", "cases", "turns")
