"""A method tried on random positions: that they are random, that they are solved, and that all is counted."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from functools import reduce
from random import Random
from statistics import fmean

import pytest
from hypothesis import given
from hypothesis import strategies as st
from stages import any_turns, are_reached, plan, single_turns, stage, toolbox, turns_of
from sympy.combinatorics import Permutation as SympyPermutation
from turned_text import does

from sitegen.methods.coverage import coverage
from sitegen.methods.plan import Plan
from sitegen.methods.trial import Lengths, Trial, lengths, positions, runs, solve, trial
from sitegen.moves.metrics import obtm
from sitegen.puzzles.permutation import Permutation, compose, order
from sitegen.puzzles.puzzle import Puzzle

CORNERS_ROUND = "R U R' U R U2 R'"
"""Common practice: turns three corners of U, and leads three edges round."""
SWAP = "R U R' U' R' F R2 U' R' U' R U R' F'"
"""Common practice: swaps two corners of U that are neighbours, and on larger cubes two edges."""


@pytest.fixture(scope="module")
def whole(cube2: Puzzle) -> Plan:
    """The cube of two layers, the lower layer first: a method that solves all."""
    return plan(
        cube2,
        stage(cube2, "D home", any_turns(cube2, 8), "DFL, DFR, DBL, DBR"),
        stage(cube2, "corners of U oriented by U", toolbox(cube2, CORNERS_ROUND, layer="U")),
        stage(cube2, "U home", toolbox(cube2, SWAP, layer="U", hold="y")),
    )


@pytest.fixture(scope="module")
def by_layers(cube3: Puzzle) -> Plan:
    """The cube of three layers as beginners do it, common practice."""
    sides = ("U R U' R' U' F' U F", "U' L' U L U F U' F'")
    return plan(
        cube3,
        stage(cube3, "edges of D home", any_turns(cube3, 8), "DF, DL, DB, DR"),
        stage(
            cube3,
            "corners of D home",
            toolbox(cube3, "R U R' U'", layer="U", hold="y"),
            "DFR, DFL, DBL, DBR",
        ),
        stage(cube3, "edges of E home", toolbox(cube3, *sides, layer="U", hold="y"), "FR, FL, BL, BR"),
        stage(cube3, "edges of U oriented by U", toolbox(cube3, "F R U R' U' F'", layer="U")),
        stage(cube3, "edges of U placed", toolbox(cube3, CORNERS_ROUND, layer="U")),
        stage(cube3, "corners of U placed", toolbox(cube3, "U R U' L' U R' U' L", hold="y")),
        stage(cube3, "U home", toolbox(cube3, "(R' D' R D)2 U (D' R' D R)2 U'", hold="y")),
    )


EDGES = "UF, UR, UB, UL, DF, DR, DB, DL, FR, FL, BR, BL"


# Random positions ------------------------------------------------------------------------------------------

RARE = {1: 10.83, 2: 13.82, 3: 16.27, 5: 20.52, 7: 24.32, 8: 26.12, 11: 31.26, 23: 49.73}
"""What chi-square exceeds once in a thousand, by its degrees of freedom: from the tables (from memory)."""


def chi_square(seen: Iterable[object], ways: int) -> float:
    """How far from equally often so many things come."""
    counts = list(Counter(seen).values())
    expected = sum(counts) / ways
    assert len(counts) <= ways
    return sum(count**2 for count in counts) / expected - sum(counts)


def places(position: Permutation, name: str, puzzle: Puzzle) -> str:
    """The place, by its first sticker, of the piece with this sticker."""
    return puzzle.piece_at(position[puzzle.slots[name]]).name


@pytest.fixture(scope="module")
def mixed(by_layers: Plan) -> list[Permutation]:
    return list(positions(by_layers, 3_000, seed=11))


@pytest.mark.parametrize("name", ["UF", "DL", "BR", "FL", "UFR", "DBL", "UBL"])
def test_every_piece_is_in_every_place_and_way_round_about_equally_often(
    name: str, mixed: list[Permutation], cube3: Puzzle
) -> None:
    """Common practice: twelve places of two ways, or eight of three, are 24 slots that a sticker comes to."""
    slot, size = cube3.slots[name], len(name)
    pieces, ways = {2: (12, 2), 3: (8, 3)}[size]
    assert chi_square((p[slot] for p in mixed), 24) < RARE[23]
    assert chi_square((places(p, name, cube3) for p in mixed), pieces) < RARE[pieces - 1]
    turned = [cube3.piece_at(p[slot]).stickers.index(p[slot]) for p in mixed]
    assert chi_square(turned, ways) < RARE[ways - 1]


def test_how_one_piece_lies_says_nothing_of_another(mixed: list[Permutation], cube3: Puzzle) -> None:
    """All pairs of ways round come about equally often."""
    pairs = [("UF", "UR", 4), ("UF", "UFR", 6), ("UFR", "DBL", 9), ("DL", "BR", 4)]
    for a, b, ways in pairs:
        lying = [
            tuple(cube3.piece_at(p[s]).stickers.index(p[s]) for s in (cube3.slots[a], cube3.slots[b]))
            for p in mixed
        ]
        assert chi_square(lying, ways) < RARE[ways - 1]


def test_turns_at_random_would_not_pass(cube3: Puzzle) -> None:
    """That chi-square can fail: fifteen quarter turns at random leave pieces too often where they were."""
    random, faces = Random(5), single_turns(cube3)
    turned = [
        reduce(compose, random.choices(faces, k=15), cube3.identity)[cube3.slots["UF"]] for _ in range(3_000)
    ]
    assert chi_square(turned, 24) > RARE[23]


def sign(images: Sequence[int]) -> int:
    return sum(a > b for i, a in enumerate(images) for b in images[i + 1 :]) % 2


def test_every_position_obeys_the_laws_and_both_signs_come(mixed: list[Permutation], cube3: Puzzle) -> None:
    """J. Chen, *Group Theory and the Rubik's Cube*: whole twists, even flips, one sign for both kinds."""
    corners = [piece for piece in cube3.pieces if piece.kind == "corner"]
    edges = [piece for piece in cube3.pieces if piece.kind == "edge"]
    signs = []
    for p in mixed:
        own = []
        for pieces, ways in ((corners, 3), (edges, 2)):
            there = [p[piece.stickers[0]] for piece in pieces]
            assert sum(cube3.piece_at(slot).stickers.index(slot) for slot in there) % ways == 0
            own.append(sign([cube3.piece_at(slot).index for slot in there]))
        assert own[0] == own[1]
        signs.append(own[0])
    assert chi_square(signs, 2) < RARE[1]


