"""One rule where centres move, or the whole puzzle is turned: what is told is what was truly turned.

So relations are the same from both sides, `same as` sorts sequences into classes, a claim that says more
never holds where one that says less fails, and all that is printed of an effect can be claimed of it.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator
from functools import cache
from itertools import permutations, product

import pytest
from click.testing import CliRunner
from sample_moved_centres import FAMILIES
from sympy.combinatorics import Permutation as SympyPermutation
from turned_text import does

from sitegen.cli import main
from sitegen.effects.claims import Subject, parse_claim
from sitegen.effects.claims.claims_of_effect import claims_of
from sitegen.effects.effect import Effect, holds
from sitegen.effects.likeness import alike
from sitegen.effects.piece_sets import parse_pieces
from sitegen.effects.relations import ENDING, MIRROR, NOTHING, SAME, UNDOES, WORDS, relations
from sitegen.effects.words import say
from sitegen.moves.metrics import Length
from sitegen.moves.notation import layer_names, write_all
from sitegen.moves.turning import permutation_of
from sitegen.problems import written
from sitegen.puzzles import catalogue
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.puzzle import Puzzle
from sitegen.reports.effect_report import effect_data

EVERY_FAMILY = pytest.mark.parametrize(
    ("name", "marked"),
    [(n, marked) for n in FAMILIES for marked in (False, True)[: 1 + bool(alike(catalogue.puzzle(n)))]],
)
"""Each family, where pieces look alike also with these told apart."""
CUBES = ["cube-2", "cube-3", "cube-4", "cube-5"]
MARKED = pytest.mark.parametrize("marked", [False, True], ids=["", "marked"])
CLAIMED = {"same as": SAME, "undoes": UNDOES, "mirrors": MIRROR}


@cache
def effect_of(moves: str, name: str, marked: bool = False) -> Effect:
    puzzle = catalogue.puzzle(name)
    return Effect(puzzle, does(moves, puzzle), marked)


@cache
def case_of(moves: str, name: str, marked: bool = False) -> Subject:
    others = {f"s{i}": does(text, catalogue.puzzle(name)) for i, text in enumerate(FAMILIES[name])}
    return Subject(effect_of(moves, name, marked), Length(), others)


@cache
def holds_of(claim: str, moves: str, name: str, marked: bool = False) -> bool:
    return not read(claim, name).fault(case_of(moves, name, marked))


@cache
def read(claim: str, name: str):
    return parse_claim(written(claim), catalogue.puzzle(name))


@cache
def claimed(kind: str, name: str, marked: bool) -> set[tuple[str, str]]:
    """The pairs of a family of which a relation can be claimed."""
    family = FAMILIES[name]
    return {
        (a, b) for a in family for i, b in enumerate(family) if holds_of(f"{kind} @s{i}", a, name, marked)
    }


# Relations ------------------------------------------------------------------------------------------------


@EVERY_FAMILY
@pytest.mark.parametrize("kind", CLAIMED)
def test_a_relation_is_claimed_from_both_sides_or_from_neither(kind: str, name: str, marked: bool) -> None:
    pairs = claimed(kind, name, marked)
    assert pairs == {(b, a) for a, b in pairs}
    assert any(a != b for a, b in pairs)


@EVERY_FAMILY
def test_same_as_sorts_sequences_into_classes(name: str, marked: bool) -> None:
    pairs = claimed("same as", name, marked)
    classes = {a: frozenset(b for b in FAMILIES[name] if (a, b) in pairs) for a in FAMILIES[name]}
    assert all(a in like and {classes[b] for b in like} == {like} for a, like in classes.items())
    assert 1 < len({*classes.values()}) < len(FAMILIES[name])


@EVERY_FAMILY
def test_sequences_that_are_the_same_have_the_same_claims(name: str, marked: bool) -> None:
    puzzle = catalogue.puzzle(name)
    kept = [f"keeps {what}" for what in pieces(puzzle)]
    kept += [f"changes only {what}" for what in pieces(puzzle) if not is_all(what, puzzle)]
    for a, b in claimed("same as", name, marked):
        assert claims_of(effect_of(a, name, marked)) == claims_of(effect_of(b, name, marked))
        for claim in kept:
            assert holds_of(claim, a, name, marked) == holds_of(claim, b, name, marked)


@EVERY_FAMILY
def test_what_is_listed_is_what_can_be_claimed_and_is_listed_from_both_sides(name: str, marked: bool) -> None:
    family = list(dict.fromkeys(FAMILIES[name]))
    puzzle = catalogue.puzzle(name)
    found = relations({text: does(text, puzzle) for text in family}, puzzle, marked)
    told = {(a, relation.name): group.kind for a in family for group in found[a] for relation in group.listed}
    assert all(group.count <= len(group.listed) for groups in found.values() for group in groups)
    turn = {"repeats": {"repeats", "repeated"}, "repeated": {"repeats"}}
    assert all(told[b, a] in turn.get(kind, {kind}) for (a, b), kind in told.items())
    idle = {a for a in family if holds_of("does nothing", a, name, marked)}
    for a, b in permutations(family, 2):
        if a in idle or b in idle:
            assert told.get((a, b)) == (NOTHING if a in idle and b in idle else None)
            continue
        # The nearest relation is told, and of those that can be claimed it is the first that can be.
        kinds = [kind for words, kind in CLAIMED.items() if (a, b) in claimed(words, name, marked)]
        nearest = told.get((a, b), "")
        if nearest in CLAIMED.values():
            assert nearest == kinds[0]
        elif kinds:
            assert nearest == ENDING
            assert list(WORDS).index(ENDING) < list(WORDS).index(kinds[0])
        near = but_for_an_ending(a, b, name, marked)
        assert near or nearest != ENDING
        assert not near or nearest in (SAME, UNDOES, ENDING)


def but_for_an_ending(a: str, b: str, name: str, marked: bool) -> bool:
    """Whether some turning of the whole puzzle at its end makes of the one what the other is."""
    return effect_of(a, name, marked).appearance in turned_whole(b, name, marked)


@cache
def turned_whole(moves: str, name: str, marked: bool) -> frozenset[perm.Permutation]:
    """Each way it looks after some moves and a turning of the whole puzzle."""
    puzzle = catalogue.puzzle(name)
    there = (perm.compose(does(moves, puzzle), whole) for whole in holds(puzzle))
    return frozenset(Effect(puzzle, each, marked).appearance for each in there)


# An independent model: points with whole-number coordinates, turned; SymPy composes -----------------------

QUARTER: dict[str, Callable[[int, int, int], tuple[int, int, int]]] = {
    "R": lambda x, y, z: (x, z, -y),
    "U": lambda x, y, z: (-z, y, x),
    "F": lambda x, y, z: (y, -x, z),
}
"""Clockwise seen from the face, in right-up-front coordinates."""
SIGN = {"R": (0, 1), "L": (0, -1), "U": (1, 1), "D": (1, -1), "F": (2, 1), "B": (2, -1)}
SAME_LINE = {"L": "R", "D": "U", "B": "F"}
ROTATION, SLICE = {"x": "R", "y": "U", "z": "F"}, {"M": "L", "E": "D", "S": "F"}
TOKEN = re.compile(r"(?:(\d)-)?(\d)?([A-Zxyz])(w?)(2?)('?)")


class Points:
    """The stickers of a cube as points: twice their coordinates, a face being `size` from the middle."""

    def __init__(self, size: int) -> None:
        self.size = size
        steps = range(1 - size, size, 2)
        faces = [(axis, side) for axis in range(3) for side in (-size, size)]
        self.points = [self.point(axis, side, a, b) for axis, side in faces for a in steps for b in steps]
        self.at = {point: number for number, point in enumerate(self.points)}
        self.colours = [next((i, c > 0) for i, c in enumerate(p) if abs(c) == size) for p in self.points]

    def point(self, axis: int, side: int, a: int, b: int) -> tuple[int, int, int]:
        rest = iter((a, b))
        x, y, z = (side if i == axis else next(rest) for i in range(3))
        return x, y, z

    def turn(self, text: str) -> SympyPermutation:
        low, high, name, wide, two, back = TOKEN.fullmatch(text).groups()
        face = ROTATION.get(name) or SLICE.get(name) or name
        first, last = 1, int(high or 1)
        if name in ROTATION:
            last = self.size
        elif name in SLICE:
            first = last = (self.size + 1) // 2
        elif wide:
            last = int(high or 2)
        elif high:
            first = int(low or high)
        index, sign = SIGN[face]
        times = (2 if two else 1) * (-1 if back else 1) * (-1 if face in SAME_LINE else 1)
        images = list(range(len(self.points)))
        for number, point in enumerate(self.points):
            # Layer k is the kth from the face; the face's own stickers are of the first.
            depth = min(max((self.size - sign * point[index] + 1) // 2, 1), self.size)
            if first <= depth <= last:
                there = point
                for _ in range(times % 4):
                    there = QUARTER[SAME_LINE.get(face, face)](*there)
                images[number] = self.at[there]
        return SympyPermutation(images)

    def moves(self, text: str) -> SympyPermutation:
        """Turns one after another, with one pair of brackets and a number behind it."""
        if found := re.fullmatch(r"(.*?)\((.+)\)(\d)(.*)", text):
            before, inside, times, after = found.groups()
            return self.moves(before) * self.moves(inside) ** int(times) * self.moves(after)
        done = SympyPermutation(len(self.points) - 1)
        for token in text.split():
            done = done * self.turn(token)
        return done

    def mirrors(self) -> Iterator[SympyPermutation]:
        """The nine planes: between two opposite faces, and between two that meet."""
        for order, signs in product(permutations(range(3)), product((1, -1), repeat=3)):
            square = all(order[order[i]] == i and signs[order[i]] == signs[i] for i in range(3))
            trace = sum(signs[i] for i in range(3) if order[i] == i)
            if square and trace == 1 and (order != (0, 1, 2) or signs.count(-1) == 1):
                images = [self.at[tuple(signs[i] * p[order[i]] for i in range(3))] for p in self.points]
                yield SympyPermutation(images)

    def look(self, done: SympyPermutation, marked: bool) -> tuple[object, ...]:
        """What stands in each place afterwards: a colour, or which sticker it is."""
        came = done**-1
        return tuple((came(i) if marked else self.colours[came(i)]) for i in range(len(self.points)))


@pytest.mark.parametrize("name", CUBES)
@MARKED
def test_relations_of_cubes_are_those_of_points_turned_by_a_computer_algebra_system(
    name: str, marked: bool
) -> None:
    cube = Points(int(name[-1]))
    family = list(dict.fromkeys(FAMILIES[name]))
    done = {text: cube.moves(text) for text in family}
    look = {text: cube.look(p, marked) for text, p in done.items()}
    back = {text: cube.look(p**-1, marked) for text, p in done.items()}
    planes = list(cube.mirrors())
    assert len(planes) == 9
    seen = {text: {cube.look(m * p * m, marked) for m in planes} for text, p in done.items()}
    for a, b in product(family, family):
        assert ((a, b) in claimed("same as", name, marked)) == (look[a] == look[b])
        undoes = look[a] == back[b] and look[b] == back[a]
        assert ((a, b) in claimed("undoes", name, marked)) == undoes
        assert ((a, b) in claimed("mirrors", name, marked)) == (look[a] in seen[b])


@pytest.mark.parametrize("name", CUBES)
def test_how_often_a_sequence_is_done_until_all_is_home_is_the_order_of_points_turned(name: str) -> None:
    cube = Points(int(name[-1]))
    for text in FAMILIES[name]:
        assert effect_of(text, name, marked=True).order == cube.moves(text).order()


@pytest.mark.parametrize(
    ("moves", "name", "kept"),
    [  # By hand: a turning of the whole cube about a line keeps the two middles that the line goes through.
        *[(whole, f"cube-{size}", "") for whole in ("x", "y", "z") for size in (3, 5)],
        ("M", "cube-3", ""),
        ("M x", "cube-3", "centres"),
        ("R L'", "cube-3", "centres"),
        ("Rw", "cube-3", ""),
        ("M M'", "cube-5", "centres"),
        ("R", "cube-5", "centres"),
    ],
)
def test_centres_are_kept_where_they_are_in_their_places_in_space(moves: str, name: str, kept: str) -> None:
    assert holds_of("keeps centres", moves, name) == bool(kept)


# What says more, and what says less -----------------------------------------------------------------------


def pieces(puzzle: Puzzle) -> list[str]:
    """Pieces by names that claims know: layers, kinds, and all."""
    return [*layer_names(puzzle), *puzzle.kinds, "all"]


@EVERY_FAMILY
def test_what_is_said_of_several_pieces_is_what_is_said_of_each(name: str, marked: bool) -> None:
    puzzle = catalogue.puzzle(name)
    kinds = list(puzzle.kinds)
    for moves in FAMILIES[name]:
        kept = {kind: holds_of(f"keeps {kind}", moves, name, marked) for kind in kinds}
        for a, b in permutations(kinds, 2):
            if puzzle.kinds[a] <= puzzle.kinds[b] or puzzle.kinds[b] <= puzzle.kinds[a]:
                continue  # of the one nothing is said that is not said of the other
            assert holds_of(f"keeps {a} and {b}", moves, name, marked) == (kept[a] and kept[b])
            if not is_all(f"{a} and {b}", puzzle):
                changed = [holds_of(f"changes only {kind}", moves, name, marked) for kind in (a, b)]
                assert holds_of(f"changes only {a} and {b}", moves, name, marked) or not any(changed)
        for layer in layer_names(puzzle):
            of_all = holds_of(f"keeps {layer}", moves, name, marked)
            each = [
                p.index in {q.index for q in effect_of(moves, name, marked).changed}
                for p in of(layer, puzzle)
            ]
            assert of_all == (not any(each))


def is_all(pieces: str, puzzle: Puzzle) -> bool:
    """Whether nothing else is left that could be kept."""
    return len(parse_pieces(written(pieces), puzzle)) == len(puzzle.pieces)


def of(layer: str, puzzle: Puzzle):
    inside = puzzle.pieces_in(layer_names(puzzle)[layer])
    return [piece for piece in puzzle.pieces if piece.index in inside]


@EVERY_FAMILY
def test_what_does_nothing_keeps_everything_and_nothing_else_does(name: str, marked: bool) -> None:
    puzzle = catalogue.puzzle(name)
    idle = {moves for moves in FAMILIES[name] if holds_of("does nothing", moves, name, marked)}
    assert idle
    for moves in FAMILIES[name]:
        everything = [f"keeps {what}" for what in pieces(puzzle)]
        same = [holds_of(f"same as @s{FAMILIES[name].index(other)}", moves, name, marked) for other in idle]
        assert set(same) == {moves in idle}
        assert (moves in idle) == all(holds_of(claim, moves, name, marked) for claim in everything)
        assert (moves in idle) == holds_of("keeps all", moves, name, marked)
        assert moves not in idle or holds_of("order 1", moves, name, marked)


# What is printed is what can be claimed -------------------------------------------------------------------


def as_claims(told: dict, puzzle: Puzzle) -> list[str]:
    """What is printed of an effect, as an author would claim it."""
    claims = [f"keeps {what}" for what in told["keeps"]]
    claims += [f"cycles {' > '.join(cycle)}" for cycle in told["cycles"]]
    claims += [f"swaps {a} with {b}" for a, b in (c for c in told["cycles"] if len(c) == 2)]
    claims += [f"flips {name}" for name in told["flips"]]
    claims += [f"twists {name} {sense}" for name, sense in told["twists"].items() if sense != "in place"]
    return claims + ([f"order {told['order']}"] if "order" in told else [])


@pytest.mark.parametrize("name", catalogue.names())
@MARKED
def test_what_effect_prints_holds_when_it_is_claimed_of_the_same_moves(name: str, marked: bool) -> None:
    puzzle = catalogue.puzzle(name)
    if marked and not alike(puzzle):
        return
    family = dict.fromkeys([*FAMILIES.get(name, FAMILIES["cube-4"]), *layer_names(puzzle)])
    lines = "\n".join(family)
    printed = CliRunner().invoke(
        main, ["effect", "--json", "--puzzle", name, *["--marked"] * marked, "-"], input=lines
    )
    assert printed.exit_code == 0, printed.output
    objects = [json.loads(line) for line in printed.stdout.splitlines()]
    assert [each["moves"] for each in objects] == list(family)
    for told in objects:
        whole = {told["moves"]: told}
        if "centres home" in told:
            back = told["centres home"]
            whole[f"{told['moves']} {back['turned']}"] = back
        for moves, each in whole.items():
            case = Subject(effect_of(moves, name, marked), Length(), {})
            claims = [*as_claims(each, puzzle), *claims_of(case.effect)]
            assert {c: parse_claim(written(c), puzzle).fault(case) for c in claims} == dict.fromkeys(
                claims, ""
            )


@EVERY_FAMILY
def test_changes_only_names_what_changes_and_no_more(name: str, marked: bool) -> None:
    """Else it would hold and say too little: the letter of a centre is mostly that of a layer too."""
    puzzle, told = catalogue.puzzle(name), 0
    for moves in FAMILIES[name]:
        effect = effect_of(moves, name, marked)
        for claim in claims_of(effect):
            if claim.startswith("changes only "):
                changed = parse_pieces(written(claim.removeprefix("changes only ")), puzzle)
                assert changed == {piece.index for piece in effect.changed}
                told += 1
    assert told


def test_the_words_say_what_brings_the_centres_home_and_what_comes_of_it() -> None:
    # By hand: M follows L (WCA 2009, 12a13), and x brings U back up; then R and L have turned.
    told = CliRunner().invoke(main, ["effect", "M"]).stdout.splitlines()
    at = told.index("  centres   moved; x at the end brings them home")
    assert told[at + 1] == "            Then: " + say(effect_of("R L'", "cube-3"))
    assert not any("centres   moved" in line for line in told[at + 1 :])
    assert "  centres" not in CliRunner().invoke(main, ["effect", "M x"]).stdout


def test_the_words_say_what_is_kept_as_the_data_do() -> None:
    for moves in ("x", "M", "Rw x'", "R"):
        told = CliRunner().invoke(main, ["effect", moves]).stdout
        kept = re.search(r"(?m)^  keeps     (.+)$", told)
        assert kept
        assert kept.group(1) == (
            ", ".join(effect_data(effect_of(moves, "cube-3"))["keeps"]) or "no whole layer"
        )


# Turnings of the whole puzzle -----------------------------------------------------------------------------


@pytest.mark.parametrize("name", catalogue.names())
def test_every_turning_of_the_whole_puzzle_can_be_written_and_read(name: str) -> None:
    puzzle = catalogue.puzzle(name)
    for whole, turns in holds(puzzle).items():
        assert permutation_of(turns, puzzle) == whole == does(write_all(turns, puzzle), puzzle)
