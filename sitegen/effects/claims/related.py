"""`same as @x`, `undoes @x`, `mirrors @x`: what the sequence is to another sequence of the guide."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from sitegen.effects.claims.claim import Asked, Claim, Reading, Subject
from sitegen.effects.effect import holds
from sitegen.effects.relations import in_mirrors
from sitegen.effects.words import say
from sitegen.moves.references import UnknownSequence
from sitegen.problems import Passage
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Puzzle, Turn
from sitegen.tokenizer import Tokenizer

REFERENCE_HINT = "a sequence is named with @ and small letters, as in its block's first line"
Images = Callable[[Permutation, Puzzle], list[Permutation]]
"""From one sequence's permutation, those that the other may have."""


@dataclass(frozen=True)
class Related(Claim):
    """This sequence looks like one of the images of another; `passage` is where the other is named."""

    name: str
    passage: Passage
    images: Images

    def fault(self, case: Subject) -> str:
        own, other = case.effect.permutation, self._named(case.others)
        # Of pieces that look alike one way does not imply the other way: each must be the other's.
        if self._leads(own, other, case.reading) and self._leads(other, own, case.reading):
            return ""
        return f"@{self.name} does this: {say(case.reading.effect(other))}"

    def _leads(self, one: Permutation, other: Permutation, reading: Reading) -> bool:
        look = reading.appearance
        return look(other) in map(look, self.images(one, reading.puzzle))

    def says_nothing_of(self, name: str) -> bool:
        """Whether it is said to be the same as itself; not all sequences undo or mirror themselves."""
        return name == self.name and self.images is _same

    def asks(self, reading: Reading) -> Asked:
        images = self.images(self._named(reading.others), reading.puzzle)
        return {s.index: frozenset(image[s.index] for image in images) for s in reading.puzzle.stickers}

    def endings(self, case: Subject) -> Iterable[tuple[Turn, ...]]:
        """The other may end with the puzzle held in any way."""
        return [case.effect.turning_back, *holds(case.puzzle).values()]

    def _named(self, others: Mapping[str, Permutation]) -> Permutation:
        if self.name not in others:
            raise UnknownSequence(self.name, self.passage, others)
        return others[self.name]


def _reader(images: Images) -> Callable[[Tokenizer, Puzzle], Claim]:
    def read(tokens: Tokenizer, puzzle: Puzzle) -> Claim:
        word = tokens.check("word")
        hint = f"write @{word.text}" if word else REFERENCE_HINT
        token = tokens.expect("a sequence, such as @lift-edge", "reference", hint=hint)
        return Related(token.text[1:], token.passage, images)

    return read


def _same(other: Permutation, puzzle: Puzzle) -> list[Permutation]:
    return [other]


def _undone(other: Permutation, puzzle: Puzzle) -> list[Permutation]:
    return [perm.inverse(other)]


read_same = _reader(_same)
read_undoes = _reader(_undone)
read_mirrors = _reader(in_mirrors)
