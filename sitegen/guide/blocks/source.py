"""Blocks as text, ready to paste into a page."""

from __future__ import annotations

import re
from collections.abc import Container, Iterable
from itertools import count


def moves_source(name: str, title: str, moves: str, claims: Iterable[str]) -> str:
    """A block `moves`."""
    items = [f"- {claim}" for claim in claims]
    head = [f"```moves {name}", f"title: {title}", f"moves: {moves}"]
    return "\n".join([*head, *(["claims:", *items] if items else []), "```"])


def free(name: str, taken: Container[str]) -> str:
    """The name, or where a sequence has it already the name with a number."""
    numbered = (f"{name}-{number}" for number in count(2))
    return name if name not in taken else next(other for other in numbered if other not in taken)


def name_of(claim: str) -> str:
    """A name for a sequence of which something is claimed: `flips-uf`."""
    return re.sub(r"[^a-z0-9]+", "-", claim.lower()).strip("-")


def with_turn(name: str, turn: str) -> str:
    """A name for what a named sequence becomes together with a turn."""
    return f"{name}-{turn.lower()}".replace("'", "-prime")
