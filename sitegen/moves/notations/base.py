"""What every notation is: text of one turn to a Turn, and a Turn back to text.

Knows puzzles and their layers; knows no notation.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from contextlib import suppress
from dataclasses import dataclass

from sitegen.problems import Placeless
from sitegen.puzzles.definition import Definition
from sitegen.puzzles.puzzle import Puzzle, Turn


class NotationError(Placeless):
    """What is wrong with one turn, and what to write instead."""


@dataclass(frozen=True)
class Notation:
    """`pattern` matches the letters and layers of a turn, without its amount.

    What `read` gives is turned by the smallest amount, or else by one that is part of the name.
    """

    pattern: str
    read: Callable[[str, Puzzle], Turn]
    write: Callable[[Turn, Puzzle], str]
    examples: Callable[[Puzzle], str]
    """Turns of a puzzle, as they are written."""
    away: tuple[str, ...] = ()
    """The axes of the faces that a hand reaches last."""
    signs: tuple[str, ...] = ()
    """What stands in a turn between numbers and `w`; also what means something on some puzzles alone."""
    only_for: Callable[[Definition], str] = lambda definition: ""
    """In words the puzzles that it is for, where a definition is of another; else empty."""


def instead(texts: Iterable[str], read: Callable[[str, Puzzle], Turn], puzzle: Puzzle) -> str:
    """“write 3Rw, or 3R”: those of some texts that are turns of a puzzle; empty where none is."""
    found = []
    for text in texts:
        with suppress(NotationError):
            read(text, puzzle)
            found.append(text)
    return f"write {', or '.join(found)}" if found else ""


def amount_text(amount: int, full_turn: int) -> str:
    """The shortest way to write an amount: nothing, 2, a prime, 2 and a prime …"""
    amount %= full_turn
    back = full_turn - amount
    short, prime = (amount, "") if amount <= back else (back, "'")
    return ("" if short == 1 else str(short)) + prime
