"""Turns as seen when after each of them the puzzle is turned back whole, so that its centres are home.

After M all other turns are of other faces as seen from the centres: each such view is a frame.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

from sitegen.bench.turns import Turns
from sitegen.effects.effect import holds
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Puzzle

Frame = Sequence[tuple[Permutation, int]]
"""What each turn does as seen from here, and the number of the frame from which the next is seen."""


def as_turned(turns: Turns) -> list[Frame]:
    """One frame: nothing is turned back."""
    return [[(permutation, 0) for permutation in turns.permutations]]


@cache
def centres_home(turns: Turns) -> list[Frame]:
    """The first frame is that in which the puzzle is held; none where some centre cannot be brought home."""
    holding = [turns.puzzle.identity]
    frames: list[Frame] = []
    for hold in holding:
        frame = []
        for permutation in turns.permutations:
            seen = perm.compose(perm.inverse(hold), permutation)
            after = _turned_back(seen, turns.puzzle)
            if after is None:
                return []
            if after not in holding:
                holding.append(after)
            frame.append((perm.compose(seen, after), holding.index(after)))
        frames.append(frame)
    return frames


def _turned_back(position: Permutation, puzzle: Puzzle) -> Permutation | None:
    """The turning of the whole puzzle that brings the centres home."""
    centres = puzzle.fixed_centres
    return next((whole for whole in holds(puzzle) if all(whole[position[c]] == c for c in centres)), None)
