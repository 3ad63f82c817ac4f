"""How the cases of a stage are solved, and what is said of them: held against searches of the tests' own."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache
from itertools import product

import published_cube as published
import pytest
import sample_definitions as samples
from stages import (
    any_turns,
    are_reached,
    distances,
    does,
    goals,
    in_every_amount,
    plan,
    single_turns,
    stage,
    toolbox,
    turns_of,
)
from sympy.combinatorics import Permutation as SympyPermutation
from sympy.combinatorics import PermutationGroup

import sitegen.methods.coverage
import sitegen.methods.solving
from sitegen.methods.coverage import Case, Coverage, astray, coverage
from sitegen.methods.goals import Goal, State, labels
from sitegen.methods.plan import Plan, Stage, Step
from sitegen.methods.solving import ByTools, Made, Rest, Solution, TakenUp
from sitegen.methods.tools import Application
from sitegen.moves.metrics import obtm
from sitegen.moves.notation import write_all
from sitegen.moves.shorthand import Row
from sitegen.moves.simplify import simplify
from sitegen.moves.turning import held, permutation_of
from sitegen.puzzles import catalogue
from sitegen.puzzles.permutation import Permutation, compose, from_images, inverse
from sitegen.puzzles.puzzle import Puzzle, Turn
from sitegen.search.ease import Ease, ease

CORNERS_ROUND = "R U R' U R U2 R'"
"""Common practice: turns three corners of U, and leads three edges round."""
CORNERS_ROUND_IN_A_MIRROR = "L' U' L U' L' U2 L"
FLIP = "F R U R' U' F'"
"""Common practice: turns over two edges of U."""
THREE_EDGES = "R U' R U R U R U' R' U' R2"
"""Common practice: leads three edges of U round, and moves nothing else."""
TWO_CORNERS = "(R' D' R D)2 U (D' R' D R)2 U'"
"""Common practice: twists two corners of U that are neighbours, and moves nothing else."""
LAST_LAYER = "D and E home"
AROUND_U = ("", "y", "y2", "y'")
"""How the cube may be held with U on top."""


def after(state: State, done: Permutation) -> State:
    """A state after some moves: what is in each slot goes where they take it."""
    return compose(inverse(done), state)


# By any turns ----------------------------------------------------------------------------------------------


def test_the_edges_of_d_are_as_far_from_home_as_is_published(cube3: Puzzle) -> None:
    """Published: numbers of turns that the four edges of one face take, in OBTM (from memory).

    They add up to 190,080, which is 12 · 11 · 10 · 9 · 2^4.
    """
    step = plan(cube3, stage(cube3, "edges of D home", any_turns(cube3, 8))).steps[0]
    taken = Counter(step.solver.measure(state)[1] for state in step.cases.states)
    assert taken == dict(enumerate([1, 15, 158, 1_394, 9_809, 46_381, 97_254, 34_966, 102]))


def edge_by_edge(cube3: Puzzle, faces: str, longest: int) -> Plan:
    return plan(cube3, stage(cube3, "edges of D home", any_turns(cube3, longest, faces), "DF, DL, DB, DR"))


@pytest.mark.parametrize(("faces", "longest"), [("UDFBLR", 8), ("UFLR", 3)])
def test_each_step_takes_as_many_turns_as_a_search_through_all_states_says(
    faces: str, longest: int, cube3: Puzzle
) -> None:
    """Brute force in this test: every state, turn by turn from the goal. Three turns solve only some."""
    tables = [turned for _, turned in in_every_amount(cube3, faces)]
    unsolved = 0
    for step in edge_by_edge(cube3, faces, longest).steps[:3]:
        away = distances(step.reached, tables)
        for state in step.cases.states:
            measured = step.solver.measure(state)
            if away.get(state, longest + 1) > longest:
                assert measured is None
                assert step.solver.solve(state) is None
                unsolved += 1
            else:
                assert measured == (int(away[state] > 0), away[state])
    assert (unsolved > 0) == (longest == 3)


def test_turns_that_cannot_lead_there_solve_nothing_however_many_they_are(cube3: Puzzle) -> None:
    """By hand: U alone brings UF to the four places of U and nowhere else."""
    step = plan(cube3, stage(cube3, "UF home", any_turns(cube3, 20, "U"))).steps[0]
    solved = [state for state in step.cases.states if step.solver.solve(state)]
    assert (len(solved), len(step.cases.states)) == (4, 24)


def test_what_is_found_leads_to_the_goal_in_as_many_turns_as_was_said(cube3: Puzzle) -> None:
    for step in edge_by_edge(cube3, "", 8).steps:
        for state in step.cases.states:
            found = step.solver.solve(state)
            assert after(state, permutation_of(found.turns, cube3)) == step.reached
            assert (found.used, found.length) == step.solver.measure(state)
            assert found.length == len(found.turns)


def shortest_words(
    state: State, away: dict[State, int], named: Sequence[tuple[str, Permutation]]
) -> Iterator[tuple[str, ...]]:
    """Every word that comes one nearer with each turn."""
    if away[state] == 0:
        yield ()
        return
    for name, turned in named:
        there = after(state, turned)
        if away[there] == away[state] - 1:
            for word in shortest_words(there, away, named):
                yield (name, *word)


def effort(moves: Sequence[str]) -> tuple[int, int, int]:
    """By the rule: layers turned, turns of B and D, half turns."""
    return (
        len({turn[0] for turn in moves}),
        sum(turn[0] in "BD" for turn in moves),
        sum(turn.endswith("2") for turn in moves),
    )


def test_of_all_the_shortest_the_easiest_is_given(cube3: Puzzle) -> None:
    """Brute force in this test: every shortest word of every case of some steps, judged by the rule."""
    named = list(in_every_amount(cube3, "UDFBLR"))
    placed = plan(cube3, stage(cube3, "UF and UR placed", any_turns(cube3, 8)))
    chosen = 0
    for step in (*edge_by_edge(cube3, "", 8).steps[:3], *placed.steps):
        away = distances(step.reached, [turned for _, turned in named])
        for state in step.cases.states:
            words = list(shortest_words(state, away, named))
            given = write_all(step.solver.solve(state).turns, cube3).split()
            assert effort(given) == min(map(effort, words))
            chosen += len(set(map(effort, words))) > 1
    assert chosen > 20


def test_turns_of_inner_layers_count_as_what_they_are_in_obtm(cube4: Puzzle) -> None:
    """WCA 12a5: 2R is two turns of outer blocks, so that a wing in that layer comes home by two."""
    turns = any_turns(cube4, 4, ("2R", "F"))
    # A corner says how the cube is held, or else it could be picked up with the wing home.
    step = plan(cube4, stage(cube4, "DBL home", turns), stage(cube4, "DFr home", turns)).steps[1]
    assert step.solver.measure(after(step.reached, does("2R", cube4))) == (1, 2)
    for state in step.cases.states:
        if found := step.solver.solve(state):
            assert step.solver.measure(state) == (found.used, found.length)
            assert found.length == obtm(found.turns, cube4)


def test_the_puzzle_may_be_held_otherwise_before_the_turns(cube2: Puzzle) -> None:
    """Brute force in this test: the nearest of the 24 ways to hold the cube; holding it counts nothing."""
    step = plan(cube2, stage(cube2, "DFL and DFR home", any_turns(cube2, 2, "RUF", hold="x y"))).steps[0]
    away = distances(step.reached, [turned for _, turned in in_every_amount(cube2, "RUF")])
    ways = [does(f"{first} {then}", cube2) for first in ("", "x", "x2", "x'", "z", "z'") for then in AROUND_U]
    assert len(set(ways)) == 24
    taken = []
    for state in step.cases.states:
        nearest = min(away[after(state, way)] for way in ways if after(state, way) in away)
        found = step.solver.solve(state)
        assert (found is None) == (nearest > 2)
        if found:
            assert after(state, permutation_of(found.turns, cube2)) == step.reached
            assert step.solver.measure(state) == (found.used, found.length)
            assert found.length == nearest
            taken.append(nearest)
    # By hand: the two are neighbours that lie alike in 24 of the 504 cases, one for each way to hold them.
    assert taken.count(0) == 24


@cache
def by_three_faces(goal: State, puzzle: Puzzle) -> dict[State, int]:
    return distances(goal, [turned for _, turned in in_every_amount(puzzle, "RUF")])


@pytest.mark.parametrize(("faces", "hold"), [("", ""), ("RUF", ""), ("", "x y"), ("RUF", "x y")])
@pytest.mark.parametrize("wanted", ["corners of U placed", "corners of U oriented by U"])
def test_a_few_cases_are_solved_however_many_turns_are_allowed(
    wanted: str, faces: str, hold: str, cube2: Puzzle, monkeypatch
) -> None:
    """Brute force in this test: every state that R, U and F lead to, which leave one corner as it is.

    Any turn of the cube of two layers is one of theirs and a turn of the whole. OEIS A079761: none of its
    positions takes more than 11 turns. A tenth of what may be looked at is enough.
    """
    monkeypatch.setattr(sitegen.methods.solving, "MOST_STATES", 400_000)
    first = stage(cube2, "D home", any_turns(cube2, 1))
    step = plan(cube2, first, stage(cube2, wanted, any_turns(cube2, 12, faces, hold))).steps[1]
    taken = {state: step.solver.measure(state)[1] for state in step.cases.once}
    away = by_three_faces(step.reached, cube2)
    assert taken == {state: away[state] for state in step.cases.states}
    for state in step.cases.states:
        found = step.solver.solve(state)
        assert after(state, permutation_of(found.turns, cube2)) == step.reached
        assert len(found.turns) == found.length == taken[state]


# By tools --------------------------------------------------------------------------------------------------


def stage_of(goal: Goal, puzzle: Puzzle) -> Stage:
    """A goal reached before; what must be oriented is so in one step."""
    pieces = sorted(goal.pieces) if goal.state != "oriented" else []
    steps = tuple((puzzle.pieces[index].name, frozenset([index])) for index in pieces)
    return Stage("A stage", (goal,), steps, any_turns(puzzle, 1))


@dataclass(frozen=True)
class Trick:
    """A stage with tools, and what may be put around them, written out: holds and lead-ins as texts."""

    puzzle: str
    before: str
    wanted: str
    tools: tuple[str, ...]
    layer: str = ""
    hold: str = ""
    holds: tuple[str, ...] = ("",)
    lead_in: str = ""

    def plan(self, puzzle: Puzzle) -> Plan:
        """What is reached before is reached piece by piece, so that there are few cases of it."""
        box = toolbox(
            puzzle,
            *self.tools,
            layer=self.layer,
            hold=self.hold,
            lead_in=self.lead_in,
            longest=1 if self.lead_in else 0,
        )
        earlier = [stage_of(goal, puzzle) for goal in goals(puzzle, self.before)]
        return plan(puzzle, *earlier, stage(puzzle, self.wanted, box))

    def step(self, puzzle: Puzzle) -> Step:
        return self.plan(puzzle).steps[-1]

    def amounts(self, layer: str, puzzle: Puzzle) -> list[str]:
        marks = {3: ("", "'"), 4: ("", "2", "'")}[puzzle.full_turn]
        return [layer + mark for mark in marks] if layer else []

    def texts(self, puzzle: Puzzle) -> Iterator[str]:
        """Every combination, as it is written; a lead-in is one turn or none."""
        layers = ["", *self.amounts(self.layer, puzzle)]
        leads = ["", *(turn for face in self.lead_in for turn in self.amounts(face, puzzle))]
        for hold, first, last, lead, tool in product(self.holds, layers, layers, leads, self.tools):
            inner = f"[{lead}: {tool}]" if lead else tool
            yield f"[{hold}: {first} {inner} {last}]" if hold else f"{first} {inner} {last}"

    def free(self, puzzle: Puzzle) -> Iterator[str]:
        for hold, turn in product(self.holds, self.amounts(self.layer, puzzle)):
            yield f"[{hold}: {turn}]" if hold else turn

    def keeping(self, texts: Iterable[str], puzzle: Puzzle) -> dict[Permutation, str]:
        """What the texts do, as far as the earlier goals are reached afterwards."""
        earlier = goals(puzzle, self.before)
        done = {does(text, puzzle): text for text in texts}
        return {p: text for p, text in done.items() if are_reached(earlier, p, puzzle)}

    def levels(self, step: Step, puzzle: Puzzle) -> dict[State, int]:
        """From the goal backwards, by combinations, with one free turn or none before and after each."""
        made, free = (list(self.keeping(texts, puzzle)) for texts in (self.texts(puzzle), self.free(puzzle)))
        levels: dict[State, int] = {}
        edge, level = {step.reached}, 0
        while edge:
            edge |= {compose(turned, state) for state in edge for turned in free}
            edge -= levels.keys()
            levels.update(dict.fromkeys(edge, level))
            edge = {compose(done, state) for state in edge for done in made}
            level += 1
        return levels


TRICKS = {
    "turn the corners": Trick("cube-2", "D home", "corners of U oriented by U", (CORNERS_ROUND,), "U"),
    "turn the corners, held": Trick(
        "cube-2", "D home", "corners of U oriented by U", (CORNERS_ROUND,), "U", "y", AROUND_U
    ),
    "turn the edges": Trick("cube-3", LAST_LAYER, "edges of U oriented by U", (FLIP,), "U"),
    "turn all": Trick("cube-3", LAST_LAYER, "U oriented by U", (FLIP, CORNERS_ROUND), "U"),
    "lead edges round": Trick("cube-3", LAST_LAYER, "edges of U placed", (CORNERS_ROUND,), "", "y", AROUND_U),
    "twist two corners": Trick("cube-2", "D home; U placed", "U home", (TWO_CORNERS,)),
    "twist any two": Trick("cube-2", "D home; U placed", "U home", (TWO_CORNERS,), "", "y", AROUND_U),
    "a layer that is not free": Trick("cube-2", "UFL home", "UFR home", ("R F R'",), "U", lead_in="DR"),
    "not free, held": Trick(
        "cube-3", f"{LAST_LAYER}; edges of U oriented by U", "U home", (CORNERS_ROUND,), "F", "y", AROUND_U
    ),
    "a layer that is free as held once": Trick(
        "cube-2", "DFL home", "DFR home", ("R U' R'",), "U", "x2", ("", "x2")
    ),
    "held, with a lead-in": Trick(
        "cube-2", "DFL home", "DFR home", ("R U' R'",), "", "y", AROUND_U, lead_in="RF"
    ),
    "held, led in and turned": Trick(
        "cube-2", "DFL home; DBR placed", "DFR home", ("U R U'",), "F", "y", AROUND_U, lead_in="R"
    ),
    "another solid": Trick(
        "cube by 4 vertices", "ADF home", "ADE and BCF home", ("A B A' B'",), "C", lead_in="D"
    ),
}


def puzzle_of(trick: Trick) -> Puzzle:
    return catalogue.puzzle(trick.puzzle) if "-" in trick.puzzle else samples.cube_by_four_vertices()


@pytest.fixture(params=TRICKS.values(), ids=TRICKS.keys(), scope="module")
def tried(request: pytest.FixtureRequest) -> tuple[Trick, Puzzle, Step]:
    puzzle = puzzle_of(request.param)
    return request.param, puzzle, request.param.step(puzzle)


def solutions(step: Step) -> list[tuple[State, Solution]]:
    found = [(state, step.solver.solve(state)) for state in step.cases.states]
    return [(state, solution) for state, solution in found if solution]


def test_each_case_takes_as_many_applications_as_a_search_through_all_combinations_says(tried) -> None:
    """Brute force in this test: each combination is written out, read and turned."""
    trick, puzzle, step = tried
    levels = trick.levels(step, puzzle)
    found = {state: solution.used for state, solution in solutions(step)}
    assert found == {state: levels[state] for state in step.cases.states if state in levels}


def test_what_is_left_out_as_longer_would_not_have_been_kept(tried, monkeypatch) -> None:
    """The same is kept of every state, in the same order, where all is written out and then told apart."""
    trick, puzzle, _ = tried
    found = kept_by(trick.step(puzzle))

    def costs(turns: tuple[Turn, ...]) -> tuple[int, Ease]:
        return obtm(turns, puzzle), ease(turns, puzzle)

    def note(solver: ByTools, made: Made, first: Application, _: Row, rests: Iterable[Rest]) -> None:
        for _, rest in rests:
            turns = simplify(first.turns + rest.turns, puzzle)
            row = solver.shorthand.row(turns)
            begins = row[: solver.told_apart]
            if begins not in made or costs(turns) < costs(solver.shorthand.turns(made[begins][1])):
                made[begins] = obtm(turns, puzzle), row, first, rest

    monkeypatch.setattr(ByTools, "_note", note)
    monkeypatch.setattr(ByTools, "_best_meeting", ByTools._meeting)
    assert kept_by(trick.step(puzzle)) == found


def kept_by(step: Step) -> list[tuple[State, list[tuple[object, ...]]]]:
    """For each state that was gone through, its solutions by how they begin."""
    assert solutions(step)
    solver = step.solver.solver if isinstance(step.solver, TakenUp) else step.solver
    return [(state, [told_of(each) for each in begun.values()]) for state, begun in solver._begun.items()]


def told_of(found: Solution) -> tuple[object, ...]:
    return (
        [each.text for each in found.applications],
        found.used,
        found.turns,
        found.length,
        found.permutation,
    )


def test_every_solution_is_turned_and_reaches_the_goal(tried) -> None:
    """As one, and turn by turn, nothing being left to cancel."""
    _, puzzle, step = tried
    for state, found in solutions(step):
        assert after(state, found.permutation) == step.reached
        assert permutation_of(found.turns, puzzle) == found.permutation
        assert simplify(found.turns, puzzle) == found.turns
        assert found.length == obtm(found.turns, puzzle)
        assert (found.used, found.length) == step.solver.measure(state)


def test_what_is_written_of_an_application_is_what_is_done(tried) -> None:
    """The tools being written out, every text can be read and turned."""
    _, puzzle, step = tried
    for state, found in solutions(step):
        at = state
        for each in found.applications:
            done = does(each.text, puzzle)
            assert done == each.permutation == permutation_of(each.turns, puzzle)
            assert each.length == obtm(each.turns, puzzle)
            at = after(at, done)
        assert at == step.reached


def test_each_application_leaves_what_was_reached_before(tried) -> None:
    """Told piece by piece, of a position that is such a case."""
    trick, puzzle, step = tried
    earlier, wanted = goals(puzzle, trick.before), goals(puzzle, trick.wanted)
    for state, found in solutions(step)[:60]:
        at = step.cases.position(state)
        assert are_reached(earlier, at, puzzle)
        for each in found.applications:
            at = compose(at, each.permutation)
            assert are_reached(earlier, at, puzzle)
        assert are_reached(wanted, at, puzzle)


Turned = tuple[Turn, ...]


def free_turns(trick: Trick, puzzle: Puzzle) -> list[tuple[Permutation, str]]:
    """With the turn of nothing."""
    return [(puzzle.identity, ""), *trick.keeping(trick.free(puzzle), puzzle).items()]


def written_out(trick: Trick, puzzle: Puzzle) -> dict[Permutation, set[Turned]]:
    """Every combination that keeps what was reached: what it does, and its turns, held as before."""
    kept: dict[Permutation, set[Turned]] = {p: set() for p in trick.keeping(trick.texts(puzzle), puzzle)}
    for hold in trick.holds:
        for text in replace(trick, holds=("",)).texts(puzzle):
            done = does(f"[{hold}: {text}]" if hold else text, puzzle)
            if done in kept:
                turns = held(simplify(turns_of(text, puzzle), puzzle), puzzle, does(hold, puzzle))
                kept[done].add(simplify(turns, puzzle))
    return kept


def cost(turns: Turned, puzzle: Puzzle) -> tuple[int, tuple[int, int, int]]:
    """Turns, and then how hard they are for a hand."""
    return len(turns), effort(write_all(turns, puzzle).split())


@pytest.mark.parametrize(
    "name", ["a layer that is not free", "held, with a lead-in", "held, led in and turned"]
)
def test_where_one_application_is_enough_it_is_the_shortest_and_of_these_the_easiest(name: str) -> None:
    """Brute force in this test, where no turn of the layer is free. Every turn is one of a face."""
    trick, puzzle = TRICKS[name], puzzle_of(TRICKS[name])
    assert not trick.keeping(trick.free(puzzle), puzzle)
    step, least = trick.step(puzzle), {}
    for done, words in written_out(trick, puzzle).items():
        state = compose(done, step.reached)
        costs = [cost(word, puzzle) for word in words]
        least[state] = min([*costs, *([least[state]] if state in least else [])])
    once = {state: cost(found.turns, puzzle) for state, found in solutions(step) if found.used == 1}
    assert len(once) >= 4
    assert once == {state: least[state] for state in once}


@pytest.mark.parametrize("order", [1, -1])
def test_of_two_tools_that_do_the_same_the_shorter_is_used(order: int, cube2: Puzzle) -> None:
    """Singmaster, *Notes on Rubik's 'Magic Cube'*: R2 U2 done six times is nothing. The ends are alike."""
    longer = "R U R' U R (U2 R2)6 U2 R'"
    assert does(longer, cube2) == does(CORNERS_ROUND, cube2)
    trick = TRICKS["turn the corners"]
    alone = [found.length for _, found in solutions(trick.step(cube2))]
    step = replace(trick, tools=(longer, CORNERS_ROUND)[::order]).step(cube2)
    assert [found.length for _, found in solutions(step)] == alone


