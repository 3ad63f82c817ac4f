"""What sequences are to one another: alike, undone, in a mirror, turned, but for one layer, repeated.

All are relations of what was truly turned, in places of space, so that each is one from both sides.

Knows puzzles, and permutations by name; knows nothing of guides or pages. No two sequences are ever compared:
each permutation is changed in every way that makes a relation, and what comes of it is looked up among all.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache

from sitegen.effects.effect import holds
from sitegen.effects.likeness import alike, appearance
from sitegen.moves.notation import NotationError, layer_names, layers_of, name_of_layers, write, write_all
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.geometry import EPSILON, dot
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Puzzle, Turn

NOTHING = "nothing"
SAME = "same"
UNDOES = "undoes"
ENDING = "ending"
MIRROR = "mirror"
TURNED = "turned"
MIRROR_TURNED = "mirror turned"
LAYER = "layer"
REPEATS = "repeats"
REPEATED = "repeated"
WORDS = {
    NOTHING: ("These do nothing either", "nothing, as"),
    SAME: ("The same effect", "same as"),
    UNDOES: ("One undoes the other", "undoes"),
    ENDING: ("The same, but for a turning of the whole puzzle at the end", "turned at the end"),
    MIRROR: ("Mirror images", "mirrors"),
    TURNED: ("The same, with the whole puzzle turned", "turned"),
    MIRROR_TURNED: ("Mirror images, with the whole puzzle turned", "in a mirror and turned"),
    LAYER: ("The same, but for turns of one layer", "but for a layer"),
    REPEATS: ("It is a repeat of", "repeats"),
    REPEATED: ("Its repeats are", "repeated in"),
}
"""The kinds in the order in which they are told: what stands above them, and before the name of the other."""

MOST_LISTED = 12
"""Of more sequences than this in one relation to another, the rest is counted."""
MOST_POWERS = 2_000_000
"""So many powers are looked up in all, the lowest of every sequence. Of a thousand sequences of cube-3 that
keep the centres these are all: their orders are 1,260 at most."""
PROBED = 24
"""A permutation is first looked up by where it takes this many slots."""


@dataclass(frozen=True)
class HowRelated:
    """How one effect comes from another: what does not belong to the kind is left empty.

    A mirror comes before the turning of the whole puzzle, which says how it is held or, of the kind ENDING,
    what is turned at the end; `times` is negative where the other is undone.
    """

    kind: str
    mirror: tuple[str, str] = ("", "")
    """Two faces that the mirror, standing between them, exchanges."""
    turning: Permutation | None = None
    before: Turn | None = None
    after: Turn | None = None
    times: int = 1


@dataclass(frozen=True)
class Relation:
    """To the sequence `name`, whose effect changed in this way is that of the one that has the relation."""

    name: str
    way: HowRelated


@dataclass(frozen=True)
class RelationGroup:
    """All the sequences that are the same to one: how many, and the first of them."""

    kind: str
    count: int
    listed: tuple[Relation, ...]


Found = dict[Permutation, dict[Permutation, HowRelated]]
"""For each effect those related to it, by the nearest way from them to it."""


class Noted:
    """The relations of some effects as they are found; effects that look the same are looked up together."""

    def __init__(self, effects: Iterable[Permutation], puzzle: Puzzle, marked: bool) -> None:
        self.puzzle, self.marked = puzzle, marked
        self.looks = {effect: self.look(effect) for effect in effects}
        self.solved = self.look(puzzle.identity)
        self.found: Found = {effect: {} for effect, look in self.looks.items() if look != self.solved}
        self._by_look: dict[Permutation, list[Permutation]] = {}
        for effect in self.found:
            self._by_look.setdefault(self.looks[effect], []).append(effect)
        self.probe = _probe(puzzle)
        self.glimpses = {perm.compose(self.probe, effect) for effect in self.found}
        """All that the probe shows of the effects; what shows anything else is none of them."""

    def look(self, effect: Permutation) -> Permutation:
        """Something that effects share just when they count as the same."""
        return effect if self.marked else appearance(self.puzzle, effect)

    def like(self, effect: Permutation) -> list[Permutation]:
        """Those of the effects that look like one."""
        return self._by_look.get(self.look(effect), [])

    def note(self, effect: Permutation, other: Permutation, way: HowRelated) -> None:
        """That `effect` comes from `other` in this way; what was noted first stands."""
        if self.looks[effect] != self.looks[other]:
            self.found[effect].setdefault(other, way)


def relations(
    effects: Mapping[str, Permutation], puzzle: Puzzle, marked: bool = False
) -> dict[str, tuple[RelationGroup, ...]]:
    """For each sequence its relations to all the others, nearest first; each pair by its nearest relation.

    Effects that look the same count as the same, unless pieces that look alike are marked.
    """
    names: dict[Permutation, list[str]] = {}
    for name, effect in effects.items():
        names.setdefault(effect, []).append(name)
    noted = Noted(names, puzzle, marked)
    _note_undone(noted)
    _note_changed(noted)
    _note_powers(noted)
    order = {name: at for at, name in enumerate(effects)}
    shared = {effect: tuple(_groups(others, names, order)) for effect, others in noted.found.items()}
    twins: dict[Permutation, list[str]] = {}
    for name, effect in effects.items():
        twins.setdefault(noted.looks[effect], []).append(name)
    return {
        name: (*_twins(name, twins[look], look == noted.solved), *shared.get(effect, ()))
        for name, effect in effects.items()
        for look in [noted.looks[effect]]
    }


def _twins(name: str, names: Sequence[str], idle: bool) -> Iterator[RelationGroup]:
    """The sequences of the same effect."""
    way = HowRelated(NOTHING if idle else SAME)
    first = [other for other in names[: MOST_LISTED + 1] if other != name][:MOST_LISTED]
    if first:
        yield RelationGroup(way.kind, len(names) - 1, tuple(Relation(other, way) for other in first))


def _groups(
    others: Mapping[Permutation, HowRelated],
    names: Mapping[Permutation, Sequence[str]],
    order: Mapping[str, int],
) -> Iterator[RelationGroup]:
    """The relations of one effect by their kinds, in reading order."""
    for kind in WORDS:
        there = {effect: way for effect, way in others.items() if way.kind == kind}
        first = [Relation(name, way) for effect, way in there.items() for name in names[effect][:MOST_LISTED]]
        first.sort(key=lambda relation: order[relation.name])
        if first:
            yield RelationGroup(kind, sum(len(names[effect]) for effect in there), tuple(first[:MOST_LISTED]))


def _note_undone(noted: Noted) -> None:
    for effect in noted.found:
        # Each must undo the other: of pieces that look alike one way does not imply the other way.
        for other in noted.like(perm.inverse(effect)):
            if effect in noted.like(perm.inverse(other)):
                noted.note(other, effect, HowRelated(UNDOES))


# Symmetries and layers ------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Change:
    """A way, and what is done before and after a permutation to go it."""

    way: HowRelated
    before: Permutation
    after: Permutation

    def of(self, effect: Permutation) -> Permutation:
        """What becomes of an effect."""
        return perm.compose(perm.compose(self.before, effect), self.after)

    def undone(self, effect: Permutation) -> Permutation:
        """The effect of which this one would be made."""
        return perm.compose(perm.compose(perm.inverse(self.before), effect), perm.inverse(self.after))


def in_mirrors(effect: Permutation, puzzle: Puzzle) -> list[Permutation]:
    """An effect as seen in each of the puzzle's mirrors."""
    return [change.of(effect) for change in _mirrors(puzzle)]


