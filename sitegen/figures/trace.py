"""From an effect to the marks that show it in a view: arrows, flips and twists.

Knows effects and layouts; what the marks look like is theirs to know.
"""

from __future__ import annotations

from sitegen.effects.effect import Effect
from sitegen.figures.layout import Layout
from sitegen.figures.picture import Arrow, Flip, Mark, Twist
from sitegen.puzzles.puzzle import Piece

MOST_ARROWS = 8
"""With more pieces on the move than this, arrows would hide more than they show."""


def trace(effect: Effect, layout: Layout, pieces: frozenset[int] | None = None) -> tuple[Mark, ...]:
    """A mark for each changed piece, or each of those in `pieces`, that the view shows."""
    changed = [piece for piece in effect.changed if pieces is None or piece.index in pieces]
    flipped = [Flip((p.stickers[0], p.stickers[1])) for p in effect.flips if p in changed]
    twisted = [
        Twist(effect.puzzle.pieces[twist.piece].stickers, twist.steps)
        for twist in effect.twists
        if effect.puzzle.pieces[twist.piece] in changed
    ]
    moved = [piece for piece in changed if effect.permutation[piece.stickers[0]] not in piece.stickers]
    arrows = [arrow for piece in moved if (arrow := _arrow(piece, effect, layout))]
    return (*flipped, *twisted, *(arrows if len(arrows) <= MOST_ARROWS else ()))


def _arrow(piece: Piece, effect: Effect, layout: Layout) -> Arrow | None:
    """The path of the sticker that shows best: on the main face at both ends, at one, or in sight."""
    ends = [(slot, effect.permutation[slot]) for slot in piece.stickers]
    seen = [end for end in ends if set(end) <= layout.shapes.keys()]
    if not seen:
        return None
    start, end = max(seen, key=lambda end: (len(layout.main.intersection(end)), end[0] in layout.main))
    return Arrow(start, end)
