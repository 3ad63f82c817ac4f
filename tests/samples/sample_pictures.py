"""Pictures with something of everything, for tests that draw them."""

from __future__ import annotations

from sitegen.figures.picture import Arrow, FlipMark, Picture, TwistMark
from sitegen.puzzles.puzzle import Puzzle, Turn


def solved(puzzle: Puzzle, **more: object) -> Picture:
    colour = {face.name: face.colour for face in puzzle.faces}
    return Picture(
        puzzle=puzzle,
        colours=tuple(colour[sticker.face] for sticker in puzzle.stickers),
        letters=tuple(sticker.face for sticker in puzzle.stickers),
        title="Two edges of U & F",
        description="UF and UR are turned over; <all> else is home.",
        **more,  # type: ignore[arg-type]
    )


def way(puzzle: Puzzle, start: str, end: str, **more: bool) -> Arrow:
    """The arrow of a piece whose sticker goes from one slot to another, its next one to the next."""
    slots = [puzzle.slots[name] for name in (start, end)]
    places = [puzzle.piece_at(slot).stickers for slot in slots]
    starts, ends = (p[p.index(slot) :] + p[: p.index(slot)] for p, slot in zip(places, slots, strict=True))
    return Arrow(starts, ends, **more)


def busy(cube3: Puzzle) -> Picture:
    slot = cube3.slots
    return solved(
        cube3,
        muted=frozenset({slot["DF"], slot["FD"]}),
        outlined=frozenset({slot["UB"], slot["UR"], slot["FR"]}),
        marks=(
            FlipMark((slot["UF"], slot["FU"])),
            TwistMark((slot["UFR"], slot["RUF"], slot["FUR"]), 1, 3),
            TwistMark((slot["UBL"], slot["LUB"], slot["BUL"]), 2, 3),
            way(cube3, "UF", "UL"),
            way(cube3, "UL", "UB"),
            way(cube3, "UB", "UF"),
            Turn("U", 1, 1, 2),
        ),
    )
