"""Permutations as bytes and as tuples: two forms, one arithmetic."""

from __future__ import annotations

from functools import reduce

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sympy.combinatorics import Permutation as Independent

from sitegen.puzzles import permutation as perm
from sitegen.puzzles.puzzle import Puzzle, Turn

SMALL = st.integers(1, 40).flatmap(lambda size: st.permutations(range(size)))
PAIRS = st.integers(1, 40).flatmap(lambda n: st.tuples(st.permutations(range(n)), st.permutations(range(n))))


def wide(images: list[int]) -> perm.Permutation:
    """The same permutation on 300 slots, the others kept: too many for bytes."""
    return perm.from_images([*images, *range(len(images), 300)])


def test_up_to_256_slots_are_bytes_and_more_are_a_tuple() -> None:
    assert isinstance(perm.from_images(range(256)), bytes)
    assert isinstance(perm.from_images(range(257)), tuple)
    assert isinstance(perm.identity(256), bytes)
    assert isinstance(perm.identity(257), tuple)


def test_the_largest_cube_is_turned_with_tuples_and_others_with_bytes(cube7: Puzzle, cube5: Puzzle) -> None:
    assert isinstance(cube7.permutation(Turn("R", 1, 1, 1)), tuple)  # 6 · 49 = 294 stickers
    assert isinstance(cube5.permutation(Turn("R", 1, 1, 1)), bytes)  # 6 · 25 = 150 stickers


@given(PAIRS)
def test_both_forms_compose_alike_first_one_then_the_other(pair) -> None:
    a, b = pair
    expected = [b[a[slot]] for slot in range(len(a))]
    assert list(perm.compose(perm.from_images(a), perm.from_images(b)))[: len(a)] == expected
    assert list(perm.compose(wide(a), wide(b)))[: len(a)] == expected


@given(
    st.integers(1, 40).flatmap(lambda n: st.lists(st.permutations(range(n)), max_size=6)), st.integers(0, 6)
)
def test_both_forms_make_all_products_as_they_compose_each(many, cut: int) -> None:
    for form in (perm.from_images, wide):
        firsts, thens = [form(p) for p in many[:cut]], [form(p) for p in many[cut:]]
        each = {perm.compose(first, then) for first in firsts for then in thens}
        assert perm.products(firsts, thens) == each


@given(
    st.integers(1, 5).flatmap(lambda n: st.lists(st.permutations(range(n)), max_size=8)), st.integers(0, 6)
)
def test_both_forms_tell_which_products_are_among_others(many, cut: int) -> None:
    for form in (perm.from_images, wide):
        firsts, thens = [form(p) for p in many[:cut]], [form(p) for p in many[cut:]]
        some = {form(p) for p in many}
        assert perm.products_among(firsts, thens, some) == perm.products(firsts, thens) & some


@given(st.integers(1, 40).flatmap(lambda n: st.lists(st.permutations(range(n)), min_size=1, max_size=6)))
def test_both_forms_do_all_of_a_row_as_they_compose_each_with_the_next(many) -> None:
    for form in (perm.from_images, wide):
        first, *thens = map(form, many)
        assert perm.successive(first, thens) == reduce(perm.compose, thens, first)


@given(SMALL)
def test_both_forms_undo_alike(images) -> None:
    for p in (perm.from_images(images), wide(images)):
        undone = perm.inverse(p)
        assert type(undone) is type(p)
        assert perm.compose(p, undone) == perm.identity(len(p)) == perm.compose(undone, p)


@given(SMALL)
def test_both_forms_have_the_same_cycles_and_order(images) -> None:
    independent = Independent(images)
    for p in (perm.from_images(images), wide(images)):
        assert perm.cycles(p) == sorted(independent.cyclic_form)
        assert perm.order(p) == independent.order()


@given(SMALL, st.integers(-12, 12))
def test_a_power_is_the_permutation_done_that_many_times(images, exponent: int) -> None:
    for p in (perm.from_images(images), wide(images)):
        repeated = perm.identity(len(p))
        for _ in range(abs(exponent)):
            repeated = perm.compose(repeated, p if exponent > 0 else perm.inverse(p))
        assert perm.power(p, exponent) == repeated


@given(SMALL, st.integers(-(10**30), 10**30))
def test_a_power_depends_only_on_the_exponent_modulo_the_order(images, exponent: int) -> None:
    for p in (perm.from_images(images), wide(images)):
        assert perm.power(p, exponent) == perm.power(p, exponent % perm.order(p))


@pytest.mark.parametrize("size", [1, 54, 256, 257, 294])
def test_the_identity_has_no_cycles_and_order_1(size: int) -> None:
    assert perm.cycles(perm.identity(size)) == []
    assert perm.order(perm.identity(size)) == 1
    assert perm.identity(size) == perm.from_images(range(size))
