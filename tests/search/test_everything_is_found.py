"""What is found is all there is: held against every word, made and turned by the tests' own rules."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable
from itertools import product
from random import Random

import pytest
import sample_definitions as samples
from searching import (
    ByLength,
    Kit,
    Test,
    Word,
    all_done,
    all_of,
    ask,
    comes_to,
    cube_kit,
    goes,
    listed_by_length,
    search,
    solid_kit,
    stays,
    sweep,
    text_of,
    true_words,
)
from turned_text import does

from sitegen.effects.effect import Effect
from sitegen.moves.notation import write
from sitegen.puzzles.permutation import inverse
from sitegen.puzzles.puzzle import Puzzle
from sitegen.search.points import MOST, points
from sitegen.search.query import Query


def same_everywhere(found: ByLength, there: ByLength, longest: int) -> None:
    """A length at a time, so that what is missing and what is too much can be read."""
    for length in range(longest + 1):
        ours, theirs = found[length], there.get(length, set())
        assert sorted(map(text_of, ours - theirs)) == []
        assert sorted(map(text_of, theirs - ours)) == []


# The words themselves -------------------------------------------------------------------------------------


def test_the_words_compared_with_are_all_words_in_which_no_layer_is_turned_twice_in_a_run(
    cube3: Puzzle,
) -> None:
    """By hand: all 18 x 18 x 18 rows of turns, those about one line put together; repeats left out."""
    kit = cube_kit(cube3)
    turns = [face + amount for face in "UDFBLR" for amount in ("", "2", "'")]
    by_hand = set()
    for row in product(turns, repeat=3):
        runs = kit.word(" ".join(row))
        faces = [{turn[0] for turn in run} for run in runs]
        if sum(map(len, faces)) == 3:
            by_hand.add(runs)
    assert {word for word, _, length in kit.words(3) if length == 3} == by_hand
    assert len(by_hand) == 3240  # as many as positions, OEIS A080583: no two of them do the same


# cube-3, face turns ---------------------------------------------------------------------------------------


def mirrored(moves: str, swapped: dict[str, str]) -> str:
    """Moves as seen in a mirror: faces change places, and every sense of turning is reversed."""
    back = {"": "'", "'": "", "2": "2"}
    return " ".join(swapped.get(turn[0], turn[0]) + back[turn[1:]] for turn in moves.split())


MIRRORS = [
    *({a: b, b: a} for a, b in ("RL", "UD", "FB")),
    *({a: b, b: a, c: d, d: c} for a, b, c, d in ("UFDB", "UBDF", "URDL", "ULDR", "FRBL", "FLBR")),
]
"""By hand: a cube's three planes between opposite faces, and its six through opposite edges."""

SHORT = "R U R' U'"


def is_one_of(cube: Puzzle, *moves: str) -> Test:
    effects = {does(text, cube) for text in moves}
    return lambda p: p in effects


LONGEST = 5
BY_HAND: list[tuple[str, Callable[[Puzzle], Test]]] = [
    ("does nothing", lambda cube: lambda p: p == cube.identity),
    # All that is on neither R nor U.
    ("changes only R and U", lambda cube: stays(cube, "DF DL DB FL BL DFL DBL F B L D")),
    ("keeps U except UFR", lambda cube: stays(cube, "U UF UR UL UB UFL UBL UBR")),
    ("keeps edges of U; keeps DFR", lambda cube: stays(cube, "UF UR UL UB DFR")),
    ("keeps corners; flips UF", lambda cube: _flipped_among_corners(cube)),
    # Clockwise from outside the faces of UFR are U, R, F and those of UBL U, L, B.
    ("twists UFR clockwise and UBL anticlockwise", lambda cube: goes(cube, "UFR>RUF UBL>BUL")),
    ("cycles UF > UR > UB", lambda cube: goes(cube, "UF>UR UR>UB UB>UF")),
    ("cycles UFR > RUB > FRU; keeps DF", lambda cube: goes(cube, "UFR>RUB RUB>FRU DF>DF")),
    (
        "cycles UF > RU > FR in any orientation; keeps FL",
        lambda cube: all_of(comes_to(cube, "UF>UR UR>FR FR>UF"), stays(cube, "FL")),
    ),
    (
        "swaps UFR with UBR in any orientation; flips UF",
        lambda cube: all_of(comes_to(cube, "UFR>UBR UBR>UFR"), goes(cube, "UF>FU")),
    ),
    ("swaps UF with UB and UL with UR", lambda cube: goes(cube, "UF>UB UB>UF UL>UR UR>UL")),
    ("flips UF and UR", lambda cube: goes(cube, "UF>FU UR>RU")),
    ("same as @x", lambda cube: is_one_of(cube, SHORT)),
    ("undoes @x", lambda cube: is_one_of(cube, "U R U' R'")),
]
"""Claims, and beside them a test of a permutation that was written from them by hand."""