@pytest.mark.parametrize(
    "name",
    ["turn the corners", "lead edges round", "a layer that is not free", "a layer that is free as held once"],
)
def test_two_applications_take_as_few_turns_as_any_two_that_solve(name: str) -> None:
    """Brute force in this test, with all that cancels between them and the free turns around them."""
    trick, puzzle = TRICKS[name], puzzle_of(TRICKS[name])
    step = trick.step(puzzle)
    made = [(done, word) for done, words in written_out(trick, puzzle).items() for word in words]
    free = [(done, simplify(turns_of(text, puzzle), puzzle)) for done, text in free_turns(trick, puzzle)]
    begun = [(compose(a, b), simplify(one + two, puzzle)) for (a, one), (b, two) in product(free, made)]
    behind: dict[State, set[Turned]] = {}
    """From where one application leads to the goal, with a free turn or none before and after."""
    for (a, one), (b, two) in product(begun, free):
        behind.setdefault(compose(compose(a, b), step.reached), set()).add(simplify(one + two, puzzle))
    twice = [(state, found.length) for state, found in solutions(step) if found.used == 2]
    assert twice
    for state, length in twice:
        words = (
            simplify(one + two, puzzle) for done, one in begun for two in behind.get(after(state, done), ())
        )
        assert length == min(map(len, words))


