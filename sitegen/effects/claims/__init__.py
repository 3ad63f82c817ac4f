"""Claims: text to something that can be checked. A new kind of claim is a module here and a line in KINDS."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterable, Mapping
from typing import TypeVar

from sitegen.effects.claims import counts, cycles, in_place, keeps, related
from sitegen.effects.claims.claim import ANY_ORIENTATION, Claim, Placing, Subject, tokens_of
from sitegen.effects.piece_sets import joint_hint, piece_words
from sitegen.effects.words import listed
from sitegen.moves.metrics import METRICS
from sitegen.names import once
from sitegen.problems import Findings, Passage, Problem, meant, nearest
from sitegen.puzzles.puzzle import Puzzle
from sitegen.tokenizer import Tokenizer, stretches

__all__ = ["KINDS", "PLACING", "Claim", "Placing", "Subject", "claim_words", "parse_claim", "parse_placing"]

PLACING: dict[str, Callable[[Tokenizer, Puzzle], Placing]] = {
    "flips": in_place.read_flips,
    "twists": in_place.read_twists,
    "cycles": cycles.read,
    "swaps": cycles.read_swaps,
    "does nothing": keeps.read_nothing,
}
"""The words that a claim begins with which says where pieces are, and what reads the rest."""

KINDS: dict[str, Callable[[Tokenizer, Puzzle], Claim]] = {
    **PLACING,
    "keeps": keeps.read,
    "changes only": keeps.read_changes,
    "order": counts.read_order,
    "length": counts.read_length,
    "same as": related.read_same,
    "undoes": related.read_undoes,
    "mirrors": related.read_mirrors,
}
"""The words that any claim begins with."""
VERBS = tuple(dict.fromkeys(kind.split()[0] for kind in KINDS))
"""The first of these."""
MEANT: Mapping[str, tuple[str, ...]] = {
    **dict.fromkeys(["preserves", "fixes", "leaves", "saves", "protects", "does not"], ("keeps",)),
    **dict.fromkeys(["affects", "touches", "alters", "changes"], ("changes only",)),
    **dict.fromkeys(["rotates", "turns", "orients"], ("twists", "flips")),
    **dict.fromkeys(["exchanges", "switches", "interchanges"], ("swaps",)),
    **dict.fromkeys(["permutes", "3-cycle", "3-cycles"], ("cycles",)),
    **dict.fromkeys(["inverts", "reverses"], ("undoes",)),
    "moves": ("changes only", "cycles"),
    "equals": ("same as",),
    "identity": ("does nothing",),
    "has order": ("order",),
    "has length": ("length",),
}
"""Words that are near to these in meaning and not in letters, and which they may be meant for."""
JOINT = re.compile(r"(,\s*and\b|,|\band\b)\s*\Z")
"""What may stand before a further claim in place of a semicolon."""


def claim_words(puzzle: Puzzle) -> list[str]:
    """All that may be written in a claim behind the words that it begins with, numbers and names aside."""
    metrics = (metric.upper() for metric in METRICS)
    return [*piece_words(puzzle), *in_place.STEPS, "with", ANY_ORIENTATION, *metrics]


PRIMES = "'’′"
C = TypeVar("C")
Reader = Callable[[Tokenizer, Puzzle], C]


def parse_claim(passage: Passage, puzzle: Puzzle) -> Claim:
    """claim := KIND …    Raises Problem."""
    return _parse(tokens_of(passage), puzzle, KINDS, "a claim")


def parse_claims(
    passages: Iterable[Passage], puzzle: Puzzle, findings: Findings
) -> list[tuple[Passage, Claim]]:
    """claims := claim (";" claim)* ";"?    Those that can be read, and where they stand; each stands once."""
    places = [place for passage in passages for place in stretches(passage, findings)]
    findings.attempt(None, once, places)
    read = [(place, findings.attempt(None, parse_claim, place, puzzle)) for place in places]
    return [(passage, claim) for passage, claim in read if claim is not None]


def parse_placing(passage: Passage, puzzle: Puzzle) -> Placing:
    """A claim of a kind that gives a position. Raises Problem."""
    tokens = tokens_of(passage)
    other = next((kind for kind in KINDS if _begins(tokens, kind) and kind not in PLACING), None)
    if other:
        hint = f"take it away: what is not named is home; a position is given by {listed(list(PLACING))}"
        raise Problem(f"“{other}” does not say where pieces are", passage, hint)
    claim = _parse(tokens_of(passage), puzzle, PLACING, listed(list(PLACING), "or"))
    if not claim.oriented:
        message = "“in any orientation” does not say how the pieces lie"
        raise Problem(message, passage, "name the sticker at each place, as in UFR > RUB")
    return claim


def _parse(tokens: Tokenizer, puzzle: Puzzle, kinds: Mapping[str, Reader[C]], expected: str) -> C:
    kind = next((kind for kind in kinds if _begins(tokens, kind)), None)
    if kind is None:
        raise tokens.unexpected(expected, _near(tokens, kinds) or "a claim begins with " + ", ".join(kinds))
    try:
        claim = kinds[kind](tokens, puzzle)
    except Problem as problem:
        raise _further(problem, tokens) or problem from None
    if not tokens.at_end:
        raise tokens.unexpected("the end of the claim", _end_hint(tokens))
    return claim


def _near(tokens: Tokenizer, kinds: Collection[str]) -> str:
    """The kinds that the first words seem to be meant for; empty where none is near."""
    words = tokens.text[tokens.position :].lower().split()[:2]
    first = {kind.split()[0]: kind for kind in kinds}
    by_letters = [first[word] for word in nearest("".join(words[:1]), first)]
    by_meaning = MEANT.get(" ".join(words)) or MEANT.get("".join(words[:1]))
    return meant([kind for kind in by_meaning or by_letters if kind in kinds])


def _further(problem: Problem, tokens: Tokenizer) -> Problem | None:
    """What to say instead where what cannot be read begins a further claim, joined to the one before."""
    joint = JOINT.search(tokens.text, 0, problem.passage.start - tokens.passage.start)
    if not joint or problem.passage.text not in VERBS:
        return None
    place = tokens.passage.part(*joint.span(1))
    return Problem(f"a further claim stands behind “{place.text}”", place, _part_off(place.text))


def _part_off(joint: str) -> str:
    return f"write ; in place of “{joint}” before a further claim, or begin a new item with it"


def _end_hint(tokens: Tokenizer) -> str:
    """What to do about something that stands behind a whole claim."""
    further = "a further claim is an item of its own, “- …”, or stands behind a semicolon"
    word = tokens.check("word")
    if tokens.text[tokens.position :].strip() == ".":
        return "no full stop behind a claim"
    if tokens.text[tokens.position] in PRIMES:
        return "take it away; what is the same as a sequence undone undoes it: undoes @…"
    if tokens.check("orientation"):
        return f"only cycles and swaps are told “{ANY_ORIENTATION}”"
    if word and word.text == "in":
        return f"the words are “{ANY_ORIENTATION}”"
    if joint := tokens.check(",", "and"):
        return _part_off(joint.text)
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