SELDOM = {"does nothing", "keeps corners; flips UF"}
"""Of these there are none, or only the empty word, that short; the others must be found."""


def _flipped_among_corners(cube: Puzzle) -> Test:
    return all_of(stays(cube, "UFR UFL UBR UBL DFR DFL DBR DBL"), goes(cube, "UF>FU"))


@pytest.fixture(scope="module")
def every_word_of_five(cube3: Puzzle) -> dict[str, ByLength]:
    return sweep(cube_kit(cube3).words(LONGEST), {claims: test(cube3) for claims, test in BY_HAND})


@pytest.mark.parametrize("claims", [claims for claims, _ in BY_HAND])
def test_all_words_of_up_to_five_face_turns_are_found(
    claims: str, cube3: Puzzle, every_word_of_five: dict[str, ByLength]
) -> None:
    there = every_word_of_five[claims]
    assert claims in SELDOM or any(there.get(length) for length in range(1, LONGEST + 1))
    found = search(ask(claims, cube3, others={"x": SHORT}), LONGEST)
    same_everywhere(listed_by_length(found, cube_kit(cube3)), there, LONGEST)


@pytest.mark.parametrize("moves", ["R U F", "R U2 R'", "U F2"])
def test_all_words_that_mirror_another_are_found(moves: str, cube3: Puzzle) -> None:
    """Each of the nine mirrors, worked out in letters."""
    test = is_one_of(cube3, *(mirrored(moves, faces) for faces in MIRRORS))
    there = sweep(cube_kit(cube3).words(3), {moves: test})[moves]
    found = search(ask("mirrors @x", cube3, others={"x": moves}), 3)
    same_everywhere(listed_by_length(found, cube_kit(cube3)), there, 3)


ISOLATED = "UF UR UL UB UFR UFL UBR UBL"


def by_meeting(kit: Kit, slots: bytes, goal: bytes, half: int) -> set[Word]:
    """All words of twice `half` face turns that take stickers to a goal: joined from both ends."""
    ends: dict[bytes, list[Word]] = defaultdict(list)
    for word, done, length in kit.words(half):
        if length == half:
            ends[goal.translate(inverse(done))].append(word)
    joined = (
        kit.word(f"{text_of(word)} {text_of(rest)}")
        for word, done, length in kit.words(half)
        if length == half
        for rest in ends.get(slots.translate(done), ())
    )
    return {word for word in joined if sum(len({turn[0] for turn in run}) for run in word) == 2 * half}


@pytest.mark.parametrize(
    ("claims", "moved"),
    [
        ("flips UF; keeps U except UF", {"UF": "FU"}),
        ("twists UFR clockwise; keeps U except UFR", {"UFR": "RUF"}),
        # A hand-made one that is not in place: the piece comes from the bottom.
        ("keeps U except UFR; cycles DFR > UFR", {"UFR": "DFR", "DFR": "UFR"}),
    ],
)
def test_all_words_of_eight_face_turns_that_isolate_a_piece_are_found(
    claims: str, moved: dict[str, str], cube3: Puzzle
) -> None:
    kit, names = cube_kit(cube3), dict.fromkeys([*ISOLATED.split(), *moved])
    starts = bytes(cube3.slots[name] for name in names)
    ends = bytes(cube3.slots[moved.get(name, name)] for name in names)
    found = listed_by_length(search(ask(claims, cube3), 8), kit)
    eight = by_meeting(kit, starts, ends, 4)
    assert eight
    assert sorted(map(text_of, found[8] ^ eight)) == []


