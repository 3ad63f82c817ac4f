"""Blocks as text, ready to paste into a page."""

from __future__ import annotations

import re
from collections.abc import Container, Iterable, Iterator
from itertools import count

from sitegen.effects.claims.claims_of_effect import claims_of
from sitegen.puzzles.puzzle import Turn
from sitegen.search.commutators import commutators
from sitegen.search.find import Found
from sitegen.search.query import Query

LONGEST_NAME = 60


def moves_source(name: str, title: str, moves: str, claims: Iterable[str], marked: bool = False) -> str:
    """A block `moves` in Markdown."""
    items = [f"- {claim}" for claim in claims]
    head = [f"```moves {name}", f"title: {title}", f"moves: {moves}", *["marked: yes"] * marked]
    return "\n".join([*head, *(["claims:", *items] if items else []), "```"])


def free(name: str, taken: Container[str]) -> str:
    """The name, or where a sequence has it already the name with a number."""
    numbered = (f"{name}-{number}" for number in count(2))
    return name if name not in taken else next(other for other in numbered if other not in taken)


def name_of(claim: str) -> str:
    """A name for a sequence of which something is claimed: `flips-uf`."""
    return re.sub(r"[^a-z0-9]+", "-", claim.lower())[:LONGEST_NAME].strip("-")


def title_of(claim: str) -> str:
    return claim[0].upper() + claim[1:]


def with_turn(name: str, turn: str) -> str:
    """A name for what a named sequence becomes with a turn; of these some begin with a small letter."""
    small = "small-" if turn[0].islower() else ""
    return f"{name}-{small}{turn.lower()}".replace("'", "-prime")


def found_blocks(asked: Query, found: Found, then: Turn | None, taken: Container[str] = ()) -> Iterator[str]:
    """What a search has found as blocks that claim what was asked for, each with its commutators.

    None has a name that is taken.
    """
    claim = asked.texts[0]
    for number, answer in enumerate([answer for answer in found.answers if answer.turns], 1):
        name = free(f"{name_of(claim)}-{number}", taken)
        yield moves_source(name, title_of(claim), answer.moves, asked.texts, asked.marked)
        for each in commutators(f"@{name}", answer.effect, then) if then else ():
            if each.effect.changed:
                title = f"{title_of(claim)}, with {each.turn}"
                other = free(with_turn(name, each.turn), taken)
                yield moves_source(other, title, each.moves, claims_of(each.effect))
