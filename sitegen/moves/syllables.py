"""Turns up to what cancels, as words of syllables: a syllable is what stands together about one line.

Turns about one line may change places and add up; turns about different lines never do. So words are elements
of a free product of abelian groups, and have one normal form. Knows nothing of what turns do.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import count, groupby, product

from sitegen.moves.simplify import simplify
from sitegen.moves.turning import inverse_turns
from sitegen.puzzles.puzzle import Puzzle, Turn

Spelt = str
"""A letter for each syllable; neighbours turn about different lines."""
Sums = tuple[int, ...]
"""How far each layer is turned in all, as layers come; nothing for those at the end that come home."""
MOST_PARTS = 16
"""In more ways than this a syllable is not divided."""


class Syllables:
    """The letters of what stands together in some turns; each is given when it is first met."""

    def __init__(self, puzzle: Puzzle) -> None:
        self.puzzle = puzzle
        self._letters: dict[tuple[Turn, ...], str] = {}
        self._turns: dict[str, tuple[Turn, ...]] = {}
        self._unused = map(chr, count(1))
        self.line: dict[str, str] = {}
        """What the turns of a letter turn about: an axis, the same for parallel layers."""
        self.size: dict[str, int] = {}
        """How many turns a letter stands for."""
        self._sums: dict[str, Spelt] = {}
        self._divided: dict[str, tuple[tuple[str, str], ...]] = {}
        self._undoing: dict[int, str] = {}
        self._layers: dict[tuple[str, int, int], int] = {}
        self._added: dict[tuple[Sums, str], Sums] = {}

    def spelt(self, turns: Iterable[Turn]) -> Spelt:
        """Turns as a word, what cancels taken away."""
        runs = groupby(simplify(turns, self.puzzle), key=self.puzzle.line)
        return "".join(self._letter(tuple(run)) for _, run in runs)

    def _letter(self, turns: tuple[Turn, ...]) -> str:
        letter = self._letters.get(turns)
        if letter is None:
            letter, undoing = next(self._unused), simplify(inverse_turns(turns), self.puzzle)
            back = letter if undoing == turns else next(self._unused)
            for each, stands_for in ((letter, turns), (back, undoing)):
                self._letters[stands_for], self._turns[each] = each, stands_for
                self.line[each], self.size[each] = min(self.puzzle.line(turns[0])), len(turns)
            self._undoing |= {ord(letter): back, ord(back): letter}
        return letter

    def turns(self, word: Spelt) -> tuple[Turn, ...]:
        """What a word stands for, turn by turn."""
        return tuple(turn for letter in word for turn in self._turns[letter])

    def count(self, word: Spelt) -> int:
        """How many turns a word has."""
        return sum(map(self.size.__getitem__, word))

    def undone(self, word: Spelt) -> Spelt:
        """What undoes a word."""
        return word[::-1].translate(self._undoing)

    def sum(self, pair: str) -> Spelt:
        """Two syllables about one line as one, or as nothing."""
        if pair not in self._sums:
            self._sums[pair] = self.spelt(self.turns(pair))
        return self._sums[pair]

    def sums(self, word: Spelt) -> list[Sums]:
        """How far layers are turned before each syllable, and at the end."""
        found: list[Sums] = [()]
        for letter in word:
            found.append(self.added(found[-1], letter))
        return found

    def added(self, sums: Sums, letter: str) -> Sums:
        """How far layers are turned with another syllable."""
        if (sums, letter) not in self._added:
            numbers = {
                turn: self._layers.setdefault(turn[:3], len(self._layers)) for turn in self.turns(letter)
            }
            amounts = [*sums, *[0] * (len(self._layers) - len(sums))]
            for turn, number in numbers.items():
                amounts[number] = (amounts[number] + turn.amount) % self.puzzle.full_turn
            while amounts and not amounts[-1]:
                amounts.pop()
            self._added[sums, letter] = tuple(amounts)
        return self._added[sums, letter]

    def join(self, *words: Spelt) -> Spelt:
        """One after the other: only where they meet can anything cancel."""
        joined = ""
        for word in words:
            while joined and word and self.line[joined[-1]] == self.line[word[0]]:
                met = self.sum(joined[-1] + word[0])
                joined, word = joined[:-1], word[1:]
                if met:
                    joined += met
                    break
            joined += word
        return joined

    def divided(self, letter: str) -> tuple[tuple[str, str], ...]:
        """The ways in which a syllable is two of the same layers, one after the other."""
        if letter not in self._divided:
            turns = self._turns[letter]
            pairs = list(self._pairs(turns))
            if len(pairs) > MOST_PARTS:
                whole = {turn[:3]: turn for turn in turns}
                pairs = [p for p in pairs if all(whole[turn[:3]] == turn for part in p for turn in part)]
            self._divided[letter] = tuple((self._letter(a), self._letter(b)) for a, b in pairs[:MOST_PARTS])
        return self._divided[letter]

    def parts(self, letter: str) -> list[str]:
        """A syllable, and whatever of it can stand before or after something else."""
        return sorted({letter, *(part for pair in self.divided(letter) for part in pair)})

    def _pairs(self, turns: tuple[Turn, ...]) -> Iterator[tuple[tuple[Turn, ...], tuple[Turn, ...]]]:
        for amounts in product(range(self.puzzle.full_turn), repeat=len(turns)):
            part = [Turn(*turn[:3], amount) for turn, amount in zip(turns, amounts, strict=True)]
            first = simplify(part, self.puzzle)
            rest = simplify([*inverse_turns(first), *turns], self.puzzle)
            if first and rest:
                yield first, rest

    def core(self, word: Spelt) -> tuple[Spelt, Spelt]:
        """`g` and `c`, of which the word is `g c g'`, and `c` does not begin and end about one line."""
        around = ""
        while len(word) > 1 and self.line[word[0]] == self.line[word[-1]]:
            around += word[0]
            word = word[1:-1] + self.sum(word[-1] + word[0])
        return around, word
