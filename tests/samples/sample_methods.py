"""A few sequences and a whole method for the small cube, which the tests of several rooms use.

Where a piece is, is said here in words of the tests' own.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Puzzle

SEQUENCES = {
    "lift": "F D' U L2 U2 D2 R U",  # made by hand: it flips UF and keeps the rest of U
    "far-flips": "[y2: [F D' U L2 U2 D2 R U, U]]",  # so this flips UB, and UL beside it
    "three-up": "R U' L' U R' U' L U",  # common practice: three corners of U go round
    "twist-pair": "[R' D2 R F D2 F', U]",  # common practice: UFR and UBR are twisted
}
CORNER_STAGES = """\
stages:
- stage: The lower ones
  goal: corners of D home
  one by one: DFR, DBR, DBL, DFL
  using: any turns up to 6
- stage: To their places
  goal: corners of U placed
  using: @three-up
  layer turns: U
  hold: y
- stage: Twisted
  goal: corners of U oriented by U
  using: @twist-pair
  layer turns: U
  hold: y
"""
EDGE = """\
```method edge
count: 5
stages:
- stage: To its place
  goal: UF placed
  using: any turns up to 2
- stage: Over
  goal: UF oriented by U
  using: @lift
```

"""
SMALL_CUBE = "---\npuzzle: cube-2\n---\n"


def moves_blocks(names: Iterable[str] = SEQUENCES, sequences: Mapping[str, str] = SEQUENCES) -> str:
    return "".join(f"```moves {name}\n{sequences[name]}\n```\n\n" for name in names)


def written_out(text: str, sequences: Mapping[str, str] = SEQUENCES) -> str:
    """Moves with those of the sequences in the place of their names."""
    return re.sub(r"@([a-z0-9-]+)", lambda name: f"({sequences[name[1]]})", text)


def slots_of(piece: str, puzzle: Puzzle) -> list[int]:
    return [sticker.index for sticker in puzzle.stickers if {*sticker.name} == {*piece}]


def is_home(position: Permutation, piece: str, puzzle: Puzzle) -> bool:
    return all(position[slot] == slot for slot in slots_of(piece, puzzle))


def is_placed(position: Permutation, piece: str, puzzle: Puzzle) -> bool:
    return {position[slot] for slot in slots_of(piece, puzzle)} == {*slots_of(piece, puzzle)}
