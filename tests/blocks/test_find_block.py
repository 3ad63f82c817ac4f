"""The block `find`: what it finds, how it may be written, and every mistake in it shown where it stands."""

from __future__ import annotations

from collections.abc import Callable

import pytest

import sitegen.blocks.find_block as find_block
from sitegen.blocks.find_block import Ways
from sitegen.puzzles.puzzle import Turn
from sitegen.site.publish import publish

LIFT = "F D' U L2 U2 D2 R U"
"""Made by hand: it flips UF and keeps the rest of U; U and D' may change places."""
FLIP = "claims:\n- flips UF\n- keeps U except UF"
QUARTER = "cycles UF > UL > UB > UR"
"""By hand: what U does to the edges of its layer, and no other turn."""


def block(body: str, name: str = "f") -> str:
    return f"```find {name}\n{body}\n```\n"


@pytest.fixture
def ways(checked) -> Callable[..., Ways]:
    """What a block has found; its guide has no problems."""
    return lambda body, more="", front="", **pages: checked(index=front + block(body) + more, **pages)


@pytest.fixture
def listed(ways) -> Callable[..., list[str]]:
    """The moves that a block has found."""
    return lambda *args, **more: [way.sequence.moves for way in ways(*args, **more).ways]


@pytest.fixture
def found(mistakes) -> Callable[..., list[tuple[int, int, str, str]]]:
    return lambda body, more="", **pages: mistakes(index=block(body) + more, **pages)


# What is found --------------------------------------------------------------------------------------------


def test_the_shortest_sequences_are_found_and_each_does_what_was_asked(ways, cube3, turned) -> None:
    result = ways(f"{FLIP}\nmost: 100")
    moves = [way.sequence.moves for way in result.ways]
    # The one made by hand is among them, with U before D'.
    assert LIFT.replace("D' U", "U D'") in moves
    uf, fu = cube3.slots["UF"], cube3.slots["FU"]
    rest = [s.index for s in cube3.stickers if "U" in s.name and {*s.name} != {*"UF"}]
    for each in moves:
        permutation = turned(each, cube3)
        assert (permutation[uf], permutation[fu]) == (fu, uf)
        assert [permutation[slot] for slot in rest] == rest
    assert {way.sequence.length.obtm for way in result.ways} == {8}  # as long as the one made by hand
    assert result.account == f"{len(moves)} sequences of 8 OBTM; none is shorter."
    assert result.claims == ("flips UF", "keeps U except UF")


@pytest.mark.parametrize(
    "body",
    [
        FLIP,
        "flips UF\nkeeps U except UF",  # a claim a line
        "  flips UF\n\n  keeps U except UF",
        "flips UF; keeps U except UF",
        "claims: flips UF; keeps U except UF",
        "claims:\n- flips UF; keeps U except UF;",
        "# why not\nflips UF\n# both\nkeeps U except UF",
        "claims:\n  flips UF;\n  keeps U except UF",
    ],
)
def test_claims_may_be_written_in_several_ways(ways, body: str) -> None:
    assert ways(body).claims == ("flips UF", "keeps U except UF")


def test_a_few_are_shown_if_nothing_is_said_and_otherwise_as_many_as_are_asked_for(listed) -> None:
    everything = listed(f"{FLIP}\nmost: 100")
    assert len(everything) > 4
    assert listed(FLIP) == everything[:4]
    assert listed(f"{FLIP}\nmost: 1") == everything[:1]


