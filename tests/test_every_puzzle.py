"""What the whole tool promises, held against every puzzle that ships, whatever it is cut from."""

from __future__ import annotations

import re
from itertools import combinations, islice, permutations
from pathlib import Path
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sample_guide import write_guide
from sympy.combinatorics import Permutation as SympyPermutation
from sympy.combinatorics import PermutationGroup
from turned_text import does

from sitegen.blocks.applying import two_holds
from sitegen.blocks.practice.variations import Difficulty, set_up, variations
from sitegen.effects.claims import PLACING, Subject, parse_claim, parse_placing
from sitegen.effects.claims.claims_of_effect import claims_of
from sitegen.effects.effect import Effect
from sitegen.effects.laws import broken
from sitegen.effects.relations import MIRROR, SAME, TURNED, relations
from sitegen.methods.tools import Tool
from sitegen.moves.metrics import length, total
from sitegen.moves.notation import layer_names, write, write_all
from sitegen.moves.parse import parse
from sitegen.moves.turning import expand, held, inverse_turns, mirror, permutation_of
from sitegen.problems import written
from sitegen.puzzles import catalogue
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Puzzle, Turn
from sitegen.reports.effect_report import effect_data
from sitegen.search.find import Found, find
from sitegen.search.query import query
from sitegen.search.turns import Allowed, turns
from sitegen.site.publish import publish

NAMES = catalogue.names()
EVERY = pytest.mark.parametrize("name", NAMES)


def layer(draw: st.DrawFn, puzzle: Puzzle) -> Turn:
    """A layer that has a name, turned by any amount but a whole turn."""
    turn = draw(st.sampled_from(list(layer_names(puzzle).values())))
    return turn._replace(amount=draw(st.integers(1, puzzle.full_turn - 1)))


@st.composite
def words(draw: st.DrawFn, puzzle: Puzzle, least: int = 1, most: int = 4) -> tuple[Turn, ...]:
    return tuple(layer(draw, puzzle) for _ in range(draw(st.integers(least, most))))


def short_commutator(puzzle: Puzzle, random: Random) -> tuple[Turn, ...]:
    """A turn and a conjugate of another, of which some change few pieces."""
    layers = list(layer_names(puzzle).values())

    def turn() -> Turn:
        return random.choice(layers)._replace(amount=random.randrange(1, puzzle.full_turn))

    a, b, c = turn(), turn(), turn()
    half = (b, c, *inverse_turns((b,)))
    return (a, *half, *inverse_turns((a,)), *inverse_turns(half))


# Turning --------------------------------------------------------------------------------------------------


def test_the_puzzles_that_ship_are_those_of_the_design() -> None:
    """DESIGN, section 5."""
    assert set(NAMES) == {*(f"cube-{size}" for size in range(2, 8)), "pyraminx", "skewb", "megaminx"}


@EVERY
def test_every_layer_has_the_order_of_its_angle(name: str) -> None:
    puzzle = catalogue.puzzle(name)
    for turn in layer_names(puzzle).values():
        assert perm.order(puzzle.permutation(turn)) == 360 // puzzle.angle


@EVERY
@settings(max_examples=12)
@given(data=st.data())
def test_what_is_turned_and_undone_is_as_before(name: str, data: st.DataObject) -> None:
    puzzle = catalogue.puzzle(name)
    word = data.draw(words(puzzle))
    there = permutation_of(word, puzzle)
    assert perm.compose(there, permutation_of(inverse_turns(word), puzzle)) == puzzle.identity
    text = write_all(word, puzzle)
    assert does(text, puzzle) == there
    assert does(f"{text} ({text})'", puzzle) == puzzle.identity
    assert does(f"({text}){perm.order(there)}", puzzle) == puzzle.identity


@EVERY
@settings(max_examples=12)
@given(data=st.data())
def test_commutators_and_conjugates_are_what_their_letters_say(name: str, data: st.DataObject) -> None:
    """DESIGN, section 2: [A, B] = A B A' B' and [A: B] = A B A'."""
    puzzle = catalogue.puzzle(name)
    a, b = (data.draw(words(puzzle, 1, 3)) for _ in "ab")
    one, other = write_all(a, puzzle), write_all(b, puzzle)
    undone = [write_all(inverse_turns(word), puzzle) for word in (a, b)]
    assert does(f"[{one}, {other}]", puzzle) == does(f"{one} {other} {undone[0]} {undone[1]}", puzzle)
    assert does(f"[{one}: {other}]", puzzle) == does(f"{one} {other} {undone[0]}", puzzle)
    assert does(f"[{one}, {other}]'", puzzle) == does(f"[{other}, {one}]", puzzle)
    assert perm.order(does(f"[{one}: {other}]", puzzle)) == perm.order(does(other, puzzle))


