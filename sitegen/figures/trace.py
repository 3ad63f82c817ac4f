"""From where pieces go to the marks that show it, at one go or turn by turn: arrows, flips and twists.

Knows positions, what can be seen of them, and which pieces are in focus; which stickers a view shows, and
what the marks look like, is theirs to know.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import cache
from itertools import groupby, pairwise
from math import atan2, tau

from sitegen.effects import likeness
from sitegen.effects.effect import Effect
from sitegen.effects.piece_sets import Pieces
from sitegen.figures.picture import Arrow, FlipMark, Mark, TwistMark
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.geometry import EPSILON, cross, dot, norm, subtract, sure, unit
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Piece, Puzzle

MOST_MARKED = 8
"""With more changed pieces than this no figure has marks: all would hide the puzzle, some would mislead."""

Slots = tuple[int, ...]
"""Those of one piece at one moment, in the order of its stickers."""


def in_focus(puzzle: Puzzle, position: Permutation, focus: Pieces | None, marked: bool) -> frozenset[int]:
    """The slots in which the pieces in focus stand, which are named by where they belong; for None all.

    What is in colour and what has arrows are both chosen by this. A piece is as good as one that looks like
    it, unless such pieces are `marked`.
    """
    if focus is None:
        return every_slot(puzzle)
    at = Effect(puzzle, position, marked).seen
    return frozenset(at[slot] for index in focus for slot in puzzle.pieces[index].stickers)


@cache
def every_slot(puzzle: Puzzle) -> frozenset[int]:
    return frozenset(range(len(puzzle.stickers)))


def goes(puzzle: Puzzle, position: Permutation, moves: Permutation, marked: bool) -> Permutation:
    """Where moves take what a position has in each slot, as far as can be seen.

    What looks alike is told by where pieces belong, and not by where they stand: so moves are looked at as
    what they do to the pieces, and then back in the slots.
    """
    if marked:
        return moves
    home = perm.inverse(position)
    done = perm.compose(perm.compose(position, moves), home)
    return perm.compose(perm.compose(home, likeness.seen(puzzle, done)), position)


def trace(
    puzzle: Puzzle, way: Permutation, slots: frozenset[int], most: int | None = MOST_MARKED
) -> tuple[Mark, ...]:
    """A mark for each piece in some slots that does not stay as it is: `way` says where each sticker goes.

    None where more pieces than `most` do not.
    """
    changed = [
        piece
        for piece in puzzle.pieces
        if slots.issuperset(piece.stickers) and any(way[slot] != slot for slot in piece.stickers)
    ]
    if most is not None and len(changed) > most:
        return ()
    marks: list[Mark] = []
    for piece in changed:
        there = tuple(way[slot] for slot in piece.stickers)
        if puzzle.piece_at(there[0]) is piece:
            marks.append(turned_in_place(puzzle, piece.stickers, there))
        elif not _back(way, there, piece) or not slots.issuperset(there):
            marks.append(Arrow(piece.stickers, there))
        elif piece.index < puzzle.piece_at(there[0]).index:
            marks.append(Arrow(piece.stickers, there, swap=True))
    return tuple(marks)


def _back(way: Permutation, there: Slots, piece: Piece) -> bool:
    """Whether what is in the other slots comes to those of the piece, sticker for sticker."""
    return tuple(way[slot] for slot in there) == piece.stickers


def turned_in_place(puzzle: Puzzle, before: Slots, after: Slots) -> Mark:
    """The mark of a piece turned in its place, whose sticker in slot `before[i]` comes to `after[i]`."""
    if len(before) == 2:
        return FlipMark(before)
    way = dict(zip(before, after, strict=True))
    place = puzzle.piece_at(before[0])
    hub = next((slot for slot in before if way[slot] == slot), None)
    ring = place.stickers if hub is None else _round(puzzle, place, hub)
    steps, of = ring.index(way[ring[0]]), len(ring)
    if any(way[slot] != ring[(i + steps) % of] for i, slot in enumerate(ring)):
        steps, of = (1, 2) if all(way[way[slot]] == slot for slot in ring) else (0, of)
    return TwistMark(place.stickers, steps, of, hub)


def _round(puzzle: Puzzle, piece: Piece, hub: int) -> Slots:
    """The other stickers of a piece, clockwise round one of them as it is seen from outside."""
    centre = puzzle.stickers[hub].centre
    others = [slot for slot in piece.stickers if norm(cross(puzzle.stickers[slot].centre, centre)) > EPSILON]
    arms = {slot: subtract(puzzle.stickers[slot].centre, centre) for slot in others}
    across = cross(arms[others[0]], centre)
    ahead = cross(unit(centre), across)
    angles = {slot: atan2(dot(arm, across), dot(arm, ahead)) for slot, arm in arms.items()}
    ordered = sorted(others, key=lambda slot: sure(angles[slot]) % tau)
    # Two rows of a core lie between each other.
    return tuple(ordered[:: max(1, len(ordered) // puzzle.full_turn)])


def follow(puzzle: Puzzle, pieces: Iterable[int], stops: Sequence[Permutation]) -> tuple[Mark, ...]:
    """The paths of pieces through positions that each are a turn apart, and what turns them in place.

    A path that would not be legible, since it is long or goes the same way twice, is one arrow from its
    beginning to its end, which says that turns are left out.
    """
    paths = [_stays(puzzle, index, stops) for index in sorted(pieces)]
    for by_turns in (True, False):
        marks = [mark for path in paths for mark in _path(puzzle, path, by_turns)]
        if len(marks) <= MOST_MARKED:
            return tuple(marks)
    return ()


Stay = tuple[Slots, Slots]
"""The slots of a piece as it comes to a place, and as it leaves it."""


def _stays(puzzle: Puzzle, index: int, stops: Sequence[Permutation]) -> list[Stay]:
    """The places of a piece, one after the other."""
    path = [tuple(stop[slot] for slot in puzzle.pieces[index].stickers) for stop in stops]
    places = [list(group) for _, group in groupby(path, key=lambda slots: puzzle.stickers[slots[0]].piece)]
    return [(place[0], place[-1]) for place in places]


def _path(puzzle: Puzzle, path: list[Stay], by_turns: bool) -> Iterator[Mark]:
    begin, end = path[0][0], path[-1][1]
    returns = set(begin) == set(end)
    legs = [(one[1], other[0]) for one, other in pairwise(path)]
    # What turned a piece is told where it ends, if it began there too, and else at each of its stops.
    net = [(begin, end)] if returns else []
    stops = [*net, *(stay for stay in path if set(stay[0]) != set(begin))] if returns else path
    turns = [stay for stay in stops if stay[0] != stay[1]]
    if by_turns and _once(legs) and _once(turns):
        yield from (Arrow(*leg, leg=True) for leg in legs)
    else:
        turns = [stay for stay in net if begin != end]
        yield from () if returns else [Arrow(begin, end, leap=True)]
    yield from (turned_in_place(puzzle, *stay) for stay in turns)


def _once(ways: Sequence[tuple[Slots, Slots]]) -> bool:
    """Whether no two ways lead from one place to one place."""
    return len({tuple(map(frozenset, way)) for way in ways}) == len(ways)