@pytest.mark.parametrize(
    ("body", "moves"),
    [
        # By hand: U does it, and D, which shares no piece with U, may be turned besides.
        (f"claims: {QUARTER}\nfaces: U, D", {"U"}),
        (f"claims: {QUARTER}\nfaces: U and D\nlongest: 2", {"U", "U D", "U D'", "U D2"}),
        # By hand: M follows L, which takes U to F and F to D; WCA 12a6 counts a slice as one.
        ("claims: cycles U > F > D > B\nslices: yes\nmetric: STM", {"M"}),
        ("claims: cycles U > F > D > B\nwide: yes\nslices: no", {"Lw", "Rw'"}),
        ("claims: swaps UF with UB\nmetric: qtm", {"U2"}),
    ],
)
def test_the_turns_are_those_that_the_block_allows(listed, body: str, moves: set[str]) -> None:
    assert {*listed(body)} == moves


def test_lengths_are_counted_in_the_metric_that_is_asked_for(ways) -> None:
    # WCA 12a5 and 12a6: U2 is one outer block turn, and two quarter turns.
    assert ways("claims: swaps UF with UB\nmetric: QTM").account.startswith("1 sequence of 2 QTM;")
    assert ways("claims: swaps UF with UB").account.startswith("1 sequence of 1 OBTM;")


def test_the_puzzle_is_that_of_the_page(listed, ways) -> None:
    for puzzle in ("cube-2", "cube-4"):
        front = f"---\npuzzle: {puzzle}\n---\n"
        assert listed("cycles UFR > UFL > UBL > UBR", front=front) == ["U"]  # by hand
        assert ways("cycles UFR > UFL > UBL > UBR", front=front).puzzle.name == puzzle


def test_each_way_is_shown_with_turns_of_the_layer_that_is_named(ways, cube3) -> None:
    # REFERENCES, common practice: [A, T] flips UF and the edge that T brings to its place.
    for way in ways(f"{FLIP}\nthen: U").ways:
        flips = {each.turn: [piece.name for piece in each.effect.flips] for each in way.commutators}
        assert flips == {"U": ["UF", "UR"], "U2": ["UF", "UB"], "U'": ["UF", "UL"]}
        assert all(len(each.effect.changed) == 2 for each in way.commutators)
    assert all(way.commutators == () for way in ways(FLIP).ways)


def test_what_does_it_but_for_how_the_puzzle_is_held_is_not_found(found) -> None:
    # By hand: Dw y does what U does, and no turns of D and Dw alone.
    ((_, _, message, _),) = found(f"claims: {QUARTER}\nfaces: D\nwide: yes")
    assert message == "no sequence of these turns does this, however long"


def test_a_commutator_of_what_moves_the_centres_is_that_of_the_moves(ways, cube3, turned) -> None:
    (way,) = ways("claims: cycles U > F > D > B\nslices: yes\nmetric: STM\nthen: U").ways
    by_turning = [turned(f"M {u} M' {back}", cube3) for u, back in (("U", "U'"), ("U2", "U2"), ("U'", "U"))]
    assert [each.effect.permutation for each in way.commutators] == by_turning


@pytest.mark.parametrize(
    ("claim", "moves"),
    [("same as @there", "R U F2"), ("undoes @there", "F2 U' R'"), ("mirrors @there", None)],
)
def test_sequences_of_the_guide_may_be_referred_to(
    ways, cube3, turned, claim: str, moves: str | None
) -> None:
    result = ways(claim, later="```moves there\nR U F2\n```\n")
    assert result.refers_to == ("there",)
    assert len(result.ways) >= 1
    if moves:
        assert [way.sequence.moves for way in result.ways] == [moves]
    else:
        # By hand: seen in the mirror between L and R.
        assert turned("L' U' F2", cube3) in [way.sequence.effect.permutation for way in result.ways]


def test_no_shorter_one_than_a_sequence_of_three_turns_does_the_same(ways, cube3, turned) -> None:
    """Computed here: none of all words of up to two turns of faces does what R U F2 does."""
    turns = [cube3.permutation(Turn(face, 1, 1, amount)) for face in "UDFBLR" for amount in (1, 2, 3)]
    target = turned("R U F2", cube3)
    slots = range(len(cube3.stickers))
    two = [tuple(b[a[slot]] for slot in slots) for a in [cube3.identity, *turns] for b in turns]
    assert tuple(target[slot] for slot in slots) not in two
    result = ways("same as @there", "```moves there\nR U F2\n```\n")
    assert result.account == "1 sequence of 3 OBTM; none is shorter."