@pytest.mark.parametrize(
    ("tool", "layer", "hold", "solved"),
    [
        # By hand: three edges round are even, a quarter turn of U is odd; each sign has 12 of the 24 places.
        (THREE_EDGES, "", "y", 12),
        (THREE_EDGES, "U", "y", 24),
        (THREE_EDGES, "U", "", 24),
        # One cycle of three edges, done once or twice: the fourth edge stays.
        (THREE_EDGES, "", "", 3),
        # With nothing but turns of the layer, four.
        ("", "U", "", 4),
    ],
)
def test_cycles_of_three_edges_solve_half_of_their_places_and_with_the_layer_all(
    tool: str, layer: str, hold: str, solved: int, cube3: Puzzle
) -> None:
    moved = published.changed(THREE_EDGES)
    assert len(moved) == 3
    assert moved < set(map(published.place, ("UF", "UR", "UB", "UL")))
    trick = Trick("cube-3", LAST_LAYER, "edges of U placed", (tool,) if tool else (), layer, hold)
    found = coverage(trick.plan(cube3))[-1]
    assert (found.covered, found.cases) == (solved, 24)


# Turns of several layers that are free ---------------------------------------------------------------------

FREE = {
    "nothing is reached before": Trick("cube-2", "", "UFL and UFR home", ("R U R' U'",), "U", "x y"),
    "and there is no tool": Trick("cube-2", "", "UFL and DFR home", (), "U", "x2"),
    "all edges are oriented": Trick(
        "cube-3", "edges oriented by U, D, F and B", "DF and DB home", ("R U R'",), "U", "z2"
    ),
    "the middle layer is home": Trick("cube-3", "E home", "edges of U placed", (CORNERS_ROUND,), "U", "z2"),
}
"""With nothing reached before, or nothing but what they keep, turns of several layers are free."""


