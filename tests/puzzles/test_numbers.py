"""Numbers in definitions, as authors write them: held against Python's own arithmetic of the same signs."""

from __future__ import annotations

from math import isclose, isfinite, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitegen.problems import Problem, written
from sitegen.puzzles.numbers import read_number


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("0", 0),
        ("0.4", 0.4),
        (".5", 0.5),
        ("5.", 5),
        ("-1/3", -1 / 3),
        ("+1/3", 1 / 3),
        ("2 / 3", 2 / 3),
        ("−1/3", -1 / 3),
        ("0.7071067811865475", sqrt(0.5)),
        ("0.70710678118654752440084436210485", sqrt(0.5)),
        ("1/sqrt(2)", sqrt(0.5)),
        ("sqrt(5)/3", sqrt(5) / 3),
        ("sqrt(1/2)", sqrt(0.5)),
        ("-sqrt(2)/2", -sqrt(0.5)),
        ("√2/2", sqrt(0.5)),
        ("√(2)/2", sqrt(0.5)),
        ("(sqrt(5) - 1)/4", (sqrt(5) - 1) / 4),
        ("1 - 2*1/3", 1 / 3),
        ("2*sqrt(3)/9", 2 * sqrt(3) / 9),
        ("1/2/2", 0.25),
    ],
)
def test_a_number_is_what_it_says(text: str, number: float) -> None:
    assert read_number(written(text)) == pytest.approx(number, abs=1e-15)


@st.composite
def sums(draw, depth: int = 3) -> str:
    """Arithmetic that Python reads as well."""
    if not depth or draw(st.booleans()):
        return draw(st.sampled_from(["1", "2", "3", "0.5", "0", "12.25"]))
    a, b = draw(sums(depth - 1)), draw(sums(depth - 1))
    return draw(st.sampled_from([f"{a} + {b}", f"{a}-{b}", f"{a}*{b}", f"{a}/{b}", f"({a})", f"sqrt({a})"]))


@given(sums().filter(lambda text: len(text) <= 60))
def test_signs_bind_as_in_arithmetic(text: str) -> None:
    try:
        expected = eval(text, {"sqrt": sqrt})  # a text of our own making, of digits and signs alone
    except (ZeroDivisionError, ValueError):
        with pytest.raises(Problem):
            read_number(written(text))
        return
    assert isclose(read_number(written(text)), expected, abs_tol=1e-12)


@pytest.mark.parametrize(
    ("text", "column", "message"),
    [
        ("deep", 1, "expected a number; found “deep”"),
        ("nan", 1, "expected a number; found “nan”"),
        ("1e9", 2, "expected the end of the number; found “e9”"),
        ("1/0", 3, "nothing can be divided by 0"),
        ("1/(1-1)", 3, "nothing can be divided by 0"),
        ("sqrt(-2)", 5, "only what is not below 0 has a root"),
        ("sqrt(2", 7, "expected “)”; the text ends here"),
        ("sqrt", 5, "expected a number; the text ends here"),
        ("2)", 2, "expected the end of the number; found “)”"),
        ("0.1.2", 4, "expected the end of the number; found “.2”"),
        ("1 2", 3, "expected the end of the number; found “2”"),
        ("__import__('os')", 1, "expected a number; found “__import__('os')”"),
        ("9" * 400, 1, "this number is too long"),
        ("(" * 5000, 1, "this number is too long"),
    ],
)
def test_what_is_no_number_is_marked_where_it_fails(text: str, column: int, message: str) -> None:
    with pytest.raises(Problem) as caught:
        read_number(written(text))
    assert (caught.value.passage.column, caught.value.message) == (column, message)
    assert caught.value.hint


@given(st.text(st.sampled_from("0123456789./*-+()√ sqrt"), max_size=70))
def test_any_text_is_a_number_or_a_problem(text: str) -> None:
    try:
        assert isfinite(read_number(written(text)))
    except Problem:
        return
