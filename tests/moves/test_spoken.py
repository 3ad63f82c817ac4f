"""Moves said aloud: every sign of a turn is heard, and what differs when written differs when said."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitegen.moves.notation import write
from sitegen.moves.spoken import spelled, spoken_moves, spoken_turn, without_links
from sitegen.puzzles import catalogue
from sitegen.puzzles.puzzle import Puzzle, Turn


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("R", "R"),
        ("R'", "R prime"),
        ("R’", "R prime"),
        ("U2", "U 2"),
        ("U2'", "U 2 prime"),
        ("3Rw", "3 R w"),
        ("2-3F2", "2 to 3 F 2"),
        ("Dbr'", "D b r prime"),
        ("u", "small u"),
        ("2r'", "2 small r prime"),
        ("R++", "R plus plus"),
        ("D--", "D minus minus"),
    ],
)
def test_a_turn_is_said_sign_by_sign(text: str, said: str) -> None:
    assert spoken_turn(text) == said


@pytest.mark.parametrize("name", catalogue.names())
def test_no_two_turns_of_a_puzzle_sound_alike(name: str) -> None:
    """Small letters are heard as the name of the letter, so that they count as capitals here."""
    puzzle = catalogue.puzzle(name)
    written = {
        write(Turn(axis, first, last, amount), puzzle)
        for axis in puzzle.axes
        for first in range(1, puzzle.layer_count + 1)
        for last in range(first, puzzle.layer_count + 1)
        for amount in puzzle.amounts
    }
    assert len({spoken_turn(text).upper() for text in written}) == len(written)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("R' U2", "R prime, U 2"),
        ("RU'R'", "R, U prime, R prime"),
        ("R' U2 [@lift-edge, U]", "R prime, U 2; commutator: @lift-edge, then U"),
        ("[F: R U R']", "conjugate: F, then R, U, R prime"),
        ("[F: [R, U]]", "conjugate: F, then commutator: R, then U"),
        ("[R, U] F", "commutator: R, then U, end; F"),
        ("[[R, U], F]", "commutator: commutator: R, then U, end, then F"),
        ("(R U)3", "group: R, U, 3 times"),
        ("(R U)' F", "group: R, U, undone; F"),
        ("[R, U]2'", "commutator: R, then U, end, undone 2 times"),
        ("(R)0", "R, 0 times"),
        ("@lift-edge' U", "@lift-edge undone, U"),
        ("(@lift-edge)3", "@lift-edge, 3 times"),
        ("", "nothing"),
        # What cannot be read as moves.
        ("R' Q2", "R prime Q 2"),
        ("@a, @b", "@a, @b"),
    ],
)
def test_brackets_are_said_by_what_they_mean(cube3: Puzzle, text: str, said: str) -> None:
    assert spoken_moves(text, cube3) == said


def _built_from(inner: st.SearchStrategy[str]) -> st.SearchStrategy[str]:
    """Brackets round what has been made, with no more of them than make a difference."""
    row = st.lists(inner, min_size=1, max_size=3).map(" ".join)
    several = st.lists(inner, min_size=2, max_size=3).map(" ".join)
    bracket = st.builds("[{}{} {}]".format, row, st.sampled_from(",:"), row)
    counts = st.sampled_from(["2", "3", "'", "2'"])
    return st.one_of(
        bracket, st.builds("{}{}".format, bracket, counts), st.builds("({}){}".format, several, counts)
    )


TEXTS = st.lists(
    st.recursive(st.sampled_from(["R", "R'", "U2", "r", "@a", "@a'"]), _built_from, max_leaves=6),
    min_size=1,
    max_size=3,
).map(" ".join)


@given(one=TEXTS, other=TEXTS)
def test_what_is_written_in_two_ways_is_said_in_two(one: str, other: str) -> None:
    puzzle = catalogue.puzzle("cube-3")
    assert (spoken_moves(one, puzzle) == spoken_moves(other, puzzle)) == (one == other)


def test_all_short_texts_with_brackets_are_said_apart(cube3: Puzzle) -> None:
    """Every way to put up to two pairs of brackets, each with what may follow it, into four turns."""
    found: dict[str, str] = {}
    for text in sorted(set(_bracketed(["R", "U", "F", "D"], 2))):
        assert found.setdefault(spoken_moves(text, cube3), text) == text
    assert len(found) > 500


def _bracketed(items: list[str], pairs: int) -> Iterator[str]:
    yield " ".join(items)
    for first, last in combinations(range(len(items) + 1), 2) if pairs else ():
        for bracket in _brackets(items[first:last]):
            yield from _bracketed([*items[:first], bracket, *items[last:]], pairs - 1)


def _brackets(items: list[str]) -> Iterator[str]:
    """Round two things or more, since brackets round one make no difference."""
    for after in ("2", "'") if len(items) > 1 else ():
        yield f"({' '.join(items)}){after}"
    for at in range(1, len(items)):
        for sign in ",:":
            for after in ("", "2"):
                yield f"[{' '.join(items[:at])}{sign} {' '.join(items[at:])}]{after}"


@pytest.mark.parametrize(
    ("name", "text", "said"),
    [
        ("cube-3", "UF goes to UR; R is home", "U F goes to U R; R is home"),
        ("cube-3", "UF > UR > UL; keeps U except UF", "U F to U R to U L; keeps U except U F"),
        (
            "cube-3",
            "the author's, with D' after and x2 before",
            "the author's, with D prime after and small x 2 before",
        ),
        ("cube-3", "the UF-edge and @UF", "the UF-edge and @UF"),
        ("cube-3", "5 turns in OBTM. UR1 is none.", "5 turns in OBTM. UR1 is none."),
        ("cube-5", "UFr is at UFl", "U F small r is at U F small l"),
        ("cube-7", "U3b3l", "U 3 small b 3 small l"),
        ("megaminx", "DblBlB is home", "D b l B l B is home"),
    ],
)
def test_places_are_spelt(name: str, text: str, said: str) -> None:
    assert spelled(text, catalogue.puzzle(name)) == said


@pytest.mark.parametrize("name", catalogue.names())
def test_no_two_places_of_a_puzzle_sound_alike(name: str) -> None:
    puzzle = catalogue.puzzle(name)
    places = {each.name for each in puzzle.stickers} | {each.name for each in puzzle.pieces}
    assert len({spelled(place, puzzle).upper() for place in places}) == len(places)


def test_where_nothing_leads_to_a_sequence_it_is_said_by_name() -> None:
    assert without_links("commutator: @lift-edge, then U") == "commutator: lift edge, then U"
