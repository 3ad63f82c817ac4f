"""The laws of a puzzle: what holds in every position that turning reaches, and the sums that show it.

Two kinds of law, neither of them written for one puzzle. A sticker comes only to the slots of its orbit. And
for each kind of piece the steps by which its pieces are turned add up to what turns can make of them, as do
the swaps of their places. Where all that holds and still no turning leads there, the group has the last word.

Pieces that look alike, as the like centres of a large cube, may change places unseen: that counts as nothing.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache, cached_property
from itertools import groupby, pairwise
from math import factorial, lcm, prod

from sitegen.effects import likeness
from sitegen.effects.effect import Cycle, Effect
from sitegen.effects.likeness import Look
from sitegen.effects.membership import Group
from sitegen.effects.words import listed
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Piece, Puzzle, Turn

MOST_STICKERS = 256
"""With more stickers than this the group is not built, which would take half a minute; the laws alone decide.

Only cube-7 of the shipped puzzles has more, and for cubes the laws are known to be enough.
"""
UNSHOWN = "no turning reaches this, though no sum shows it"


@dataclass(frozen=True)
class Broken:
    """A law that a position breaks, and what is there instead with its sums; `here` may be empty."""

    law: str
    here: str
    stray: bool = False
    """Whether it is about one piece, so that what others do cannot help."""

    def __str__(self) -> str:
        return f"{self.law}; {self.here}" if self.here else self.law


def broken(puzzle: Puzzle, position: Permutation) -> tuple[Broken, ...]:
    """The laws that a position breaks; none where some turning reaches it, or one that looks the same.

    A position says where the sticker of each slot is. Its pieces must be whole, and unmirrored.
    """
    return laws_of(puzzle).broken(position)


# What is counted ------------------------------------------------------------------------------------------


@dataclass(frozen=True, eq=False)
class Orbit:
    """The pieces that turning brings to each other's places."""

    name: str
    puzzle: Puzzle
    pieces: tuple[Piece, ...]

    @property
    def of(self) -> int:
        """How many stickers each of them has."""
        return len(self.pieces[0].stickers)

    def cycles(self, effect: Effect) -> list[Cycle]:
        """Those cycles of an effect that move pieces of this orbit."""
        return [cycle for cycle in effect.cycles if self.puzzle.piece_at(cycle.slots[0]) in self.pieces]


@dataclass(frozen=True)
class Count(ABC):
    """What is counted of an effect, of the pieces of one orbit."""

    orbit: Orbit

    @property
    @abstractmethod
    def modulus(self) -> int:
        """So many count as none."""

    @abstractmethod
    def parts(self, effect: Effect) -> list[tuple[str, int]]:
        """What there is to count, by the names of its pieces, and how much each part makes."""

    def total(self, effect: Effect) -> int:
        """All of it together; what it is modulo `modulus` is for the laws to see."""
        return sum(amount for _, amount in self.parts(effect))


class Steps(Count):
    """By how many stickers the pieces of an orbit are turned clockwise, in place or coming round, together.

    Counted by any sticker of each piece: with another one, what is added where a piece comes from is taken
    away where the next one goes to, so that the remainder by `of` stays the same.
    """

    @property
    def modulus(self) -> int:
        return self.orbit.of

    def parts(self, effect: Effect) -> list[tuple[str, int]]:
        """Each piece turned in place and each cycle that closes turned, with its number of steps."""
        turned = [(t.piece.name, t.steps) for t in effect.turned if t.piece in self.orbit.pieces]
        closed = [
            (_path(cycle, effect), self._closing(cycle))
            for cycle in self.orbit.cycles(effect)
            if not cycle.plain
        ]
        return turned + closed

    def _closing(self, cycle: Cycle) -> int:
        stickers = self.orbit.puzzle.piece_at(cycle.closes).stickers
        return (stickers.index(cycle.closes) - stickers.index(cycle.slots[0])) % self.orbit.of

    def __str__(self) -> str:
        return f"{'flips' if self.orbit.of == 2 else 'twists'} of {self.orbit.name}"