# cube-2 ---------------------------------------------------------------------------------------------------


CUBE_2 = [
    "keeps all except UFR and UBR",
    "keeps U",
    "changes only U",
    "swaps UFR with UBR",
    "swaps UFR with UBL in any orientation; keeps UFL",
    "cycles UFR > UBR > UBL in any orientation; keeps UFL",
    "twists UFR clockwise",
    "twists UFR, UBL anticlockwise",
    "order 6",
    "order 15; keeps DFR",
    "length 5 QTM; keeps UFL",
    "same as @x",
    "undoes @x",
    "mirrors @x",
    "undoes @x; order 6",
]


@pytest.mark.parametrize("claims", CUBE_2)
def test_all_words_of_three_faces_of_cube_2_are_found(claims: str, cube2: Puzzle) -> None:
    asked = ask(claims, cube2, "RUF", others={"x": SHORT})
    kit = cube_kit(cube2, faces="RUF")
    same_everywhere(listed_by_length(search(asked, 4), kit), true_words(asked, all_done(kit, 4)), 4)


@pytest.mark.parametrize(
    ("claims", "pairs"),
    [
        ("keeps D", "DFR>DFR DFL>DFL DBR>DBR DBL>DBL"),
        ("keeps D; twists UFR clockwise", "DFR>DFR DFL>DFL DBR>DBR DBL>DBL UFR>RUF"),
        ("cycles UFR > UBR > UFL", "UFR>UBR UBR>UFL UFL>UFR"),
        ("swaps UFR with DFL; keeps UBL", "UFR>DFL DFL>UFR UBL>UBL"),
    ],
)
def test_words_of_six_turns_of_three_faces_of_cube_2_are_found(
    claims: str, pairs: str, cube2: Puzzle
) -> None:
    kit = cube_kit(cube2, faces="RUF")
    there = sweep(kit.words(6), {claims: goes(cube2, pairs)})[claims]
    same_everywhere(listed_by_length(search(ask(claims, cube2, "RUF"), 6), kit), there, 6)


@pytest.mark.parametrize("claims", ["changes only U", "twists UFR clockwise; keeps UBR", "same as @x"])
def test_on_cube_2_opposite_faces_may_do_the_same_and_both_words_are_found(
    claims: str, cube2: Puzzle
) -> None:
    asked, kit = ask(claims, cube2, others={"x": "R L'"}), cube_kit(cube2)
    same_everywhere(listed_by_length(search(asked, 3), kit), true_words(asked, all_done(kit, 3)), 3)


# Metrics, slices and blocks -------------------------------------------------------------------------------


MIDDLES = {"U": "E", "F": "S", "R": "M"}
WIDE = {"U": "Uw Dw", "F": "Fw Bw", "R": "Rw Lw"}
BOTH = {line: f"{MIDDLES[line]} {WIDE[line]}" for line in "UFR"}
CENTRES = "keeps centres; keeps DF, DL and DR"


@pytest.mark.parametrize(
    ("claims", "metric", "inner", "wide", "longest"),
    [
        ("order 6; keeps UF", "qtm", False, False, 4),
        ("length 2 OBTM; keeps DF", "qtm", False, False, 3),
        ("keeps U except UFR", "stm", False, False, 3),
        ("cycles UF > UB > DB", "stm", True, False, 3),
        ("cycles UF > UB > DB", "obtm", True, False, 3),
        ("keeps corners", "qtm", True, False, 3),
        ("keeps U", "etm", True, False, 2),
        ("does nothing", "stm", True, False, 2),
        (CENTRES, "stm", True, False, 2),
        ("keeps centres of U; keeps UF", "stm", True, False, 2),
        ("changes only centres", "stm", True, False, 3),
        ("order 4", "stm", True, False, 2),
        ("same as @m", "obtm", True, False, 2),
        ("undoes @m", "stm", True, False, 2),
        ("mirrors @m", "stm", True, False, 2),
        ("keeps U except UF", "obtm", False, True, 2),
        ("does nothing", "obtm", False, True, 2),
        ("changes only R", "obtm", False, True, 2),
        ("same as @r", "qtm", False, True, 2),
        ("keeps edges", "stm", True, True, 2),
        ("same as @m", "stm", True, True, 2),
    ],
)
def test_words_with_slices_and_blocks_are_found_in_every_metric(
    claims: str, metric: str, inner: bool, wide: bool, longest: int, cube3: Puzzle
) -> None:
    blocks = BOTH if inner and wide else MIDDLES if inner else WIDE if wide else {}
    kit = cube_kit(cube3, metric, blocks=blocks)
    others = {"m": "M U2", "r": "R U"}
    asked = ask(claims, cube3, slices=inner, wide=wide, metric=metric, others=others)
    found = listed_by_length(search(asked, longest), kit, metric)
    same_everywhere(found, true_words(asked, all_done(kit, longest)), longest)


