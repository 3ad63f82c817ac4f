"""What is found depends on the question alone: not on symmetries, not on memory; and on stopping honestly."""

from __future__ import annotations

import os
import subprocess
import sys
import tracemalloc
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import pytest
from searching import ALL, ask, cube_kit, moves_of, search
from sympy.combinatorics import Permutation as SympyPermutation
from sympy.combinatorics import PermutationGroup

from sitegen.progress import Progress, quiet
from sitegen.puzzles.puzzle import Puzzle
from sitegen.search import two_sided
from sitegen.search.find import LONGEST, NEVER, OUT_OF_MEMORY, SHORTEST, Found, find
from sitegen.search.query import Query
from sitegen.search.two_sided import Search

QUESTIONS: list[tuple[str, dict[str, Any], int]] = [
    ("flips UF; keeps U except UF", {}, 8),
    ("keeps U", {}, 5),
    ("keeps corners; order 2", {"slices": True, "metric": "stm"}, 4),
    ("changes only U and D", {}, 5),
    ("order 4", {"wide": True}, 2),
    ("twists UFR clockwise and DBL anticlockwise", {"faces": "RUFBDL"}, 4),
    ("swaps UF with UB; keeps UL, UR", {"metric": "qtm"}, 6),
    ("same as @x", {"others": {"x": "M2 U M2"}, "slices": True}, 3),
    ("mirrors @x", {"others": {"x": "U2"}}, 2),
]


def without_symmetries(asked: Query) -> Query:
    """The same query, in which each word stands for itself alone."""
    vars(asked)["symmetries"] = [tuple(range(len(asked.turns.listed)))]
    return asked


@pytest.mark.parametrize(("claims", "allowed", "longest"), QUESTIONS)
def test_symmetries_change_nothing_in_what_is_found(
    claims: str, allowed: dict[str, Any], longest: int, cube3: Puzzle
) -> None:
    asked = ask(claims, cube3, **allowed)
    assert len(asked.symmetries) > 1  # so that there is something to leave out
    plain = search(without_symmetries(ask(claims, cube3, **allowed)), longest)
    found = search(asked, longest)
    assert found.counts == plain.counts
    assert moves_of(found) == moves_of(plain)


BACK = {"": "'", "'": "", "2": "2"}


@pytest.mark.parametrize(
    ("claims", "swap"),
    [
        # By hand: mirrors between L and R leave UF and U alone, those between F and B leave UR, and so on.
        ("keeps U except UF", "LR"),
        ("keeps UFL, UFR, DF and UB", "LR"),
        ("swaps UR with UL", "FB"),
        ("keeps edges of U; keeps UFR and DFR", "RF BL"),
        ("keeps R", "UD"),
    ],
)
def test_answers_are_closed_under_the_mirrors_of_the_question(claims: str, swap: str, cube3: Puzzle) -> None:
    pairs = swap.split()
    faces = dict(pairs) | {b: a for a, b in pairs}
    found, kit = search(ask(claims, cube3), 4), cube_kit(cube3)
    words = {kit.word(moves) for moves in moves_of(found)}
    images = [
        " ".join(faces.get(turn[0], turn[0]) + BACK[turn[1:]] for turn in moves.split())
        for moves in moves_of(found)
    ]
    assert len(words) > 2
    assert {kit.word(moves) for moves in images} == words


# Memory ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("memory", [10**5, 3 * 10**5, 10**6, 10**7])
@pytest.mark.parametrize(
    ("claims", "allowed", "longest"),
    [
        ("flips UF; keeps U except UF", {}, 9),
        ("twists UFR clockwise; keeps U except UFR", {"faces": "RUFD"}, 8),
        ("cycles UF > DF > UB; keeps corners", {"faces": "UL", "slices": True, "metric": "stm"}, 6),
    ],
)
def test_with_less_memory_less_far_is_searched_and_nothing_is_missed(
    memory: int, claims: str, allowed: dict[str, Any], longest: int, cube3: Puzzle
) -> None:
    asked = ask(claims, cube3, **allowed)
    roomy, tight = search(asked, longest), search(asked, longest, memory)
    assert roomy.ended == LONGEST
    assert tight.ended in (LONGEST, OUT_OF_MEMORY)
    assert tight.ended == OUT_OF_MEMORY or tight.searched == longest
    assert tight.counts == {n: count for n, count in roomy.counts.items() if n <= tight.searched}
    # In each metric used here every turn counts one.
    assert moves_of(tight) == [moves for moves in moves_of(roomy) if len(moves.split()) <= tight.searched]