def test_positions_differ_and_so_do_their_orders(mixed: list[Permutation]) -> None:
    """Published: 73 different orders are possible (from memory), many of them rare."""
    assert len(set(mixed)) == len(mixed)
    assert 30 <= len(set(map(order, mixed))) <= 73


def test_the_same_seed_gives_the_same_positions_and_another_seed_others(whole: Plan) -> None:
    first, again, other = (list(positions(whole, 50, seed)) for seed in (1, 1, 2))
    assert first == again
    assert not set(first) & set(other)
    assert list(positions(whole, 10, 1)) == first[:10]


# Solved ----------------------------------------------------------------------------------------------------


def as_sympy(p: Permutation, puzzle: Puzzle) -> SympyPermutation:
    return SympyPermutation(list(p)[: len(puzzle.stickers)])


@pytest.mark.parametrize(("method", "count"), [("whole", 100), ("by_layers", 60)])
def test_a_position_and_all_that_solves_it_are_nothing_together(
    method: str, count: int, request: pytest.FixtureRequest
) -> None:
    """Composed by SymPy: the position, and then every turn."""
    laid_out = request.getfixturevalue(method)
    puzzle = laid_out.puzzle
    assert laid_out.left == 1
    for run in runs(laid_out, count, seed=3):
        assert run.solved
        assert run.stuck is None
        turned = as_sympy(run.position, puzzle)
        for turn in run.turns:
            turned = turned * as_sympy(puzzle.permutation(turn), puzzle)
        assert turned.is_Identity
        whole = [turn for part in run.parts for turn in part.turns]
        assert reduce(compose, map(puzzle.permutation, whole), run.position) == puzzle.identity
        assert len(run.turns) <= len(whole)


