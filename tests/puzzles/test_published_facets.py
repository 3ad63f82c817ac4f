"""The turns of the cubes against two published tables and against whole-number coordinates."""

from __future__ import annotations

from collections.abc import Iterable

import pytest
from sympy.combinatorics.generators import rubik, rubik_cube_generators
from unfolded import READING, read_face, read_faces

from sitegen.puzzles import catalogue
from sitegen.puzzles.geometry import cross, scale
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Puzzle, Turn

# "Analyzing Rubik's Cube with GAP", M. Schönert 1993: facets 1-48, centres left out.
SCHOENERT = {
    "U": [(1, 3, 8, 6), (2, 5, 7, 4), (9, 33, 25, 17), (10, 34, 26, 18), (11, 35, 27, 19)],
    "L": [(9, 11, 16, 14), (10, 13, 15, 12), (1, 17, 41, 40), (4, 20, 44, 37), (6, 22, 46, 35)],
    "F": [(17, 19, 24, 22), (18, 21, 23, 20), (6, 25, 43, 16), (7, 28, 42, 13), (8, 30, 41, 11)],
    "R": [(25, 27, 32, 30), (26, 29, 31, 28), (3, 38, 43, 19), (5, 36, 45, 21), (8, 33, 48, 24)],
    "B": [(33, 35, 40, 38), (34, 37, 39, 36), (3, 9, 46, 32), (2, 12, 47, 29), (1, 14, 48, 27)],
    "D": [(41, 43, 48, 46), (42, 45, 47, 44), (14, 22, 30, 38), (15, 23, 31, 39), (16, 24, 32, 40)],
}


def facets(puzzle: Puzzle) -> dict[int, int]:
    """Slot to facet: top 1-8, left 9-16, front 17-24, right 25-32, rear 33-40, bottom 41-48."""
    numbered = [slot for face in "ULFRBD" for slot in read_face(puzzle, face) if slot != centre(puzzle, face)]
    return {slot: facet for facet, slot in enumerate(numbered, start=1)}


def centre(puzzle: Puzzle, face: str) -> int:
    return read_face(puzzle, face)[4]


def images(cycles: Iterable[tuple[int, ...]]) -> dict[int, int]:
    return {a: b for cycle in cycles for a, b in zip(cycle, (*cycle[1:], cycle[0]), strict=True)}


def moved(p: Permutation, numbers: dict[int, int]) -> dict[int, int]:
    """What a permutation moves, in other numbers."""
    return {numbers[a]: numbers[p[a]] for a in numbers if p[a] != a}


@pytest.mark.parametrize("face", READING)
def test_each_face_is_read_as_seen_from_outside(cube3: Puzzle, face: str) -> None:
    right, down = READING[face]
    towards = next(f.towards for f in cube3.faces if f.name == face)
    assert cross(right, scale(down, -1)) == towards  # right, up and outward are right-handed


def test_the_unfolded_layout_joins_faces_along_their_common_edges(cube3: Puzzle) -> None:
    piece = {slot: cube3.stickers[slot].piece for slot in range(54)}
    face = {name: [piece[slot] for slot in read_face(cube3, name)] for name in READING}
    assert face["U"][6:9] == face["F"][0:3]
    assert face["F"][6:9] == face["D"][0:3]
    for left, right in ("LF", "FR", "RB", "BL"):
        assert face[left][2::3] == face[right][0::3]


@pytest.mark.parametrize("face", SCHOENERT)
def test_cube_3_turns_are_the_published_permutations(cube3: Puzzle, face: str) -> None:
    p = cube3.permutation(Turn(face, 1, 1, 1))
    assert p[centre(cube3, face)] == centre(cube3, face)
    assert moved(p, facets(cube3)) == images(SCHOENERT[face])


def test_cube_3_turns_are_the_computer_algebra_systems_rubik_example(cube3: Puzzle) -> None:
    """SymPy's generators number the same facets from 0 and list them as U L F R B D."""
    numbers = {slot: facet - 1 for slot, facet in facets(cube3).items()}
    for face, generator in zip("ULFRBD", rubik_cube_generators(), strict=True):
        listed = {i: j for i, j in enumerate(generator.array_form) if i != j}
        assert moved(cube3.permutation(Turn(face, 1, 1, 1)), numbers) == listed


@pytest.mark.parametrize("size", [2, 3, 4])
def test_layers_turn_as_in_the_computer_algebra_systems_cubes_of_any_size(size: int) -> None:
    """SymPy's rubik(n): faces U F R B L D, rows left to right; layers of F, R and D from outside inwards.

    It lists for each facet the one whose sticker came there, so its permutations are ours undone. The
    renumbering follows from its layout; nothing is searched.
    """
    puzzle = catalogue.puzzle(f"cube-{size}")
    numbers = {slot: place for place, slot in enumerate(read_faces(puzzle, "UFRBLD"))}
    turns = [Turn(face, layer, layer, -1) for face in "FRD" for layer in range(1, size)]
    for turn, generator in zip(turns, rubik(size), strict=True):
        listed = {i: j for i, j in enumerate(generator.array_form) if i != j}
        assert moved(puzzle.permutation(turn), numbers) == listed, turn


# A quarter turn about each axis, clockwise seen from that face, in right-up-front coordinates.
QUARTER = {
    "R": lambda x, y, z: (x, z, -y),
    "L": lambda x, y, z: (x, -z, y),
    "U": lambda x, y, z: (-z, y, x),
    "D": lambda x, y, z: (z, y, -x),
    "F": lambda x, y, z: (y, -x, z),
    "B": lambda x, y, z: (-y, x, z),
}
ALONG = {"R": (0, 1), "L": (0, -1), "U": (1, 1), "D": (1, -1), "F": (2, 1), "B": (2, -1)}


@pytest.mark.parametrize("size", range(2, 8))
def test_every_layer_of_every_cube_turns_as_whole_number_coordinates_do(size: int) -> None:
    puzzle = catalogue.puzzle(f"cube-{size}")

    def grid(slot: int) -> tuple[int, ...]:
        """Twice the number of half layers from the middle; a face stands at 2 · size."""
        return tuple(round(c * 2 * size) for c in puzzle.stickers[slot].centre)

    at = {grid(slot): slot for slot in range(len(puzzle.stickers))}
    assert len(at) == 6 * size * size
    for turn in puzzle.turns():
        index, sign = ALONG[turn.axis]
        # Layer k lies between 1 - 2(k-1)/n and 1 - 2k/n of the way out from the middle.
        low, high = 2 * size - 4 * turn.first, 2 * size - 4 * (turn.first - 1)
        p = puzzle.permutation(turn)
        for place, slot in at.items():
            inside = low <= sign * place[index] <= high
            assert p[slot] == (at[QUARTER[turn.axis](*place)] if inside else slot)
