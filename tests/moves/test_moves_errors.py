"""Every way moves can be wrong: said in words, with line and column, a marker, and what to do."""

from __future__ import annotations

from dataclasses import dataclass

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitegen.moves.parse import DEEPEST, LARGEST, parse
from sitegen.moves.tree import Series
from sitegen.problems import Problem, written
from sitegen.puzzles import catalogue
from sitegen.puzzles.puzzle import Puzzle


@dataclass(frozen=True)
class Wrong:
    """A text, the markers that must stand under it, and words of the message and of the hint."""

    text: str
    marks: str
    said: str
    hint: str
    size: int = 3


WRONG = {
    "a bracket closed that was not opened": Wrong("R U)", "   ^", "“)” closes nothing", "open with “(”"),
    "a square one closed that was not opened": Wrong("R ] U", "  ^", "“]” closes nothing", "open with “[”"),
    "a group not closed": Wrong("D (R U", "  ^", "“(” is not closed", "“)”"),
    "a commutator not closed": Wrong("[R, U", "^", "“[” is not closed", "“]”"),
    "a bracket with one part, not closed": Wrong("[R U", "^", "“[” is not closed", "a comma or a colon"),
    "the inner of two groups not closed": Wrong("((R) (U", "     ^", "“(” is not closed", "“)”"),
    "brackets closed in the wrong order": Wrong("(R U]", "    ^", "expected “)”; found “]”", "order"),
    "square brackets closed by a round one": Wrong("[R, U)", "     ^", "expected “]”; found “)”", "order"),
    "a bracket with one part": Wrong("[R U]", "    ^", "expected a comma or a colon", "commutator"),
    "nothing before the comma": Wrong("[, R]", " ^", "nothing stands before the “,”", "two parts"),
    "nothing after the colon": Wrong("[R: ]", "  ^", "nothing stands after the “:”", "two parts"),
    "a comma outside brackets": Wrong("R, U", " ^", "“,” stands outside square brackets", "[A, B]"),
    "a colon in a group": Wrong("(R: U)", "  ^", "“:” stands outside square brackets", "[A: B]"),
    "a third part": Wrong("[R, U, F]", "     ^", "“,”", "two parts"),
    "a block of all layers": Wrong("U 3Rw", "  ^^^", "3Rw turns all 3 layers of cube-3", "write x to turn"),
    "a block of more than all layers": Wrong("5Rw", "^^^", "no outer block of 5 layers", "2 to 3", size=4),
    "a block of one layer": Wrong("1Rw", "^^^", "no outer block of 1 layers", "2 to 2"),
    "a block on the smallest cube": Wrong(
        "Rw", "^^", "turns all 2 layers of cube-2", "write x to turn", size=2
    ),
    "a block from inside": Wrong("2-3Rw", "^^^^^", "begins at the face", "3Rw", size=5),
    "lower case on a larger cube": Wrong("r", "^", "read in two ways", "Rw", size=4),
    "lower case with its amount": Wrong("U r2'", "  ^", "read in two ways", "2R", size=4),
    "lower case on the smallest cube": Wrong("r", "^", "not a turn of cube-2", "write R", size=2),
    "lower case with a w": Wrong("rw", "^^", "“rw” is not a turn", "write Rw"),
    "a number and lower case": Wrong("2r", "^^", "“2r” is read in two ways", "write Rw for layers 1 to 2"),
    "the third layer in lower case": Wrong(
        "3r", "^^", "read in two ways", "3Rw for layers 1 to 3 together, or 3R for layer 3 alone", size=4
    ),
    "layers in lower case": Wrong("2-3r", "^^^^", "“2-3r” is not a turn", "write 2-3R", size=4),
    "a layer in lower case that there is not": Wrong("5r", "^^", "no inner slice 5R", "2 to 4", size=5),
    "a middle slice of an even cube": Wrong("M", "^", "no middle layer for M", "2L", size=4),
    "a middle slice of the smallest cube": Wrong(
        "E'", "^", "no middle layer for E", "no layer in the middle; turn D or U", size=2
    ),
    "a middle slice of the smallest cube, along": Wrong(
        "M", "^", "no middle layer for M", "no layer in the middle; turn L or R", size=2
    ),
    "a numbered middle": Wrong("2M", "^^", "takes no layer numbers", "write M alone"),
    "a wide rotation": Wrong("xw", "^^", "takes no layer numbers and no w", "write x alone"),
    "the outer layer as a slice": Wrong("1R", "^^", "no inner slice 1R", "R alone"),
    "the far outer layer as a slice": Wrong("3R", "^^", "no inner slice 3R", "inner layers of cube-3: 2;"),
    "layers backwards": Wrong("3-2R", "^^^^", "run backwards", "2-3R", size=5),
    "a range without its end": Wrong("2-R", "^^^", "2-R", "2-3R", size=5),
    "a block with a range without its end": Wrong("2-Rw", "^^^^", "2-Rw", "Rw", size=5),
    "three quarter turns": Wrong("U R3", "   ^", "R3 is not a turn", "write R'"),
    "three quarter turns back": Wrong("R3'", " ^", "R3 is not a turn", "write R"),
    "four quarter turns": Wrong("R4", " ^", "R4 is not a turn", "(R)4"),
    "one quarter turn": Wrong("R1", " ^", "R1 is not a turn", "leave the 1 out"),
    "a vast amount": Wrong("R12345", " ^^^^^", "R12345 is not a turn", "(R)12345"),
    "a number behind the prime": Wrong("R'2", "  ^", "the prime comes last and once", "write R2'"),
    "two primes": Wrong("R''", "  ^", "the prime comes last and once", "write R"),
    "two primes behind a half turn": Wrong("R2''", "   ^", "the prime comes last and once", "write R2"),
    "a number that follows nothing": Wrong("2 R", "^", "“2” follows no turn", "right behind"),
    "a number after a space": Wrong("R 2", "  ^", "“2” follows no turn", "right behind"),
    "a prime after a space": Wrong("R ’", "  ^", "“’” follows no turn", "right behind"),
    "a number in a group, after a space": Wrong("(R 2)", "   ^", "“2” follows no turn", "right behind"),
    "a second prime behind a group": Wrong("(R U)''", "      ^", "“'” follows no turn", "right behind"),
    "a letter that is no turn": Wrong("R Q U", "  ^", "found “Q”", "turns are R U F L D B"),
    "a letter that is no turn, on the second line": Wrong("R\nU Q", "\n  ^", "found “Q”", "turns are"),
    "a letter that is no turn, in a group": Wrong("(R Q)", "   ^^", "expected a turn", "turns are"),
    "a letter that is no turn, in a bracket": Wrong("[Q, R]", " ^^", "expected a turn", "turns are"),
    "a sign that means nothing": Wrong("R ; U", "  ^", "found “;”", "take it away"),
    "moves in quotation marks": Wrong('"R U"', "^^", 'found “"R”', "leave out the quotation marks"),
    "moves in curly ones": Wrong("“R U”", "^^", "found ““R”", "leave out the quotation marks"),
    "a quotation mark at the end": Wrong("R U”", "   ^", "found “””", "leave out the quotation marks"),
    "a backtick for a prime": Wrong("R U` F", "   ^", "found “`”", "the prime is written '"),
    "an opening mark for a prime": Wrong("R‘ U", " ^", "found “‘”", "the prime is written '"),
    "an accent for a prime": Wrong("(R´)", "  ^^", "found “´)”", "the prime is written '"),
    "a rotation in capitals": Wrong("R X' U", "  ^^", "found “X'”", "is it x?"),
    "a rotation in capitals with its amount": Wrong("Y2", "^^", "found “Y2”", "is it y?"),
    "a slice in small letters": Wrong("R m U", "  ^", "found “m”", "is it M?"),
    "a slice that an even cube does not have": Wrong("m", "^", "found “m”", "turns are", size=4),
    "a word that begins like a turn": Wrong("Xyl", "^^^", "found “Xyl”", "turns are"),
    "an at-sign alone": Wrong("R @", "  ^", "found “@”", "@"),
    "a reference with a capital": Wrong("@Lift", "^^^^^", "found “@Lift”", "small letters"),
    "too vast a repeat": Wrong("(R U)1000000000001", "     ^^^^^^^^^^^^^", "1,000,000,000,000", "smaller"),
    "brackets too deep": Wrong("(" * 41 + "R" + ")" * 41, " " * 40 + "^", "more than 40 deep", "@name"),
    "square ones too deep": Wrong("[R:" * 41 + "R" + "]" * 41, " " * 120 + "^", "more than 40 deep", "@name"),
}