def test_each_stage_reaches_its_goals_and_keeps_those_before(by_layers: Plan) -> None:
    """Piece by piece, after each step."""
    puzzle = by_layers.puzzle
    for run in runs(by_layers, 60, seed=4):
        at, reached = run.position, []
        for part, each in zip(run.parts, by_layers.stages, strict=True):
            assert part.stage is each
            for step, solution in part.steps:
                assert solution.applications
                at = compose(at, solution.permutation)
                assert are_reached(reached, at, puzzle)
                assert step.stage is each
            reached += each.goals
            assert are_reached(reached, at, puzzle)


def test_a_solved_puzzle_takes_no_turn(by_layers: Plan) -> None:
    run = solve(by_layers, by_layers.puzzle.identity)
    assert (run.turns, run.solved, run.stuck) == ((), True, None)
    assert [part.steps for part in run.parts] == [()] * 7


def test_what_one_turn_mixed_one_turn_solves(cube3: Puzzle) -> None:
    """Common practice: R' undoes R."""
    laid_out = plan(cube3, stage(cube3, "edges home", any_turns(cube3, 1), EDGES))
    run = solve(laid_out, does("R", cube3), number=5)
    assert [cube3.permutation(turn) for turn in run.turns] == [does("R'", cube3)]
    assert (run.number, run.solved) == (5, True)


def test_what_is_not_solved_is_told_by_the_step_that_has_nothing_for_it(cube3: Puzzle) -> None:
    """By hand: R2 leaves UL at home, and brings FR to BR, where neither U nor F takes it up."""
    laid_out = plan(cube3, stage(cube3, "UL and FR home", any_turns(cube3, 2, "UF"), "UL, FR"))
    run = solve(laid_out, does("R2", cube3))
    assert (run.stuck.name, run.solved, run.turns, run.parts) == ("FR", False, (), ())


# Not solved ------------------------------------------------------------------------------------------------

TWO_TWISTED = "(R' D' R D)2 U (D' R' D R)2 U'"
"""Common practice: twists two corners of U, one each way."""
THREE_CORNERS = "R' F R' B2 R F' R' B2 R2"
"""Common practice: leads three corners of U round, and keeps U on top."""
COUNT = 3_000


@pytest.fixture(scope="module")
def poor(cube2: Puzzle) -> Plan:
    """The second stage twists always the same two corners, the third has no swap."""
    return plan(
        cube2,
        stage(cube2, "D home", any_turns(cube2, 8), "DFL, DFR, DBL, DBR"),
        stage(cube2, "corners of U oriented by U", toolbox(cube2, TWO_TWISTED)),
        stage(cube2, "U home", toolbox(cube2, THREE_CORNERS, hold="y")),
    )


@pytest.fixture(scope="module")
def tried(poor: Plan) -> Trial:
    return trial(poor, COUNT, seed=6)


def far_off(solved: int, tried: int, share: float) -> float:
    """Chi-square of two numbers, those solved and the others, of which the share of the first is known."""
    expected = tried * share
    return (solved - expected) ** 2 / expected + (solved - expected) ** 2 / (tried - expected)


def test_as_many_are_solved_as_there_are_cases_that_can_be(tried: Trial) -> None:
    """By hand: of 3^3 twists three are made of the one pair; of 4! orders half are even."""
    first, second, third = tried.stages
    assert first.solved == first.tried == COUNT
    assert far_off(second.solved, second.tried, 3 / 27) < RARE[1]
    assert far_off(third.solved, third.tried, 1 / 2) < RARE[1]


def test_a_stage_takes_as_many_applications_as_often_as_there_are_cases_that_do(whole: Plan) -> None:
    """All cases of a stage are equally likely, each being as many positions as any other."""
    cases = coverage(whole)[-2]
    assert cases.covered == cases.cases == 27
    taken = Counter(
        sum(solution.used for _, solution in run.parts[1].steps) for run in runs(whole, COUNT, seed=8)
    )
    assert taken.keys() == cases.applications.keys()
    off = sum(
        (taken[used] - COUNT * many / 27) ** 2 / (COUNT * many / 27)
        for used, many in cases.applications.items()
    )
    assert off < RARE[len(taken) - 1]


