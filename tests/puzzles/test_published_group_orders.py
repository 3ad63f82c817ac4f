"""How many positions the turns reach, counted by a general computer algebra library from our permutations."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise

import pytest
from sympy.combinatorics import Permutation, PermutationGroup
from sympy.combinatorics.generators import rubik_cube_generators

from sitegen.puzzles import catalogue
from sitegen.puzzles.permutation import Permutation as Moved
from sitegen.puzzles.permutation import order
from sitegen.puzzles.puzzle import Puzzle, Turn

CUBE_2 = 3_674_160  # OEIS A075152(2)
CUBE_3 = 43_252_003_274_489_856_000  # OEIS A075152(3), and Schönert
CUBE_4 = 7401196841564901869874093974498574336000000000  # OEIS A075152(4)
PYRAMINX = 75_582_720  # OEIS A309110(3)
PYRAMINX_WITHOUT_TIPS = 933_120  # OEIS A309109(3)
SKEWB = 3_149_280  # OEIS A079745
MEGAMINX = 100669616553523347122516032313645505168688116411019768627200000000000  # OEIS A309113(1)


def group(puzzle: Puzzle, turns: Iterable[Turn]) -> PermutationGroup:
    return PermutationGroup([as_sympy(puzzle, puzzle.permutation(turn)) for turn in turns])


def as_sympy(puzzle: Puzzle, p: Moved) -> Permutation:
    return Permutation(list(p)[: len(puzzle.stickers)])


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
    """The published number tells like centres not apart, and does not count the ways to hold the cube.

    So what turning reaches is divided by what of it looks like nothing, and by the turns of the whole cube.
    """
    turned = group(cube4, cube4.turns())
    assert all(turned.contains(as_sympy(cube4, rotation)) for rotation in cube4.rotations)
    looks = turned.order() // looking_like_nothing(cube4, turned)
    assert looks // len(cube4.rotations) == CUBE_4
    assert looks % len(cube4.rotations) == 0


def looking_like_nothing(cube4: Puzzle, turned: PermutationGroup) -> int:
    """How many of the arrangements that turning reaches only exchange like centres.

    Corners and wings stay, for no two stickers of theirs that turning exchanges look alike with their pieces:
    the two wings of an edge are of the same colours, but not the same way round. What turning can do to the
    centres meanwhile is every even permutation of the 24, as SymPy finds. Of those that stay inside faces it
    thus reaches the even ones: all if those that make them are even, half if one is odd.
    """
    centres = slots_of(cube4, "centre")
    others = [s.index for s in cube4.stickers if s.index not in centres]
    looks = [
        (at, look(cube4, slot)) for at, orbit in enumerate(turned.orbits()) for slot in orbit - {*centres}
    ]
    assert len(set(looks)) == len(looks) == len(others)
    alone = restricted([g.array_form for g in turned.pointwise_stabilizer(others).generators], centres)
    assert alone.is_alternating
    faces_of = [[slot for slot in centres if cube4.stickers[slot].face == face] for face in cube4.axes]
    exchanges = [exchange(a, b, centres) for face in faces_of for a, b in pairwise(face)]
    inside = PermutationGroup(exchanges)
    missed = 1 if all(alone.contains(one) for one in exchanges) else 2
    return int(inside.order()) // missed


def look(puzzle: Puzzle, slot: int) -> tuple[str, frozenset[str]]:
    """The face, for the colour, of a sticker, and those of its whole piece."""
    return puzzle.stickers[slot].face, frozenset(
        puzzle.stickers[each].face for each in puzzle.piece_at(slot).stickers
    )


def exchange(a: int, b: int, slots: Sequence[int]) -> Permutation:
    return Permutation([slots.index({a: b, b: a}.get(slot, slot)) for slot in slots])


def test_pyraminx_with_tips_has_the_published_number_of_positions() -> None:
    puzzle = catalogue.puzzle("pyraminx")
    assert group(puzzle, puzzle.named_turns.values()).order() == PYRAMINX


def test_pyraminx_without_tips_has_the_published_number_of_positions() -> None:
    """The stickers that are not tips' are moved by the two layers of U L R B, and by u l r b not at all."""
    puzzle = catalogue.puzzle("pyraminx")
    rest = [s.index for s in puzzle.stickers if puzzle.piece_at(s.index).kind != "tip"]
    turns, tips = (
        [puzzle.permutation(puzzle.named_turns[name]) for name in each] for each in ("ULRB", "ulrb")
    )
    assert restricted(turns, rest).order() == PYRAMINX_WITHOUT_TIPS
    assert restricted(tips, rest).is_trivial
    # A tip that goes with the layer under it adds no position of its own.
    assert group(puzzle, [puzzle.named_turns[name] for name in "ULRB"]).order() == PYRAMINX_WITHOUT_TIPS


def test_skewb_by_its_four_turns_has_the_published_number_of_positions() -> None:
    puzzle = catalogue.puzzle("skewb")
    assert group(puzzle, faces("RULB")).order() == SKEWB


def test_skewb_by_all_eight_corners_also_counts_12_ways_to_hold_it() -> None:
    """Turning at a corner and back at the one across turns the whole by 120 degrees: 12 such rotations."""
    puzzle = catalogue.puzzle("skewb")
    turns = list(puzzle.turns())
    assert len(turns) == 8
    whole = [Turn(axis, 1, 2, 1) for axis in puzzle.axes]
    assert group(puzzle, whole).order() == 12
    assert group(puzzle, turns).order() == 12 * SKEWB


def test_megaminx_by_its_twelve_faces_has_the_published_number_of_positions() -> None:
    """Corners and edges are counted apart, which is quick, and multiplied.

    That is sound by Goursat's lemma: corners move by the alternating group of 20 places and are twisted in
    thirds, edges by that of 30 and are flipped in halves, so the two groups share no simple quotient by which
    what the corners do could bind what the edges do. Centres stay.
    """
    puzzle = catalogue.puzzle("megaminx")
    turns = [puzzle.permutation(turn) for turn in faces(puzzle.axes)]
    assert len(turns) == 12
    for kind, size in (("corner", 20), ("edge", 30)):
        places = places_group(puzzle, turns, kind)
        assert places.degree == size
        assert places.is_alternating
    assert places_group(puzzle, turns, "centre").is_trivial
    corners, edges = (restricted(turns, slots_of(puzzle, kind)) for kind in ("corner", "edge"))
    assert corners.order() * edges.order() == MEGAMINX


def places_group(puzzle: Puzzle, turns: Iterable[Moved], kind: str) -> PermutationGroup:
    """How turns move the pieces of one kind from place to place."""
    pieces = [piece for piece in puzzle.pieces if piece.kind == kind]
    number = {piece.index: place for place, piece in enumerate(pieces)}

    def moved(p: Moved) -> Permutation:
        return Permutation([number[puzzle.piece_at(p[piece.stickers[0]]).index] for piece in pieces])

    return PermutationGroup([moved(p) for p in turns])


def slots_of(puzzle: Puzzle, kind: str) -> list[int]:
    return [slot for piece in puzzle.pieces if piece.kind == kind for slot in piece.stickers]


def restricted(moves: Iterable[Sequence[int]], slots: Sequence[int]) -> PermutationGroup:
    """What permutations do to some slots, which they do not mix with others."""
    number = {slot: place for place, slot in enumerate(slots)}
    return PermutationGroup([Permutation([number[p[slot]] for slot in slots]) for p in moves])


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
