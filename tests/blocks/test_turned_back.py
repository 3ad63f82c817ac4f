"""The hint for a claim that would be true with the whole puzzle turned at the end: following it is enough."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from sample_moved_centres import FAMILIES
from turned_text import does

from sitegen.effects.effect import Effect, holds
from sitegen.problems import Problem
from sitegen.puzzles import catalogue
from sitegen.puzzles import permutation as perm

ENDING_HINT = re.compile(r"with (.+?) at the end of the moves it is true; what the moves do: ")

Claimed = list[tuple[str, str]]
"""Moves, and a claim about them."""


@pytest.fixture
def refused(problems_of) -> Callable[..., dict[tuple[str, str], Problem]]:
    """The problem with each claim that is refused; each stands in a block of its own."""

    def of(claimed: Claimed, puzzle: str, others: dict[str, str]) -> dict[tuple[str, str], Problem]:
        named = [f"```moves {name}\nmoves: {moves}\n```" for name, moves in others.items()]
        blocks = [f"```moves\nmoves: {moves}\nclaims: {claim}\n```" for moves, claim in claimed]
        problems = problems_of(index="\n\n".join([f"---\npuzzle: {puzzle}\n---", *named, *blocks]))
        # Three lines in each, and an empty one behind it; the front has three and no more.
        first, each = 5 + 4 * len(named), 5
        return {claimed[(problem.passage.line - first) // each]: problem for problem in problems}

    return of


def followed(problems: dict[tuple[str, str], Problem]) -> Claimed:
    """Each claim that was refused, with what its hint says at the end of the moves."""
    endings = {pair: ENDING_HINT.match(problem.hint) for pair, problem in problems.items()}
    assert all(endings.values())
    return [(f"{moves} {found.group(1)}", claim) for (moves, claim), found in endings.items() if found]


@pytest.mark.parametrize("name", ["cube-3", "cube-5", "megaminx"])
def test_a_claim_that_holds_turned_back_is_refused_with_the_turning_that_makes_it_hold(
    refused, name: str
) -> None:
    puzzle = catalogue.puzzle(name)
    claimed: Claimed = []
    for moves in FAMILIES[name]:
        effect = Effect(puzzle, does(moves, puzzle))
        claims = [f"keeps {kept}" for kept in {*effect.turned_back.keeps} - {*effect.keeps}]
        claimed += [(moves, claim) for claim in claims]
    assert len(claimed) > 20
    problems = refused(claimed, name, {})
    assert [*problems] == claimed
    assert refused(followed(problems), name, {}) == {}


@pytest.mark.parametrize("name", ["cube-2", "cube-3", "pyraminx", "skewb"])
def test_what_is_the_same_but_for_a_turning_at_the_end_is_refused_with_that_turning(
    refused, name: str
) -> None:
    puzzle = catalogue.puzzle(name)
    others = {f"s{i}": moves for i, moves in enumerate(FAMILIES[name])}
    done = {moves: does(moves, puzzle) for moves in others.values()}
    ended = {moves: {perm.compose(p, whole) for whole in holds(puzzle)} for moves, p in done.items()}
    claimed = [
        (moves, f"same as @{other}")
        for moves in done
        for other, text in others.items()
        if done[text] != done[moves] and done[text] in ended[moves]
    ]
    assert claimed
    problems = refused(claimed, name, others)
    assert [*problems] == claimed
    assert refused(followed(problems), name, others) == {}


def test_what_no_turning_at_the_end_makes_true_is_refused_without_one(refused) -> None:
    claimed = [
        ("M", "keeps U"),
        ("R", "flips UF"),
        ("x", "length 2 OBTM"),
        ("M", "length 2 ETM"),
        ("R", "order 3"),
    ]
    problems = refused(claimed, "cube-3", {})
    assert [*problems] == claimed
    assert not any("at the end" in problem.hint for problem in problems.values())
