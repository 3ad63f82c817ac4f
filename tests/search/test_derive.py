"""Ways by clean steps: all products of these are looked at, and what is said of fewer steps is so."""

from __future__ import annotations

from itertools import product

import pytest
from deriving import MANY, sought, ways_to
from published_turns import facet_of, turned_by_sympy
from sympy.combinatorics import Permutation as Cycles

from sitegen.effects.piece_sets import parse_pieces
from sitegen.problems import Problem, written
from sitegen.puzzles import catalogue
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.permutation import Permutation
from sitegen.search.aim import Aim
from sitegen.search.asides import clean_steps
from sitegen.search.derive import derive
from sitegen.search.find import LONGEST, NEVER, OUT_OF_MEMORY, SHORTEST
from sitegen.search.step_ways import StepWays

GOALS = [
    ("cube-2", "twists UFR clockwise", "", "", False, 2),
    ("cube-2", "twists UFR clockwise; twists UFL anticlockwise", "", "R U F", False, 2),
    ("cube-2", "cycles UFR > UFL > UBL", "UBR", "R F B L", False, 1),
    ("cube-3", "flips UF", "", "", True, 2),
    ("cube-3", "flips UF", "", "", False, 3),
    ("cube-3", "twists UFR anticlockwise", "", "", False, 2),
    ("cube-3", "cycles UF > UR > UB", "", "M S D", False, 2),
    ("cube-3", "flips UF; flips UB", "", "", True, 2),
    ("pyraminx", "swaps FR with RL", "FL", "", False, 1),
    ("skewb", "twists DFR clockwise", "UBR", "", False, 2),
]
EVERY = pytest.mark.parametrize(("name", "claims", "guard", "faces", "slices", "longest"), GOALS)


def products(asked: Aim, longest: int) -> dict[int, list[tuple[Permutation, ...]]]:
    """For each number of steps all products that do what is asked, of up to as many as there must be."""
    listed = clean_steps(asked.query.turns, asked.guard, longest, 10**9)
    assert listed is not None
    steps = [step.permutation for step in listed.listed]
    found: dict[int, list[tuple[Permutation, ...]]] = {}
    for number in (1, 2, 3):
        found[number] = [
            row for row in product(steps, repeat=number) if reached(perm.successive(row[0], row[1:]), asked)
        ]
        if found[number]:
            break
    return found


def reached(done: Permutation, asked: Aim) -> bool:
    return all(done[slot] in there for slot, there in asked.query.asked.items())


def made(found: StepWays, asked: Aim) -> list[tuple[Permutation, ...]]:
    return [tuple(step.permutation for step in way.steps) for way in found.answers]


@EVERY
def test_no_product_of_clean_steps_is_skipped(
    name: str, claims: str, guard: str, faces: str, slices: bool, longest: int
) -> None:
    asked = sought(catalogue.puzzle(name), claims, guard, faces, slices)
    there = products(asked, longest)
    found = ways_to(asked, aside=longest)
    assert found.ended == SHORTEST
    assert found.shortest == max(there)
    assert found.others is not None
    assert found.counts[found.shortest] + found.others == len(there[found.shortest])
    listed = made(found, asked)
    assert len({*listed}) == len(listed) == found.counts[found.shortest]
    assert {*listed} <= {*there[found.shortest]}


@EVERY
def test_what_is_not_listed_is_an_image_of_what_is_or_sets_more_aside(
    name: str, claims: str, guard: str, faces: str, slices: bool, longest: int
) -> None:
    asked = sought(catalogue.puzzle(name), claims, guard, faces, slices)
    rows = products(asked, longest)
    fewest = rows[max(rows)]
    listed = {*made(ways_to(asked, aside=longest), asked)}
    steps = clean_steps(asked.query.turns, asked.guard, longest, 10**9)
    assert steps is not None
    length = {step.permutation: len(step.aside) for step in steps.listed}
    for row in fewest:
        images = {
            tuple(perm.compose(perm.compose(perm.inverse(s), step), s) for step in row)
            for s in asked.query.kept_by
        }
        assert len(images & listed) <= 1
        if not images & listed:
            assert any(_less(row, other, asked, length) for other in fewest)


