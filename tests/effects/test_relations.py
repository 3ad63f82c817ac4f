"""Relations found by looking up, against brute force over every pair, all 48 symmetries and all layers."""

from __future__ import annotations

from itertools import permutations, product

import pytest

from sitegen.effects.claims import KINDS as CLAIMS
from sitegen.effects.relations import (
    MOST_LISTED,
    WORDS,
    HowRelated,
    RelationGroup,
    changes,
    relations,
    say_how,
    turning_text,
)
from sitegen.puzzles import catalogue

FAMILY = {
    "first": "R U R' U'",
    "back": "U R U' R'",
    "left": "L' U' L U",
    "front": "F U F' U'",
    "front-of-left": "F R F' R'",
    "lifted": "D2 R U R' U' D",
    "led-in": "M R U R' U' M'",
    "twice": "(R U R' U')2",
    "five": "(R U R' U')5",
    "four": "(R U R' U')4",
    "lift": "F D' U L2 U2 D2 R U",
    "lift-from-right": "R D' U F2 U2 D2 B U",
    "lift-left": "F' D U' R2 U2 D2 L' U'",
    "turned-over": "x2 y F D' U L2 U2 D2 R U y' x2",
    "through-the-middle": "B' U D' R2 D2 U2 L' D'",
    "top": "U",
    "top-half": "U2",
    "right": "R",
    "long": "R U2 F' L D2 B",
    "long-back": "B' D2 L' F U2 R'",
    "long-then": "R U2 F' L D2 B F",
    "long-swung": "R' B L2 U D' F2",
    "long-seventh": "(R U2 F' L D2 B)7",
    "long-through": "L' D2 B R' U2 F'",
    "slice": "M",
    "both-sides": "R L'",
    "both-sides-back": "L R'",
    "held-otherwise": "y M",
    "nothing": "R R'",
    "nothing-either": "U2 U2",
    "again": "R U R' U' D D'",
}


@pytest.fixture(scope="module")
def effects(cube3, turned):
    return {name: turned(moves, cube3) for name, moves in FAMILY.items()}


@pytest.fixture(scope="module")
def found(effects, cube3):
    return relations(effects, cube3)


def kinds(found: dict[str, tuple[RelationGroup, ...]]) -> dict[tuple[str, str], str]:
    return {
        (name, relation.name): group.kind
        for name, groups in found.items()
        for group in groups
        for relation in group.listed
    }


# Brute force ----------------------------------------------------------------------------------------------


def signed_matrices():
    """The 48 ways to permute the three axes of space and to reverse some: determinant, trace and matrix."""
    for order in permutations(range(3)):
        for signs in product((1, -1), repeat=3):
            matrix = [[signs[row] * (order[row] == column) for column in range(3)] for row in range(3)]
            swaps = sum(order[a] > order[b] for a in range(3) for b in range(a + 1, 3))
            determinant = (-1) ** swaps * signs[0] * signs[1] * signs[2]
            yield determinant, sum(matrix[i][i] for i in range(3)), matrix


def moved(matrix, cube) -> list[int]:
    """Where a matrix takes each slot: the nearest centre of a sticker to where it takes its own."""
    centres = [sticker.centre for sticker in cube.stickers]
    images = []
    for centre in centres:
        point = [sum(m * c for m, c in zip(row, centre, strict=True)) for row in matrix]
        images.append(
            min(range(54), key=lambda s: sum((a - b) ** 2 for a, b in zip(point, centres[s], strict=True)))
        )
    return images


@pytest.fixture(scope="module")
def symmetries(cube3) -> dict[str, list[list[int]]]:
    sorts: dict[str, list[list[int]]] = {"plane": [], "turning": [], "both": []}
    for determinant, trace, matrix in signed_matrices():
        sort = "turning" if determinant > 0 else "plane" if trace == 1 else "both"
        sorts[sort].append(moved(matrix, cube3))
    assert {sort: len(members) for sort, members in sorts.items()} == {"plane": 9, "turning": 24, "both": 15}
    return sorts


