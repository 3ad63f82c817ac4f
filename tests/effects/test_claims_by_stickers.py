"""Claims that a page follows sticker by sticker: there they hold of the same turns as they do here."""

from __future__ import annotations

from random import Random

import pytest

from sitegen.effects.claims import parse_claims
from sitegen.effects.claims.claim import Reading, Subject
from sitegen.effects.effect import Effect
from sitegen.moves.metrics import total
from sitegen.moves.turning import inverse_turns, permutation_of
from sitegen.problems import Findings, written
from sitegen.puzzles import catalogue
from sitegen.puzzles.puzzle import Puzzle, Turn

SAID = {
    "cube-3": [
        "flips UF",
        "twists UFR clockwise",
        "twists UFR clockwise and UFL anticlockwise",
        "swaps UF with UR",
        "swaps UF with UB in any orientation",
        "cycles UFR > UFL > UBL in any orientation",
        "cycles UF > UL > UB",
        "keeps U",
        "keeps U except UF",
        "keeps corners",
        "changes only UF, UR and FR",
        "changes only edges",
        "does nothing",
    ],
    "skewb": ["keeps centres", "changes only corners", "does nothing"],
    "pyraminx": ["keeps tips", "changes only edges"],
    "megaminx": ["keeps U", "changes only edges"],
}


def words(puzzle: Puzzle, number: int) -> list[tuple[Turn, ...]]:
    """Conjugates, commutators and others, as claims seldom hold of turns at random."""
    random, turns, found = Random(puzzle.name), list(puzzle.turns()), list[tuple[Turn, ...]]()
    for _ in range(number):
        a, b = (tuple(random.choices(turns, k=random.randrange(3))) for _ in range(2))
        found.append(
            random.choice((a, a + b + inverse_turns(a), a + b + inverse_turns(a) + inverse_turns(b)))
        )
    return found


@pytest.mark.parametrize(("name", "said"), [(name, said) for name, every in SAID.items() for said in every])
def test_stickers_tell_all_that_such_a_claim_says(name: str, said: str) -> None:
    puzzle, findings = catalogue.puzzle(name), Findings()
    ((_, claim),) = parse_claims([written(said)], puzzle, findings)
    findings.settle()
    assert claim.BY_STICKERS
    asked, held = claim.asks(Reading(puzzle, {})), set[bool]()
    for turns in words(puzzle, 1500):
        done = permutation_of(turns, puzzle)
        holds = not claim.fault(Subject(Effect(puzzle, done), total(turns, puzzle), {}))
        assert holds == all(done[slot] in there for slot, there in asked.items())
        held.add(holds)
    assert False in held