def test_the_counts_of_a_trial_agree_with_its_runs(poor: Plan, tried: Trial) -> None:
    found = list(runs(poor, COUNT, seed=6))
    assert [run.number for run in found] == list(range(1, COUNT + 1))
    solved = [run for run in found if run.solved]
    stuck = [run for run in found if run.stuck]
    assert (tried.seed, tried.tried, tried.solved) == (6, COUNT, len(solved))
    assert len(solved) + len(stuck) == COUNT
    assert tried.first_stuck == stuck[0].number
    taken = [obtm(run.turns, poor.puzzle) for run in solved]
    assert tried.counts == Counter(taken)
    assert list(tried.counts) == sorted(tried.counts)
    assert tried.length == lengths(taken)
    longest = next(run for run, length in zip(solved, taken, strict=True) if length == max(taken))
    assert tried.longest == longest.number
    written = turns_of(tried.longest_turns, poor.puzzle)
    assert obtm(written, poor.puzzle) == max(taken)
    assert compose(longest.position, does(tried.longest_turns, poor.puzzle)) == poor.puzzle.identity


def test_of_those_that_take_most_the_first_is_shown(cube2: Puzzle) -> None:
    """By hand: beside another that is home, a corner comes home by few turns; many of fifty take most."""
    laid_out = plan(cube2, stage(cube2, "DFL and DFR home", any_turns(cube2, 4)))
    taken = [obtm(run.turns, cube2) for run in runs(laid_out, 50, seed=1)]
    assert taken.count(max(taken)) > 1
    assert trial(laid_out, 50, seed=1).longest == taken.index(max(taken)) + 1


def test_the_stages_of_a_trial_follow_from_one_another(poor: Plan, tried: Trial) -> None:
    first, second, third = tried.stages
    assert (first.tried, second.tried, third.tried) == (COUNT, first.solved, second.solved)
    assert third.solved == tried.solved
    for number, each in enumerate(tried.stages):
        came = [run for run in runs(poor, COUNT, seed=6) if len(run.parts) > number]
        assert each.length == lengths([obtm(run.parts[number].turns, poor.puzzle) for run in came])


def test_where_nothing_is_solved_there_is_no_length(cube3: Puzzle) -> None:
    """By hand: with no turn that moves UL, one in 24 is home; these two are not."""
    laid_out = plan(cube3, stage(cube3, "UL home", any_turns(cube3, 3, "R")))
    seed = next(s for s in range(99) if not any(run.solved for run in runs(laid_out, 2, s)))
    found = trial(laid_out, 2, seed)
    assert (found.solved, found.length, found.counts, found.longest, found.first_stuck) == (0, None, {}, 0, 1)
    assert (found.stages[0].tried, found.stages[0].solved, found.stages[0].length) == (2, 0, None)


# Lengths ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("found", "mean", "half", "most", "longest"),
    [
        # Hand-counted: of so many in order the ⌈50/100 n⌉-th and the ⌈95/100 n⌉-th.
        ([7], 7, 7, 7, 7),
        ([3, 1], 2, 1, 3, 3),
        ([3, 1, 2], 2, 2, 3, 3),
        (list(range(20, 0, -1)), 10.5, 10, 19, 20),
        (list(range(1, 22)), 11, 11, 20, 21),
        (list(range(1, 101)), 50.5, 50, 95, 100),
        ([5] * 94 + [9] * 6, 5.24, 5, 9, 9),
        ([5] * 95 + [9] * 5, 5.2, 5, 5, 9),
        ([1, 1, 2], 1.33, 1, 2, 2),
    ],
)
def test_lengths_by_example(found: list[int], mean: float, half: int, most: int, longest: int) -> None:
    assert lengths(found) == Lengths(mean, half, most, longest)


@given(st.lists(st.integers(0, 60), min_size=1, max_size=200))
def test_so_many_in_a_hundred_do_not_exceed_the_length(found: list[int]) -> None:
    """The least length of which that is true; the mean by the standard library."""
    ours = lengths(found)
    for share, length in ((50, ours.p50), (95, ours.p95)):
        enough = [n for n in set(found) if 100 * sum(each <= n for each in found) >= share * len(found)]
        assert length == min(enough)
    assert ours.mean == round(fmean(found), 2)
    assert ours.max == max(found)
