"""What an author may write as moves (design, section 4), and what each writing means."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress

import pytest
from turned_text import does

from sitegen.moves.notation import layers_of, write
from sitegen.moves.parse import parse
from sitegen.moves.references import resolve_one
from sitegen.moves.tree import Commutator, Conjugate, Reference, Repeat, SingleTurn
from sitegen.moves.turning import MOST_TURNS, expand, number_in_words, permutation, turn_count
from sitegen.problems import Problem, Source, written
from sitegen.puzzles import catalogue
from sitegen.puzzles.permutation import Permutation, order, power
from sitegen.puzzles.puzzle import Puzzle, Turn

Turned = Callable[[str, Puzzle], Permutation]


@pytest.mark.parametrize(
    ("size", "text", "turn"),
    [
        (3, "R", Turn("R", 1, 1, 1)),
        (3, "R'", Turn("R", 1, 1, -1)),
        (3, "R2", Turn("R", 1, 1, 2)),
        (3, "R2'", Turn("R", 1, 1, -2)),
        (3, "R’", Turn("R", 1, 1, -1)),
        (3, "R′", Turn("R", 1, 1, -1)),
        (3, "R2′", Turn("R", 1, 1, -2)),
        (3, "Rw", Turn("R", 1, 2, 1)),
        (3, "r", Turn("R", 1, 2, 1)),  # common practice
        (3, "r2'", Turn("R", 1, 2, -2)),
        (3, "2R", Turn("R", 2, 2, 1)),
        (3, "M", Turn("L", 2, 2, 1)),
        (3, "E'", Turn("D", 2, 2, -1)),
        (3, "S2", Turn("F", 2, 2, 2)),
        (5, "M", Turn("L", 3, 3, 1)),
        (3, "x", Turn("R", 1, 3, 1)),
        (4, "y'", Turn("U", 1, 4, -1)),
        (2, "z2", Turn("F", 1, 2, 2)),
        (4, "3Rw'", Turn("R", 1, 3, -1)),
        (4, "2R", Turn("R", 2, 2, 1)),
        (5, "2-3R2", Turn("R", 2, 3, 2)),
        (7, "3-5B'", Turn("B", 3, 5, -1)),
    ],
)
def test_one_turn(size: int, text: str, turn: Turn) -> None:
    tree = parse(written(text), catalogue.puzzle(f"cube-{size}"))
    assert expand(tree) == (turn,)


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("", ""),
        (" \n\t ", ""),
        ("RU", "R U"),
        ("R2U'F", "R2 U' F"),
        ("R\n  U\tF", "R U F"),
        ("(R U)3", "R U R U R U"),
        ("(R U)'", "U' R'"),
        ("(R U2)2'", "U2' R' U2' R'"),
        ("(R U)0", ""),
        ("(R U)1", "R U"),
        ("()", ""),
        ("((R) U)", "R U"),
        ("[R, U]", "R U R' U'"),
        ("[R: U]", "R U R'"),
        ("[R,U]2", "R U R' U' R U R' U'"),
        ("[R, U]'", "U R U' R'"),
        ("[R: U]'", "R U' R'"),
        ("[R U: [F, D]]", "R U F D F' D' U' R'"),
        ("[[R: U], F]", "R U R' F R U' R' F'"),
        ("[ R , U ]", "R U R' U'"),
        ("(R U)3Rw", "R U R U R U Rw"),
        ("(R (U F)2)’", "F' U' F' U' R'"),
    ],
)
def test_what_a_writing_means_turn_by_turn(cube3: Puzzle, text: str, meant: str) -> None:
    assert expand(parse(written(text), cube3)) == expand(parse(written(meant), cube3))


def test_the_tree_keeps_what_was_written_and_where(cube3: Puzzle) -> None:
    tree = parse(written("R (U F)2' [D, @lift] [L: B]"), cube3)
    assert [type(item) for item in tree.items] == [SingleTurn, Repeat, Commutator, Conjugate]
    assert [item.passage.text for item in tree.items] == ["R", "(U F)2'", "[D, @lift]", "[L: B]"]
    assert [item.passage.column for item in tree.items] == [1, 3, 11, 22]
    reference = tree.items[2].b.items[0]
    assert isinstance(reference, Reference)
    assert (reference.name, reference.passage.text, reference.passage.column) == ("lift", "@lift", 15)


def test_columns_and_lines_are_those_of_the_file_the_text_stands_in(cube3: Puzzle) -> None:
    source = Source("content/a.md", "R U\nF (D B)", first_line=7, indent=2)
    tree = parse(source.passage(), cube3)
    assert [(i.passage.line, i.passage.column) for i in tree.items] == [(7, 3), (7, 5), (8, 3), (8, 6)]


@pytest.mark.parametrize("prime", ["", "'", "’"])
def test_a_reference_stands_for_the_moves_it_names(cube3: Puzzle, turned: Turned, prime: str) -> None:
    known = {"lift-edge": parse(written("F D' U L2"), cube3)}
    tree = resolve_one(parse(written(f"R @lift-edge{prime} U"), cube3), known)
    assert permutation(tree, cube3) == turned(f"R (F D' U L2){prime} U", cube3)
    assert turn_count(tree) == 6


@pytest.mark.parametrize(
    ("size", "text"),
    [
        *((3, text) for text in ("R", "R'", "R2", "Rw", "M", "M'", "E", "S2", "x", "y'", "z2", "Dw'")),
        *((4, text) for text in ("3Rw", "2R", "2L'", "2-3R", "2-3L", "2-3B'")),
        *((5, text) for text in ("M", "2R", "4Uw'", "2-3F", "2-4R", "2-4D")),
    ],
)
def test_a_turn_is_written_as_an_author_would_write_it(size: int, text: str) -> None:
    cube = catalogue.puzzle(f"cube-{size}")
    (turn,) = expand(parse(written(text), cube))
    assert write(turn, cube) == text


def test_letters_name_layers_whatever_the_amount(cube3: Puzzle) -> None:
    assert layers_of("Rw", cube3) == Turn("R", 1, 2, 1)


# --- repeats are powers ---------------------------------------------------------------------------


@pytest.mark.parametrize("count", [105, 106, 100_000_000, 10**12])
def test_a_repeat_is_a_power_of_a_permutation(cube3: Puzzle, turned: Turned, count: int) -> None:
    """R U has order 105 (Singmaster), so only the count modulo 105 matters."""
    once = turned("R U", cube3)
    assert order(once) == 105
    short = turned(" ".join(["R U"] * (count % 105)), cube3)
    assert turned(f"(R U){count}", cube3) == short == power(once, count)
    assert turned(f"(R U){count}'", cube3) == power(once, -count)


def test_repeats_of_repeats_multiply(cube3: Puzzle, turned: Turned) -> None:
    text = "R U"
    for _ in range(30):
        text = f"({text})1000000000000"
    assert turned(text, cube3) == power(turned("R U", cube3), pow(10, 12 * 30, 105))
    assert turn_count(parse(written(text), cube3)) == 2 * 10**360


def test_as_many_turns_as_the_bound_are_written_out_and_one_more_is_an_error_with_the_count(cube3) -> None:
    """Design, section 9: past 100,000 written turns is an error with the count."""
    assert MOST_TURNS == 100_000
    assert len(expand(parse(written("(R)100000"), cube3))) == 100_000
    with pytest.raises(Problem) as caught:
        expand(parse(written("R (U F)50000"), cube3))
    assert "100,001" in caught.value.message
    assert "100,000" in caught.value.message
    assert caught.value.hint


def test_an_error_about_a_count_stays_short_however_large_the_count(cube3: Puzzle) -> None:
    text = "R"
    for _ in range(39):
        text = f"({text})1000000000000"
    with pytest.raises(Problem) as caught:
        expand(parse(written(text), cube3))
    assert len(caught.value.message) < 120
    assert "10^" in caught.value.message


@pytest.mark.parametrize("exponent", [15, 20, 100, 468, 28_000])
def test_a_count_in_words_never_claims_more_than_there_is(exponent: int) -> None:
    words = number_in_words(10**exponent)
    assert words.startswith("over 10^")
    assert exponent - exponent // 100 - 2 <= int(words.removeprefix("over 10^")) < exponent


@pytest.mark.parametrize("text", ["((R)1000000000000)0", "([(R)1000000000000, U])0'", "((R U)60000)0"])
def test_what_is_done_no_times_is_nothing_however_long_it_is(cube3: Puzzle, text: str) -> None:
    tree = parse(written(text), cube3)
    assert turn_count(tree) == 0
    assert permutation(tree, cube3) == cube3.identity
    assert expand(tree) == ()


@pytest.mark.parametrize("name", ["cube-2", "cube-3", "cube-4", "cube-5", "pyraminx", "skewb", "megaminx"])
def test_whatever_numbers_stand_before_a_letter_a_turn_that_is_read_turns_something(name: str) -> None:
    puzzle = catalogue.puzzle(name)
    letter, read = next(iter(puzzle.axes)), set()
    for low in ["", *(f"{n}-" for n in range(10))]:
        for high in ["", *range(10)]:
            for wide in ["", "w"]:
                text = f"{low}{high}{letter}{wide}"
                with suppress(Problem):
                    assert does(text, puzzle) != puzzle.identity, text
                    read.add(text)
    assert letter in read