def test_the_pieces_that_are_asked_about_are_in_focus_if_nothing_else_is_said(ways) -> None:
    def focus(body: str) -> set[str]:
        (way, *_) = ways(body).ways
        pieces = way.sequence.puzzle.pieces
        return {pieces[index].name for index in way.sequence.shown.focus or ()}

    assert focus("flips UF") == {"UF"}
    # By hand: the layer U has four corners, four edges and a middle.
    assert focus(FLIP) == {"UF", "UR", "UB", "UL", "UFR", "UBR", "UBL", "UFL", "U"}
    assert focus(f"{FLIP}\nfocus: UF and DF") == {"UF", "DF"}
    assert focus("claims: order 4") == set()  # it asks about no piece, and none is muted


def test_a_block_keeps_what_its_author_wrote(ways) -> None:
    result = ways("title: Over it goes\nclaims: flips UF\nview: corner, top\nletters: yes\nsay: Neat.")
    assert (result.title, result.name) == ("Over it goes", "f")
    assert all(way.sequence.shown.views == ("corner", "top") for way in result.ways)
    assert all(way.sequence.shown.letters for way in result.ways)
    assert result.say is not None
    assert ways("flips UF").title == "F"  # its name in plain words


def test_a_block_needs_no_name_and_defines_no_sequence(guide_at) -> None:
    guide = guide_at(index="```find\nflips UF\n```\n\n```find\nflips UF\n```\n")
    assert guide.problems == ()
    assert guide.sequences == {}


def test_semicolons_part_the_claims_of_a_block_of_moves_too(guide_at) -> None:
    guide = guide_at(index=f"```moves x\nmoves: {LIFT}\nclaims: flips UF; keeps U except UF\n```\n")
    assert guide.problems == ()
    assert guide.sequences["x"].claims == ("flips UF", "keeps U except UF")


def test_a_false_claim_behind_a_semicolon_is_shown_where_it_stands(problems_of) -> None:
    told = problems_of(index="```moves x\nmoves: U\nclaims: keeps D; keeps U; order 3; flips UX\n```\n")
    assert [(p.passage.line, p.passage.column) for p in told] == [(3, 42)]
    told = problems_of(index="```moves x\nmoves: U\nclaims:\n- keeps D; keeps U\n- order 3\n```\n")
    # U is turned; and U has the order 4.
    assert [(p.passage.line, p.passage.column) for p in told] == [(4, 12), (5, 3)]


# Mistakes, each where it stands ---------------------------------------------------------------------------

NOTHING_SAID = ("the block does not say what to find", "write “claims:”, and below it a line for each")


