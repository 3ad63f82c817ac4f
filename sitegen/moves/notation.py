"""How a puzzle's turns are written: its notation, and what follows from that for names of layers.

One entry a notation in NOTATIONS; knows puzzles and their layers, not sequences.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cache, lru_cache

from sitegen.moves.notations.base import Notation, NotationError, amount_text
from sitegen.moves.notations.cube import CUBE
from sitegen.moves.notations.plain import plain
from sitegen.puzzles.definition import Definition
from sitegen.puzzles.puzzle import Puzzle, Turn
from sitegen.settings import Setting

__all__ = ["Notation", "NotationError", "amount_text"]

NOTATIONS: Mapping[str, Notation] = {"cube": CUBE}
"""By the name that a definition gives; a puzzle whose definition gives none is written plainly."""
KEPT = 4096
"""How many turns are kept as they are read, and as they are written: a guide has a few over and over."""


def check_notation(setting: Setting, definition: Definition) -> None:
    """Raises Problem where a definition gives a notation that there is not, or that is for other puzzles."""
    name = setting.as_choice(NOTATIONS)
    if suited := NOTATIONS[name].only_for(definition):
        message = f"the notation {name} is for {suited}"
        raise setting.problem(message, "leave it out: turns are then written by the names of the axes")


def notation_of(puzzle: Puzzle) -> Notation:
    """The notation that a puzzle's definition names, or the plain one."""
    return NOTATIONS[puzzle.notation] if puzzle.notation else plain(puzzle)


@lru_cache(maxsize=KEPT)
def layers_of(text: str, puzzle: Puzzle) -> Turn:
    """The layers that a turn's letters name, as a turn by the smallest amount, if the name says no other."""
    return notation_of(puzzle).read(text, puzzle)


def is_turn(text: str, puzzle: Puzzle) -> bool:
    """Whether letters are those of a turn."""
    try:
        layers_of(text, puzzle)
    except NotationError:
        return False
    return True


@lru_cache(maxsize=KEPT)
def write(turn: Turn, puzzle: Puzzle) -> str:
    """A turn as the puzzle's notation writes it, `R2`."""
    return notation_of(puzzle).write(turn, puzzle)


def write_all(turns: Iterable[Turn], puzzle: Puzzle) -> str:
    """Turns with blanks between them; empty for none."""
    return " ".join(write(turn, puzzle) for turn in turns)


@cache
def letters(puzzle: Puzzle) -> dict[str, Turn]:
    """All that can be written of a turn before its amount, with what it means."""
    size = puzzle.layer_count
    numbers = [str(layer) for layer in range(1, size + 1)]
    ranges = [f"{a}-{b}" for a in range(1, size + 1) for b in range(a + 1, size + 1)]
    signs = dict.fromkeys(notation_of(puzzle).signs)
    written = (f"{n}{sign}{w}" for sign in signs for n in ("", *numbers, *ranges) for w in ("", "w"))
    return {text: layers_of(text, puzzle) for text in written if is_turn(text, puzzle)}


@cache
def layer_names(puzzle: Puzzle) -> dict[str, Turn]:
    """Every layer by the name it is known by, as a turn by the smallest amount, outermost first.

    First come those that have a name of their own, as the two layers that U turns on the pyraminx.
    """
    found: dict[frozenset[int], tuple[str, Turn]] = {}
    for turn in (*with_names(puzzle), *puzzle.turns()):
        name = name_of_layers(turn, puzzle)
        found.setdefault(puzzle.pieces_in(turn), (name, layers_of(name, puzzle)))
    return dict(found.values())


@cache
def outer_layers(puzzle: Puzzle) -> dict[str, Turn]:
    """For each axis by its name the outer layer that the name alone turns: on the pyraminx two layers."""
    found: dict[str, Turn] = {}
    for turn in layer_names(puzzle).values():
        if turn.first == 1:
            found.setdefault(turn.axis, turn)
    return found


def name_of_layers(turn: Turn, puzzle: Puzzle) -> str:
    """How the layers of a turn by the smallest amount are written, from whichever side they are named."""
    return write(turn, puzzle).rstrip("'")


def with_names(puzzle: Puzzle) -> list[Turn]:
    """Turns with names that turn a part of the puzzle by the smallest amount."""
    return [
        turn
        for turn in puzzle.named_turns.values()
        if turn.amount == 1 and len(puzzle.pieces_in(turn)) < len(puzzle.pieces)
    ]


def on_one_line(text: str) -> str:
    """Moves as an author wrote them, on one line and with plain apostrophes."""
    return " ".join(text.split()).replace("’", "'").replace("′", "'")
