"""Whether anything at all can do what is asked of some pieces, whatever becomes of the others."""

from __future__ import annotations

from sitegen.effects.claims.claim import Asked, placed
from sitegen.effects.laws import Broken, Count, Laws, Orbit, Steps, Swaps
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.puzzle import Piece


def forbidden(asked: Asked, laws: Laws) -> tuple[Broken, ...]:
    """The laws that everything breaks which does what is asked; none where something may do it.

    No two pieces may be asked to one place.
    """
    moved: dict[int, int] = {}
    free: dict[Count, int] = {}
    for orbit in laws.orbits:
        moved.update(_filled(orbit, asked, laws))
        free.update(_free(orbit, asked, laws))
    position = perm.from_images(moved.get(s.index, s.index) for s in laws.puzzle.stickers)
    if strayed := tuple(laws.strayed(position)):
        return strayed
    return tuple(laws.failing(position, free)) if free else laws.broken(position)


def _filled(orbit: Orbit, asked: Asked, laws: Laws) -> dict[int, int]:
    """Where the pieces go that were asked about, and the others, put where there is room."""
    told = {piece.index: slots for piece in orbit.pieces if (slots := _slots(piece, asked, laws))}
    taken = {laws.puzzle.piece_at(slots[0]).index for slots in told.values()}
    room = [place for place in orbit.pieces if place.index not in taken]
    others = [piece for piece in orbit.pieces if piece.index not in told]
    # Where a piece was asked to leave the orbit there is more room than pieces; that is told elsewhere.
    there = {o.index: _alike(o, place, laws) for o, place in zip(others, room, strict=False)}
    ways = {**{index: slots[0] for index, slots in told.items()}, **there}
    moved: dict[int, int] = {}
    for index, slot in ways.items():
        piece = laws.puzzle.pieces[index]
        moved.update(placed(piece, piece.stickers[0], laws.puzzle.piece_at(slot), slot))
    return moved


def _free(orbit: Orbit, asked: Asked, laws: Laws) -> dict[Count, int]:
    """What could be counted otherwise than as it was filled, and by how much at a time."""
    slots = [_slots(piece, asked, laws) for piece in orbit.pieces]
    ways = laws.ways(orbit)
    free: dict[Count, int] = {}
    if ways > 1 and any(len(each) != 1 for each in slots):
        free[Steps(orbit)] = orbit.of // ways
    if slots.count([]) > 1:
        free[Swaps(orbit)] = 1
    return free


def _slots(piece: Piece, asked: Asked, laws: Laws) -> list[int]:
    """Where the first sticker of a piece may come, if that is in one place; else none."""
    targets = sorted(asked.get(piece.stickers[0], ()))
    if len({laws.puzzle.stickers[slot].piece for slot in targets}) != 1:
        return []
    reach = laws.reach[piece.stickers[0]]
    return [slot for slot in targets if laws.reach[slot] == reach] or targets[:1]


def _alike(piece: Piece, place: Piece, laws: Laws) -> int:
    """A slot of a place of its orbit where the first sticker of a piece may come."""
    return next(s for s in place.stickers if laws.reach[s] == laws.reach[piece.stickers[0]])