@pytest.mark.parametrize("trick", FREE.values(), ids=FREE.keys())
def test_where_turns_of_several_layers_are_free_what_is_solved_is_solved(trick: Trick) -> None:
    puzzle = catalogue.puzzle(trick.puzzle)
    earlier, step = goals(puzzle, trick.before), trick.step(puzzle)
    found = solutions(step)
    assert len(found) > 1
    for state, solution in found:
        at = state
        for each in solution.applications:
            assert are_reached(earlier, each.permutation, puzzle)
            at = after(at, each.permutation)
        assert at == step.reached


# What is said of all cases together ------------------------------------------------------------------------


def position_of(case: Case, puzzle: Puzzle) -> Permutation:
    return from_images(case.position) if case.position else puzzle.identity


@pytest.fixture(scope="module")
def told(tried) -> Coverage:
    trick, puzzle, _ = tried
    return coverage(trick.plan(puzzle))[-1]


def test_the_counts_of_a_stage_add_up(tried, told: Coverage) -> None:
    _, _, step = tried
    measured = {state: taken for state in step.cases.once if (taken := step.solver.measure(state))}
    assert (told.cases, told.covered) == (len(step.cases.once), len(measured))
    assert told.applications == Counter(used for used, _ in measured.values())
    assert told.turns == Counter(length for _, length in measured.values())
    assert list(told.turns) == sorted(told.turns)
    # One case is that with nothing to do.
    assert (told.sheet.number, told.uncovered.number) == (told.covered - 1, told.cases - told.covered)