def _less(
    row: tuple[Permutation, ...],
    other: tuple[Permutation, ...],
    asked: Aim,
    length: dict[Permutation, int],
) -> bool:
    """Whether another way takes what is watched the same way, and sets less aside in some step."""
    at = {slot: slot for slot in asked.query.asked}
    for step, less in zip(row, other, strict=True):
        if any(step[there] != less[there] for there in at.values()) or length[less] > length[step]:
            return False
        at = {slot: step[there] for slot, there in at.items()}
    return sum(length[each] for each in other) < sum(length[each] for each in row)


# The guard, by SymPy and a published group ----------------------------------------------------------------


@pytest.mark.parametrize("slices", [False, True])
@pytest.mark.parametrize("claims", ["twists UFR clockwise", "twists UFR anticlockwise", "flips UF"])
def test_the_guard_is_home_after_every_step_of_every_way(cube3, claims: str, slices: bool) -> None:
    """Facets 1 to 8 are those of the upper face, 9, 17, 25, 33 and what follows them beside it."""
    asked = sought(cube3, claims, slices=slices)
    away = {facet_of(name) for name in stickers(asked.query.puzzle, asked)}
    guarded = {*range(1, 9), 9, 10, 11, 17, 18, 19, 25, 26, 27, 33, 34, 35} - away
    found = ways_to(asked)
    assert found.answers
    for way in found.answers:
        done = Cycles(size=49)
        for step in way.steps:
            for turn in step.turns:
                done *= turned_by_sympy(turn)
            assert all(done(facet) == facet for facet in guarded), str(way)
        assert any(done(facet) != facet for facet in away)


def stickers(puzzle, asked: Aim) -> list[str]:
    pieces = [puzzle.pieces[index] for index in asked.watch]
    return [puzzle.stickers[slot].name for piece in pieces for slot in piece.stickers]


# How it ends ----------------------------------------------------------------------------------------------


def test_that_no_number_of_steps_does_it_is_known(cube3) -> None:
    """With asides of one turn of a face, D alone is clean; it never comes to the upper layer."""
    found = ways_to(sought(cube3, "flips UF"), aside=1)
    assert (found.ended, found.answers, found.counts) == (NEVER, [], {1: 0})


def test_where_no_step_is_clean_nothing_can_be_done(cube3) -> None:
    """Setting aside by one turn of U, F or R never keeps the rest of the upper layer."""
    found = ways_to(sought(cube3, "flips UF", faces="U F R"), aside=1)
    assert (found.ended, found.answers, found.counts) == (NEVER, [], {1: 0})


def test_ways_of_more_steps_are_listed_where_they_are_asked_for(cube3) -> None:
    found = ways_to(sought(cube3, "twists UFR clockwise", faces="R F D"), steps=3, aside=1)
    assert found.ended == LONGEST
    assert {len(way.steps) for way in found.answers} == {
        number for number, many in found.counts.items() if many
    }
    assert [len(way.steps) for way in found.answers] == sorted(len(way.steps) for way in found.answers)


def test_the_first_ways_are_those_of_fewest_turns(cube3) -> None:
    found = ways_to(sought(cube3, "flips UF", slices=True))
    lengths = [way.length.obtm for way in found.answers]
    assert lengths == sorted(lengths)
    some = ways_to(sought(cube3, "flips UF", slices=True), most=5)
    assert list(map(str, some.answers)) == list(map(str, found.answers[:5]))
    assert (some.counts, some.others) == (found.counts, found.others)


def test_no_longer_ways_than_are_asked_for_are_counted_or_listed(cube3) -> None:
    every = ways_to(sought(cube3, "flips UF", slices=True))
    found = ways_to(sought(cube3, "flips UF", slices=True), longest=8)
    assert list(map(str, found.answers)) == [str(way) for way in every.answers if way.length.obtm <= 8]
    assert found.others is None


