"""All the cases that a stage can meet: every state in which earlier goals are reached, and turning leads to.

Orbit by orbit what may stand in each place, and of all that together what the laws allow. Where the laws are
not enough, the group has the last word. Knows labels and laws; knows nothing of what may be used.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache, cached_property
from itertools import product
from math import gcd, prod

from sitegen.effects.effect import holds
from sitegen.effects.laws import MOST_STICKERS, Count, Law, Laws, Orbit, Steps, Swaps
from sitegen.effects.membership import Group
from sitegen.methods.goals import State, padded
from sitegen.problems import Placeless
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Piece, Turn

MOST_CASES = 400_000
"""More cases than this are not gone through."""

Content = tuple[int, ...]
"""The labels in the slots of one place."""
Sums = tuple[int, ...]
"""What the pieces of an orbit add to each law."""


class TooMany(Placeless):
    """There is more to go through than is allowed, in this stage; the hint is how there could be less."""

    stage: object = None


FEWER_PIECES = "name its pieces in order under “one by one”, or ask for fewer of them"


class Cases:
    """The cases of a step from one state to another: `before` is reached already, `reached` is wanted."""

    def __init__(self, laws: Laws, before: State, reached: State, most: int | None = None) -> None:
        self.most = MOST_CASES if most is None else most
        self.laws = laws
        self.puzzle = laws.puzzle
        self.before = before
        self.reached = reached
        self.orbits = [Places(orbit, laws, before, reached) for orbit in laws.orbits]

    @cached_property
    def states(self) -> tuple[State, ...]:
        """Each case, in every way that the puzzle can be held; what is wanted is one. Raises TooMany."""
        if self.exact:
            return tuple(self._lawful)
        return tuple(state for state in self._lawful if self.position(state) is not None)

    @cached_property
    def wholes(self) -> Mapping[Permutation, tuple[Turn, ...]]:
        """The ways to hold the puzzle which nothing that is reached already tells apart, as it is held first.

        Where centres tell how it is held, there is no other. Where nothing does, how it is held is no case.
        """
        held = {} if self.puzzle.fixed_centres else holds(self.puzzle)
        before = self.before
        alike = {whole: turns for whole, turns in held.items() if perm.compose(whole, before) == before}
        return {self.puzzle.identity: (), **alike}

    @cached_property
    def distinct(self) -> Mapping[State, State]:
        """For each state the first that shows the same case, held otherwise. Raises TooMany."""
        found: dict[State, State] = {}
        for state in self.states:
            if state not in found:
                found.update(dict.fromkeys((perm.compose(whole, state) for whole in self.wholes), state))
        return found

    @cached_property
    def once(self) -> tuple[State, ...]:
        """Each case once, the one with nothing to do among them. Raises TooMany."""
        return tuple(state for state, first in self.distinct.items() if state == first)

    @property
    def exact(self) -> bool:
        """Whether the laws tell all that cannot be reached; for the largest puzzles this is assumed."""
        return len(self.puzzle.stickers) > MOST_STICKERS or self.laws.allowed == self.laws.group.order

    @property
    def _lawful(self) -> Iterator[State]:
        free: dict[Count, int] = {count: step for orbit in self.orbits for count, step in orbit.free.items()}
        laws = self.laws.loosened(free)
        filled = [orbit.by_sums(laws, self.most) for orbit in self.orbits]
        lawful = [
            sums
            for sums in product(*filled)
            if all(sum(terms) % law.of == 0 for law, terms in zip(laws, zip(*sums, strict=True), strict=True))
        ]
        count = sum(prod(len(by[s]) for by, s in zip(filled, sums, strict=True)) for sums in lawful)
        if count > self.most:
            raise TooMany(self._too_many(count), FEWER_PIECES)
        slots = [slot for orbit in self.orbits for place in orbit.places for slot in place.stickers]
        order = sorted(range(len(slots)), key=slots.__getitem__)
        for sums in lawful:
            for contents in product(*(by[s] for by, s in zip(filled, sums, strict=True))):
                listed = [label for content in contents for label in content]
                yield padded([listed[i] for i in order], self.puzzle)

    def _too_many(self, count: int) -> str:
        if (ways := len(self.wholes)) == 1:
            return f"this step has {count:,} cases, and no more than {self.most:,} are gone through"
        return (
            f"the puzzle can show the cases of this step in {count:,} ways, since it can be held in {ways}, "
            f"and no more than {self.most:,} are gone through"
        )

    def position(self, state: State) -> Permutation | None:
        """Some position that is in a state, if turning leads to one. For puzzles whose group is built."""
        where = defaultdict(set)
        for slot, label in enumerate(state):
            if label:
                where[label].add(slot)
        return self._group.some({slot: where[self.reached[slot]] for slot in self._asked})

    @cached_property
    def _asked(self) -> list[int]:
        """The slots whose stickers matter."""
        return [slot for slot, label in enumerate(self.reached) if label]

    @cached_property
    def _group(self) -> Group:
        return Group(self.laws.turns, self._asked)


@dataclass(frozen=True)
class Places:
    """The places of an orbit, and what can stand in them when the earlier goals are reached."""

    orbit: Orbit
    laws: Laws
    before: State
    reached: State

    @property
    def places(self) -> tuple[Piece, ...]:
        return self.orbit.pieces

    @cached_property
    def kinds(self) -> dict[frozenset[Content], list[Piece]]:
        """The pieces, those together that look the same as far as labels go."""
        found: dict[frozenset[Content], list[Piece]] = {}
        for piece in self.places:
            looks = frozenset(content for content, _ in self._ways(piece, self.places[0]))
            found.setdefault(looks, []).append(piece)
        return found

    def _ways(self, piece: Piece, place: Piece) -> list[tuple[Content, int]]:
        """Each way in which a piece can stand in a place: the labels there, and the steps it is turned by."""
        size, reach = len(piece.stickers), self.laws.reach
        own = [self.reached[slot] for slot in piece.stickers]
        return [
            (tuple(own[(i - steps) % size] for i in range(size)), steps)
            for steps in range(size)
            if reach[piece.stickers[0]] == reach[place.stickers[steps]]
        ]

    @cached_property
    def free(self) -> dict[Count, int]:
        """What can be changed unseen, and by how much at a time.

        Two pieces of a kind change places, label to label, without turning anything: that is one swap more.
        """
        same = [
            abs(a - b)
            for piece in self.places
            for ways in [self._ways(piece, piece)]
            for content, a in ways
            for other, b in ways
            if content == other
        ]
        found: dict[Count, int] = {Steps(self.orbit): gcd(*same)} if any(same) else {}
        if any(len(pieces) > 1 for pieces in self.kinds.values()):
            found[Swaps(self.orbit)] = 1
        return found

    def by_sums(self, laws: Sequence[Law], most: int) -> dict[Sums, list[Content]]:
        """All ways to fill the places, each as one content, by what they add to the laws. Raises TooMany."""
        times = [dict(law.terms) for law in laws]
        steps = [terms.get(Steps(self.orbit), 0) for terms in times]
        swaps = [terms.get(Swaps(self.orbit), 0) for terms in times]
        if self._fillings_up_to(most) > most:
            name = self.orbit.name
            message = f"there are more than {most:,} ways to look at in which the {name} might lie here"
            raise TooMany(message, FEWER_PIECES)
        found: dict[Sums, list[Content]] = {}
        for content, turned, kinds in self._fillings():
            odd = _odd(kinds) if any(swaps) else 0
            sums = tuple(
                (a * turned + b * odd) % law.of for a, b, law in zip(steps, swaps, laws, strict=True)
            )
            found.setdefault(sums, []).append(content)
        return found

    def _fillings_up_to(self, most: int) -> int:
        """How many ways there are to fill the places; if more than `most`, some number that is more."""
        options = [Counter(kind for kind, *_ in self._options(place)) for place in self.places]

        @cache
        def ways(at: int, left: tuple[int, ...]) -> int:
            """To fill the places from one on, with what is left of each kind."""
            if at == len(options):
                return 1
            found = 0
            for kind, number in options[at].items():
                if left[kind] and found <= most:
                    found += number * ways(at + 1, (*left[:kind], left[kind] - 1, *left[kind + 1 :]))
            return found

        return ways(0, tuple(len(pieces) for pieces in self.kinds.values()))

    def _fillings(self) -> Iterator[tuple[Content, int, tuple[int, ...]]]:
        """Contents place by place, the steps turned together, and the kind of piece in each place.

        The pieces of a kind are set down in one order, since the sum is the same in any.
        """
        options = [self._options(place) for place in self.places]
        left = [len(pieces) for pieces in self.kinds.values()]
        kinds: list[int] = []

        def go(at: int, content: Content, turned: int) -> Iterator[tuple[Content, int, tuple[int, ...]]]:
            if at == len(options):
                yield content, turned, tuple(kinds)
                return
            for kind, here, steps in options[at]:
                if left[kind]:
                    left[kind] -= 1
                    kinds.append(kind)
                    yield from go(at + 1, content + here, turned + steps[left[kind]])
                    kinds.pop()
                    left[kind] += 1

        yield from go(0, (), 0)

    def _options(self, place: Piece) -> list[tuple[int, Content, list[int]]]:
        """What may stand in a place, earlier goals reached: a kind, its labels, the steps of each piece."""
        # What is reached says more of a sticker than what was before, so that one label settles the other.
        earlier = dict(zip(self.reached, self.before, strict=True))
        wanted = tuple(self.before[slot] for slot in place.stickers)
        found: list[tuple[int, Content, list[int]]] = []
        for kind, pieces in enumerate(self.kinds.values()):
            ways = [dict(reversed(self._ways(piece, place))) for piece in pieces]
            for content in dict(self._ways(pieces[0], place)):
                if tuple(earlier[label] for label in content) == wanted:
                    found.append((kind, content, [way[content] for way in ways]))
        return found


def _odd(kinds: Sequence[int]) -> int:
    """Whether the swaps are odd by which each place gets its own piece, where every kind is one piece."""
    seen: set[int] = set()
    odd = 0
    for start in range(len(kinds)):
        at = start
        while at not in seen:
            seen.add(at)
            at = kinds[at]
            odd ^= at != start
    return odd
