"""The words by which readers search: those of titles, and those said of effects, each with its verb.

`scripts/search.js` reads what is typed by the same rules. Knows effects and claims; knows nothing of files.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator, Mapping, Sequence
from functools import cache

from sitegen.blocks.moves.sequence import Sequence as MoveSequence
from sitegen.effects.effect import Effect
from sitegen.effects.words import MOST_NAMED
from sitegen.puzzles.puzzle import Piece, Puzzle
from sitegen.site.tables import verb_of

ALSO = {
    "flip": "flips",
    "flipped": "flips",
    "twist": "twists",
    "twisted": "twists",
    "cycle": "cycles",
    "cycled": "cycles",
    "swap": "swaps",
    "swapped": "swaps",
    "keep": "keeps",
    "kept": "keeps",
    "change": "changes",
    "changed": "changes",
}
"""Other forms of verbs, by which the same is meant."""
NUMBERS = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")
JOINTS = ("a", "an", "and", "at", "is", "are", "in", "only", "place", "the", "to", "with")
"""Words that say nothing by themselves."""
LIMITS = ("except", "of")
"""Words that make of what is named something else: what is said with them counts as a whole."""
WORD = re.compile(r"[^\W_]+")
WITH_HYPHENS = re.compile(r"[^\W_]+(?:-[^\W_]+)*")


def plain_words(text: str) -> list[str]:
    """The words of a text in small letters without accents: `Lift-edge` is two."""
    return WORD.findall(_without_accents(text.lower()))


def _without_accents(text: str) -> str:
    if text.isascii():
        return text
    letters = unicodedata.normalize("NFD", text)
    return "".join(letter for letter in letters if not unicodedata.category(letter).startswith("M"))


@cache
def kinds_of(puzzle: Puzzle) -> Mapping[str, str]:
    """The kinds and sorts of pieces, by their names for one and for several."""
    names = dict.fromkeys(name for piece in puzzle.pieces for name in (piece.kind, piece.sort))
    return {form: name for name in names for form in (name, f"{name}s")}


def statement(text: str, puzzle: Puzzle) -> tuple[str, ...]:
    """What is said with a verb, as terms: of `flips UF and UR` these are `:flips`, `:flips UF`, `:flips UR`.

    A number counts with the kind behind it, as `:flips 2 edge`. Capitals stay, since `u` and `U` may be two
    layers.
    """
    kinds = kinds_of(puzzle)
    verb, *words = [_as_counted(word, kinds) for word in WITH_HYPHENS.findall(_without_accents(text))]
    words = [word for word in words if word not in JOINTS]
    if not set(words).isdisjoint(LIMITS):
        return (f":{' '.join((verb, *words))}",)
    found = [f":{verb}"]
    for word, behind in zip(words, [*words[1:], ""], strict=False):
        counts = word.isdecimal() and behind in kinds
        found.append(f":{verb} {word} {behind}" if counts else f":{verb} {word}")
    return tuple(found)


def _as_counted(word: str, kinds: Mapping[str, str]) -> str:
    return str(NUMBERS.index(word) + 1) if word in NUMBERS else kinds.get(word, word)


def terms_of(sequence: MoveSequence) -> set[str]:
    """What a sequence does and what its author claims."""
    claimed = (term for claim in sequence.claims for term in statement(claim, sequence.puzzle))
    return {*_done(sequence.effect), *claimed}


def _done(effect: Effect) -> Iterator[str]:
    """What an effect does, as `statement` would give it; of many pieces without names."""
    piece_at, kinds = effect.puzzle.piece_at, kinds_of(effect.puzzle)
    many = len(effect.changed) > MOST_NAMED
    yield from _counted(":flips", effect.flips)
    yield from _counted(":twists", [twist.piece for twist in effect.twists])
    of_verb: dict[str, list[Piece]] = {}
    for cycle in effect.cycles:
        verb = f":{verb_of(cycle)}"
        pieces = [piece_at(slot) for slot in cycle.slots]
        of_verb.setdefault(verb, []).extend(pieces)
        yield from _counted(verb, pieces)
        if not many:
            yield from (f"{verb} {effect.name(slot)}" for slot in cycle.slots)
            yield from (f"{verb} {piece.name}" for piece in pieces)
    for verb, pieces in of_verb.items():
        yield from _counted(verb, pieces)
    if not many:
        yield from (f":flips {piece.name}" for piece in effect.flips)
        yield from (f":twists {word}" for twist in effect.twists for word in (twist.piece.name, twist.sense))
    yield from (f":keeps {kinds.get(name, name)}" for name in effect.keeps)
    yield from [":keeps"] if effect.keeps else []
    yield from [":does", ":does nothing"] if not effect.changed else []
    yield from (":order", f":order {effect.order}")


def _counted(verb: str, pieces: Sequence[Piece]) -> Iterator[str]:
    """The kinds and sorts, and how many there are of each."""
    if pieces:
        yield verb
    kinds, sorts = [piece.kind for piece in pieces], [piece.sort for piece in pieces]
    for words in (kinds, sorts) if sorts != kinds else (kinds,):
        for word in {*words}:
            yield f"{verb} {word}"
            yield f"{verb} {words.count(word)} {word}"
