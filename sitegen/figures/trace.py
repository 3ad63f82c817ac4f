"""From an effect to the marks that show it in a view: arrows, flips and twists.

Knows effects and layouts; what the marks look like is theirs to know.
"""

from __future__ import annotations

from sitegen.effects.effect import Effect
from sitegen.figures.layout import Layout
from sitegen.figures.picture import Arrow, Flip, Mark, Twist
from sitegen.puzzles.puzzle import Piece

MOST_MARKED = 8
"""With more changed pieces than this there are no marks: all would hide the puzzle, some would mislead."""


def trace(effect: Effect, layout: Layout, pieces: frozenset[int] | None = None) -> tuple[Mark, ...]:
    """A mark for each changed piece, or each of those in `pieces`, that the view shows.

    Where too many are changed no view has a mark, however few of them it shows.
    """
    changed = [piece for piece in effect.changed if pieces is None or piece.index in pieces]
    if len(changed) > MOST_MARKED:
        return ()
    flipped = [Flip((p.stickers[0], p.stickers[1])) for p in effect.flips if p in changed]
    twisted = [
        Twist(effect.puzzle.pieces[twist.piece].stickers, twist.steps)
        for twist in effect.twists
        if effect.puzzle.pieces[twist.piece] in changed
    ]
    return (*flipped, *twisted, *_arrows(changed, effect, layout))


def _arrows(pieces: list[Piece], effect: Effect, layout: Layout) -> list[Arrow]:
    """An arrow for each piece that goes elsewhere; two that change places share one way."""
    arrows: list[Arrow] = []
    for piece in pieces:
        if effect.seen[piece.stickers[0]] in piece.stickers:
            continue
        ways = _sticker_ways(piece, effect, layout)
        back = [
            (a.end, a.start) for a in arrows if a.end in piece.stickers and _leads(piece, a.start, effect)
        ]
        shared = [way for way in back if way in ways or not ways]
        if way := _best(shared or ways or _piece_ways(piece, effect, layout), layout):
            arrows.append(Arrow(*way))
    return arrows


Way = tuple[int, int]
"""Two slots in sight."""


def _sticker_ways(piece: Piece, effect: Effect, layout: Layout) -> list[Way]:
    """From where each sticker of a piece is to where it goes."""
    ways = [(slot, effect.seen[slot]) for slot in piece.stickers]
    return [way for way in ways if set(way) <= layout.shapes.keys()]


def _piece_ways(piece: Piece, effect: Effect, layout: Layout) -> list[Way]:
    """From the piece to its place, whichever of their stickers are in sight."""
    place = effect.puzzle.piece_at(effect.seen[piece.stickers[0]])
    starts, ends = layout.visible(piece.stickers), layout.visible(place.stickers)
    return [(start, end) for start in starts for end in ends]


def _leads(piece: Piece, slot: int, effect: Effect) -> bool:
    """Whether a piece goes to the place of a slot."""
    return effect.puzzle.piece_at(effect.seen[piece.stickers[0]]) is effect.puzzle.piece_at(slot)


def _best(ways: list[Way], layout: Layout) -> Way | None:
    """The way that shows best: on the main face at both ends, or at its start, or not in a mirror."""
    return max(
        ways,
        key=lambda way: (
            len(layout.main.intersection(way)),
            way[0] in layout.main,
            -len(layout.mirrored.intersection(way)),
        ),
        default=None,
    )