@pytest.mark.parametrize("wrong", WRONG.values(), ids=WRONG.keys())
def test_an_error_says_what_where_and_what_to_do(wrong: Wrong) -> None:
    with pytest.raises(Problem) as caught:
        parse(written(wrong.text), catalogue.puzzle(f"cube-{wrong.size}"))
    problem = caught.value
    assert wrong.said in problem.message
    assert wrong.hint in problem.hint
    assert problem.hint
    marks = wrong.marks.split("\n")
    line, column = len(marks), marks[-1].index("^") + 1
    assert problem.headline() == f"moves:{line}:{column}: {problem.message}"
    assert len(problem.passage.text) == marks[-1].count("^")
    if column < 48:  # a longer line is shown in part
        assert problem.passage.excerpt() == f"    {wrong.text.splitlines()[line - 1]}\n    {marks[-1]}"


@pytest.mark.parametrize("size", range(4, 8))
def test_lower_case_on_larger_cubes_names_both_readings(size: int) -> None:
    with pytest.raises(Problem) as caught:
        parse(written("l"), catalogue.puzzle(f"cube-{size}"))
    assert "Lw" in caught.value.hint
    assert "2L" in caught.value.hint


def test_the_bounds_themselves_are_allowed(cube3: Puzzle) -> None:
    parse(written("(" * DEEPEST + "R" + ")" * DEEPEST), cube3)
    parse(written(f"(R){LARGEST}"), cube3)