class Swaps(Count):
    """How many swaps of two places move the pieces of an orbit: of a cycle one fewer than it has places."""

    @property
    def modulus(self) -> int:
        return 2

    def parts(self, effect: Effect) -> list[tuple[str, int]]:
        return [(_path(cycle, effect), len(cycle.slots) - 1) for cycle in self.orbit.cycles(effect)]

    def __str__(self) -> str:
        return f"swaps of {self.orbit.name}"


def _path(cycle: Cycle, effect: Effect) -> str:
    """The pieces of a cycle in the order in which they follow one another."""
    return " > ".join(effect.puzzle.piece_at(slot).name for slot in cycle.slots)


# The laws -------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Law:
    """Counts, each so many times, that together make a multiple of `of`."""

    terms: tuple[tuple[Count, int], ...]
    of: int

    def holds(self, effect: Effect) -> bool:
        """Whether an effect obeys it."""
        return sum(times * count.total(effect) for count, times in self.terms) % self.of == 0

    def broken_by(self, effect: Effect) -> Broken:
        """The law in words, and the sums that an effect has instead."""
        counts = [count for count, _ in self.terms]
        if all(isinstance(count, Swaps) for count in counts):
            return Broken(_swaps_law(counts), _swaps_here(counts, effect))
        if len(counts) == 1:
            return Broken(_steps_law(counts[0], self.of), _steps_here(counts[0], effect))
        terms = listed([f"{times} × {count}" if times > 1 else str(count) for count, times in self.terms])
        here = listed([f"the {count} are {count.total(effect)}" for count in counts])
        return Broken(f"{terms}, all counted together, make a multiple of {self.of}", f"here {here}")


def _swaps_law(counts: Sequence[Count]) -> str:
    names = listed([count.orbit.name for count in counts])
    if len(counts) == 2:
        return f"{names} are permuted both evenly or both oddly"
    return f"swaps of {names}{', counted together,' if len(counts) > 2 else ''} come in pairs"


def _swaps_here(counts: Sequence[Count], effect: Effect) -> str:
    return "here " + listed([_swapped(count, effect) for count in counts])


def _swapped(count: Count, effect: Effect) -> str:
    """`the edges make 1 swap (UF > UR)`: as many as it takes, whichever they are."""
    parts, total = count.parts(effect), count.total(effect)
    paths = f" ({', '.join(path for path, _ in parts)})" if parts else ""
    swaps = "no swap" if total == 0 else "1 swap" if total == 1 else f"{total} swaps"
    return f"the {count.orbit.name} make {swaps}{paths}"


def _steps_law(count: Count, of: int) -> str:
    if count.orbit.of == 2:
        return f"{count} come in pairs"
    whole = (
        "whole turns" if of == count.orbit.of else f"a multiple of {Fraction(of, count.orbit.of)} of a turn"
    )
    return f"{count} add up to {whole}"


def _steps_here(count: Count, effect: Effect) -> str:
    """The total, and what it is made of: all that is turned clockwise, as fractions of a turn."""
    parts, total, of = count.parts(effect), count.total(effect), count.orbit.of
    if of == 2:
        return f"here there {'is' if total == 1 else 'are'} {total} ({', '.join(name for name, _ in parts)})"
    shares = ", ".join(f"{name} {amount}/{of}" for name, amount in parts)
    return f"here they add up to {total}/{of} of a turn clockwise ({shares})"