# Names and what an effect says ----------------------------------------------------------------------------


@EVERY
def test_every_place_and_every_sticker_has_one_name_in_whatever_order_its_letters_stand(name: str) -> None:
    puzzle = catalogue.puzzle(name)
    assert len({sticker.name for sticker in puzzle.stickers}) == len(puzzle.stickers)
    assert len({piece.name for piece in puzzle.pieces}) == len(puzzle.pieces)
    for piece in puzzle.pieces:
        faces = [puzzle.stickers[slot].face for slot in piece.stickers]
        for slot, face in zip(piece.stickers, faces, strict=True):
            others = [other for other in faces if other != face]
            for listed in permutations(others):
                called = face + "".join(listed) + piece.suffix
                assert puzzle.slots[called] == slot
                if claim := {2: f"flips {called}", 3: f"twists {called} clockwise"}.get(len(faces)):
                    assert parse_placing(written(claim), puzzle).moved().keys() == {*piece.stickers}
    assert len(set(puzzle.slots.values())) == len(puzzle.stickers)


@EVERY
@settings(max_examples=8)
@given(data=st.data())
def test_the_facts_of_an_effect_are_its_permutation_sticker_by_sticker(
    name: str, data: st.DataObject
) -> None:
    puzzle = catalogue.puzzle(name)
    done = permutation_of(data.draw(words(puzzle)), puzzle)
    stickers = effect_data(Effect(puzzle, done, marked=True))["stickers"]
    moved = [sticker for sticker in puzzle.stickers if done[sticker.index] != sticker.index]
    assert stickers == {s.name: puzzle.stickers[done[s.index]].name for s in moved}
    assert sorted(stickers) == sorted(stickers.values())


# Claims and positions -------------------------------------------------------------------------------------


def short_commutators(puzzle: Puzzle, count: int) -> list[tuple[Turn, ...]]:
    """So many of which all can be claimed, drawn with a seed."""
    random = Random(7)
    drawn = (short_commutator(puzzle, random) for _ in range(4000))
    claimed = (word for word in drawn if claims_of(effect_of(word, puzzle)))
    return list(islice(claimed, count))


def effect_of(word: tuple[Turn, ...], puzzle: Puzzle) -> Effect:
    return Effect(puzzle, permutation_of(word, puzzle))


def position(puzzle: Puzzle, *claims: str) -> Permutation:
    moved = {a: b for claim in claims for a, b in parse_placing(written(claim), puzzle).moved().items()}
    return perm.from_images(moved.get(slot, slot) for slot in range(len(puzzle.stickers)))


def faults(claim: str, word: tuple[Turn, ...], puzzle: Puzzle) -> str:
    case = Subject(Effect(puzzle, permutation_of(word, puzzle)), total(word, puzzle), {})
    return parse_claim(written(claim), puzzle).fault(case)


@EVERY
def test_what_is_claimed_of_a_commutator_is_read_and_holds_and_of_another_does_not(name: str) -> None:
    puzzle = catalogue.puzzle(name)
    drawn = short_commutators(puzzle, 12)
    assert len(drawn) == 12
    told = [claims_of(effect_of(word, puzzle)) for word in drawn]
    for word, claims in zip(drawn, told, strict=True):
        assert {claim: faults(claim, word, puzzle) for claim in claims} == dict.fromkeys(claims, "")
    for (one, claims), (other, others) in combinations(zip(drawn, told, strict=True), 2):
        if claims != others:
            assert any(faults(claim, one, puzzle) for claim in others)
            assert any(faults(claim, other, puzzle) for claim in claims)


@EVERY
def test_what_turning_reaches_breaks_no_law_when_it_is_told_by_claims(name: str) -> None:
    puzzle = catalogue.puzzle(name)
    for word in short_commutators(puzzle, 8):
        effect = effect_of(word, puzzle)
        placing = [claim for claim in claims_of(effect) if claim.split()[0] in PLACING]
        told = position(puzzle, *placing)
        assert told == effect.seen
        assert broken(puzzle, told) == ()