def carried(p: list[int], s: list[int]) -> list[int]:
    """What p does in slot i, done in slot s[i]."""
    result = [0] * 54
    for slot in range(54):
        result[s[slot]] = s[p[slot]]
    return result


def powers(p: list[int]) -> list[list[int]]:
    """The second, third … power, up to the one that does nothing."""
    found, at = [], p
    while at != list(range(54)):
        at = [p[slot] for slot in at]
        found.append(at)
    return found


def kind_by_brute_force(p: list[int], q: list[int], symmetries, layers) -> str:
    """What p is to q: every possibility tried, the nearest first."""
    idle = list(range(54))
    if p == q:
        return "nothing" if p == idle else "same"
    if idle in (p, q):
        return ""
    tries = {
        "undoes": ([p[slot] for slot in q] == idle for _ in [0]),
        "ending": ([s[slot] for slot in q] == p for s in symmetries["turning"]),
        "mirror": (carried(q, s) == p for s in symmetries["plane"]),
        "turned": (carried(q, s) == p for s in symmetries["turning"]),
        "mirror turned": (carried(q, s) == p for s in symmetries["both"]),
        "layer": (
            [b[q[a[slot]]] for slot in range(54)] == p for layer in layers for a in layer for b in layer
        ),
        "repeats": (power == p for power in powers(q)),
        "repeated": (power == q for power in powers(p)),
    }
    return next((kind for kind, found in tries.items() if any(found)), "")


def test_every_pair_is_related_as_brute_force_over_all_symmetries_and_layers_says(
    found, effects, symmetries, cube3, turned
) -> None:
    plain = {name: list(effect[:54]) for name, effect in effects.items()}
    layers = [[list(turned(f"({layer}){count}", cube3)[:54]) for count in range(4)] for layer in "UDFBLRMES"]
    expected = {
        (a, b): kind
        for a, b in permutations(plain, 2)
        if (kind := kind_by_brute_force(plain[a], plain[b], symmetries, layers))
    }
    assert kinds(found) == expected
    assert set(expected.values()) == set(WORDS)  # the family has a pair for each kind


def test_each_way_makes_the_one_effect_of_the_other_when_it_is_gone(found, cube3, turned) -> None:
    """The way is written out in moves; a mirror is read as it is defined, by the faces it exchanges."""
    gone = 0
    for name, groups in found.items():
        for group in groups:
            for relation in group.listed:
                way, other = relation.way, FAMILY[relation.name]
                effect = list(turned(other, cube3)[:54])
                if way.mirror != ("", ""):
                    effect = carried(effect, plane_between(*way.mirror, cube3))
                if way.kind == "ending":
                    ending = say_how(way, cube3).removeprefix("with ").removesuffix(" at the end")
                    effect = list(turned(f"{other} {ending}", cube3)[:54])
                elif way.turning:
                    turning = turned(turning_text(way.turning, cube3), cube3)
                    effect = carried(effect, list(turning[:54]))
                if way.kind == "layer":
                    words = say_how(way, cube3).removeprefix("with ").split(" and ")
                    before = " ".join(w.removesuffix(" before") for w in words if w.endswith("before"))
                    after = " ".join(w.removesuffix(" after") for w in words if w.endswith("after"))
                    effect = list(turned(f"{before} {other} {after}", cube3)[:54])
                count = abs(way.times)
                mine, theirs = FAMILY[name], other
                if way.kind == "repeated":
                    mine, theirs = other, FAMILY[name]
                if way.kind in ("repeats", "repeated"):
                    again = turned(f"({theirs}){count}{chr(39) if way.times < 0 else ''}", cube3)
                    assert again == turned(mine, cube3)
                elif way.kind == "undoes":
                    assert turned(f"{FAMILY[name]} {other}", cube3) == cube3.identity
                else:
                    assert effect == list(turned(FAMILY[name], cube3)[:54]), (name, relation)
                gone += 1
    assert gone > len(FAMILY)


