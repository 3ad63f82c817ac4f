"""Groups: a member that does what is asked, or none; and members at random, each as likely as any other."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitegen.effects.membership import Group
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Puzzle

POINTS = 6


def brute_force(generators: Iterable[Permutation]) -> set[Permutation]:
    """Everything that can be composed of them."""
    tables = list(generators)
    found = {perm.identity(len(tables[0]))}
    waiting = list(found)
    for p in waiting:
        for table in tables:
            there = perm.compose(p, table)
            if there not in found:
                found.add(there)
                waiting.append(there)
    return found


generators = st.lists(st.permutations(range(POINTS)).map(perm.from_images), min_size=1, max_size=3)
first_points = st.lists(st.sampled_from(range(POINTS)), unique=True, max_size=POINTS)
somewhere = st.sets(st.sampled_from(range(POINTS)), min_size=1)


@given(generators, first_points, st.data())
def test_some_member_does_what_is_asked_just_where_there_is_one(
    generators: list[Permutation], first: list[int], data: st.DataObject
) -> None:
    """Brute force in this test, through all members."""
    allowed = {point: data.draw(somewhere) for point in first}
    everyone = brute_force(generators)
    fitting = {p for p in everyone if all(p[point] in allowed[point] for point in first)}
    found = Group(generators, first).some(allowed)
    assert (found in fitting) if fitting else (found is None)


def test_what_no_member_does_is_not_found() -> None:
    """By hand: of the turns of a square none takes corner 0 to 1 and leaves 2 where it is; a mirror does."""
    turn, mirror = (perm.from_images(images) for images in ((1, 2, 3, 0), (0, 3, 2, 1)))
    assert Group([turn], (0, 2)).some({0: {1}, 2: {2}}) is None
    assert Group([turn, mirror], (0, 2)).some({0: {1}, 2: {2}}) is None
    assert Group([turn, mirror], (1, 0)).some({1: {3}, 0: {0}}) == mirror
    assert Group([turn], (1,)).some({1: {3}}) == perm.from_images((2, 3, 0, 1))


@given(generators, first_points)
def test_the_points_that_come_first_change_nothing_of_the_group(
    generators: list[Permutation], first: list[int]
) -> None:
    group, everyone = Group(generators, first), brute_force(generators)
    assert group.order == len(everyone)
    assert all(p in group for p in everyone)


@given(generators, first_points, st.integers(0, 1000))
def test_any_member_is_a_member(generators: list[Permutation], first: list[int], seed: int) -> None:
    group, everyone, random = Group(generators, first), brute_force(generators), Random(seed)
    assert all(group.any(random) in everyone for _ in range(10))


SMALL: dict[str, tuple[int, Callable[[Callable[..., Permutation], Puzzle], list[Permutation]]]] = {
    # Singmaster, *Notes on Rubik's 'Magic Cube'*: R2 U2 has order 6, so that both generate twice as many.
    "two half turns": (12, lambda turned, cube: [turned("R2", cube), turned("U2", cube)]),
    # 4! and 4! / 2.
    "every order of four": (24, lambda *_: [*map(perm.from_images, ((1, 2, 3, 0), (1, 0, 2, 3)))]),
    "even orders of four": (12, lambda *_: [*map(perm.from_images, ((1, 2, 0, 3), (0, 2, 3, 1)))]),
}
RARE = {12: 31.26, 24: 49.73}
"""What chi-square exceeds once in a thousand, by how many members there are: tables (from memory)."""


@pytest.mark.parametrize("first", [(), (2, 3)])
@pytest.mark.parametrize("name", SMALL)
def test_every_member_comes_about_equally_often(name: str, first: tuple[int, ...], turned, cube3) -> None:
    order, make = SMALL[name]
    made = make(turned, cube3)
    group, random = Group(made, first), Random(1)
    assert len(brute_force(made)) == group.order == order
    often = 200
    counts = Counter(group.any(random) for _ in range(often * order))
    assert counts.keys() == brute_force(made)
    assert sum((count - often) ** 2 / often for count in counts.values()) < RARE[order]