def solved_by(moves: str, reached: State, puzzle: Puzzle) -> State:
    """The state that some moves lead from to the goal."""
    return compose(does(moves, puzzle), reached)


def test_every_case_that_is_counted_is_solved_by_what_stands_on_the_sheet(tried, told: Coverage) -> None:
    """Every solution is read and turned, and once more for each hold that stands beside it.

    Held against a search of this test's own, through all combinations: no case is missing, none comes twice,
    and all take as many applications and turns as their solution does.
    """
    trick, puzzle, step = tried
    solved: dict[State, Case] = {}
    for case in told.sheet.listed:
        for moves in (case.turns, *(f"[{hold}: {case.turns}]" for hold in case.held)):
            state = solved_by(moves, step.reached, puzzle)
            assert state not in solved
            solved[state] = case
    if len(step.cases.wholes) == 1:
        levels = trick.levels(step, puzzle)
        assert solved.keys() == {s for s in step.cases.states if s in levels} - {step.reached}
    assert Counter(case.length for case in solved.values()) + Counter([0]) == told.turns
    for state, case in solved.items():
        assert step.solver.measure(state)[1] == case.length
        assert set(case.held) <= {*trick.holds, ""}


def test_a_solution_held_otherwise_uses_the_same_sequences_held_otherwise(tried, told: Coverage) -> None:
    """As it is written: the lines of a case, each in the brackets of its hold, solve the other case too."""
    _, puzzle, _ = tried
    for case in told.sheet.listed:
        for hold in case.held:
            lines = " ".join(f"[{hold}: {line}]" for line in case.applications)
            assert does(lines, puzzle) == does(f"[{hold}: {case.turns}]", puzzle)