@EVERY
@settings(max_examples=6)
@given(data=st.data())
def test_no_sequence_of_turns_breaks_a_law(name: str, data: st.DataObject) -> None:
    puzzle = catalogue.puzzle(name)
    assert broken(puzzle, permutation_of(data.draw(words(puzzle, 1, 12)), puzzle)) == ()


@pytest.mark.parametrize(
    ("name", "claim"),
    [
        # Common practice.
        ("cube-3", "flips UF"),
        ("cube-3", "twists UFR clockwise"),
        ("cube-3", "swaps UF with UR"),
        ("cube-2", "twists UFR clockwise"),
        # By hand: a turn takes three edges of the pyraminx round, and the sums of their flips stay even.
        ("pyraminx", "flips FR"),
        ("pyraminx", "swaps FR with FL"),
        # Common practice, and held against SymPy below: no sum shows it.
        ("skewb", "twists UFR clockwise"),
        ("skewb", "twists UBR anticlockwise"),
        # By hand: a face of the megaminx takes five edges and five corners round, which is even for both.
        ("megaminx", "flips UF"),
        ("megaminx", "twists UFR clockwise"),
        ("megaminx", "swaps UF with UR"),
        ("megaminx", "swaps UFR with UFL"),
    ],
)
def test_what_no_turning_reaches_breaks_a_law(name: str, claim: str) -> None:
    puzzle = catalogue.puzzle(name)
    assert broken(puzzle, position(puzzle, claim))


@pytest.mark.parametrize("name", ["pyraminx", "skewb"])
def test_lone_twists_are_reached_just_where_a_computer_algebra_library_says_so(name: str) -> None:
    """SymPy's own test of membership, in the group that it makes of the turns of all layers."""
    puzzle = catalogue.puzzle(name)
    size = len(puzzle.stickers)
    turned = [list(puzzle.permutation(turn))[:size] for turn in puzzle.turns()]
    group = PermutationGroup([SympyPermutation(images) for images in turned])
    for piece in puzzle.pieces:
        if len(piece.stickers) == 3:
            twisted = position(puzzle, f"twists {piece.name} clockwise")
            reached = group.contains(SympyPermutation(list(twisted)[:size]))
            assert (broken(puzzle, twisted) == ()) == reached == (name == "pyraminx"), piece.name


@pytest.mark.parametrize(
    ("name", "claims"),
    [
        # The same by pairs. Common practice on cubes; by hand, two odd things are even.
        ("cube-3", ["flips UF and UR"]),
        ("cube-3", ["twists UFR clockwise and UBL anticlockwise"]),
        ("pyraminx", ["flips FR and FL"]),
        ("pyraminx", ["swaps FR with FL", "swaps FD with RD"]),
        # By hand: a tip turns alone. The 933,120 positions without tips (OEIS A309109) are 3^4 for the pieces
        # under the tips times 2^5 * 6!/2 for the edges: so one of those turns alone as well.
        ("pyraminx", ["twists FRLu clockwise"]),
        ("pyraminx", ["twists FRL clockwise"]),
        ("megaminx", ["flips UF and UR"]),
        ("megaminx", ["twists UFR clockwise and UFL anticlockwise"]),
        ("megaminx", ["cycles UF > UR > UBr"]),
    ],
)
def test_what_turning_reaches_in_pairs_breaks_none(name: str, claims: list[str]) -> None:
    puzzle = catalogue.puzzle(name)
    assert broken(puzzle, position(puzzle, *claims)) == ()


# Symmetries -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "rotations", "mirrors"),
    [
        # Coxeter, Regular Polytopes: rotations and planes of symmetry of each solid. The cuts of the skewb
        # stand across all four diagonals of the cube, and so have the cube's own symmetries.
        *((f"cube-{size}", 24, 9) for size in range(2, 8)),
        ("skewb", 24, 9),
        ("pyraminx", 12, 6),
        ("megaminx", 60, 15),
    ],
)
def test_a_puzzle_has_the_symmetries_of_its_solid(name: str, rotations: int, mirrors: int) -> None:
    puzzle = catalogue.puzzle(name)
    assert (len(puzzle.rotations), len(puzzle.mirrors)) == (rotations, mirrors)
    assert len(set(puzzle.symmetries)) == 2 * rotations