def test_where_there_are_too_many_to_count_that_is_not_told(cube3, monkeypatch) -> None:
    usual = ways_to(sought(cube3, "flips UF", slices=True), most=3)
    monkeypatch.setattr("sitegen.search.step_search.EXACT", 600)
    found = ways_to(sought(cube3, "flips UF", slices=True), most=3)
    assert found.others is None
    assert found.counts == usual.counts
    assert [str(way) for way in found.answers] == [str(way) for way in usual.answers]


def test_where_memory_does_not_allow_it_nothing_is_said_of_more_steps(cube3) -> None:
    assert ways_to(sought(cube3, "flips UF", slices=True), memory=2_000_000).ended in (
        SHORTEST,
        OUT_OF_MEMORY,
    )
    assert ways_to(sought(cube3, "flips UF", slices=True), memory=100_000).ended == OUT_OF_MEMORY


def test_where_the_last_step_leads_besides_need_not_fit_in_memory() -> None:
    """After two steps there are too many positions for all that a third makes of them to be kept."""
    asked = sought(catalogue.puzzle("cube-2"), "cycles UFR > UFL > UBL", "UBR", "R F B L")
    found, every = ways_to(asked, memory=3_000_000), ways_to(asked)
    assert (found.ended, found.shortest) == (SHORTEST, 3)
    assert list(map(str, found.answers)) == list(map(str, every.answers))


def test_how_many_ways_are_ranked_at_once_does_not_matter(cube3, monkeypatch) -> None:
    asked = sought(cube3, "flips UF", slices=True)
    usual = ways_to(asked, most=3)
    monkeypatch.setattr("sitegen.search.step_search.RANKED_AT_ONCE", 7)
    found = ways_to(asked, most=3)
    assert [str(way) for way in found.answers] == [str(way) for way in usual.answers]
    assert (found.counts, found.others) == (usual.counts, usual.others)


def test_what_was_found_is_there_when_it_is_broken_off(cube3) -> None:
    def progress(items, total, what):
        yield from list(items)[:2]
        raise KeyboardInterrupt

    asked, found = sought(cube3, "flips UF", slices=True), StepWays(MANY)
    with pytest.raises(KeyboardInterrupt):
        derive(asked.query, asked.guard, found, progress=progress)
    assert found.answers
    assert (found.partly, found.ended) == (len(found.answers), "")


# What is asked --------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("claims", "guard", "watch"),
    [
        ("flips UF", "U except UF", "UF"),
        ("flips FR", "F except FR", "FR"),
        ("cycles UF > UR > UB", "U except UF, UR, UB", "UF, UR, UB"),
        ("flips UF; keeps UR, UB and UL", "UL, UR, UB", "UF"),
    ],
)
def test_guarded_is_what_the_claims_keep_or_the_rest_of_a_layer(cube3, claims, guard, watch) -> None:
    asked = sought(cube3, claims)
    assert asked.guard == parse_pieces(written(guard), cube3)
    assert asked.watch == parse_pieces(written(watch), cube3)
    assert (asked.guarded, asked.watched) == (guard, watch)


@pytest.mark.parametrize(
    ("claims", "guard", "message"),
    [
        ("order 3", "U", "this changes no piece"),
        ("keeps U", "D", "this changes no piece"),
        ("swaps UF with DB", "", "no layer has all of"),
        ("flips UF", "U", "the goal changes UF"),
    ],
)
def test_what_cannot_be_derived_is_refused(cube3, claims: str, guard: str, message: str) -> None:
    with pytest.raises(Problem, match=message):
        sought(cube3, claims, guard)


def test_turns_about_one_line_are_refused(cube3) -> None:
    with pytest.raises(Problem, match="setting aside is no help"):
        sought(cube3, "cycles DF > DR > DB > DL", "U", "U D")