FOUR_SLICES: list[tuple[str, str]] = [
    ("cycles UF > UB > DB; keeps DF", "UF>UB UB>DB DB>UF DF>DF"),
    ("flips UF and UB; keeps DF", "UF>FU UB>BU DF>DF"),
    ("keeps U except UF", "U>U UR>UR UL>UL UB>UB UFR>UFR UFL>UFL UBR>UBR UBL>UBL"),
]


@pytest.fixture(scope="module")
def every_word_of_four_slices(cube3: Puzzle) -> dict[str, ByLength]:
    words = cube_kit(cube3, "stm", faces="URF", blocks=MIDDLES).words(4)
    return sweep(words, {claims: goes(cube3, pairs) for claims, pairs in FOUR_SLICES})


@pytest.mark.parametrize("claims", [claims for claims, _ in FOUR_SLICES])
def test_words_of_four_turns_with_slices_are_found(
    claims: str, cube3: Puzzle, every_word_of_four_slices: dict[str, ByLength]
) -> None:
    asked = ask(claims, cube3, "URFLD", slices=True, metric="stm")
    found = listed_by_length(search(asked, 4), cube_kit(cube3, "stm", blocks=MIDDLES), "stm")
    without = {n: {word for word in words if not turned(word, "LD")} for n, words in found.items()}
    same_everywhere(without, every_word_of_four_slices[claims], 4)


def turned(word: Word, faces: str) -> bool:
    return any(turn[0] in faces for run in word for turn in run)


CUBE_4_INNER = {"U": "2U 3U 2-3U", "F": "2F 3F 2-3F", "R": "2L 3L 2-3L"}
CUBE_4_WIDE = {"U": "Uw Dw 3Uw 3Dw", "F": "Fw Bw 3Fw 3Bw", "R": "Rw Lw 3Rw 3Lw"}


@pytest.mark.parametrize(
    ("claims", "faces", "inner", "wide"),
    [
        ("same as @x", "UDLR", CUBE_4_INNER, {}),
        ("keeps corners", "UDFBLR", CUBE_4_INNER, {}),
        ("changes only 2L", "LR", {"R": CUBE_4_INNER["R"]}, {"R": CUBE_4_WIDE["R"]}),
        ("keeps U", "UDFBLR", {}, CUBE_4_WIDE),
        ("keeps corners; order 2", "UDFB", CUBE_4_INNER, CUBE_4_WIDE),
    ],
)
def test_words_of_a_cube_with_four_layers_are_found(
    claims: str, faces: str, inner: dict[str, str], wide: dict[str, str], cube4: Puzzle
) -> None:
    lines = [line for line in "UFR" if line in faces]
    blocks = {line: f"{inner.get(line, '')} {wide.get(line, '')}" for line in lines}
    kit = cube_kit(cube4, faces=faces, blocks=blocks)
    asked = ask(claims, cube4, faces, slices=bool(inner), wide=bool(wide), others={"x": "2L U"})
    same_everywhere(listed_by_length(search(asked, 2), kit), true_words(asked, all_done(kit, 2)), 2)


# Other solids ---------------------------------------------------------------------------------------------


SOLIDS: list[tuple[Callable[[], Puzzle], int]] = [
    (samples.tetrahedron_by_vertices, 4),
    (samples.cube_by_four_vertices, 4),
    (samples.cube_by_eight_vertices, 2),
    (samples.octahedron_by_faces, 2),
    (samples.octahedron_by_vertices, 2),
    (samples.dodecahedron_by_faces, 2),
]


