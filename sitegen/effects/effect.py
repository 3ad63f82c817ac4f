"""What a sequence does: from a permutation to cycles, flips, twists, order, parity and what is kept.

Knows puzzles, permutations and layer names; knows nothing of claims, figures or pages.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache, cached_property

from sitegen.effects import likeness
from sitegen.moves.notation import layer_names
from sitegen.moves.turning import permutation_of
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Piece, Puzzle, Turn


@dataclass(frozen=True)
class Cycle:
    """Pieces moving round, followed by one sticker: it goes from each slot to the next, the last to `closes`.

    Where `closes` is not the first slot but another of the same piece, the piece comes round turned.
    """

    slots: tuple[int, ...]
    closes: int

    @property
    def plain(self) -> bool:
        """Whether each piece comes round as it was."""
        return self.closes == self.slots[0]


HALFWAY = "halfway"


@dataclass(frozen=True)
class Twist:
    """A piece of two stickers or more turned in place, clockwise by `steps` of its stickers.

    No steps where its stickers do not follow each other round: those of a cap turn about one of them.
    """

    piece: Piece
    steps: int

    @property
    def sense(self) -> str:
        """As seen from outside: `clockwise`, `anticlockwise`, `halfway`, or only `in place`."""
        if not self.steps:
            return "in place"
        back = len(self.piece.stickers) - self.steps
        return HALFWAY if self.steps == back else "clockwise" if self.steps < back else "anticlockwise"


@dataclass(frozen=True)
class Effect:
    """Where a sequence takes what is in each slot, and all that follows from it.

    All is told in places of space: turning the whole puzzle, or a slice, moves the centres like other pieces.
    Pieces that look alike count as one, as if it did not matter which of them is where: all is told of what
    can be seen. Where they are `marked` it is told of what was truly turned.
    """

    puzzle: Puzzle
    permutation: Permutation
    """What was truly turned."""
    marked: bool = False

    @cached_property
    def seen(self) -> Permutation:
        """What is told of; not to be composed with anything, see `likeness.seen`."""
        return self.permutation if self.marked else likeness.seen(self.puzzle, self.permutation)

    @cached_property
    def appearance(self) -> Permutation:
        """Something that effects share just when nothing told of them differs."""
        return self.permutation if self.marked else likeness.appearance(self.puzzle, self.permutation)

    @cached_property
    def turning_back(self) -> tuple[Turn, ...]:
        """How the whole puzzle is turned for its centres to be home; not at all if they are, or cannot be."""
        p, centres = self.permutation, self.puzzle.fixed_centres
        if all(p[slot] == slot for slot in centres):
            return ()
        ways = holds(self.puzzle).items()
        return next((turns for whole, turns in ways if all(whole[p[s]] == s for s in centres)), ())

    @cached_property
    def turned_back(self) -> Effect:
        """The effect of the same sequence with that turning at its end."""
        return self.then(self.turning_back)

    def then(self, turns: tuple[Turn, ...]) -> Effect:
        """The effect of the sequence with some turns at its end."""
        after = permutation_of(turns, self.puzzle)
        return Effect(self.puzzle, perm.compose(self.permutation, after), self.marked)

    @property
    def blurred(self) -> bool:
        """Whether more was moved than can be seen unless pieces that look alike are marked."""
        return likeness.seen(self.puzzle, self.permutation) != self.permutation

    @cached_property
    def changed(self) -> tuple[Piece, ...]:
        """The pieces that are not home afterwards: in another place, or turned in their own."""
        stickers, pieces = self.puzzle.stickers, self.puzzle.pieces
        away = {
            sticker.piece
            for sticker, image in zip(stickers, self.seen, strict=False)
            if sticker.index != image
        }
        return tuple(pieces[index] for index in sorted(away))

    @cached_property
    def cycles(self) -> tuple[Cycle, ...]:
        """The cycles of two or more pieces, shortest first; each from the first piece that it meets."""
        found: list[Cycle] = []
        seen: set[int] = set()
        for piece in self.changed:
            if piece.index in seen:
                continue
            path = self._path(piece)
            seen.update(self.puzzle.piece_at(slot).index for slot in path.slots)
            if len(path.slots) > 1:
                found.append(path)
        return tuple(sorted(found, key=lambda cycle: len(cycle.slots)))

    def _path(self, piece: Piece) -> Cycle:
        start = piece.stickers[0]
        slots, at = [start], self.seen[start]
        while self.puzzle.piece_at(at) is not piece:
            slots.append(at)
            at = self.seen[at]
        return Cycle(tuple(slots), at)

    @cached_property
    def turned(self) -> tuple[Twist, ...]:
        """The pieces turned in place: flips, which are halfway, and twists."""
        in_place = (piece for piece in self.changed if self.seen[piece.stickers[0]] in piece.stickers)
        return tuple(Twist(piece, self._steps(piece)) for piece in in_place)

    @property
    def flips(self) -> tuple[Piece, ...]:
        """The pieces of two stickers turned over in place."""
        return tuple(twist.piece for twist in self.turned if len(twist.piece.stickers) == 2)

    @property
    def twists(self) -> tuple[Twist, ...]:
        """The pieces of three or more stickers turned in place."""
        return tuple(twist for twist in self.turned if len(twist.piece.stickers) > 2)

    def _steps(self, piece: Piece) -> int:
        """By how many stickers a piece is turned clockwise in its place; 0 where they keep no such order."""
        steps, count = piece.stickers.index(self.seen[piece.stickers[0]]), len(piece.stickers)
        whole = all(self.seen[s] == piece.stickers[(i + steps) % count] for i, s in enumerate(piece.stickers))
        return steps if whole else 0

    @cached_property
    def order(self) -> int:
        """How many times the sequence must be done until everything is home again."""
        if self.marked:
            return perm.order(self.permutation)
        return likeness.visible_order(self.puzzle, self.permutation)

    @cached_property
    def parity(self) -> dict[str, str]:
        """Whether the places of each kind of piece are permuted evenly or oddly.

        Centres are left out, and where only what is seen counts all kinds with pieces that look alike.
        """
        odd = dict.fromkeys((piece.kind for piece in self.puzzle.pieces if len(piece.stickers) > 1), False)
        for group in () if self.marked else likeness.alike(self.puzzle):
            odd.pop(self.puzzle.piece_at(group[0][0]).kind, None)
        for cycle in self.cycles:
            kind = self.puzzle.piece_at(cycle.slots[0]).kind
            if kind in odd:
                odd[kind] ^= len(cycle.slots) % 2 == 0
        return {kind: "odd" if is_odd else "even" for kind, is_odd in odd.items()}

    @cached_property
    def keeps(self) -> tuple[str, ...]:
        """The layers, and the kinds of pieces, of which every piece is home afterwards."""
        changed = {piece.index for piece in self.changed}
        return tuple(name for name, pieces in keepable(self.puzzle).items() if not pieces & changed)

    def brings(self, slot: int, there: int) -> bool:
        """Whether a sticker comes to a slot, or another that looks like it; unseen changes count as none."""
        if self.marked:
            return self.permutation[slot] == there
        look = likeness.looks(self.puzzle)
        return look[self._back[there]] == look[slot] != look[there]

    @cached_property
    def _back(self) -> Permutation:
        return perm.inverse(self.permutation)

    def name(self, slot: int) -> str:
        """How a slot is written, as UFR."""
        return self.puzzle.stickers[slot].name


@cache
def keepable(puzzle: Puzzle) -> dict[str, frozenset[int]]:
    """The layers and kinds that an effect may keep, by name."""
    found = {name: puzzle.pieces_in(turn) for name, turn in layer_names(puzzle).items()}
    for kind in dict.fromkeys(piece.kind for piece in puzzle.pieces):
        found[f"{kind}s"] = frozenset(p.index for p in puzzle.pieces if p.kind == kind)
    return found


@cache
def holds(puzzle: Puzzle) -> dict[Permutation, tuple[Turn, ...]]:
    """Every way to turn the whole puzzle, by the fewest turns that do it."""
    return held_by([Turn(axis, 1, puzzle.layer_count, 1) for axis in puzzle.axes], puzzle)


def held_by(steps: Iterable[Turn], puzzle: Puzzle) -> dict[Permutation, tuple[Turn, ...]]:
    """Each way to hold the puzzle that some turns of it as a whole lead to, by the fewest of them."""
    whole = [turn.by(turn.amount * n) for turn in steps for n in range(1, puzzle.full_turn)]
    found: dict[Permutation, tuple[Turn, ...]] = {puzzle.identity: ()}
    edge = [puzzle.identity]
    while edge:
        fresh = []
        for p in edge:
            for turn in whole:
                q = perm.compose(p, puzzle.permutation(turn))
                if q not in found:
                    found[q] = (*found[p], turn)
                    fresh.append(q)
        edge = fresh
    return found