@cache
def changes(puzzle: Puzzle) -> tuple[Change, ...]:
    """Every change that makes a relation, the nearest first."""
    by_layer = sorted(_layer_changes(puzzle), key=lambda change: bool(change.way.before and change.way.after))
    return (
        *_endings(puzzle),
        *_mirrors(puzzle),
        *_turnings(puzzle),
        *_turned_mirrors(puzzle),
        *by_layer,
    )


def _endings(puzzle: Puzzle) -> list[Change]:
    """Every turning of the whole puzzle at the end, those of the fewest turns first."""
    idle, ways = puzzle.identity, sorted(holds(puzzle).items(), key=lambda way: _effort(way[1]))
    return [Change(HowRelated(ENDING, turning=whole), idle, whole) for whole, _ in ways if whole != idle]


def _carried(way: HowRelated, symmetry: Permutation) -> Change:
    """Does what an effect does, in the places to which a symmetry takes those of the effect."""
    return Change(way, perm.inverse(symmetry), symmetry)


def _mirrors(puzzle: Puzzle) -> list[Change]:
    return [_carried(HowRelated(MIRROR, mirror=faces), plane) for faces, plane in puzzle.mirrors.items()]


def _turnings(puzzle: Puzzle) -> list[Change]:
    """Every turning of the whole puzzle, those of the fewest turns first."""
    known = holds(puzzle)
    turned = [rotation for rotation in puzzle.rotations if rotation != puzzle.identity]
    turned.sort(key=lambda rotation: _effort(known[rotation]) if rotation in known else (9, 0))
    return [_carried(HowRelated(TURNED, turning=rotation), rotation) for rotation in turned]


def _effort(turns: tuple[Turn, ...]) -> tuple[int, int]:
    return len(turns), sum(abs(turn.amount) for turn in turns)


def _turned_mirrors(puzzle: Puzzle) -> list[Change]:
    """The symmetries that take a mirror and a turning; each by the easiest of these."""
    planes = set(puzzle.mirrors.values())
    found: dict[Permutation, Change] = {}
    for turned in _turnings(puzzle):
        for faces, plane in puzzle.mirrors.items():
            symmetry = perm.compose(plane, turned.after)
            if symmetry not in planes:
                way = HowRelated(MIRROR_TURNED, mirror=faces, turning=turned.after)
                found.setdefault(symmetry, _carried(way, symmetry))
    return list(found.values())


