"""How many positions the turns reach, counted by a general computer algebra library from our permutations."""

from __future__ import annotations

from collections.abc import Iterable
from math import factorial

import pytest
from sample_definitions import (
    cube_by_eight_vertices,
    cube_by_four_vertices,
    dodecahedron_by_faces,
    tetrahedron_by_vertices,
)
from sympy.combinatorics import Permutation, PermutationGroup
from sympy.combinatorics.generators import rubik_cube_generators

from sitegen.puzzles.permutation import Permutation as Moved
from sitegen.puzzles.permutation import order
from sitegen.puzzles.puzzle import Puzzle, Turn

CUBE_2 = 3_674_160  # OEIS A075152(2)
CUBE_3 = 43_252_003_274_489_856_000  # OEIS A075152(3), and Schönert
CUBE_4 = 7401196841564901869874093974498574336000000000  # OEIS A075152(4)
MEGAMINX = 100669616553523347122516032313645505168688116411019768627200000000000  # OEIS A309113(1)


def group(puzzle: Puzzle, turns: Iterable[Turn]) -> PermutationGroup:
    size = len(puzzle.stickers)
    return PermutationGroup([Permutation(list(puzzle.permutation(turn))[:size]) for turn in turns])


def faces(axes: Iterable[str]) -> list[Turn]:
    return [Turn(axis, 1, 1, 1) for axis in axes]


def test_cube_2_with_one_corner_held_has_the_published_number_of_positions(cube2: Puzzle) -> None:
    assert group(cube2, faces("URF")).order() == CUBE_2


def test_cube_2_turned_freely_also_counts_the_24_ways_to_hold_it(cube2: Puzzle) -> None:
    assert group(cube2, faces(cube2.axes)).order() == 24 * CUBE_2


def test_cube_3_has_the_published_number_of_positions(cube3: Puzzle) -> None:
    assert group(cube3, faces(cube3.axes)).order() == CUBE_3


def test_cube_3_has_as_many_positions_as_the_computer_algebra_systems_own_example(cube3: Puzzle) -> None:
    assert group(cube3, faces(cube3.axes)).order() == PermutationGroup(rubik_cube_generators()).order()


def test_cube_3_stickers_are_two_orbits_of_24_and_six_fixed_centres(cube3: Puzzle) -> None:
    """Schönert: the facets fall into two orbits of 24, corners and edges."""
    orbits = group(cube3, faces(cube3.axes)).orbits()
    large = [orbit for orbit in orbits if len(orbit) > 1]
    kinds = [({cube3.piece_at(slot).kind for slot in orbit}, len(orbit)) for orbit in large]
    assert sorted(kinds, key=str) == [({"corner"}, 24), ({"edge"}, 24)]
    moved = {slot for orbit in large for slot in orbit}
    assert {cube3.stickers[slot].name for slot in set(range(54)) - moved} == set("UDFBLR")
    assert sorted(cube3.fixed_centres) == sorted(set(range(54)) - moved)


def test_cube_4_has_the_published_number_of_positions_once_like_centres_are_one(cube4: Puzzle) -> None:
    """The stickers tell apart the 4 centres of each face: 4!^6 arrangements, half of them of each parity,
    and the corners' parity fixes the centres'. Turning also counts the 24 ways to hold the cube."""
    turns = [Turn(axis, layer, layer, 1) for axis in cube4.axes for layer in (1, 2)]
    assert group(cube4, turns).order() == CUBE_4 * 24 * factorial(4) ** 6 // 2


def test_tetrahedron_with_tips_has_the_published_number_of_positions() -> None:
    puzzle = tetrahedron_by_vertices()
    turns = [Turn(axis, 1, last, 1) for axis in puzzle.axes for last in (1, 2)]
    assert group(puzzle, turns).order() == 75_582_720  # OEIS A309110(3)


def test_tetrahedron_without_tips_has_the_published_number_of_positions() -> None:
    puzzle = tetrahedron_by_vertices()
    turns = [Turn(axis, 1, 2, 1) for axis in puzzle.axes]
    assert group(puzzle, turns).order() == 933_120  # OEIS A309109(3)


def test_cube_cut_through_its_middle_has_the_published_number_of_positions() -> None:
    puzzle = cube_by_four_vertices()
    assert group(puzzle, faces(puzzle.axes)).order() == 3_149_280  # OEIS A079745


def test_cube_cut_through_its_middle_by_all_vertices_also_counts_12_ways_to_hold_it() -> None:
    """Turning at a vertex and back at the one across turns the whole by 120 degrees: 12 such rotations."""
    puzzle = cube_by_eight_vertices()
    assert group(puzzle, faces(puzzle.axes)).order() == 12 * 3_149_280  # OEIS A079745


def test_dodecahedron_by_faces_has_the_published_number_of_positions() -> None:
    """Corners and edges are counted apart, which is quick, and multiplied.

    That is sound by Goursat's lemma: corners move by the alternating group of 20 places and are twisted in
    thirds, edges by that of 30 and are flipped in halves, so the two groups share no simple quotient by which
    what the corners do could bind what the edges do. Centres stay.
    """
    puzzle = dodecahedron_by_faces()
    for kind, size in (("corner", 20), ("edge", 30)):
        assert places_group(puzzle, kind).degree == size
        assert places_group(puzzle, kind).is_alternating
    assert places_group(puzzle, "centre").is_trivial
    assert stickers_group(puzzle, "corner").order() * stickers_group(puzzle, "edge").order() == MEGAMINX


def places_group(puzzle: Puzzle, kind: str) -> PermutationGroup:
    """How the turns move the pieces of one kind from place to place."""
    pieces = [piece for piece in puzzle.pieces if piece.kind == kind]
    number = {piece.index: place for place, piece in enumerate(pieces)}

    def moved(p: Moved) -> Permutation:
        return Permutation([number[puzzle.piece_at(p[piece.stickers[0]]).index] for piece in pieces])

    return PermutationGroup([moved(puzzle.permutation(turn)) for turn in faces(puzzle.axes)])


def stickers_group(puzzle: Puzzle, kind: str) -> PermutationGroup:
    """How the turns move the stickers of the pieces of one kind."""
    slots = [slot for piece in puzzle.pieces if piece.kind == kind for slot in piece.stickers]
    number = {slot: place for place, slot in enumerate(slots)}

    def moved(p: Moved) -> Permutation:
        return Permutation([number[p[slot]] for slot in slots])

    return PermutationGroup([moved(puzzle.permutation(turn)) for turn in faces(puzzle.axes)])


@pytest.mark.parametrize(
    ("moves", "times"),
    [
        ("R U R' U'", 6),  # Singmaster, Notes on Rubik's 'Magic Cube'
        ("R U", 105),  # Singmaster
        ("R U2 D' B D'", 1260),  # Singmaster: the largest order there is
    ],
)
def test_sequences_come_back_after_the_published_number_of_repeats(cube3, turned, moves, times) -> None:
    p = turned(moves, cube3)
    assert order(p) == times
    assert Permutation(list(p)).order() == times  # the same by computer algebra
    assert turned(f"({moves}){times}", cube3) == cube3.identity
    assert all(turned(f"({moves}){times // prime}", cube3) != cube3.identity for prime in primes(times))


def primes(number: int) -> list[int]:
    return [p for p in range(2, number + 1) if number % p == 0 and all(p % q for q in range(2, p))]