@pytest.mark.parametrize("tools", [(CORNERS_ROUND,), (CORNERS_ROUND, CORNERS_ROUND_IN_A_MIRROR)])
def test_a_case_is_not_counted_with_its_mirror_image(tools: tuple[str, ...], cube2: Puzzle) -> None:
    """By hand: three corners turned one way, and in a mirror three turned the other way.

    Without the mirrored tool that takes longer; and with it the two are solved by two tools.
    """
    trick = replace(TRICKS["turn the corners, held"], tools=tools)
    found, reached = coverage(trick.plan(cube2))[-1], trick.step(cube2).reached
    by_state = {
        solved_by(moves, reached, cube2): case
        for case in found.sheet.listed
        for moves in (case.turns, *(f"[{hold}: {case.turns}]" for hold in case.held))
    }
    one, other = (
        by_state[solved_by(moves, reached, cube2)] for moves in (CORNERS_ROUND, CORNERS_ROUND_IN_A_MIRROR)
    )
    assert one is not other
    assert (one.length == other.length) == (CORNERS_ROUND_IN_A_MIRROR in tools)


def test_any_turns_are_held_in_every_way_that_keeps_the_goal_and_in_no_mirror(cube3: Puzzle) -> None:
    """Hand-counted: turning the cube by y2 x leaves FD, so that it only takes DF to FD. No mirror does.

    A search of the tests' own says how far each of the 24 is, and all but one are on the sheet.
    """
    laid_out = plan(cube3, stage(cube3, "DF home", any_turns(cube3, 8)))
    found, step = coverage(laid_out)[0], laid_out.steps[0]
    away = distances(step.reached, [turned for _, turned in in_every_amount(cube3, "UDFBLR")])
    solved = {}
    for case in found.sheet.drawn:
        assert set(case.held) <= {"y2 x"}
        for moves in (case.turns, *(f"[{hold}: {case.turns}]" for hold in case.held)):
            solved[solved_by(moves, step.reached, cube3)] = case.length
    assert {**solved, step.reached: 0} == away
    # Burnside: turned about so, 24 cases stay as they are or change places with one another.
    still = sum(after(state, does("y2 x", cube3)) == state for state in step.cases.states)
    assert still == 0
    assert len(found.sheet.drawn) < 23