@pytest.mark.parametrize(
    ("body", "line", "column", "message", "hint"),
    [
        ("", 1, 4, *NOTHING_SAID),
        ("# nothing", 1, 4, *NOTHING_SAID),
        ("title: T", 1, 4, *NOTHING_SAID),
        ("claims:\nfaces: U", 2, 1, "nothing is written for “claims”", "take the key away"),
        ("clams: flips UF", 2, 1, "there is no key “clams” here", "is it claims?"),
        ("claims: flips UF\nmoves: U", 3, 1, "there is no key “moves” here", ""),
        ("claims: flips UF\nlongest: 0", 3, 10, "longest is a number from 1 to 100, not “0”", "write for"),
        ("claims: flips UF\nlongest: 101", 3, 10, "longest is a number from 1 to 100, not “101”", ""),
        ("claims: flips UF\nlongest: eight", 3, 10, "longest is a number from 1 to 100, not “eight”", ""),
        ("claims: flips UF\nlongest: ٣", 3, 10, "longest is a number from 1 to 100", ""),
        ("claims: flips UF\nmost: 0", 3, 7, "most is a number from 1 to 100, not “0”", "write for"),
        ("claims: flips UF\nmost: 1000", 3, 7, "most is a number from 1 to 100, not “1000”", ""),
        ("claims: flips UF\nmost:", 3, 1, "nothing is written for “most”", "take the key away"),
        ("claims: flips UF\nfaces: U, Q", 3, 11, "cube-3 has no face “Q” to turn", "write some of U, D, F"),
        ("claims: flips UF\nfaces: UR", 3, 8, "cube-3 has no face “UR” to turn", ""),
        (
            "claims: flips UF\nfaces:",
            3,
            1,
            "nothing is written for “faces”",
            "or take the key away",
        ),
        ("claims: flips UF\nthen: Q", 3, 7, "“Q” is no layer of cube-3", "layers are U, D, F"),
        ("claims: flips UF\nthen: U2", 3, 7, "“U2” is no layer of cube-3", "layers are U, D, F"),
        (
            "claims: flips UF\nmetric: htm",
            3,
            9,
            "there is no turn metric “htm”",
            "one of OBTM, QTM, STM, ETM",
        ),
        ("claims: flips UF\nslices: perhaps", 3, 9, "slices is yes or no", "write yes or no"),
        ("claims: flips UF\nwide: both", 3, 7, "wide is yes or no", "write yes or no"),
        ("claims: flips UF\nview: tpo", 3, 7, "cube-3 has no view “tpo”", "views are"),
        ("claims: flips UF\nfocus: UX", 3, 8, "cube-3 has no place “UX”", ""),
        ("claims: flips UF\nsay: Try `Q`{.moves}", 3, 11, "found “Q”", ""),
        ("flips UX", 2, 7, "cube-3 has no place “UX”", ""),
        ("flips UF\n  flisp UR", 3, 3, "found “flisp”", "is it flips?"),
        ("claims:\n- flips UF; keeps UX", 3, 19, "cube-3 has no place “UX”", ""),
        ("claims:\n- flips UF\n- ", 4, 1, "this item is empty", ""),
        ("flips UF\nkeeps UF", 3, 1, "this contradicts “flips UF”: UF cannot do both", "leave UF out"),
        ("flips UF; does nothing", 2, 11, "this contradicts “flips UF”: UF cannot do both", ""),
        ("swaps UF with UR and UF with UB", 2, 22, "UF is named here twice", "say once"),
        # The cube's laws; at all the claims together, since no one of them is at fault.
        (
            "claims:\n- flips UF\n- changes only UF",
            3,
            1,
            "no sequence does this: flips of edges come in pairs",
            "let other pieces change too",
        ),
        (
            "twists UFR clockwise; changes only UFR",
            2,
            1,
            "no sequence does this: twists of corners add up to whole turns",
            "let other pieces change too",
        ),
        # By hand: neither R nor U holds DF.
        (
            "claims: swaps UF with DF\nfaces: R, U",
            2,
            9,
            "no sequence of turns of R and U alone does this",
            "allow more",
        ),
        # By hand: no turn swaps two places of opposite layers and keeps the rest.
        (
            "claims: swaps UF with DF; keeps U except UF\nlongest: 1",
            2,
            9,
            "no sequence of up to 1 OBTM does this",
            "allow longer ones, or more turns",
        ),
        ("claims: keeps U", 2, 9, "doing nothing satisfies these claims", "claim what is to change"),
        ("order 1", 2, 1, "doing nothing satisfies these claims", "claim what is to change"),
        ("claims: keeps D\nlongest: 2", 2, 9, "doing nothing satisfies these claims", ""),
        ("same as @nothing", 2, 9, "no sequence is named nothing", ""),
        ("flips UF; undoes @nothing", 2, 18, "no sequence is named nothing", ""),
    ],
)
def test_a_mistake_is_shown_where_it_stands(found, body, line, column, message, hint) -> None:
    (first, *others) = found(body)
    assert first[:2] == (line, column)
    assert message in first[2]
    assert hint in first[3]
    assert others == []


