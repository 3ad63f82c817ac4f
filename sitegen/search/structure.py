"""The structure of a line of turns: its ways to be a commutator, conjugate, repeat, or product of these.

Goes by what cancels alone (`moves/syllables.py`), so that what it finds holds on a puzzle of whatever make.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator

from sitegen.moves.forms import TURNS, Form, as_they_stand, commutator, conjugate, repeated
from sitegen.moves.notation import write_all
from sitegen.moves.simplify import simplify
from sitegen.moves.syllables import Spelt, Syllables
from sitegen.puzzles.puzzle import Puzzle, Turn
from sitegen.search.products import SHORTEST_FORM, Products

SHORTEST = 4
"""No commutator and no repeat has fewer syllables, but for those that are one or nothing."""

MOST_ALIKE = 4
"""Of so many commutators with a part in common the simplest is looked for among the shortest."""


class Structure:
    """The forms of words in the syllables of one puzzle; what is known of one helps with the next."""

    def __init__(self, puzzle: Puzzle) -> None:
        self.syllables = Syllables(puzzle)
        self._best: dict[Spelt, Form] = {}
        self._whole: dict[Spelt, Form | None] = {}

    def forms(self, turns: Iterable[Turn], most: int) -> list[Form]:
        """The ways in which the turns are written with fewer turns than they are, the simplest first."""
        word = self.syllables.spelt(turns)
        count = self.syllables.count(word)
        ways = [*Products(word, self).simplest(most), *self._as_one(word)] if word else []
        found = {form.written: form for form in ways if form.count < count and self._bare(form)}
        return sorted(found.values(), key=rank)[:most]

    def _bare(self, form: Form) -> bool:
        """Whether no turns that stand together cancel."""
        alone = [part.turns for part in (form, *form.parts) if part.kind == TURNS]
        return all(len(simplify(turns, self.syllables.puzzle)) == len(turns) for turns in alone)

    def best(self, word: Spelt) -> Form:
        """The simplest form, if only as turns that stand for themselves."""
        if word not in self._best:
            self._best[word] = self.plain(word) if self._too_short(word) else Products(word, self).best()
        return self._best[word]

    def _too_short(self, word: Spelt) -> bool:
        """Whether it is seen at once that nothing is written with fewer turns: three are only as `[R: U]`."""
        conjugate_of_one = len(word) == SHORTEST_FORM and word[-1] == self.syllables.undone(word[0])
        return len(word) <= SHORTEST_FORM and not conjugate_of_one

    def whole(self, word: Spelt) -> Form | None:
        """The simplest way in which a word is one commutator or repeat, or a conjugate; None without any."""
        if word not in self._whole:
            self._whole[word] = min(self._as_one(word), key=rank, default=None)
        return self._whole[word]

    def plain(self, word: Spelt) -> Form:
        """Turns as they stand."""
        turns = self.syllables.turns(word)
        return as_they_stand(write_all(turns, self.syllables.puzzle), turns)

    def _as_one(self, word: Spelt) -> Iterator[Form]:
        if len(word) < SHORTEST:
            return
        yield from self._repeats(word)
        if not self.syllables.sums(word)[-1]:
            yield from self._commutators(word)
            yield from self._conjugates(word)

    def _conjugates(self, word: Spelt) -> Iterator[Form]:
        """Those in which what is set aside cancels in part against what is within."""
        spell = self.syllables
        if spell.line[word[0]] == spell.line[word[-1]] and (met := spell.sum(word[-1] + word[0])):
            yield conjugate(self.plain(word[0]), self.best(word[1:-1] + met))
            yield conjugate(self.plain(spell.undone(word[-1])), self.best(met + word[1:-1]))

    def _repeats(self, word: Spelt) -> Iterator[Form]:
        for size, times in self._periods(word):
            once = word[:size] if size * times == len(word) else word[:size] + word[-1]
            yield repeated(self.best(once), times)

    def _periods(self, word: Spelt) -> Iterator[tuple[int, int]]:
        """`size` and `times` where a word is the `times` power of what its first `size` syllables begin."""
        spell, length = self.syllables, len(word)
        for size in range(2, length // 2 + 1):
            times, over = divmod(length, size)
            if over == 0 and word[size:] == word[:-size]:
                yield size, times
            elif over == 1 and word[size + 1 : -1] == word[1 : -size - 1]:
                ends = word[-1] + word[0]
                if spell.line[ends[0]] == spell.line[ends[1]] and spell.sum(ends) == word[size]:
                    yield size, times

    def _commutators(self, word: Spelt) -> Iterator[Form]:
        with_a, with_b = set[Form](), set[Form]()
        told = (commutator(self.best(a), self.best(b)) for a, b in self._pairs(word))
        for form in sorted(told, key=rank):
            # [A B, B] and [A, B A] are [A, B] as well.
            a, b = form.parts
            if a not in with_a and b not in with_b:
                yield form
            with_a.add(a)
            with_b.add(b)

    def _pairs(self, word: Spelt) -> list[tuple[Spelt, Spelt]]:
        """Shorter words whose commutator a word is; of those with a part in common the shortest few."""
        spell = self.syllables
        found = {*self._beginning(word), *((a, b) for b, a in self._beginning(spell.undone(word)))}
        of_part: dict[Spelt, int] = defaultdict(int)
        kept = []
        for pair in sorted(found, key=lambda pair: (spell.count(pair[0]) + spell.count(pair[1]), pair)):
            if all(of_part[part] < MOST_ALIKE for part in pair):
                kept.append(pair)
            for part in pair:
                of_part[part] += 1
        return kept

    def _beginning(self, word: Spelt) -> Iterator[tuple[Spelt, Spelt]]:
        """Such words, the first of each beginning as the word does.

        `[a, b]` is `w` just if `b` turns `a` into `w' a`, as `b a b'`.
        """
        spell = self.syllables
        back = spell.undone(word)
        for first in self._beginnings(word):
            for then in self._turning(first, spell.join(back, first)):
                if 0 < len(then) < len(word):
                    yield first, then

    def _beginnings(self, word: Spelt) -> Iterator[Spelt]:
        """What a word begins with; of the last syllable any part, or what it is if nothing cancels."""
        for at, letter in enumerate(word[:-1]):
            yield from (word[:at] + end for end in self.syllables.parts(letter))

    def _turning(self, word: Spelt, other: Spelt) -> Iterator[Spelt]:
        """The words `b` of which `b word b'` is another word."""
        spell = self.syllables
        (around, core), (beyond, turned) = spell.core(word), spell.core(other)
        if len(core) != len(turned):
            return
        back = spell.undone(around)
        if len(core) == 1:
            if core == turned:
                yield spell.join(beyond, back)
                yield from (spell.join(beyond, each, back) for each in self.syllables.parts(core))
            return
        twice = core + core
        at, period = twice.find(turned), twice.find(core, 1)
        if at >= 0:
            for between in (spell.undone(core[:at]), core[at:period], spell.undone(twice[: at + period])):
                yield spell.join(beyond, between, back)


def rank(form: Form) -> tuple[int, int, int, str]:
    """By which the simplest comes first."""
    return form.rank
