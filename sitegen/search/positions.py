"""Many positions at once, each a row of an array: turned, and told apart, by one call for all of them.

Arrays, since a search turns many million positions, and an interpreter takes longer to come to each than to
turn it. The bytes of a position are read two and two where it is turned, by a table of all pairs, and eight
and eight where a number is made of it; they are repeated until they fill eights.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

Rows = NDArray[np.uint16]
"""A position in each row, two of its bytes in each column."""
PairTable = NDArray[np.uint16]
"""Where a turn takes two points, at the number that their bytes make."""
Keys = NDArray[np.uint64]

AT_ONCE = 1 << 13
"""So many of many rows are worked on at once: what is made of them stays near the processor."""
FACTORS = np.array([pow(0x9E3779B97F4A7C15, n, 1 << 64) for n in range(1, 33)], dtype=np.uint64)
"""For each eight bytes of up to 256. Odd ones, so that no two positions of eight bytes have one key: 2 to the
64th divided by the golden mean, which spreads numbers evenly (Knuth, *The Art of Computer Programming*, 6.4;
from memory), and its powers."""


def position_row(position: bytes) -> Rows:
    """A position as an array of one row."""
    eights = max(1, -(-len(position) // 8))
    return np.resize(np.frombuffer(position, np.uint8), (1, 8 * eights)).view(np.uint16)


def pair_table(table: bytes) -> PairTable:
    """Where a turn takes two points at once: the same table whichever byte of a number comes first."""
    single = np.arange(256, dtype=np.uint16)
    single[: len(table)] = np.frombuffer(table, np.uint8)
    return (single[: len(table), None] << 8 | single).ravel().astype(np.uint16)


def turned(rows: Rows, tables: PairTable) -> Rows:
    """All positions after a turn, in the same order; after each in its row, for a table with rows."""
    return tables.take(rows, axis=-1)


def keys(rows: Rows) -> Keys:
    """A number for each position, its upper bits well mixed: the same for the same, and seldom for others."""
    eights: Keys = rows.view(np.uint64)
    return eights @ FACTORS[: eights.shape[1]]


def portions(rows: Rows) -> Iterator[Rows]:
    """The rows in order, so many at a time as are best worked on at once."""
    return (rows[start : start + AT_ONCE] for start in range(0, len(rows), AT_ONCE))


def distinct(rows: Rows) -> Rows:
    """Each position once, by their keys; more than once at most where another one has its key."""
    numbers = keys(rows)
    order = numbers.argsort()
    new = np.ones(len(rows), bool)
    new[1:] = numbers[order[1:]] != numbers[order[:-1]]
    again = np.flatnonzero(~new)
    new[again] = (rows[order[again]] != rows[order[again - 1]]).any(axis=1)
    return rows[order[new]]


def without(rows: Rows, level: Rows) -> Rows:
    """The positions that are not among others, which stand by their keys; one of these is left at most where
    another one has its key."""
    if not len(level):
        return rows
    numbers = keys(level)
    left = [
        some[(level.take(numbers.searchsorted(keys(some)), axis=0, mode="clip") != some).any(axis=1)]
        for some in portions(rows)
    ]
    return np.concatenate([rows[:0], *left])
