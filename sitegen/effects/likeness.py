"""Pieces that look alike, as the centres of one colour on a large cube: what of a permutation can be seen.

Knows puzzles and permutations; knows nothing of effects.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from math import lcm

from sitegen.puzzles import permutation as perm
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Piece, Puzzle

Stickers = tuple[int, ...]
"""The slots of a piece, clockwise, from the sticker that other pieces of its look begin with too."""
Look = tuple[tuple[str, int], ...]


def look(piece: Piece, puzzle: Puzzle, reach: Sequence[int]) -> Look:
    """What pieces have in common that look alike: clockwise the face of each sticker, and where it can come.

    `reach` has for each slot the number of its orbit. A wing of a cube has another of its colours beside it,
    but no turning puts it there as it stands: the sticker on U of one comes to where the other's is on F.
    """
    return tuple((puzzle.stickers[slot].face, reach[slot]) for slot in _from_first_face(piece, puzzle))


def _from_first_face(piece: Piece, puzzle: Puzzle) -> Stickers:
    at = min(range(len(piece.stickers)), key=lambda i: puzzle.stickers[piece.stickers[i]].face)
    return piece.stickers[at:] + piece.stickers[:at]


@cache
def alike(puzzle: Puzzle) -> tuple[tuple[Stickers, ...], ...]:
    """The pieces that look alike, those together that do, where there are two or more."""
    reach = perm.orbits(map(puzzle.permutation, puzzle.turns()), len(puzzle.stickers))
    found: dict[Look, list[Stickers]] = {}
    for piece in puzzle.pieces:
        found.setdefault(look(piece, puzzle, reach), []).append(_from_first_face(piece, puzzle))
    return tuple(tuple(group) for group in found.values() if len(group) > 1)


@cache
def looks(puzzle: Puzzle) -> tuple[int, ...]:
    """For each slot the first whose sticker looks the same as the one that belongs here."""
    first = list(range(len(puzzle.stickers)))
    for group in alike(puzzle):
        for stickers in group:
            for slot, other in zip(stickers, group[0], strict=True):
                first[slot] = other
    return tuple(first)


def appearance(puzzle: Puzzle, permutation: Permutation) -> Permutation:
    """Something that two permutations share just when they look the same on the solved puzzle."""
    if not alike(puzzle):
        return permutation
    first = looks(puzzle)
    return perm.from_images(first[slot] for slot in perm.inverse(permutation)[: len(first)])


def seen(puzzle: Puzzle, permutation: Permutation) -> Permutation:
    """Of all permutations that look the same on the solved puzzle one that moves the fewest pieces.

    Where a piece comes to the place of one that looks like it, that one is taken to have stayed, and this one
    to have gone on to where it went. Not to be composed: what comes next depends on what truly moved.
    """
    if not alike(puzzle):
        return permutation
    images = list(permutation[: len(puzzle.stickers)])
    for group in alike(puzzle):
        goes = {stickers: tuple(permutation[slot] for slot in stickers) for stickers in group}
        reached = set(goes.values())
        for stickers in group:
            target = stickers
            while target in goes and stickers not in reached:
                target = goes[target]
            for slot, image in zip(stickers, target, strict=True):
                images[slot] = image
    return perm.from_images(images)


def visible_order(puzzle: Puzzle, permutation: Permutation) -> int:
    """How many times it must be done until everything looks home again."""
    first = looks(puzzle)
    return lcm(*(_period([first[slot] for slot in cycle]) for cycle in perm.cycles(permutation)))


def _period(row: list[int]) -> int:
    """By how many steps a row must be turned round until it reads the same."""
    return next(n for n in range(1, len(row) + 1) if len(row) % n == 0 and row[n:] + row[:n] == row)