def test_where_the_goal_leaves_open_how_it_is_held_the_case_is_drawn_as_it_is_taken_up(
    cube2: Puzzle,
) -> None:
    """Hand-counted: 7 · 3 cases of two corners, one of them home. No solution turns the whole."""
    found = coverage(plan(cube2, stage(cube2, "UFL and UFR home", any_turns(cube2, 6))))[0]
    assert (found.cases, found.covered, found.holds) == (21, 21, 24)
    for case in found.sheet.drawn:
        assert not {"x", "y", "z"} & {*case.turns}
        end = compose(position_of(case, cube2), does(case.turns, cube2))
        assert are_reached(goals(cube2, "UFL and UFR home"), end, cube2)


def test_a_case_on_the_sheet_is_solved_by_what_stands_beside_it(tried, told: Coverage) -> None:
    """Its position turned by the turns, and by the applications one after another."""
    trick, puzzle, _ = tried
    earlier, wanted = goals(puzzle, trick.before), goals(puzzle, trick.wanted)
    assert told.sheet.drawn
    for case in told.sheet.drawn:
        at = position_of(case, puzzle)
        assert are_reached(earlier, at, puzzle)
        assert not are_reached(wanted, at, puzzle)
        for moves in (case.turns, " ".join(case.applications)):
            assert are_reached((*earlier, *wanted), compose(at, does(moves, puzzle)), puzzle)
        assert case.length == obtm(turns_of(case.turns, puzzle), puzzle)


def test_the_sheet_shows_first_what_takes_least(tried, told: Coverage) -> None:
    _, puzzle, step = tried
    states = [after(step.reached, position_of(case, puzzle)) for case in told.sheet.drawn]
    taken = [step.solver.measure(state) for state in states]
    assert taken == sorted(taken)


def test_what_is_not_drawn_is_told_in_words(cube3: Puzzle) -> None:
    """Hand-counted: 24 · 22 cases. Each solution is turned; a search of the tests' own tells its length."""
    laid_out = plan(cube3, stage(cube3, "DF and DB home", any_turns(cube3, 8)))
    found, step = coverage(laid_out)[0], laid_out.steps[0]
    assert (found.cases, found.covered) == (528, 528)
    assert (len(found.sheet.drawn), found.sheet.left_out) == (60, 0)
    away = distances(step.reached, [turned for _, turned in in_every_amount(cube3, "UDFBLR")])
    solved = {step.reached: 0}
    for case in found.sheet.listed:
        assert case.words
        for moves in (case.turns, *(f"[{hold}: {case.turns}]" for hold in case.held)):
            solved[solved_by(moves, step.reached, cube3)] = case.length
    assert solved == away


LINE = re.compile(r"(?P<words>[^:]+): (?:held by (?P<hold>[^:]+): )?(?P<moves>.+) \((?P<length>[0-9]+)\)")
"""Of a full list, for a case that is solved."""


@pytest.fixture(scope="module")
def cut_short(tried) -> Coverage:
    """With no room on the sheet, so that the full list is all there is."""
    trick, puzzle, _ = tried
    with pytest.MonkeyPatch.context() as patch:
        for most in ("MOST_DRAWN", "MOST_TOLD", "MOST_UNSOLVED"):
            patch.setattr(sitegen.methods.coverage, most, 0)
        return coverage(trick.plan(puzzle))[-1]


def test_a_full_list_has_a_line_for_every_case_with_what_solves_it(tried, cut_short: Coverage) -> None:
    """Each line is turned as it stands: no case is missing, none comes twice, and the words are its own."""
    _, puzzle, step = tried
    lines = cut_short.full_list.splitlines()
    assert len(lines) == cut_short.cases - 1 == cut_short.sheet.left_out + cut_short.uncovered.left_out
    solved = set()
    for line in lines[: cut_short.covered - 1]:
        told = LINE.fullmatch(line)
        assert told
        moves = told["moves"].replace(" then ", " ")
        moves = f"[{told['hold']}: {moves}]" if told["hold"] else moves
        case = step.cases.distinct[solved_by(moves, step.reached, puzzle)]
        assert case not in solved
        assert int(told["length"]) == step.solver.measure(case)[1]
        assert told["words"] == astray(inverse(does(moves, puzzle)), step.reached, puzzle)
        solved.add(case)
    todo = set(step.cases.once) - {step.cases.distinct[step.reached]}
    assert solved == {case for case in todo if step.solver.measure(case)}
    # The rest are words alone. Where pieces are to be home, these say just which case it is.
    rest = lines[cut_short.covered - 1 :]
    assert len(set(rest)) == len(todo - solved)
    if step.stage.goals[0].state == "home" and len(step.cases.wholes) == 1:
        at = [step.cases.position(case) for case in todo - solved]
        assert set(rest) == {astray(position, step.reached, puzzle) for position in at}