def conjugated(effect: Permutation, symmetry: Permutation) -> Permutation:
    """What an effect is in the places to which a symmetry takes its own."""
    return perm.compose(perm.compose(perm.inverse(symmetry), effect), symmetry)


@EVERY
@settings(max_examples=12)
@given(data=st.data())
def test_turns_in_a_mirror_and_held_otherwise_do_what_the_symmetry_makes_of_them(
    name: str, data: st.DataObject
) -> None:
    puzzle = catalogue.puzzle(name)
    word = data.draw(words(puzzle))
    done = permutation_of(word, puzzle)
    plane = data.draw(st.sampled_from(list(puzzle.mirrors.values())))
    hold = data.draw(st.sampled_from(puzzle.rotations))
    assert permutation_of(mirror(word, puzzle, plane), puzzle) == conjugated(done, plane)
    assert permutation_of(held(word, puzzle, hold), puzzle) == conjugated(done, perm.inverse(hold))
    # A turning of the whole puzzle that can be written is turned, and turned back.
    whole = Turn(next(iter(puzzle.axes)), 1, puzzle.layer_count, 1)
    text = f"[{write(whole, puzzle)}: {write_all(word, puzzle)}]"
    assert does(text, puzzle) == permutation_of(held(word, puzzle, puzzle.permutation(whole)), puzzle)


@EVERY
def test_mirror_images_and_turned_sequences_are_found_by_the_solids_own_symmetries(name: str) -> None:
    puzzle = catalogue.puzzle(name)
    random = Random(3)
    word = tuple(random.choice(list(layer_names(puzzle).values())) for _ in range(5))
    done = permutation_of(word, puzzle)
    for kind, symmetries in ((MIRROR, list(puzzle.mirrors.values())), (TURNED, puzzle.rotations[1:])):
        for symmetry in random.sample(list(symmetries), 3):
            image = conjugated(done, symmetry)
            assert image != done
            (group,) = relations({"a": done, "b": image}, puzzle)["b"]
            assert (group.kind, [relation.name for relation in group.listed]) == (kind, ["a"])
    (same,) = relations({"a": done, "b": done}, puzzle)["b"]
    assert same.kind == SAME


# The bench ------------------------------------------------------------------------------------------------


@EVERY
def test_a_short_sequence_is_found_again_by_what_is_claimed_of_it(name: str) -> None:
    """One of the turns that the axes are called by, and two of them, by some of what they do."""
    puzzle, (first, second) = (
        catalogue.puzzle(name),
        commutator_of(catalogue.puzzle(name)).strip("[]").split(", "),
    )
    allowed = turns(puzzle, Allowed(), "obtm")
    for text in (first, f"{first}' {second}"):
        done = does(text, puzzle)
        claims = some_claims(Effect(puzzle, done))
        parsed = [(written(claim), parse_claim(written(claim), puzzle)) for claim in claims]
        found = Found(most=500)
        find(query(parsed, allowed, {}, written("; ".join(claims))), found, longest=2)
        assert 0 < found.total < 500
        assert done in [answer.effect.permutation for answer in found.answers]
        assert not any(faults(claim, answer.turns, puzzle) for claim in claims for answer in found.answers)


def some_claims(effect: Effect) -> list[str]:
    """What the longest of its cycles do, and each piece that is turned in place."""
    cycles = [f"cycles {' > '.join(path(cycle, effect))}" for cycle in effect.cycles[-3:]]
    twists = [f"twists {twist.piece.name} {twist.sense}" for twist in effect.twists]
    return [*cycles, *twists]


def path(cycle, effect: Effect) -> list[str]:
    """The slots of a cycle, and the one that it closes on."""
    return [effect.name(slot) for slot in (*cycle.slots, cycle.closes)]


def commutator_of(puzzle: Puzzle) -> str:
    """Of two faces, or vertices, that meet."""
    first, *others = puzzle.axes
    second = next(axis for axis in others if axis != puzzle.opposite.get(first))
    return f"[{second}, {first}]"


