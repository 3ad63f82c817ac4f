"""What a page plays: turns one after another from a position, and what is to be seen of it meanwhile.

Said to the script in data attributes. Knows turns and pieces; knows nothing of how they are drawn.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from markupsafe import Markup, escape

from sitegen.effects.claims.claim import Asked
from sitegen.effects.piece_sets import Pieces
from sitegen.moves.notation import outer_layers, write_all
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Puzzle, Turn

MOST_PLAYED = 400
"""Longer than this nobody watches: what has more turns is not played."""
NONE: Pieces = frozenset()


@dataclass(frozen=True, eq=False, kw_only=True)
class Played:
    """`parts` are turns, parted where an author parts them; pieces are named by where they belong."""

    puzzle: Puzzle
    parts: Sequence[Sequence[Turn]]
    before: Permutation
    focus: Pieces | None = None
    guard: Pieces = NONE
    watch: Pieces = NONE
    marked: bool = False
    """Whether pieces that look alike are told apart."""
    letters: bool = False

    @cached_property
    def attributes(self) -> Markup:
        """Those of the element that the script fills, or none where there is nothing to play."""
        if not 0 < sum(map(len, self.parts)) <= MOST_PLAYED:
            return Markup()
        puzzle, size = self.puzzle, len(self.puzzle.stickers)
        start = self.before[:size] if self.before != puzzle.identity else None
        said = {
            "puzzle": puzzle.name,
            "turns": Markup(_parted(self.parts, puzzle)),
            "start": None if start is None else _numbers(start),
            "focus": None if self.focus is None else _numbers(sorted(self.focus)),
            "guard": _numbers(sorted(self.guard)) or None,
            "watch": _numbers(sorted(self.watch)) or None,
            "marked": "" if self.marked else None,
            "letters": "" if self.letters else None,
        }
        return _written({key: value for key, value in said.items() if value is not None})


def tried(
    puzzle: Puzzle, position: Permutation, steps: Sequence[Sequence[Turn]] = (), hinting: bool = True
) -> Markup:
    """The attributes of an element in which a reader may solve a position.

    `steps` solve it, and each is a hint; where all is one step each of its turns is. What they turn `more`
    than the outer layers is said, each one way and the other, also where there are no hints.
    """
    said = {"puzzle": puzzle.name, "start": _numbers(position[: len(puzzle.stickers)])}
    hints = steps if len(steps) > 1 else [[turn] for step in steps for turn in step]
    if hinting and hints and sum(map(len, hints)) <= MOST_PLAYED:
        said["turns"] = Markup(_parted(hints, puzzle))
    inner = {turn.by(1) for step in hints for turn in step} - {*outer_layers(puzzle).values()}
    if inner:
        axes = [*puzzle.axes]
        ordered = sorted(inner, key=lambda turn: (axes.index(turn.axis), turn))
        said["more"] = Markup(", ".join(write_all((turn, turn.by(-1)), puzzle) for turn in ordered))
    return _written(said)


def tried_claims(puzzle: Puzzle, claims: Iterable[tuple[str, Asked]]) -> Markup:
    """The attributes of an element in which a reader seeks turns of which claims by stickers hold."""
    said = [[words, " ".join(_asked(*each) for each in sorted(asked.items()))] for words, asked in claims]
    text = json.dumps(said, ensure_ascii=False, separators=(",", ":"))
    return _written({"puzzle": puzzle.name, "claims": text}) if said else Markup()


def _written(said: Mapping[str, str]) -> Markup:
    """Data attributes by their names behind `data-`."""
    return Markup("".join(f' data-{key}="{escape(value)}"' for key, value in said.items()))


def _parted(parts: Iterable[Sequence[Turn]], puzzle: Puzzle) -> str:
    """`R U | F`"""
    return " | ".join(write_all(part, puzzle) for part in parts if part)


def _asked(slot: int, there: frozenset[int]) -> str:
    """`7` stays, `7>9,11` comes to one of two others."""
    return str(slot) if there == {slot} else f"{slot}>{','.join(map(str, sorted(there)))}"


def _numbers(numbers: Iterable[int]) -> str:
    return " ".join(map(str, numbers))
