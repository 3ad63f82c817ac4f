"""`same as @x`, `undoes @x`, `mirrors @x`: what the sequence is to another sequence of the guide."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from sitegen.effects.claims.case import Asked, Case, Claim, Reading
from sitegen.effects.relations import in_mirrors
from sitegen.effects.words import say
from sitegen.moves.references import UnknownSequence
from sitegen.problems import Passage
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Puzzle
from sitegen.tokenizer import Tokenizer

REFERENCE_HINT = "a sequence is named with @ and small letters, as in its block's first line"
Images = Callable[[Permutation, Puzzle], list[Permutation]]
"""From the other sequence's permutation, those that this one may have, or undone may have."""


@dataclass(frozen=True)
class Related:
    name: str
    passage: Passage
    images: Images
    undone: bool = False
    """Whether it is this sequence undone that is compared."""

    def fault(self, case: Case) -> str:
        reading = case.reading
        other = reading.effect(self._named(case.others))
        turned = case.effect.permutation
        own = reading.appearance(perm.inverse(turned) if self.undone else turned)
        if own in map(reading.appearance, self.images(other.permutation, case.puzzle)):
            return ""
        return f"@{self.name} does this: {say(other)}"

    def asks(self, reading: Reading) -> Asked:
        other = reading.effect(self._named(reading.others))
        images = self.images(other.permutation, reading.puzzle)
        images = [perm.inverse(image) for image in images] if self.undone else images
        return {s.index: frozenset(image[s.index] for image in images) for s in reading.puzzle.stickers}

    def _named(self, others: Mapping[str, Permutation]) -> Permutation:
        if self.name not in others:
            raise UnknownSequence(self.name, self.passage, others)
        return others[self.name]


def _reader(images: Images, undone: bool = False) -> Callable[[Tokenizer, Puzzle], Claim]:
    def read(tokens: Tokenizer, puzzle: Puzzle) -> Claim:
        token = tokens.expect("a sequence, such as @lift-edge", "reference", hint=REFERENCE_HINT)
        return Related(token.text[1:], tokens.passage.part(token.start, token.end), images, undone)

    return read


def _same(other: Permutation, puzzle: Puzzle) -> list[Permutation]:
    return [other]


read_same = _reader(_same)
read_undoes = _reader(_same, undone=True)
read_mirrors = _reader(in_mirrors)
