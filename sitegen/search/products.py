"""Products: a word as one thing after another, each a conjugate, a commutator, a repeat, or a turn by itself.

Factors end at stops, between syllables or within one. What is simplest between two of them is found once.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import replace
from typing import NamedTuple, Protocol

from sitegen.moves.forms import TURNS, Form, conjugate, in_a_product, repeated
from sitegen.moves.syllables import Spelt, Sums, Syllables

COUNT, BRACKETS, PARTS = 10**8, 10**4, 1
"""What a turn that is written, a bracket and a factor add to a price: few turns come before few brackets."""
SHORTEST_FORM = 3
"""Fewer syllables are never written with fewer turns than they have."""


class Wholes(Protocol):
    """Who tells of a word what it is."""

    @property
    def syllables(self) -> Syllables: ...

    def whole(self, word: Spelt) -> Form | None:
        """As one commutator or repeat."""

    def best(self, word: Spelt) -> Form:
        """As simply as can be."""


class Stop(NamedTuple):
    """Where a factor can end: before a syllable, or within it."""

    at: int
    begins: str = ""
    """What of a divided syllable belongs to what comes before."""
    rest: str = ""
    """And what to what comes after."""


class Factor(NamedTuple):
    """What leads from one stop to another: a known form, or a conjugate of what is best between two stops."""

    to: int
    price: int
    form: Form | None = None
    aside: Spelt = ""
    """A syllable that stands for itself, or what is set aside."""
    within: tuple[int, int] | None = None
    """Between which syllables that is of which it is a conjugate."""


class Reached(NamedTuple):
    """How a stop is reached at the least price."""

    price: int
    before: int
    by: Factor | None


class Repeating(NamedTuple):
    """What begins again and again."""

    size: int
    times: int
    last: str
    """The syllable with which it ends."""
    over: int
    """1 where its first and its last syllable come together in between, else 0."""

    @property
    def length(self) -> int:
        """How many syllables it has."""
        return self.size * self.times + self.over


_Way = tuple[int, tuple[Factor, ...]]


class Products:
    """The ways from stop to stop of one word."""

    def __init__(self, word: Spelt, wholes: Wholes) -> None:
        self._word, self._wholes, self._spell = word, wholes, wholes.syllables
        self._stops = [Stop(0)]
        for at, letter in enumerate(word):
            self._stops += [Stop(at, *pair) for pair in self._spell.divided(letter)]
            self._stops.append(Stop(at + 1))
        self._between = {stop.at: number for number, stop in enumerate(self._stops) if not stop.begins}
        self._factors: dict[int, list[Factor]] = {}
        self._reached: dict[int, dict[int, Reached]] = {}
        self._look()

    def best(self) -> Form:
        """The simplest of all."""
        return self._form(0, len(self._word))

    def simplest(self, most: int) -> list[Form]:
        """So many ways, the simplest first, as far as they have different factors."""
        ways: dict[int, list[_Way]] = defaultdict(list, {0: [(0, ())]})
        last = len(self._stops) - 1
        for number in range(last):
            for price, way in _cheapest(ways[number], most):
                for factor in self._factors[number]:
                    # Two turns in place of the one that they are explain nothing.
                    if not (self._stops[number].rest and self._alone(way[-1]) and self._alone(factor)):
                        ways[factor.to].append((price + factor.price, (*way, factor)))
        return [in_a_product(tuple(map(self._told, way))) for _, way in _cheapest(ways[last], most)]

    def _look(self) -> None:
        """From the last syllable to the first: what begins with each, and what is then best from there on."""
        sums = self._spell.sums(self._word)
        levels = [self._spell.added(sums[stop.at], stop.begins) for stop in self._stops]
        ending = defaultdict[str, list[int]](list)
        balanced = defaultdict[Sums, list[int]](list)
        last = {}
        for number, stop in enumerate(self._stops[1:], 1):
            letter = stop.begins or self._word[stop.at - 1]
            ending[letter].append(number)
            balanced[levels[number]].append(number)
            last[stop.at - (not stop.begins), letter] = number
        for number in range(len(self._stops) - 2, -1, -1):
            stop = self._stops[number]
            after = (stop.rest or self._word[stop.at]) + self._word[stop.at + 1 :]
            repeats = list(self._repeats(after))
            ends = {last.get((stop.at + each.length - 1, each.last), 0) for each in repeats}
            self._factors[number] = [
                *self._turns(stop, after[0]),
                *self._conjugates(stop, after[0], ending[self._spell.undone(after[0])]),
                *self._wholes_to(stop, after, ends | {*balanced[levels[number]]}),
                *self._cut_short(stop, after, repeats),
            ]
            if not stop.begins:
                self._reached[stop.at] = self._onwards(number)

    def _onwards(self, start: int) -> dict[int, Reached]:
        """From one stop between syllables how each later one is best reached."""
        reached = {start: Reached(0, start, None)}
        for number in range(start, len(self._stops) - 1):
            if number in reached:
                price = reached[number].price
                for factor in self._factors[number]:
                    known = reached.get(factor.to)
                    if known is None or price + factor.price < known.price:
                        reached[factor.to] = Reached(price + factor.price, number, factor)
        return reached

    def _turns(self, stop: Stop, first: str) -> Iterator[Factor]:
        """A syllable that stands for itself, or a part of it that something begins after which is no turn."""
        yield self._turn(self._between[stop.at + 1], first)
        if not stop.rest:
            for number in range(self._between[stop.at] + 1, self._between[stop.at + 1]):
                if len(self._factors[number]) > 1:
                    yield self._turn(number, self._stops[number].begins)

    def _turn(self, to: int, letter: str) -> Factor:
        return Factor(to, COUNT * self._spell.size[letter] + PARTS, None, letter)

    def _conjugates(self, stop: Stop, first: str, ends: list[int]) -> Iterator[Factor]:
        for number in ends:
            end = self._stops[number]
            here, there = stop.at + 1, end.at - (not end.begins)
            if there <= here:
                continue
            yield self._conjugate(number, first, COUNT * self._spell.size[first], here, there)
            aside = first
            while there - here > 2 and self._word[there - 1] == self._spell.undone(self._word[here]):
                aside, here, there = aside + self._word[here], here + 1, there - 1
                if len(aside) >= SHORTEST_FORM:
                    for each in self._asides(aside, self._word[here:there]):
                        form = self._wholes.best(each)
                        if form.kind != TURNS:
                            price = COUNT * form.count + BRACKETS * form.brackets
                            yield self._conjugate(number, each, price, here, there)

    def _conjugate(self, number: int, aside: Spelt, price: int, here: int, there: int) -> Factor:
        """With the simplest of what is between two syllables; `price` is that of what is set aside."""
        step = self._reached[here][self._between[there]]
        flat = step.before == self._between[here] and bool(step.by and step.by.within)
        price += step.price // BRACKETS * BRACKETS + BRACKETS * (not flat) + PARTS
        return Factor(number, price, None, aside, (here, there))

    def _asides(self, aside: Spelt, within: Spelt) -> Iterator[Spelt]:
        """What does the same before a turn and undone after it."""
        yield aside
        if len(within) == 1:
            yield from (aside + each for each in self._spell.parts(within))

    def _wholes_to(self, stop: Stop, after: Spelt, ends: set[int]) -> Iterator[Factor]:
        for number in sorted(ends):
            end = self._stops[number]
            form = self._wholes.whole(after[: end.at - stop.at] + end.begins) if end.at > stop.at else None
            if form:
                price = COUNT * form.count + BRACKETS * form.brackets + PARTS
                yield Factor(number, price, form)

    def _cut_short(self, stop: Stop, after: Spelt, repeats: list[Repeating]) -> Iterator[Factor]:
        """Repeats of which the last syllable is not there: it is undone."""
        for each in repeats:
            once = after[: each.size] + (each.last if each.over else "")
            form = replace(repeated(self._wholes.best(once), each.times), cut_short=True)
            if form.count + self._spell.size[each.last] < each.length - 1:
                cut = in_a_product((form, self._wholes.best(self._spell.undone(each.last))))
                price = COUNT * cut.count + BRACKETS * cut.brackets + 2 * PARTS
                yield Factor(self._between[stop.at + each.length - 1], price, cut)

    def _repeats(self, after: Spelt) -> Iterator[Repeating]:
        """The repeats that begin a word, but for their last syllable, which may be there or not."""
        spell = self._spell
        for size in range(2, (len(after) + 1) // 2 + 1):
            first, again = after[0], after[size]
            if first == again:
                last, over = after[size - 1], 0
            elif spell.line[first] == spell.line[again]:
                last, over = spell.sum(spell.undone(first) + again), 1
            else:
                continue
            alike = 1
            while alike + size < len(after) and after[alike] == after[alike + size]:
                alike += 1
            for times in range(2, (alike + 1 - over) // size + 2):
                yield Repeating(size, times, last, over)

    def _alone(self, factor: Factor) -> bool:
        return not factor.form and not factor.within

    def _form(self, here: int, there: int) -> Form:
        """The simplest between two syllables."""
        reached, start, number = self._reached[here], self._between[here], self._between[there]
        way: list[Form] = []
        while number != start:
            step = reached[number]
            assert step.by is not None  # only the start is reached by nothing
            way.append(self._told(step.by))
            number = step.before
        return in_a_product(tuple(reversed(way)))

    def _told(self, factor: Factor) -> Form:
        if factor.form:
            return factor.form
        alone = self._wholes.best(factor.aside)
        return conjugate(alone, self._form(*factor.within)) if factor.within else alone


def _cheapest(ways: list[_Way], most: int) -> list[_Way]:
    return sorted(ways, key=lambda way: way[0])[:most]