def test_too_little_memory_is_said(cube3: Puzzle) -> None:
    asked = ask("changes only UF, UR and UB", cube3)
    found = search(asked, 12, 10**5)
    assert found.ended == OUT_OF_MEMORY
    assert 0 <= found.searched < 12
    assert found.partly == 0


@pytest.mark.parametrize("memory", [10**6, 10**7, 10**8])
@pytest.mark.parametrize(
    "claims", ["flips UF; keeps U except UF", "changes only UF, UR and UB", "keeps UF, UR, DF and DFR"]
)
def test_looking_back_takes_no_more_memory_than_is_allowed(claims: str, memory: int, cube3: Puzzle) -> None:
    """As Python itself counts what is taken at the most."""
    asked = ask(claims, cube3, slices=True, metric="stm")
    found = Search(asked.turns, asked.asked, memory)
    tracemalloc.start()
    try:
        assert not found.prepare(40, quiet)  # so that it went as far as it may
        _, most = tracemalloc.get_traced_memory()
    finally:
        tracemalloc.stop()
    assert most < memory


@pytest.mark.parametrize("at_once", [1, 50, 1000])
@pytest.mark.parametrize(
    ("claims", "allowed", "longest"), [*QUESTIONS, ("keeps UF", {"metric": "qtm", "slices": True}, 4)]
)
def test_words_come_in_one_order_however_many_are_made_at_once(
    at_once: int,
    claims: str,
    allowed: dict[str, Any],
    longest: int,
    cube3: Puzzle,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """In the order of one who tries, turn after turn, all that may follow, the shorter first."""
    asked = ask(claims, cube3, **allowed)
    turns, found = asked.turns, Search(asked.turns, asked.asked, 10**8)
    rank = {turn: (turns.lengths[turn], turn) for turn in range(len(turns.listed))}
    for length in range(longest):
        found.prepare(length, quiet)
        words = list(found.words(length, rank, quiet))
        assert words == sorted(words, key=lambda word: [rank[turn] for turn in word])
        with monkeypatch.context() as smaller:
            smaller.setattr(two_sided, "AT_ONCE", at_once)
            assert list(found.words(length, rank, quiet)) == words


# Ends -----------------------------------------------------------------------------------------------------


def test_without_a_longest_length_it_ends_with_the_shortest(cube3: Puzzle) -> None:
    found = search(ask("keeps U except UFR; cycles UFR > DLF in any orientation; keeps DBL", cube3, "RUFD"))
    assert found.ended == SHORTEST
    assert [n for n, count in found.counts.items() if count] == [found.searched]


def test_what_is_there_before_any_turn_has_length_0(cube3: Puzzle) -> None:
    found = search(ask("keeps U", cube3))
    assert (found.shortest, moves_of(found), found.ended) == (0, [""], SHORTEST)


def test_up_to_a_longest_length_all_lengths_are_counted(cube3: Puzzle) -> None:
    found = search(ask("changes only U", cube3, "UR"), 3)
    assert found.counts == {0: 1, 1: 3, 2: 0, 3: 0}  # by hand: nothing, and U by three amounts
    assert found.ended == LONGEST


def test_what_two_faces_never_do_is_known_to_be_hopeless(cube3: Puzzle) -> None:
    """No sum shows it. SymPy: no turning of two faces takes three corners round and leaves a fourth home."""
    corners = [piece for piece in cube3.pieces if piece.kind == "corner"]
    number = {piece.index: at for at, piece in enumerate(corners)}
    asked = ask("keeps UFL; cycles UFR > UBR > UBL in any orientation", cube3, "RU")
    quarter = [cube3.permutation(turn) for turn in asked.turns.listed if turn.amount == 1]
    group = PermutationGroup(
        [
            SympyPermutation([number[cube3.piece_at(p[piece.stickers[0]]).index] for piece in corners])
            for p in quarter
        ]
    )
    at = {piece.name: number[piece.index] for piece in corners}
    wanted = {at["UFL"]: at["UFL"], at["UFR"]: at["UBR"], at["UBR"]: at["UBL"], at["UBL"]: at["UFR"]}
    assert not any(all(p(a) == b for a, b in wanted.items()) for p in group.elements)
    found = search(asked)
    assert found.ended == NEVER
    assert not any(found.counts.values())


class Stopped(Exception):
    """More has been searched than there can be any need for."""


def stopping_after(lengths: int) -> Progress:
    begun: list[str] = []

    def progress(items: Iterable[Any], total: int, what: str) -> Iterable[Any]:
        begun.append(what)
        if len(begun) > lengths:
            raise Stopped
        return items

    return progress


def test_when_there_are_no_more_words_a_search_ends(cube3: Puzzle) -> None:
    """By hand: R, R2 and R' are all words of one face, and their orders are 4 and 2."""
    found = Found(ALL)
    find(ask("order 3", cube3, "R"), found, progress=stopping_after(30))
    assert found.ended == NEVER


def test_a_length_that_is_claimed_is_the_longest_that_is_searched(cube3: Puzzle) -> None:
    found = Found(ALL)
    find(ask("length 1 OBTM; order 3", cube3, "RU"), found, progress=stopping_after(8))
    assert found.ended


# Broken off -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("length", range(1, 9))
def test_broken_off_it_has_all_that_is_shorter(length: int, cube3: Puzzle) -> None:
    def progress(items: Iterable[Any], total: int, what: str) -> Iterable[Any]:
        if what == f"Length {length}":
            raise KeyboardInterrupt
        return items

    asked = ask("twists UFR clockwise; keeps UF, UR and UFL", cube3, "RUF")
    whole, found = search(asked, 8), Found(ALL)
    with pytest.raises(KeyboardInterrupt):
        find(asked, found, 8, progress=progress)
    assert found.ended == ""
    assert found.counts == {n: count for n, count in whole.counts.items() if n < length}
    assert found.partly == 0
    assert moves_of(found) == [moves for moves in moves_of(whole) if len(moves.split()) < length]


def test_broken_off_within_a_length_it_keeps_what_was_found_by_then(cube3: Puzzle) -> None:
    def progress(items: Iterable[Any], total: int, what: str) -> Iterable[Any]:
        for at, item in enumerate(items):
            if what == "Length 4" and at == total // 2:
                raise KeyboardInterrupt
            yield item

    asked = ask("keeps UB", cube3, "RUF")
    whole, found = search(asked, 4), Found(ALL)
    with pytest.raises(KeyboardInterrupt):
        find(asked, found, 4, progress=progress)
    assert found.searched == 3
    assert 0 < found.partly < whole.counts[4]
    assert sum(found.counts.values()) + found.partly == len(found.answers)
    assert set(moves_of(found)) < set(moves_of(whole))


# Arrays ---------------------------------------------------------------------------------------------------


def test_arrays_are_loaded_only_where_something_is_searched_for() -> None:
    """All that may be asked to search is loaded, and a question read."""
    program = (
        "import sys\n"
        "from searching import ask, search\n"
        "from sitegen.blocks import kinds\n"
        "from sitegen.commands import find_command\n"
        "from sitegen.puzzles import catalogue\n"
        "asked = ask('keeps U', catalogue.puzzle('cube-3'))\n"
        "print('numpy' in sys.modules)\n"
        "search(asked)\n"
        "print('numpy' in sys.modules)\n"
    )
    samples = Path(__file__).parents[1] / "samples"
    printed = subprocess.run(
        [sys.executable, "-c", program],
        env={**os.environ, "PYTHONPATH": str(samples)},
        capture_output=True,
        text=True,
        check=True,
    ).stdout
    assert printed.split() == ["False", "True"]
