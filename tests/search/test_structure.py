"""What a line of turns is: its commutators, conjugates, repeats and products, as the trade defines them."""

from __future__ import annotations

import random
from collections.abc import Iterable, Iterator
from itertools import product

import pytest
from sympy.combinatorics import Permutation as Cycles
from turned_text import does

from sitegen.moves.parse import parse
from sitegen.moves.turning import expand
from sitegen.problems import written
from sitegen.puzzles import catalogue
from sitegen.puzzles.puzzle import Puzzle
from sitegen.search.structure import Structure


def forms(puzzle: Puzzle, moves: str, most: int = 50) -> list[str]:
    return [form.written for form in Structure(puzzle).forms(expand(parse(written(moves), puzzle)), most)]


# What is found -------------------------------------------------------------------------------------------

KNOWN = [
    # Common practice: commutators and conjugates of single turns, written out.
    ("R U R' U'", "[R, U]"),
    ("R U R'", "[R: U]"),
    ("R U R U R U", "(R U)3"),
    ("F R U R' U' F'", "[F: [R, U]]"),
    # A way of two clean steps, in which F' and F' come together as F2.
    ("F' E' F2 E2 F'", "[F': E'] [F: E2]"),
    # By hand: [F', E2 F'] is F' E2 F' F F E2, which is F' E2 F E2, and so [F', E2].
    ("F' E2 F E2", "[F', E2]"),
    # R and L turn about one line, so that they may stand in any order.
    ("L R U R' L' U'", "[R L, U]"),
    ("R L U L' R' U'", "[R L, U]"),
    # By hand: (R U R)2 is R U R R U R.
    ("R U R2 U R", "(R U R)2"),
    # By hand: [R, U]2 ends with U', which is undone.
    ("R U R' U' R U R'", "[R, U]2 U"),
    # Twice over, and with a commutator within.
    ("R' D' R D R' D' R D", "[R', D']2"),
]


@pytest.mark.parametrize(("moves", "is_"), KNOWN)
def test_a_line_is_told_as_the_trade_writes_it(cube3, moves: str, is_: str) -> None:
    assert same_but_for_order(forms(cube3, moves)[0], is_, cube3)


def same_but_for_order(one: str, other: str, puzzle: Puzzle) -> bool:
    """Alike, if turns of parallel layers may change places: by their letters, and by what they do."""
    return sorted(one) == sorted(other) and does(one, puzzle) == does(other, puzzle)


def test_half_of_what_cancels_may_be_gone(cube3) -> None:
    """By hand: [F': [E', F2]] is F' E' F2 E F2 F, and so F' E' F2 E F'."""
    found = forms(cube3, "F' E' F2 E F'")
    assert "[F': [E', F2]]" in found
    assert "[F2, F E']" in found


def test_a_tool_in_a_commutator_is_told_with_what_it_is_made_of(cube3) -> None:
    line = "F' E' F2 E2 F' U F E2 F2 E F U'"
    assert forms(cube3, line)[0] == "[[F': E'] [F: E2], U]"


@pytest.mark.parametrize("moves", ["R", "R U", "R U F", "R U F D", "R R'", "R L"])
def test_where_nothing_is_saved_there_is_no_structure(cube3, moves: str) -> None:
    assert forms(cube3, moves) == []


def test_simplest_come_first_and_no_way_comes_twice(cube3) -> None:
    line = "R U R' U R U2 R'"
    structure = Structure(cube3)
    found = structure.forms(expand(parse(written(line), cube3)), 40)
    assert [form.rank for form in found] == sorted(form.rank for form in found)
    assert len({form.written for form in found}) == len(found) > 20
    assert all(form.count < 7 for form in found)


# Against SymPy -------------------------------------------------------------------------------------------


def of(moves: str, puzzle: Puzzle) -> Cycles:
    return Cycles(list(does(moves, puzzle)))


def test_commutators_and_conjugates_are_what_sympy_calls_so(cube3) -> None:
    """SymPy's `p.commutator(x)` is ~x*~p*x*p, and `p ^ x` is ~x*p*x, from left to right as turns are done."""
    a, b = of("R U", cube3), of("F2 D", cube3)
    assert of("[R U, F2 D]", cube3) == (~b).commutator(~a)
    assert of("[R U: F2 D]", cube3) == b ^ ~a


PUZZLES = ["cube-2", "cube-3", "cube-4", "pyraminx", "skewb", "megaminx"]


@pytest.mark.parametrize("name", PUZZLES)
def test_every_way_of_lines_at_random_does_what_the_line_does(name: str) -> None:
    puzzle = catalogue.puzzle(name)
    rng, structure = random.Random(name), Structure(puzzle)
    layers = [turn for turn in puzzle.turns() if turn.first < 3][:4]
    written_ways = 0
    for _ in range(20):
        line = nested(rng, [structure.plain(structure.syllables.spelt([turn])).moves for turn in layers])
        done = of(line, puzzle)
        for way in structure.forms(expand(parse(written(line), puzzle)), 10):
            assert of(way.written, puzzle) == done, f"{way.written} is not {line}"
            written_ways += 1
    assert written_ways > 20


def nested(rng: random.Random, letters: list[str], depth: int = 2) -> str:
    if depth == 0 or rng.random() < 0.2:
        return " ".join(rng.choice(letters) + rng.choice(["", "'"]) for _ in range(rng.randint(1, 2)))
    a, b = (nested(rng, letters, depth - 1) for _ in range(2))
    return rng.choice([f"[{a}, {b}]", f"[{a}: {b}]", f"({a})2", f"{a} {b}"])


# Against all that can be written -------------------------------------------------------------------------


def every_way(letters: Iterable[str], count: int) -> dict[int, list[str]]:
    """What can be written with so many turns, bracket in bracket, but for repeats of repeats."""
    ways: dict[int, list[str]] = {1: list(letters)}
    for size in range(2, count + 1):
        halves = ((a, b) for k in range(1, size) for a, b in product(ways[k], ways[size - k]))
        pairs = [way for a, b in halves for way in (f"[{a}, {b}]", f"[{a}: {b}]", f"{a} {b}")]
        ways[size] = [*pairs, *(f"({way})2" for way in pairs if ")2" not in way)]
    return ways


def simplest(ways: dict[int, list[str]], structure: Structure) -> Iterator[tuple[int, str, str]]:
    """Each line that they come to once: with how many turns it can be written, how, and what it is."""
    puzzle, seen = structure.syllables.puzzle, set[str]()
    for size, written_so in ways.items():
        for way in written_so:
            word = structure.syllables.spelt(expand(parse(written(way), puzzle)))
            if word and word not in seen:
                seen.add(word)
                yield size, way, word


@pytest.mark.parametrize(
    ("name", "letters", "lines"), [("cube-3", "R U R2", 250), ("pyraminx", "R U R'", 250)]
)
def test_nothing_that_can_be_written_with_three_turns_is_simpler_than_what_is_found(
    name: str, letters: str, lines: int
) -> None:
    """All brackets of up to three turns of these, written out by the test and none left out."""
    structure = Structure(catalogue.puzzle(name))
    tried = list(simplest(every_way(letters.split(), 3), structure))
    assert len(tried) > lines
    for size, way, word in tried:
        assert structure.best(word).count <= size, f"{way}, found as {structure.best(word).written}"