@pytest.mark.parametrize(
    ("name", "message"),
    [
        ("Flip_It", "“Flip_It” cannot be a name"),
        ("flip the edge", "a block has one name"),
        ("-x", "“-x” cannot be a name"),
    ],
)
def test_a_name_is_small_letters_digits_and_hyphens(problems_of, name: str, message: str) -> None:
    (problem,) = problems_of(index=f"```find {name}\nflips UF\n```\n")
    assert message in problem.message
    assert (problem.passage.line, problem.passage.column) == (1, 4)


def test_a_name_can_be_given_once_in_the_whole_guide(problems_of) -> None:
    (problem,) = problems_of(a="```moves same\nR\n```\n", b=block("flips UF", "same"))
    assert problem.headline() == "content/b.md:1:4: the name same is taken, in content/a.md:1"


def test_a_kind_that_is_all_but_find_is_told(problems_of) -> None:
    (problem,) = problems_of(index="```finds x\nflips UF\n```\n")
    assert (problem.message, problem.hint) == ("there is no kind of block “finds”", "is it find?")


def test_several_mistakes_are_told_at_once(found) -> None:
    options = "faces: Q\nlongest: 0\nmost: 0\nmetric: x\nthen: Q\nview: y"
    told = found(f"claims:\n- flips UX\n- flips UF; flisp UR\n{options}")
    assert [(line, column) for line, column, *_ in told] == [
        (3, 9),
        (4, 13),
        (5, 8),
        (6, 10),
        (7, 7),
        (8, 9),
        (9, 7),
        (10, 7),
    ]


def test_a_sequence_of_another_puzzle_is_no_sequence_of_this_one(problems_of) -> None:
    small = "---\npuzzle: cube-2\n---\n```moves small\nR U\n```\n"
    (problem,) = problems_of(index=block("same as @small"), small=small)
    assert problem.message == "no sequence is named small"
    assert "it is a sequence of cube-2" in problem.hint


def test_what_refers_to_a_broken_block_has_no_problem_of_its_own(found) -> None:
    assert [line for line, *_ in found("same as @broken", "\n```moves broken\nR Q\n```\n")] == [6]


def test_what_finds_itself_named_by_its_own_block_is_told(found) -> None:
    (problem,) = found("same as @f")
    assert problem[:3] == (2, 9, "no sequence is named f")
    assert problem[3].startswith("f is a find")


def test_nothing_is_searched_for_while_something_cannot_be_read_or_cannot_be(found, monkeypatch) -> None:
    monkeypatch.setattr(find_block, "find", None)  # it is not called
    assert len(found("flips UF; changes only UF")) == 1
    assert len(found("claims: flips UF\nfaces: Q")) == 1


def test_a_draft_shows_in_the_page_what_is_wrong(guide_at, tmp_path) -> None:
    guide_at(index="# Home\n\n" + block("flips UF; changes only UF") + "\nAnd on.\n")
    publish(tmp_path, draft=True)
    page = (tmp_path / "output" / "index.html").read_text(encoding="utf-8")
    assert "no sequence does this: flips of edges come in pairs" in page
    assert "And on." in page


@pytest.mark.parametrize("kind", ["find", "derive"])
@pytest.mark.parametrize("key", ["slices", "wide"])
def test_a_puzzle_without_layers_between_the_outer_ones_turns_none(problems_of, kind: str, key: str) -> None:
    body = f"claims: twists UFR clockwise\n{key}: yes"
    (problem,) = problems_of("title: T\npuzzle: cube-2\n", index=f"```{kind}\n{body}\n```\n")
    assert problem.message == "cube-2 has no layers between the outer ones"
    assert problem.passage.text == key