def test_where_the_sheet_has_room_for_all_there_is_no_full_list(told: Coverage) -> None:
    assert (told.sheet.left_out, told.uncovered.left_out, told.full_list) == (0, 0, "")


@pytest.mark.parametrize(("drawn", "told", "left"), [(60, 2_000, False), (60, 10, True), (5, 0, True)])
def test_what_is_drawn_told_in_words_and_left_to_the_full_list_adds_up(
    drawn: int, told: int, left: bool, cube3: Puzzle, monkeypatch
) -> None:
    """Hand-counted: 24 · 22 cases, in one of which nothing is to be done."""
    monkeypatch.setattr(sitegen.methods.coverage, "MOST_DRAWN", drawn)
    monkeypatch.setattr(sitegen.methods.coverage, "MOST_TOLD", told)
    found = coverage(plan(cube3, stage(cube3, "DF and DB home", any_turns(cube3, 8))))[0]
    sheet = found.sheet
    assert (len(sheet.drawn), len(sheet.told)) == (drawn, min(told, sheet.kinds - drawn))
    assert sum(case.stands_for for case in (*sheet.drawn, *sheet.told)) + sheet.left_out == 527
    assert (sheet.left_out > 0) == left
    assert len(found.full_list.splitlines()) == (527 if left else 0)


@pytest.mark.parametrize(
    ("tools", "layer", "cases", "covered"),
    [
        # Two corners twisted, and always the same two: solved, and twisted one way or the other.
        ((TWO_CORNERS,), "", 27, 3),
        # No tool at all.
        ((), "", 27, 1),
    ],
)
def test_tools_too_poor_leave_cases_uncovered_and_each_is_shown(
    tools: tuple[str, ...], layer: str, cases: int, covered: int, cube2: Puzzle
) -> None:
    """Hand-counted. SymPy says that each position shown can be reached."""
    trick = Trick("cube-2", "D home; U placed", "U home", tools, layer)
    laid_out = trick.plan(cube2)
    found, step = coverage(laid_out)[-1], laid_out.steps[-1]
    assert (found.cases, found.covered) == (cases, covered)
    assert found.uncovered.drawn
    group = PermutationGroup([SympyPermutation(list(turn)[:24]) for turn in single_turns(cube2)])
    levels = trick.levels(step, cube2)
    for case in found.uncovered.drawn:
        assert (case.applications, case.turns, case.length) == ((), "", 0)
        assert group.contains(SympyPermutation(list(case.position)))
        at = position_of(case, cube2)
        assert are_reached(goals(cube2, trick.before), at, cube2)
        assert after(step.reached, at) not in levels


OVER = "R U R' F R' F' R"


def test_an_edge_turned_over_in_its_place_is_told_by_the_published_cube() -> None:
    assert published.place("FR") in published.flips(OVER)


@pytest.mark.parametrize(
    ("goal", "moves", "words"),
    [
        # By hand, common practice: U brings UF to UL, R brings FR to UR with F on top.
        ("UF home", "U", "UF is at UL"),
        ("UF home", "R", "nothing is to be done"),
        ("FR home", "R", "FR is at UR"),
        ("UF and UR home", "U", "UF is at UL and UR at UF"),
        ("UF, UR and UB placed", "U", "UF is at UL, UR at UF and UB at UR"),
        # Of a corner that must only be placed, the way round is not told: R turns it to UBR.
        ("UFR home", "R", "UFR is at BUR"),
        ("UFR placed", "R", "UFR is at UBR"),
        # These turn FR over in its place, as the published cube says too.
        ("FR placed", OVER, "nothing is to be done"),
        ("FR home", OVER, "FR is at RF"),
        ("corners of U oriented by U", "U", "nothing is to be done"),
    ],
)
def test_a_case_is_told_by_where_pieces_are(goal: str, moves: str, words: str, cube3: Puzzle) -> None:
    reached = labels(cube3, goals(cube3, goal))
    assert astray(does(moves, cube3), reached, cube3) == words


@pytest.mark.parametrize(
    ("wanted", "left"),
    [
        # The three laws again: what is free, less what follows from the rest.
        ("D and E home; U home", 1),
        ("D and E home; U oriented by U", 288),
        ("D and E home; edges of U home", 12 * 27),
        ("D and E home; corners of U home; edges of U placed", 8),
        # Eight corners and eight edges are too many.
        ("E home", None),
    ],
)
def test_what_may_be_left_when_all_stages_are_done(wanted: str, left: int | None, cube3: Puzzle) -> None:
    stages = [stage(cube3, each, any_turns(cube3, 1)) for each in wanted.split(";")]
    assert plan(cube3, *stages).left == left
