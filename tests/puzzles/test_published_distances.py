"""How many positions lie at each distance: breadth-first search must give the published counts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import islice

import numpy as np
import pytest
from published_distances import HALF_TURN_1, HALF_TURN_2, all_turns, quarter_turns

from sitegen.puzzles import catalogue
from sitegen.puzzles.permutation import Permutation, compose, from_images, inverse
from sitegen.puzzles.puzzle import Piece, Puzzle, Turn


def layers(start: Permutation, turns: Sequence[Permutation]) -> Iterator[int]:
    """The number of positions at distance 0, 1, 2 …; `turns` holds the inverse of each of its turns."""
    before: set[Permutation] = set()
    now = {start}
    while now:
        yield len(now)
        reached = {compose(p, turn) for p in now for turn in turns}
        before, now = now, reached - now - before


def first(count: int, counts: Iterator[int]) -> list[int]:
    return list(islice(counts, count))


# --- whole tables ---------------------------------------------------------------------------------


class Places:
    """Positions as where the pieces are and how each place is turned; the tables come from turning.

    A twist says how many stickers clockwise the naming sticker of the piece in a place is from the sticker
    that names the place; a flipped edge is 1 of 2. Where a turn takes a piece, and how it twists it, does not
    depend on the piece. Pieces left out must go to one another.
    """

    def __init__(
        self, puzzle: Puzzle, turns: Sequence[Permutation], pieces: Sequence[Piece] | None = None
    ) -> None:
        pieces = puzzle.pieces if pieces is None else pieces
        self.sides = [len(piece.stickers) for piece in pieces]
        steps = [self._step(puzzle, turn, pieces) for turn in turns]
        self.places, moved = self._table(
            tuple(range(len(pieces))), [lambda state, s=step: self._carried(state, s) for step in steps]
        )
        self.twists, twisted = self._table(
            (0,) * len(pieces), [lambda state, s=step: self._twisted(state, s) for step in steps]
        )
        self.tables = list(zip(moved, twisted, strict=True))

    @staticmethod
    def _step(puzzle: Puzzle, turn: Permutation, pieces: Sequence[Piece]) -> list[tuple[int, int]]:
        """For each place where its piece goes, and by how much it is twisted."""
        number = {piece.index: place for place, piece in enumerate(pieces)}
        step = []
        for piece in pieces:
            slot = turn[piece.stickers[0]]
            target = puzzle.piece_at(slot)
            step.append((number[target.index], target.stickers.index(slot)))
        return step

    @staticmethod
    def _carried(state: tuple[int, ...], step: list[tuple[int, int]]) -> tuple[int, ...]:
        after = list(state)
        for place, (target, _) in enumerate(step):
            after[target] = state[place]
        return tuple(after)

    def _twisted(self, state: tuple[int, ...], step: list[tuple[int, int]]) -> tuple[int, ...]:
        after = list(state)
        for place, (target, twist) in enumerate(step):
            after[target] = (state[place] + twist) % self.sides[place]
        return tuple(after)

    @staticmethod
    def _table(start, steps) -> tuple[int, list[list[int]]]:
        """The number of states that the steps reach, and for each step the state it leads to from each."""
        index, listed = {start: 0}, [start]
        table: list[list[int]] = [[] for _ in steps]
        for state in listed:
            for row, step in zip(table, steps, strict=True):
                after = step(state)
                if after not in index:
                    index[after] = len(listed)
                    listed.append(after)
                row.append(index[after])
        return len(listed), table

    def counts(self) -> list[int]:
        """How many positions there are at each distance: rows are arrangements, columns twistings."""
        seen = np.zeros((self.places, self.twists), dtype=bool)
        tables = [(np.array(moved), np.array(twisted)) for moved, twisted in self.tables]
        place, twist, found = np.array([0]), np.array([0]), []
        while len(place):
            seen[place, twist] = True
            found.append(len(place))
            reached = np.zeros_like(seen)
            for moved, twisted in tables:
                reached[moved[place], twisted[twist]] = True
            place, twist = np.nonzero(reached & ~seen)
        return found


# --- cube-2 ---------------------------------------------------------------------------------------


def test_cube_2_positions_at_each_distance_where_a_half_turn_is_one(cube2: Puzzle) -> None:
    corners = Places(cube2, all_turns(cube2, "URF"))
    assert (corners.places, corners.twists) == (5040, 729)  # 7! and 3^6, one corner being held
    assert corners.counts() == HALF_TURN_1  # OEIS A079761


def test_cube_2_positions_at_each_distance_where_a_half_turn_is_two(cube2: Puzzle) -> None:
    assert Places(cube2, quarter_turns(cube2, "URF")).counts() == HALF_TURN_2  # OEIS A079762


@pytest.mark.parametrize("held", ["URF", "DLB", "ULF", "DRF"])
def test_cube_2_counts_do_not_depend_on_the_corner_that_is_held(cube2: Puzzle, held: str) -> None:
    found = first(6, layers(cube2.identity, all_turns(cube2, held)))
    assert found == HALF_TURN_1[:6]  # OEIS A079761


# --- cube-3, first terms --------------------------------------------------------------------------


def test_cube_3_positions_at_distance_0_to_4_where_a_half_turn_is_one(cube3: Puzzle) -> None:
    found = first(5, layers(cube3.identity, all_turns(cube3, cube3.axes)))
    assert found == [1, 18, 243, 3240, 43239]  # OEIS A080583


def symmetries(puzzle: Puzzle) -> list[Permutation]:
    """All rotations and reflections: the rotations, and each of them followed by one mirror."""
    plane = next(iter(puzzle.mirrors.values()))
    return [*puzzle.rotations, *(compose(rotation, plane) for rotation in puzzle.rotations)]


def test_cube_3_has_24_rotations_and_48_symmetries_that_form_a_group(cube3: Puzzle) -> None:
    group = set(symmetries(cube3))
    assert len(set(cube3.rotations)) == 24  # the ways to hold a cube
    assert len(group) == 48  # the symmetries of OEIS A080638's title
    assert set(cube3.mirrors.values()) <= group
    assert {compose(a, b) for a in group for b in group} == group


def classes(puzzle: Puzzle, turns: Sequence[Permutation]) -> Iterator[int]:
    """Like `layers`, positions that a symmetry takes to one another counted once.

    Convention: p and q are one if q is p seen turned or mirrored, that is s' p s for one of the 48 symmetries
    s. (A position and its inverse are two.) A class is shown by its least member; the turns as a set are
    mapped onto themselves by every symmetry, so the neighbours of that member stand for all.
    """
    pairs = [(inverse(s), s) for s in symmetries(puzzle)]

    def least(p: Permutation) -> Permutation:
        return min(compose(compose(undo, p), s) for undo, s in pairs)

    before: set[Permutation] = set()
    now = {puzzle.identity}
    while True:
        yield len(now)
        reached = {least(compose(p, turn)) for p in now for turn in turns}
        before, now = now, reached - now - before


def test_cube_3_classes_under_48_symmetries_where_a_half_turn_is_one(cube3: Puzzle) -> None:
    found = first(6, classes(cube3, all_turns(cube3, cube3.axes)))
    assert found == [1, 2, 9, 75, 934, 12077]  # OEIS A080638


def test_cube_3_classes_under_48_symmetries_where_a_half_turn_is_two(cube3: Puzzle) -> None:
    found = first(6, classes(cube3, quarter_turns(cube3, cube3.axes)))
    assert found == [1, 1, 5, 25, 219, 1978]  # OEIS A005452


def test_cube_3_by_u_and_m_only_reaches_the_published_positions(cube3: Puzzle) -> None:
    """A quarter turn of U or of M is one; turned centres count, since M moves them."""
    u_and_m = (("U", 1), ("L", 2))
    turns = [cube3.permutation(Turn(axis, layer, layer, n)) for axis, layer in u_and_m for n in (1, -1)]
    found = list(layers(cube3.identity, turns))
    assert found[:11] == [1, 4, 10, 24, 58, 140, 338, 816, 1909, 4296, 8893]  # OEIS A080617
    assert sum(found) == 184_320  # OEIS A080617


def test_cube_3_corners_alone_are_at_the_published_distances(cube3: Puzzle) -> None:
    corners = [slot for piece in cube3.pieces if piece.kind == "corner" for slot in piece.stickers]
    number = {slot: place for place, slot in enumerate(corners)}
    turns = [from_images(number[turn[slot]] for slot in corners) for turn in quarter_turns(cube3, cube3.axes)]
    found = first(6, layers(from_images(range(24)), turns))
    assert found == [1, 12, 114, 924, 6539, 39528]  # OEIS A080630


# --- skewb and pyraminx, whole --------------------------------------------------------------------


SKEWB = [1, 8, 48, 288, 1728, 10248, 59304, 315198, 1225483, 1455856, 81028, 90]
PYRAMINX = [1, 8, 48, 288, 1728, 9896, 51808, 220111, 480467, 166276, 2457, 32]


def test_all_skewb_positions_are_at_the_published_distances() -> None:
    puzzle = catalogue.puzzle("skewb")
    positions = Places(puzzle, quarter_turns(puzzle, "RULB"))
    # By hand: 6 centres in the 360 even ways. No turn reaches the corner UFR; B moves DBR, UBL, DFL round,
    # in 3 ways; the other four are put in the 12 even ways. All but UFR twist. Not every twist goes with each
    # arrangement: the sum tells.
    assert (positions.places, positions.twists) == (360 * 3 * 12, 3**7)
    counts = positions.counts()
    assert counts == SKEWB  # OEIS A079745
    assert sum(counts) == 3_149_280  # OEIS A079745


def without_tips(puzzle: Puzzle) -> Places:
    pieces = [piece for piece in puzzle.pieces if piece.kind != "tip"]
    turns = [puzzle.permutation(puzzle.named_turns[name]) for name in "ULRB"]
    return Places(puzzle, [*turns, *map(inverse, turns)], pieces)


def test_pyraminx_without_tips_is_searched_to_the_published_number_of_positions() -> None:
    positions = without_tips(catalogue.puzzle("pyraminx"))
    # By hand: 6 edges in the 360 even ways, flipped in pairs (2^5), and 4 corners that only twist (3^4).
    assert (positions.places, positions.twists) == (360, 2**5 * 3**4)
    counts = positions.counts()
    assert counts == PYRAMINX  # from memory
    assert sum(counts) == 933_120  # OEIS A309109(3)


def test_pyraminx_tips_turn_alone_and_multiply_the_positions_to_the_published_number() -> None:
    """Tips move nothing else, so that every arrangement of theirs goes with every position of the rest."""
    puzzle = catalogue.puzzle("pyraminx")
    turns = [puzzle.permutation(puzzle.named_turns[name]) for name in "ulrb"]
    moved = {slot for turn in turns for slot in range(len(puzzle.stickers)) if turn[slot] != slot}
    assert {puzzle.piece_at(slot).kind for slot in moved} == {"tip"}
    tips = sum(layers(puzzle.identity, [*turns, *map(inverse, turns)]))
    assert tips * sum(without_tips(puzzle).counts()) == 75_582_720  # OEIS A309110(3)