def _layer_changes(puzzle: Puzzle) -> Iterator[Change]:
    """Each layer turned before, after, or both."""
    for layer in layer_names(puzzle).values():
        turns = [None, *(layer.by(amount) for amount in puzzle.amounts)]
        turned = {turn: puzzle.permutation(turn) if turn else puzzle.identity for turn in turns}
        for before in turns:
            for after in turns:
                if before or after:
                    way = HowRelated(LAYER, before=before, after=after)
                    yield Change(way, turned[before], turned[after])


def _note_changed(noted: Noted) -> None:
    """Changes every effect in every way; a look at a few slots tells most of what is not there."""
    there = noted.glimpses
    short = [(change, perm.compose(noted.probe, change.before)) for change in changes(noted.puzzle)]
    for effect in noted.found:
        for change, start in short:
            if perm.compose(perm.compose(start, effect), change.after) in there:
                for other in noted.like(change.of(effect)):
                    # Nor does it here, where a layer is turned before.
                    if effect in noted.like(change.undone(other)):
                        noted.note(other, effect, change.way)


def _probe(puzzle: Puzzle) -> Permutation:
    """A few slots from all over the puzzle, to be composed with permutations like one.

    None of a piece that looks like another: of these the look is the same wherever just this one goes.
    """
    like = {slot for group in alike(puzzle) for stickers in group for slot in stickers}
    told = [slot for slot in range(len(puzzle.stickers)) if slot not in like]
    slots = told[:: -(-len(told) // PROBED) or 1]
    return bytes(slots) if isinstance(puzzle.identity, bytes) else tuple(slots)


# Powers ---------------------------------------------------------------------------------------------------


def _note_powers(noted: Noted) -> None:
    """What repeats another, fewest repeats first; and the other way, where that is all there is."""
    most = MOST_POWERS // (2 * max(1, len(noted.found)))
    whole = []
    for effect in noted.found:
        for times in _promising(effect, noted, most):
            for other in noted.like(perm.power(effect, times)):
                noted.note(other, effect, HowRelated(REPEATS, times=times))
                whole.append((effect, other, times))
    for effect, other, times in whole:
        noted.note(effect, other, HowRelated(REPEATED, times=times))


def _promising(effect: Permutation, noted: Noted, most: int) -> Iterator[int]:
    """The repeats, and negative the repeats undone, that may be effects as far as the probe tells."""
    back, there = perm.inverse(effect), noted.glimpses
    forth, undone = perm.compose(noted.probe, effect), perm.compose(noted.probe, back)
    for times in range(2, min(most, perm.order(effect) // 2) + 1):
        forth, undone = perm.compose(forth, effect), perm.compose(undone, back)
        if forth in there:
            yield times
        if undone in there:
            yield -times


# Words ----------------------------------------------------------------------------------------------------


def say_how(way: HowRelated, puzzle: Puzzle) -> str:
    """What has to be done to the other sequence, or with it; empty where the kind has said it all."""
    if way.kind == ENDING and way.turning:
        return f"with {write_all(holds(puzzle)[way.turning], puzzle)} at the end"
    seen = f"seen in a mirror between {' and '.join(way.mirror)}" if any(way.mirror) else ""
    if seen or way.turning:
        turned = _turned(way.turning, puzzle) if way.turning else ""
        return ", then ".join(filter(None, [seen, turned]))
    if way.kind == LAYER:
        where = [(way.before, "before"), (way.after, "after")]
        return "with " + " and ".join(f"{write(turn, puzzle)} {side}" for turn, side in where if turn)
    if way.kind in (REPEATS, REPEATED):
        count = {2: "twice"}.get(abs(way.times), f"{abs(way.times)} times")
        return f"{'done' if way.times > 0 else 'undone'} {count}"
    return ""


def _turned(rotation: Permutation, puzzle: Puzzle) -> str:
    """`turned by x`, or `turned so that U comes to B and F to U` where that cannot be written in turns."""
    if written := turning_text(rotation, puzzle):
        return f"turned by {written}"
    first, *others = puzzle.faces
    second = next(face for face in others if dot(first.towards, face.towards) > EPSILON - 1)
    a, b = (_face_after(rotation, face.name, puzzle) for face in (first, second))
    return f"turned so that {first.name} comes to {a} and {second.name} to {b}"


def turning_text(rotation: Permutation, puzzle: Puzzle) -> str:
    """A turning of the whole puzzle, `x y2`; empty where the puzzle's notation has no signs for it."""
    turns = holds(puzzle).get(rotation, ())
    return write_all(turns, puzzle) if all(_written_whole(turn, puzzle) for turn in turns) else ""


def _written_whole(turn: Turn, puzzle: Puzzle) -> bool:
    """Whether the notation has a sign for this turning of all layers."""
    try:
        read = layers_of(name_of_layers(turn.by(1), puzzle), puzzle)
    except NotationError:
        return False
    return len(puzzle.pieces_in(read)) == len(puzzle.pieces)


def _face_after(rotation: Permutation, face: str, puzzle: Puzzle) -> str:
    slot = next(sticker.index for sticker in puzzle.stickers if sticker.face == face)
    return puzzle.stickers[rotation[slot]].face