NINES = "9" * 5000
"""More digits than Python reads as a number unasked."""


@pytest.mark.parametrize(
    "text",
    ["(" * 100_000, "[" * 100_000, "(R)" + NINES * 20, "R" + NINES, NINES + "R", NINES + "Rw", NINES + "-3R"],
    ids=["groups", "brackets", "repeat", "amount", "layer", "block", "range"],
)
def test_input_of_any_size_is_refused_and_not_broken_by(cube3: Puzzle, text: str) -> None:
    with pytest.raises(Problem) as caught:
        parse(written(text), cube3)
    assert caught.value.hint
    assert max(map(len, caught.value.passage.excerpt().split("\n"))) < 120


@pytest.mark.parametrize("text", [NINES + "R", "R" + NINES], ids=["layer", "amount"])
def test_a_message_stays_short_however_long_the_number(cube3: Puzzle, text: str) -> None:
    with pytest.raises(Problem) as caught:
        parse(written(text), cube3)
    assert len(caught.value.message) < 300


@given(st.text(alphabet="RUFMxrwQ()[],:'’2390- @ab\n\t", max_size=40), st.sampled_from(range(2, 8)))
def test_any_text_is_read_or_refused_with_a_place_inside_it(text: str, size: int) -> None:
    found = read_or_refused(text, catalogue.puzzle(f"cube-{size}"))
    if isinstance(found, Problem):
        assert 0 <= found.passage.start <= found.passage.end <= len(text)
        assert found.message
        assert found.hint
        assert "None" not in found.message + found.hint
        assert found.passage.excerpt().endswith("^")
    else:
        assert found.passage.text == text.strip()


def read_or_refused(text: str, puzzle: Puzzle) -> Series | Problem:
    try:
        return parse(written(text), puzzle)
    except Problem as problem:
        return problem