class Laws:
    """What turns can make of a puzzle's pieces, found from the turns."""

    def __init__(self, puzzle: Puzzle, turns: Iterable[Turn], unseen: bool = True) -> None:
        self.puzzle = puzzle
        self.unseen = unseen
        """Whether pieces that look alike may change places."""
        turned = [puzzle.permutation(turn) for turn in turns]
        home = [Effect(puzzle, turn).turned_back.permutation for turn in turned]
        self.centres_home = all(turn[slot] == slot for turn in home for slot in puzzle.fixed_centres)
        """Whether turning the whole puzzle can bring its centres home whatever was turned."""
        self.turns = tuple(dict.fromkeys(home if self.centres_home else turned))

    def settled(self, position: Permutation) -> Permutation:
        """A position turned as a whole so that the centres are home, as far as they can be."""
        return Effect(self.puzzle, position).turned_back.permutation if self.centres_home else position

    @cached_property
    def reach(self) -> list[int]:
        """For each slot the number of its orbit: the slots that its sticker comes to."""
        return perm.orbits(self.turns, len(self.puzzle.stickers))

    @cached_property
    def orbits(self) -> tuple[Orbit, ...]:
        """The pieces that come to each other's places, in the puzzle's order; named by kind."""
        pieces = self.puzzle.pieces
        moves = [
            [self.puzzle.stickers[turn[piece.stickers[0]]].piece for piece in pieces] for turn in self.turns
        ]
        together: dict[int, list[Piece]] = {}
        for piece, number in zip(pieces, perm.orbits(moves, len(pieces)), strict=True):
            together.setdefault(number, []).append(piece)
        kinds = [found[0].kind for found in together.values()]
        return tuple(
            Orbit(_orbit_name(found, kinds.count(found[0].kind) == 1), self.puzzle, tuple(found))
            for found in together.values()
        )

    @cached_property
    def alike(self) -> tuple[Permutation, ...]:
        """Swaps of pieces that look the same in each other's places: enough to make all that are unseen."""

        def look(piece: Piece) -> Look:
            return likeness.look(piece, self.puzzle, self.reach)

        found = []
        for orbit in self.orbits if self.unseen else ():
            for _, same in groupby(sorted(orbit.pieces, key=look), key=look):
                found += [_swap(a, b, self.puzzle) for a, b in pairwise(same)]
        return tuple(found)

    @cached_property
    def counts(self) -> tuple[Count, ...]:
        """What there is to count, where it can be more than nothing."""
        turned = [Steps(orbit) for orbit in self.orbits if self.ways(orbit) > 1]
        return (*turned, *(Swaps(orbit) for orbit in self.orbits if len(orbit.pieces) > 1))

    @cached_property
    def _made(self) -> list[list[int]]:
        """What each turn makes of the counts."""
        effects = [Effect(self.puzzle, turn, marked=True) for turn in (*self.turns, *self.alike)]
        return [[count.total(effect) for count in self.counts] for effect in effects]

    def _reached(self, free: Mapping[Count, int]) -> list[list[int]]:
        """What turns make of the counts, as the rows of a triangle; see `triangle`."""
        freely = [[step if c == count else 0 for c in self.counts] for count, step in free.items()]
        return triangle([*self._made, *freely], [count.modulus for count in self.counts])

    @cached_property
    def laws(self) -> tuple[Law, ...]:
        """Those that follow from counting; together they say just what the turns make of the counts."""
        return self.loosened({})

    def loosened(self, free: Mapping[Count, int]) -> tuple[Law, ...]:
        """What is left of the laws where counts that are free may be changed by so much at a time."""
        return tuple(
            Law(tuple((c, int(w * of)) for c, w in zip(self.counts, weights, strict=True) if w), of)
            for weights in characters(self._reached(free))
            for of in [lcm(*(weight.denominator for weight in weights))]
            if of > 1
        )

    @cached_property
    def group(self) -> Group:
        """Every position that can be reached, or looks like one that can."""
        return Group([*self.turns, *self.alike])

    @cached_property
    def allowed(self) -> int:
        """How many positions obey the laws, telling all stickers apart."""
        ways = [(len(orbit.pieces), self.ways(orbit)) for orbit in self.orbits]
        arrangements: int = prod(factorial(places) * turned**places for places, turned in ways)
        sums = prod(turned * (2 if places > 1 else 1) for places, turned in ways)
        moduli = prod(count.modulus for count in self.counts)
        reached = moduli // prod(row[i] for i, row in enumerate(self._reached({})))
        return arrangements * reached // sums

    def ways(self, orbit: Orbit) -> int:
        """In how many ways a piece can be turned in one place."""
        reach = [self.reach[slot] for slot in orbit.pieces[0].stickers]
        return reach.count(reach[0])

    def broken(self, position: Permutation) -> tuple[Broken, ...]:
        """What `broken` says, of these turns."""
        settled = self.settled(position)
        if found := tuple(self.strayed(settled)) or tuple(self.failing(settled, {})):
            return found
        if len(self.puzzle.stickers) > MOST_STICKERS or settled in self.group:
            return ()
        return (Broken(UNSHOWN, ""),)

    def strayed(self, position: Permutation) -> Iterator[Broken]:
        """A law for each piece that stands where, or as, no turning brings it."""
        for piece in self.puzzle.pieces:
            slot = piece.stickers[0]
            if self.reach[position[slot]] != self.reach[slot]:
                yield self._astray(slot, position[slot])

    def _astray(self, slot: int, there: int) -> Broken:
        name = self.puzzle.stickers[slot].name
        if slot in self.puzzle.fixed_centres or there in self.puzzle.fixed_centres:
            here = f"here {name} is at {self.puzzle.stickers[there].name}"
            return Broken("the middles of the faces keep their places to each other", here, stray=True)
        place = self.puzzle.piece_at(there)
        other = [self.puzzle.stickers[s].name for s in place.stickers if self.reach[s] == self.reach[slot]]
        if place is self.puzzle.piece_at(slot):
            law = f"no turning turns {name} over in its place" if len(place.stickers) == 2 else ""
            return Broken(law or f"no turning turns {name} so in its place", "", stray=True)
        law = f"no turning brings {name} to {self.puzzle.stickers[there].name}"
        return Broken(law, f"there it can be at {listed(other, 'or')}" if other else "", stray=True)

    def failing(self, position: Permutation, free: Mapping[Count, int]) -> Iterator[Broken]:
        """What the counts that are not free have against a position in which no piece has strayed."""
        effect = Effect(self.puzzle, position, marked=True)
        laws = self.loosened(free) if free else self.laws
        return (law.broken_by(effect) for law in laws if not law.holds(effect))