def plane_between(a: str, b: str, cube) -> list[int]:
    """The reflection that exchanges two faces, from the axes of DESIGN: x right, y up, z to the reader."""
    point = {
        "U": (0, 1, 0),
        "D": (0, -1, 0),
        "F": (0, 0, 1),
        "B": (0, 0, -1),
        "R": (1, 0, 0),
        "L": (-1, 0, 0),
    }
    normal = [x - y for x, y in zip(point[a], point[b], strict=True)]
    length = sum(n * n for n in normal)
    matrix = [[(i == j) - 2 * normal[i] * normal[j] / length for j in range(3)] for i in range(3)]
    return moved(matrix, cube)


# By hand --------------------------------------------------------------------------------------------------


def told(found, name: str, other: str, cube) -> str:
    (relation,) = [r for group in found[name] for r in group.listed if r.name == other]
    return f"{relation.way.kind}: {say_how(relation.way, cube)}"


@pytest.mark.parametrize(
    ("name", "other", "words"),
    [
        (
            "left",
            "first",
            "mirror: seen in a mirror between L and R",
        ),  # left and right exchanged, all reversed
        ("right", "top", "turned: turned by z"),  # z takes the upper layer to the right
        ("top", "right", "turned: turned by z'"),
        ("front", "first", "turned: turned by y"),  # clockwise seen from above, R comes to F
        ("lifted", "first", "layer: with D2 before and D after"),
        ("led-in", "first", "layer: with M before and M' after"),
        ("long-then", "long", "layer: with F after"),
        ("top-half", "top", "layer: with U after"),
        ("twice", "first", "repeats: done twice"),
        ("first", "twice", "repeated: done twice"),
        ("four", "first", "repeats: undone twice"),  # of order 6, so that four times is twice undone
        ("five", "first", "undoes: "),
        ("again", "first", "same: "),
        ("both-sides", "slice", "ending: with x at the end"),  # M follows L (WCA 2009, 12a13)
        ("slice", "both-sides", "ending: with x' at the end"),
        ("nothing", "nothing-either", "nothing: "),
    ],
)
def test_a_relation_worked_out_by_hand_is_said_in_words(found, cube3, name, other, words) -> None:
    assert told(found, name, other, cube3) == words


def test_doing_nothing_is_related_to_nothing_else(found) -> None:
    assert [(group.kind, group.count) for group in found["nothing"]] == [("nothing", 1)]
    assert not [pair for pair in kinds(found) if "nothing" in pair and "nothing-either" not in pair]


def test_a_relation_is_told_from_both_sides(found) -> None:
    pairs = kinds(found)
    turn = {"repeats": {"repeats", "repeated"}, "repeated": {"repeats"}}
    assert all(pairs[b, a] in turn.get(kind, {kind}) for (a, b), kind in pairs.items())


def test_of_a_large_group_the_first_dozen_is_listed_and_the_rest_is_counted(cube3, turned) -> None:
    right, left = turned("R", cube3), turned("L'", cube3)
    many = {f"r{i}": right for i in range(300)} | {"left": left, "half": turned("R2", cube3)}
    found = relations(many, cube3)
    same, mirror, layer = found["r7"]
    assert (same.kind, same.count, len(same.listed)) == ("same", 299, MOST_LISTED)
    assert [relation.name for relation in same.listed[:8]] == [*(f"r{i}" for i in range(7)), "r8"]
    assert (mirror.kind, mirror.count, layer.kind, layer.count) == ("mirror", 1, "layer", 1)
    (images,) = found["left"]
    assert (images.kind, images.count) == ("mirror", 300)
    assert [relation.name for relation in images.listed] == [f"r{i}" for i in range(MOST_LISTED)]


def test_only_so_many_powers_are_looked_up_the_lowest_first(cube3, turned, monkeypatch) -> None:
    effects = {"it": turned("R U", cube3)} | {f"x{k}": turned(f"(R U){k}", cube3) for k in (2, 5, 6)}
    # Four sequences and 40 powers: up to the fifth of each, done and undone.
    monkeypatch.setattr("sitegen.effects.relations.MOST_POWERS", 40)
    found = relations(effects, cube3)
    assert {r.name for group in found["it"] for r in group.listed} == {"x2", "x5"}
    monkeypatch.undo()
    whole = relations(effects, cube3)
    assert {r.name for group in whole["it"] for r in group.listed} == {"x2", "x5", "x6"}