def claims_about(puzzle: Puzzle, moves: str, random: Random) -> list[str]:
    """Some things that are true of moves, from plain to full."""
    effect = Effect(puzzle, does(moves, puzzle))
    home = [piece for piece in puzzle.pieces if piece not in effect.changed]
    kept = random.sample(home, min(4, len(home)))
    moved = random.choice(effect.changed)
    slot = moved.stickers[0]
    path, at = [slot], effect.permutation[slot]
    while puzzle.piece_at(at) is not moved:
        path, at = [*path, at], effect.permutation[at]
    names = [puzzle.stickers[s].name for s in (*path, at)]
    return [
        "same as @x",
        "undoes @x",
        "mirrors @x",
        *["; ".join(f"keeps {piece.name}" for piece in kept) for _ in kept[:1]],
        *(
            [f"cycles {' > '.join(names)}", f"cycles {' > '.join(names)} in any orientation"]
            if path[1:]
            else []
        ),
        f"order {effect.order}",
    ]


@pytest.mark.parametrize(("make", "longest"), SOLIDS)
def test_words_of_other_solids_are_found(make: Callable[[], Puzzle], longest: int) -> None:
    puzzle, random = make(), Random(11)
    kit = solid_kit(puzzle)
    names = [name for line in kit.lines for name in line]
    moves = " ".join(random.sample(names, longest))
    everything = all_done(kit, longest)
    for claims in claims_about(puzzle, moves, random):
        asked = ask(claims, puzzle, others={"x": moves})
        found = listed_by_length(search(asked, longest), kit)
        same_everywhere(found, true_words(asked, everything), longest)


def test_turns_of_opposite_faces_are_written_once_where_the_cuts_are_not_in_the_same_planes() -> None:
    """By hand: opposite faces of a dodecahedron turn about one line, and share no piece: A L is L A."""
    puzzle = samples.dodecahedron_by_faces()
    pair = next(line for line in solid_kit(puzzle).lines if "A" in line)
    found = search(ask("same as @x", puzzle, others={"x": " ".join(pair)}), 2)
    assert found.counts == {0: 0, 1: 0, 2: 1}


@pytest.mark.parametrize(("slices", "wide"), [(True, False), (False, True), (True, True)])
def test_every_turn_of_another_solid_is_the_one_that_it_is_written_as(slices: bool, wide: bool) -> None:
    puzzle = samples.tetrahedron_by_vertices()
    turns = ask("does nothing", puzzle, slices=slices, wide=wide).turns
    texts = [write(turn, puzzle) for turn in turns.listed]
    assert len(set(texts)) == len(texts)
    assert [does(text, puzzle) for text in texts] == list(turns.permutations)


# Large cubes ----------------------------------------------------------------------------------------------


def points_wanted(asked: Query) -> int:
    """The pieces that the turns move, each of which is to come to one place in one way."""
    turned = asked.turns.permutations
    return sum(
        any(p[piece.stickers[0]] != piece.stickers[0] for p in turned) for piece in asked.puzzle.pieces
    )


def test_what_does_not_fit_in_a_byte_is_held_against_the_claims_all_the_same(cube7: Puzzle) -> None:
    asked, kit = ask("same as @x", cube7, others={"x": "R U2"}), cube_kit(cube7)
    shown = points(cube7, asked.asked, list(asked.turns.permutations))
    assert len(shown.numbers) <= MOST
    assert len(shown.start) < points_wanted(asked)  # so that something was left out
    same_everywhere(listed_by_length(search(asked, 2), kit), true_words(asked, all_done(kit, 2)), 2)


def test_slices_of_a_large_cube_are_found(cube5: Puzzle) -> None:
    kit = cube_kit(cube5, "stm", faces="R", blocks={"R": "2R M 4R 2-3R 2-4R 3-4R"})
    asked = ask("same as @x", cube5, "R", slices=True, metric="stm", others={"x": "2R M'"})
    found = search(asked, 3)
    same_everywhere(listed_by_length(found, kit, "stm"), true_words(asked, all_done(kit, 3)), 3)
    assert found.shortest == 1  # by hand: M' turns the middle layer as R does, so that this is 2-3R