@EVERY
def test_exercises_made_from_a_commutator_are_true(name: str) -> None:
    puzzle = catalogue.puzzle(name)
    text = commutator_of(puzzle)
    core = tuple(turn for turn in expanded(text, puzzle))
    hold = (Turn(next(iter(puzzle.axes)), 1, puzzle.layer_count, 1),)
    how = Difficulty(turns(puzzle, Allowed(), "obtm"), 2, True, hold)
    made = list(islice(variations([Tool("@a", core)], how, puzzle, Random(5)), 24))
    assert {bool(each.faces) for each in made} == {bool(each.lead) for each in made} == {False, True}
    for each in made:
        in_full = each.text.replace("@a", text)
        assert does(in_full, puzzle) == each.permutation == permutation_of(each.turns, puzzle), each.text
        ahead = permutation_of(set_up(each, [each.tool], Random(1)), puzzle)
        assert perm.compose(ahead, each.permutation) == puzzle.identity


def expanded(text: str, puzzle: Puzzle) -> tuple[Turn, ...]:
    return expand(parse(written(text), puzzle))


@EVERY
def test_a_face_is_one_turn_an_inner_slice_two_and_a_turning_of_the_whole_none(name: str) -> None:
    """WCA 12a5; that an inner slice is two outer blocks follows from it."""
    puzzle = catalogue.puzzle(name)
    size = puzzle.layer_count
    for axis in puzzle.axes:
        long = [(Turn(axis, 1, 1, 1), 1), (Turn(axis, 1, size - 1, 1), 1), (Turn(axis, 1, size, 1), 0)]
        long += [(Turn(axis, n, n, 1), 2) for n in range(2, size)]
        for turn, blocks in long:
            tree = parse(written(write(turn, puzzle)), puzzle)
            assert (length(tree, puzzle).obtm, length(tree, puzzle).etm) == (blocks, 1), turn


# A guide --------------------------------------------------------------------------------------------------


def tiny_guide(puzzle: Puzzle) -> dict[str, str]:
    """A page with a sequence and why it works, and one with exercises, about one puzzle."""
    text, layer_name = commutator_of(puzzle), next(iter(layer_names(puzzle)))
    claim = claims_of(Effect(puzzle, does(text, puzzle)))[-1:] if puzzle.layer_count < 4 else []
    claims = "".join(f"- {each}\n" for each in [*claim, f"order {Effect(puzzle, does(text, puzzle)).order}"])
    first, second = text.strip("[]").split(", ")
    watched = puzzle.pieces[0].name
    page = (
        f"# A beginning\n\n```moves begin\nmoves: {text}\nclaims:\n{claims}view: corner, net\n```\n\n"
        f"```derivation why\nguard: {layer_name}\nwatch: {watched}\nsteps:\n- turn: {first}\n  as: out\n"
        f"- turn: {second}\n  as: aside\n- undo: aside\n- undo: out\n```\n"
    )
    by_pencil = "from: @begin\nfill in: undoing, commutator\ncount: 2\nmirror: yes\n"
    by_hand = "from: @begin\ncount: 2\nmirror: yes\nview: net\n"
    blocks = f"```practice by-pencil\n{by_pencil}```\n\n```practice by-hand\n{by_hand}```\n"
    sheet = f"---\ntitle: Sheet\nkind: exercises\nanswers: published\n---\n\n{blocks}"
    config = f"title: T\npuzzle: {puzzle.name}\n"
    return {"guide.yaml": config, "index.md": page, "sheet.md": sheet}


@EVERY
def test_a_guide_about_it_publishes_with_figures_and_sheets_for_the_copier(name: str, tmp_path: Path) -> None:
    puzzle = catalogue.puzzle(name)
    write_guide(tmp_path / "content", tiny_guide(puzzle))
    publish(tmp_path)
    page, sheet, answers = (
        (tmp_path / "output" / f"{file}.html").read_text(encoding="utf-8")
        for file in ("index", "sheet", "sheet-answers")
    )
    # Two views before and after, and a figure for each of four steps and what was before them.
    assert page.count("<svg") >= 2 * 2 + 4
    assert page.count("<title>") + page.count('aria-hidden="true"><path') >= page.count('class="puzzle"')
    figures = re.findall(r'<svg[^>]*class="puzzle".*?</svg>', sheet + answers, re.DOTALL)
    assert figures
    for figure in figures:
        assert 'class="letters shown"' in figure
        assert 'class="hatches"' in figure


@EVERY
def test_a_hint_at_how_to_hold_a_puzzle_names_what_turns_it_whole(name: str) -> None:
    puzzle = catalogue.puzzle(name)
    wholes = [does(text, puzzle) for text in two_holds(puzzle)]
    assert len(set(wholes)) == 2
    assert all(whole in puzzle.rotations for whole in wholes)