def test_sequences_stand_in_the_order_in_which_they_were_given(cube3, turned) -> None:
    names = ["c", "a", "b"]
    found = relations({name: turned("R U", cube3) for name in names}, cube3)
    assert [r.name for r in found["b"][0].listed] == ["c", "a"]
    assert [r.name for r in found["c"][0].listed] == ["a", "b"]


def test_a_mirror_and_a_turning_are_both_named_where_neither_does_it_alone(symmetries, cube3, turned) -> None:
    """Through the middle of a cube every turn becomes the opposite one, the other way: R' of L, and so on."""
    found = relations(
        {"it": turned(FAMILY["long"], cube3), "through": turned("L' D2 B R' U2 F'", cube3)}, cube3
    )
    (group,) = found["through"]
    way = group.listed[0].way
    assert group.kind == "mirror turned"
    assert way.turning is not None
    assert say_how(way, cube3).startswith("seen in a mirror between ")
    # Half a turn about the line across a mirror takes what it shows through the middle.
    across = {("U", "D"): "y2", ("F", "B"): "z2", ("L", "R"): "x2", ("R", "L"): "x2"}
    assert say_how(way, cube3).endswith(f", then turned by {across[way.mirror]}")


@pytest.mark.parametrize("name", ["cube-2", "cube-4", "cube-7"])
def test_other_cubes_have_the_same_relations_also_where_permutations_are_tuples(name: str, turned) -> None:
    cube = catalogue.puzzle(name)
    moves = {
        "a": "R U2 F",
        "mirror": "L' U2 F'",
        "back": "F' U2 R'",
        "turned": "F U2 L",
        "thrice": "(R U2 F)3",
    }
    if name == "cube-7":
        moves["inner"] = "3R R U2 F 3R2"
    pairs = kinds(relations({key: turned(text, cube) for key, text in moves.items()}, cube))
    expected = {"mirror": "mirror", "back": "undoes", "turned": "turned", "thrice": "repeats"}
    if name == "cube-7":
        expected["inner"] = "layer"
    assert {key: kind for (key, other), kind in pairs.items() if other == "a"} == expected


def test_the_changes_are_all_symmetries_but_one_and_all_pairs_of_turns_of_each_layer(cube3) -> None:
    # 23 ways to turn the cube at the end; 48 symmetries of it; 9 layers, each turned 0 to 3 times before and
    # after, but not neither.
    assert len(changes(cube3)) == 23 + 47 + 9 * (4 * 4 - 1)
    assert len({(change.before, change.after) for change in changes(cube3)}) == len(changes(cube3))


@pytest.mark.parametrize("text", ["R U R' U'", "F D' U L2 U2 D2 R U", "R U2 F' L D2 B"])
def test_a_relation_that_is_found_is_true_as_a_claim(fault, found, effects, cube3, text: str) -> None:
    assert {"same as", "undoes", "mirrors"} <= set(CLAIMS)
    (name,) = [name for name, moves in FAMILY.items() if moves == text]
    claim = {"same": "same as", "undoes": "undoes", "mirror": "mirrors"}
    for group in found[name]:
        for relation in group.listed:
            if group.kind in claim and relation.way.turning is None:
                words = f"{claim[group.kind]} @{relation.name}"
                assert fault(words, text, **{relation.name.replace("-", "_"): FAMILY[relation.name]}) == ""


def test_a_turning_that_no_turns_are_known_for_is_told_by_where_it_takes_faces(cube3, monkeypatch) -> None:
    rotation = next(r for r in cube3.rotations if turning_text(r, cube3) == "x")
    monkeypatch.setattr("sitegen.effects.relations.holds", lambda puzzle: {})
    # x turns as R does: up goes to the back, and the front up.
    assert say_how(HowRelated("turned", turning=rotation), cube3) == "turned so that U comes to B and F to U"
    both = HowRelated("mirror", mirror=("L", "R"), turning=rotation)
    assert (
        say_how(both, cube3)
        == "seen in a mirror between L and R, then turned so that U comes to B and F to U"
    )
