"""Claims: text to something that can be checked. A new kind of claim is a module here and a line in KINDS."""

from __future__ import annotations

from collections.abc import Callable
from difflib import get_close_matches

from sitegen.effects.claims import cycles, flips, keeps, numbers, relations, twists
from sitegen.effects.claims.case import Case, Claim, tokens_of
from sitegen.effects.piece_sets import joint_hint
from sitegen.problems import Passage
from sitegen.puzzles.puzzle import Puzzle
from sitegen.tokenizer import Tokenizer

__all__ = ["KINDS", "Case", "Claim", "parse_claim"]

KINDS: dict[str, Callable[[Tokenizer, Puzzle], Claim]] = {
    "flips": flips.read,
    "twists": twists.read,
    "cycles": cycles.read,
    "swaps": cycles.read_swaps,
    "keeps": keeps.read,
    "changes only": keeps.read_changes,
    "does nothing": keeps.read_nothing,
    "order": numbers.read_order,
    "length": numbers.read_length,
    "same as": relations.read_same,
    "undoes": relations.read_undoes,
    "mirrors": relations.read_mirrors,
}
"""The words that a claim begins with, and what reads the rest."""


def parse_claim(passage: Passage, puzzle: Puzzle) -> Claim:
    """claim := KIND …    Raises Problem."""
    tokens = tokens_of(passage)
    kind = next((kind for kind in KINDS if _begins(tokens, kind)), None)
    if kind is None:
        raise tokens.unexpected("a claim", _near(tokens) or "a claim begins with " + ", ".join(KINDS))
    claim = KINDS[kind](tokens, puzzle)
    if not tokens.at_end:
        raise tokens.unexpected("the end of the claim", _end_hint(tokens))
    return claim


def _near(tokens: Tokenizer) -> str:
    """The kind that the first word seems to be meant for; empty where none is near."""
    start, end = tokens.next_word()
    first = {kind.split()[0]: kind for kind in KINDS}
    near = get_close_matches(tokens.text[start:end].lower(), first, n=1)
    return f"is it {first[near[0]]}?" if near else ""


def _end_hint(tokens: Tokenizer) -> str:
    """What to do about something that stands behind a whole claim."""
    further = "a further claim goes on a line of its own"
    word = tokens.check("word")
    if tokens.text[tokens.position :].strip() == ".":
        return "no full stop behind a claim"
    if tokens.check("orientation"):
        return "only cycles and swaps are told “in any orientation”"
    if word and word.text == "in":
        return "the words are “in any orientation”"
    hint = joint_hint(tokens)
    return f"{hint}; {further}" if tokens.check("name") else hint or further


def _begins(tokens: Tokenizer, kind: str) -> bool:
    """Reads the words of a kind, where they stand here."""
    mark = tokens.position
    for word in kind.split():
        token = tokens.read("word")
        if token is None or token.text != word:
            tokens.position = mark
            return False
    return True