@cache
def laws_of(puzzle: Puzzle, unseen: bool = True) -> Laws:
    """A puzzle's laws, found once."""
    return Laws(puzzle, puzzle.turns(), unseen)


def _orbit_name(pieces: list[Piece], alone: bool) -> str:
    """`edges`, or where there are others of the kind `edges such as UF`."""
    kind = f"{pieces[0].kind}s"
    return kind if alone else f"{kind} such as {pieces[0].name}"


def _swap(a: Piece, b: Piece, puzzle: Puzzle) -> Permutation:
    """Two pieces with the same faces in each other's places, every sticker on its face."""
    images = list(range(len(puzzle.stickers)))
    on = {puzzle.stickers[slot].face: slot for slot in b.stickers}
    for slot in a.stickers:
        other = on[puzzle.stickers[slot].face]
        images[slot], images[other] = other, slot
    return perm.from_images(images)


# Sums modulo several numbers ------------------------------------------------------------------------------


def triangle(rows: Iterable[Sequence[int]], moduli: Sequence[int]) -> list[list[int]]:
    """Rows that generate the same sums, place i counted modulo moduli[i]; row i has nothing before place i.

    Its entry at place i divides moduli[i]. By Euclid's algorithm on whole rows, down each column.
    """
    left = [[entry % m for entry, m in zip(row, moduli, strict=True)] for row in rows]
    left += [[m if i == j else 0 for j in range(len(moduli))] for i, m in enumerate(moduli)]
    found: list[list[int]] = []
    for at in range(len(moduli)):
        live = [row for row in left if row[at]]
        while len(live) > 1:
            least = min(live, key=lambda row: abs(row[at]))
            for row in live:
                if row is not least:
                    # The rows that hold a single modulus are untouched until their column is reached, so
                    # that entries behind it may be counted modulo theirs already.
                    times = row[at] // least[at]
                    row[at] -= times * least[at]
                    for j in range(at + 1, len(row)):
                        row[j] = (row[j] - times * least[j]) % moduli[j]
            live = [row for row in live if row[at]]
        pivot = live[0]
        left = [row for row in left if row is not pivot]
        found.append(pivot if pivot[at] > 0 else [-entry for entry in pivot])
    return found


def characters(rows: Sequence[Sequence[int]]) -> list[list[Fraction]]:
    """Weights under which every row of a triangle adds up to a whole number; all others are made of these.

    They are the columns of the triangle's inverse, so that each speaks of as few places as it can; modulo 1.
    """
    found = []
    for last in range(len(rows)):
        weights = [Fraction(0)] * len(rows)
        for i in range(last, -1, -1):
            behind = sum((rows[i][j] * weights[j] for j in range(i + 1, last + 1)), Fraction(0))
            weights[i] = (Fraction(i == last) - behind) / rows[i][i]
        found.append([weight % 1 for weight in weights])
    return found
