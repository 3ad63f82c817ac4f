"""What every block may refer to: the named sequences of its puzzle, and the guide's other blocks.

Knows what was written and what its moves come to; knows nothing of how blocks are checked.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from sitegen.cache import Cache
from sitegen.moves.tree import Node
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Puzzle


@dataclass(frozen=True, eq=False)
class Scope:
    """What every block may refer to: the moves of all named sequences of one puzzle, and its other blocks."""

    puzzle: Puzzle
    trees: Mapping[str, Node]
    permutations: Mapping[str, Permutation]
    taken: frozenset[str] = frozenset()
    """All names of the guide, whatever has them."""
    cache: Cache = field(default_factory=Cache)
    parsed: Mapping[str, Any] = field(default_factory=dict)
    """What was read of each block that has a name."""
