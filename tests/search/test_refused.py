"""What cannot be is refused before any search, with what stands against it; and nothing else is."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from random import Random

import pytest
import sample_definitions as samples
from searching import ask
from sympy.combinatorics import Permutation as SympyPermutation
from sympy.combinatorics import PermutationGroup

from sitegen.effects.claims.claim import Asked
from sitegen.effects.feasible import forbidden
from sitegen.effects.laws import Laws, laws_of
from sitegen.problems import Problem
from sitegen.puzzles import catalogue
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Piece, Puzzle, Turn

# Nothing that some turning does is forbidden --------------------------------------------------------------


def asked_of(puzzle: Puzzle, position: Permutation, random: Random) -> dict[int, frozenset[int]]:
    """Some pieces, at random, asked to go as they go in a position: just so, or lying in any way."""
    asked: dict[int, frozenset[int]] = {}
    for piece in random.sample(puzzle.pieces, random.randint(1, len(puzzle.pieces))):
        place = frozenset(puzzle.piece_at(position[piece.stickers[0]]).stickers)
        free = random.random() < 0.3
        asked.update({slot: place if free else frozenset([position[slot]]) for slot in piece.stickers})
    return asked


def mixed(puzzle: Puzzle, turns: list[Permutation], random: Random) -> Permutation:
    position = puzzle.identity
    for _ in range(random.randint(0, 25)):
        position = perm.compose(position, random.choice(turns))
    return position


PUZZLES: dict[str, Callable[[], Puzzle]] = {
    **{name: lambda name=name: catalogue.puzzle(name) for name in ("cube-2", "cube-3", "cube-4", "cube-5")},
    "tetrahedron": samples.tetrahedron_by_vertices,
    "cube by 4 vertices": samples.cube_by_four_vertices,
    "cube by 8 vertices": samples.cube_by_eight_vertices,
    "octahedron by faces": samples.octahedron_by_faces,
    "octahedron by vertices": samples.octahedron_by_vertices,
    "dodecahedron": samples.dodecahedron_by_faces,
}


@pytest.mark.parametrize("name", list(PUZZLES))
def test_what_turning_does_is_not_forbidden(name: str) -> None:
    puzzle, random = PUZZLES[name](), Random(31)
    laws = laws_of(puzzle)
    for _ in range(40):
        position = laws.settled(mixed(puzzle, [puzzle.permutation(t) for t in puzzle.turns()], random))
        assert forbidden(asked_of(puzzle, position, random), laws) == ()


@pytest.mark.parametrize("name", ["cube-2", "cube-3", "cube-4", "tetrahedron", "octahedron by vertices"])
def test_what_some_of_the_turns_do_is_not_forbidden_to_them(name: str) -> None:
    puzzle, random = PUZZLES[name](), Random(32)
    outer = [turn for turn in puzzle.turns() if turn.first == 1]
    for _ in range(8):
        chosen = random.sample(outer, random.randint(1, 3))
        laws = Laws(puzzle, chosen)
        for _ in range(5):
            position = laws.settled(mixed(puzzle, [puzzle.permutation(t) for t in chosen], random))
            assert forbidden(asked_of(puzzle, position, random), laws) == ()


def in_claims(puzzle: Puzzle, position: Permutation, pieces: list[Piece]) -> Iterator[str]:
    """The cycles in which pieces are, by the slots that one sticker comes to."""
    for piece in pieces:
        path = [piece.stickers[0], position[piece.stickers[0]]]
        while path[-1] not in piece.stickers:
            path.append(position[path[-1]])
        names = [puzzle.stickers[slot].name for slot in path]
        if len(path) > 2:
            yield f"cycles {' > '.join(names)}"
        elif path[0] == path[1]:
            yield f"keeps {names[0]}"


@pytest.mark.parametrize(("slices", "wide"), [(False, False), (True, False), (False, True)])
def test_what_turns_do_is_not_refused_when_they_are_asked_for_it(
    slices: bool, wide: bool, cube3: Puzzle
) -> None:
    random = Random(33)
    for _ in range(25):
        faces = "".join(random.sample("UDFBLR", random.randint(1, 6)))
        listed = ask("does nothing", cube3, faces, slices=slices, wide=wide).turns.listed
        turns = tuple(random.choices(listed, k=12))
        pieces = [p for p in random.sample(cube3.pieces, 6) if len(p.stickers) > 1]
        claims = "; ".join(in_claims(cube3, mixed_by(cube3, turns), pieces))
        if claims:
            ask(claims, cube3, faces, slices=slices, wide=wide)


def mixed_by(puzzle: Puzzle, turns: tuple[Turn, ...]) -> Permutation:
    position = puzzle.identity
    for turn in turns:
        position = perm.compose(position, puzzle.permutation(turn))
    return position


# What is forbidden cannot be, and on cubes what is not forbidden can --------------------------------------


def assembled(pieces: list[Piece], random: Random) -> dict[int, int]:
    """Pieces of one kind taken apart and put together at random."""
    moved = {}
    for piece, place in zip(pieces, random.sample(pieces, len(pieces)), strict=True):
        step = random.randrange(len(piece.stickers))
        for i, slot in enumerate(piece.stickers):
            moved[slot] = place.stickers[(i + step) % len(piece.stickers)]
    return moved


def completions(pieces: list[Piece], places: list[Piece], asked: Asked) -> Iterator[dict[int, int]]:
    """Every way to put pieces into places of their kind as they are asked to be."""
    if not pieces:
        yield {}
        return
    first, *others = pieces
    for rest in completions(others, places, asked):
        taken = set(rest.values())
        for place in places:
            if taken.isdisjoint(place.stickers):
                for step in range(len(place.stickers)):
                    turned = place.stickers[step:] + place.stickers[:step]
                    way = dict(zip(first.stickers, turned, strict=True))
                    if all(slot in asked.get(start, (slot,)) for start, slot in way.items()):
                        yield {**rest, **way}


@pytest.mark.parametrize(("name", "tries"), [("cube-2", 60), ("cube-3", 30)])
def test_what_is_forbidden_is_what_cannot_be_completed(name: str, tries: int) -> None:
    """A few pieces are left free, and every way to put them in is tried: SymPy tells which can be reached."""
    puzzle, random = catalogue.puzzle(name), Random(34)
    laws, size = laws_of(puzzle), len(puzzle.stickers)
    group = PermutationGroup([SympyPermutation(list(p)[:size]) for p in laws.turns])
    kinds = {kind: [p for p in puzzle.pieces if p.kind == kind] for kind in ("corner", "edge")}
    outcomes = {True: 0, False: 0}
    for _ in range(tries):
        asked: dict[int, frozenset[int]] = {}
        for pieces in filter(None, kinds.values()):
            goes = assembled(pieces, random)
            free = random.sample(pieces, random.choice((0, 0, 1, 2)))
            loose = random.sample(pieces, random.choice((0, 0, 1)))
            for piece in pieces:
                there = frozenset(goes[slot] for slot in piece.stickers)
                if piece not in free:
                    asked |= {s: there if piece in loose else frozenset([goes[s]]) for s in piece.stickers}
        ways = (
            {**corners, **edges}
            for corners in completions(kinds["corner"], kinds["corner"], asked)
            for edges in completions(kinds["edge"], kinds["edge"], asked)
        )
        reached = any(
            group.contains(SympyPermutation([way.get(slot, slot) for slot in range(size)])) for way in ways
        )
        assert (forbidden(asked, laws) == ()) == reached
        outcomes[reached] += 1
    assert min(outcomes.values()) > 5


# Messages -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("claims", "message", "at"),
    [
        ("flips UF; keeps UF", "this contradicts “flips UF”: UF cannot do both", "keeps UF"),
        (
            "keeps UB; flips DF; swaps UF with UB",
            "this contradicts “keeps UB”: UB cannot do both",
            "swaps UF with UB",
        ),
        (
            "twists UFR clockwise; twists UFR anticlockwise",
            "this contradicts “twists UFR clockwise”: UFR cannot do both",
            "twists UFR anticlockwise",
        ),
        ("cycles UF > UR, UF > UL", "UF is named here twice", "UF > UL"),
    ],
)
def test_claims_that_contradict_each_other_are_both_named(
    claims: str, message: str, at: str, cube3: Puzzle
) -> None:
    with pytest.raises(Problem) as refused:
        ask(claims, cube3)
    assert refused.value.message == message
    assert refused.value.passage.text == at


def test_of_three_claims_the_one_that_is_contradicted_is_named(cube3: Puzzle) -> None:
    """By hand: the second says only where UFR goes, which the third says too; the first says how it lies."""
    first, second, third = (
        "cycles UFR > RUB",
        "cycles UFR > UBR in any orientation",
        "cycles UFR > BUR",
    )
    ask(f"{second}; {third}", cube3)  # these two go together
    with pytest.raises(Problem) as refused:
        ask(f"{first}; {second}; {third}", cube3)
    assert first in refused.value.message


def test_no_piece_comes_to_a_place_that_is_kept(cube3: Puzzle) -> None:
    with pytest.raises(Problem) as refused:
        ask("keeps UF; cycles UR > UF > UL in any orientation", cube3)
    assert "UF" in refused.value.message
    assert "keeps UF" in f"{refused.value.message} {refused.value.hint}"
    with pytest.raises(Problem) as refused:
        ask("same as @a; keeps UR", cube3, others={"a": "R U"})
    assert "UR" in refused.value.message


@pytest.mark.parametrize(
    ("claims", "piece"),
    [
        # By hand: R and U never turn an edge over, and do not touch DL.
        ("flips UF and UR", "UF"),
        ("swaps DL with UF", "DL"),
    ],
)
def test_where_only_the_turns_stand_against_it_they_are_named(claims: str, piece: str, cube3: Puzzle) -> None:
    with pytest.raises(Problem) as refused:
        ask(claims, cube3, "RU")
    turns, _, law = refused.value.message.partition(" alone does this: ")
    assert {"R", "U"} == set(turns.split()) & set("UDFBLR")
    assert piece in law
    ask(claims, cube3)  # with all turns it can be


@pytest.mark.parametrize("other", ["M", "x", "M U2 M"])
def test_turns_of_faces_are_refused_what_moves_the_middles_of_the_faces(other: str, cube3: Puzzle) -> None:
    """By hand: no turn of a face moves a middle, and each of these sequences takes that of U away."""
    with pytest.raises(Problem):
        ask("same as @x", cube3, others={"x": other})
