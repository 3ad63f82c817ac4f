"""Claims: each kind true, false with what happens instead, and malformed with the place and a hint."""

from __future__ import annotations

import contextlib

import published_cube as published
import pytest
from hypothesis import given
from hypothesis import strategies as st
from sample_definitions import own_puzzles
from test_effect import FACE_TURNS, LIFT, MOVES, effect_of, undone

from sitegen.effects.claims import KINDS, Subject, parse_claim, parse_claims
from sitegen.effects.effect import Effect
from sitegen.moves.metrics import Length
from sitegen.moves.parse import parse
from sitegen.moves.turning import permutation
from sitegen.problems import Findings, Problem, written
from sitegen.puzzles import catalogue

TWO_FLIPS = f"[{LIFT}, U]"
TWO_TWISTS = "[(R' D' R D)2, U]"
"""By REFERENCES, common practice: (R' D' R D)2 changes UFR alone of U, and U brings UBR to its place."""

TRUE = [
    ("flips UF", LIFT),
    ("flips UF and UR", TWO_FLIPS),
    ("flips FU, RU", TWO_FLIPS),  # a piece may be named by either sticker
    ("keeps U except UF", LIFT),
    ("changes only UF and UR", TWO_FLIPS),
    ("changes only edges of U", TWO_FLIPS),
    ("keeps all except UFR and UBR", TWO_TWISTS),
    # By hand, clockwise from above: front to left, left to back, back to right, right to front.
    ("cycles UF > UL > UB > UR", "U"),
    ("cycles UL > UB > UR > UF", "U"),  # a cycle begins anywhere
    ("cycles FU > LU > BU > RU", "U"),  # and may be told by the other sticker
    ("cycles UF > UL > UB > UR and UFR > UFL > UBL > UBR", "U"),
    ("cycles UF > UL > UB > UR > UF", "U"),  # or come round to where it began
    # By hand: R takes the sticker on U to B, that on B to D, that on D to F and that on F to U.
    ("cycles UFR > BUR > DBR > FDR", "R"),
    ("cycles RUF > RUB > RDB > RDF", "R"),  # the stickers on R stay on R
    ("cycles UFR > UBR > DBR > DFR in any orientation", "R"),
    ("cycles UR > BR > DR > FR in any orientation", "R"),
    ("cycles UR > BR > DR > FR in  any\n  orientation", "R"),
    # By hand: R U R' U' takes the U sticker of UFR to R below, and brings it back showing on R.
    ("cycles UFR > RDF > RUF", "R U R' U'"),
    ("swaps UF with UB", "U2"),
    ("swaps UF with UB and UL with UR", "U2"),
    ("swaps UFR with UBL, UFL with UBR", "U2"),
    ("swaps UFR with DFR in any orientation", "R U R' U'"),
    ("order 6", "R U R' U'"),  # REFERENCES, orders
    ("order 105", "R U"),
    ("order 1260", "R U2 D' B D'"),
    ("order 1", ""),
    ("length 4 OBTM", "R U2 R' U'"),  # WCA 12a5, counted by hand
    ("length 5 QTM", "R U2 R' U'"),
    ("length 1 STM", "M"),
    ("length 2 OBTM", "M"),  # a slice is two outer blocks
    ("length 0 OBTM", "x"),  # WCA 12a5: rotations count nothing
    ("length 1 ETM", "x"),  # WCA 12a6: and one here
    ("does nothing", "R R'"),
    ("does nothing", "(R U R' U')6"),  # REFERENCES, order 6
    ("does nothing", ""),
]


@pytest.mark.parametrize(("claim", "moves"), TRUE)
def test_a_claim_that_holds_has_no_fault(fault, claim: str, moves: str) -> None:
    assert fault(claim, moves) == ""


@pytest.mark.parametrize(
    ("claim", "moves", "instead"),
    [
        ("flips UF", "", "UF stays home"),
        ("flips UF", "U", "UF goes to UL"),
        ("flips UF, UL and UR", TWO_FLIPS, "UL stays home"),  # only what is wrong is named
        ("flips UF and UB", "U", "UF goes to UL; UB goes to UR"),
        ("twists UFR clockwise", "U", "UFR goes to UFL"),
        ("twists UFR anticlockwise", "", "UFR stays home"),
        ("cycles UF > UR > UB > UL", "U", "UF goes to UL; UR goes to UF; UB goes to UR; UL goes to UB"),
        (
            "cycles UFR > UBR > DBR > DFR",
            "R",
            "UFR goes to BUR; UBR goes to BDR; DBR goes to FDR; DFR goes to FUR; "
            "with “in any orientation” behind it the claim is true",
        ),
        ("cycles UF > UL > UB", "U", "UB goes to UR"),  # the last goes to the first, or the claim is false
        ("cycles UF > FU > UL", "[" + LIFT + ", U]", None),  # a place twice cannot be read
        ("swaps UF with UR", TWO_FLIPS, "UF is flipped; UR is flipped"),
        ("swaps UF with UB", "", "UF stays home; UB stays home"),
        ("keeps U", LIFT, "UF is flipped"),
        ("keeps edges of U", "U", "UF goes to UL; UL goes to UB; UR goes to UF; UB goes to UR"),
        ("changes only UF", TWO_FLIPS, "UR is flipped"),
        ("does nothing", TWO_FLIPS, "UF is flipped; UR is flipped"),
        ("order 5", "R U R' U'", "the order is 6"),
        ("length 3 QTM", "R U2 R' U'", "the length is 5 QTM"),
    ],
)
def test_a_false_claim_is_told_what_happens_instead(
    fault, claim: str, moves: str, instead: str | None
) -> None:
    if instead is None:
        with pytest.raises(Problem, match="a place stands here twice"):
            fault(claim, moves)
    else:
        assert fault(claim, moves) == instead


def test_more_than_four_offending_pieces_are_counted_not_listed(fault) -> None:
    # U changes four corners and four edges: eight pieces, four of them named.
    told = fault("does nothing", "U")
    assert told.count(" goes to ") == 4
    assert told.endswith("and 4 more")


def test_the_sense_of_a_twist_is_the_one_seen_from_outside(fault) -> None:
    # The sense comes from the published facets; the law of twists gives the other corner the other sense.
    senses = published.twists("R' D' R D R' D' R D U D' R' D R D' R' D R U'")
    assert set(senses) == {frozenset("UFR"), frozenset("UBR")}
    right = f"twists UFR {senses[frozenset('UFR')]} and UBR {senses[frozenset('UBR')]}"
    wrong = f"twists UBR {senses[frozenset('UFR')]} and UFR {senses[frozenset('UBR')]}"
    assert set(senses.values()) == {"clockwise", "anticlockwise"}
    assert fault(right, TWO_TWISTS) == ""
    assert fault(wrong, TWO_TWISTS) == (
        f"UBR is twisted {senses[frozenset('UBR')]}; UFR is twisted {senses[frozenset('UFR')]}"
    )


def test_corners_that_share_a_sense_may_share_the_word(fault) -> None:
    # Twice the same twist of two corners turns each the other way.
    once, twice = TWO_TWISTS, f"({TWO_TWISTS})2"
    sense = published.twists("R' D' R D R' D' R D U D' R' D R D' R' D R U'")[frozenset("UFR")]
    other = {"clockwise": "anticlockwise", "anticlockwise": "clockwise"}[sense]
    assert fault(f"twists UFR {sense}", once) == ""
    assert fault(f"twists UFR {other}", twice) == ""
    assert fault(f"twists UFR and UBR {sense}", once) == f"UBR is twisted {other}"


def test_claims_about_a_slice_are_made_about_it_as_turned(fault) -> None:
    # By hand: M turns four edges and four centres, and no corner.
    assert fault("keeps corners", "M") == ""
    assert fault("changes only M", "M") == ""
    assert fault("keeps centres", "M") != ""


def test_what_would_be_true_with_the_centres_home_is_true_when_they_are_turned_home(fault) -> None:
    # By hand: M is R L' with the whole cube turned, so with x behind it UR goes to BR and the middle stays.
    for claim in ("cycles UR > BR > DR > FR in any orientation", "keeps M", "changes only R and L"):
        assert fault(claim, "M") != ""
        assert fault(claim, "M x") == ""


@pytest.mark.parametrize("puzzle", ["cube-2", "cube-3", "cube-4", "cube-5"])
@pytest.mark.parametrize("claim", ["keeps edges and corners", "keeps corners", "does nothing", "keeps U"])
def test_turning_the_whole_puzzle_keeps_nothing_that_it_takes_along(fault, claim: str, puzzle: str) -> None:
    if "edges" in claim and puzzle in ("cube-2", "cube-4"):
        claim = "keeps all"
    assert fault(claim, "z", puzzle) != ""


def test_the_order_is_that_of_the_turns_with_the_centres_moving(fault) -> None:
    assert fault("order 4", "x") == ""


# Relations ------------------------------------------------------------------------------------------------

MIRRORED = {"L": "R", "R": "L"}


def mirrored(text: str) -> str:
    """As seen in a mirror between L and R: left and right change, and every sense of turning."""
    turns = [(MIRRORED.get(turn[0], turn[0]), turn[1:]) for turn in text.split()]
    return " ".join(face + {"": "'", "'": "", "2": "2"}[amount] for face, amount in turns)


@given(MOVES, FACE_TURNS)
def test_same_as_and_undoes_hold_as_the_published_facets_say(text: str, other: str) -> None:
    puzzle = catalogue.puzzle("cube-3")
    case = Subject(
        Effect(puzzle, effect_of(text).permutation), Length(), {"it": effect_of(other).permutation}
    )
    goes = published.facets(other)
    back = {end: start for start, end in goes.items()}
    same, undoes = (parse_claim(written(f"{kind} @it"), puzzle) for kind in ("same as", "undoes"))
    assert (same.fault(case) == "") == (published.facets(text) == goes)
    assert (undoes.fault(case) == "") == (published.facets(text) == back)


@given(FACE_TURNS)
def test_a_sequence_mirrors_its_text_with_left_and_right_exchanged_and_undoes_its_reverse(text: str) -> None:
    puzzle = catalogue.puzzle("cube-3")

    def holds(claim: str, moves: str) -> bool:
        case = Subject(
            Effect(puzzle, effect_of(moves).permutation), Length(), {"it": effect_of(text).permutation}
        )
        return not parse_claim(written(claim), puzzle).fault(case)

    assert holds("mirrors @it", mirrored(text))
    assert holds("undoes @it", undone(text))
    assert holds("same as @it", text)


@pytest.mark.parametrize(
    ("claim", "moves", "other", "true"),
    [
        ("same as @other", "R2", "R' R'", True),
        ("same as @other", "R", "R'", False),
        ("undoes @other", "U R'", "R U'", True),
        ("undoes @other", "R U", "R U", False),
        ("mirrors @other", "L' U' L U", "R U R' U'", True),
        ("mirrors @other", "B' U' B U", "F U F' U'", True),  # front and back exchanged
        ("mirrors @other", "R' D' R D", "R U R' U'", True),  # top and bottom exchanged
        ("mirrors @other", "F' U' F U", "R U R' U'", True),  # the plane through UFR and UBL exchanges R and F
        ("mirrors @other", "L U L' U'", "R U R' U'", False),  # a rotation is no mirror
        ("mirrors @other", "R", "R", False),  # a mirror reverses the sense
        ("mirrors @other", "R2", "R2", True),  # of a half turn there is nothing to reverse
    ],
)
def test_relations_hold_or_not_by_hand_worked_cases(
    fault, claim: str, moves: str, other: str, true: bool
) -> None:
    assert (fault(claim, moves, other=other) == "") is true


def test_a_false_relation_says_what_the_other_sequence_does(fault) -> None:
    told = fault("same as @two-flips", "U", two_flips=TWO_FLIPS)
    assert told == "@two-flips does this: UF and UR are flipped; everything else is home."


@pytest.mark.parametrize(
    ("claim", "hint"),
    [
        ("undoes @tow-flips", "is it @two-flips?"),
        ("same as @zz", "a sequence gets its name in the first line of its block, as in “moves zz”"),
    ],
)
def test_a_relation_to_an_unknown_sequence_is_marked_with_a_near_name(fault, claim: str, hint: str) -> None:
    with pytest.raises(Problem) as caught:
        fault(claim, "U", two_flips=TWO_FLIPS)
    name = claim.split("@")[1]
    assert caught.value.message == f"no sequence is named {name}"
    assert caught.value.passage.column == claim.index("@") + 1
    assert caught.value.passage.text == f"@{name}"
    assert caught.value.hint == hint


# Malformed ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("claim", "column", "marked", "message", "hint"),
    [
        (
            "UF goes",
            1,
            "UF",
            "expected a claim; found “UF”",
            "a claim begins with flips, twists, cycles",
        ),
        ("", 1, "", "expected a claim; the text ends here", "a claim begins with"),
        ("turns UF", 1, "turns", "expected a claim; found “turns”", "is it one of twists, flips?"),
        ("fixes D", 1, "fixes", "expected a claim; found “fixes”", "is it keeps?"),
        ("does not move D", 1, "does", "expected a claim; found “does”", "is it keeps?"),
        ("Has order 6", 1, "Has", "expected a claim; found “Has”", "is it order?"),
        ("moves UF", 1, "moves", "expected a claim; found “moves”", "is it one of changes only, cycles?"),
        ("Flips UF", 1, "Flips", "expected a claim; found “Flips”", "is it flips?"),
        ("flip UF", 1, "flip", "expected a claim; found “flip”", "is it flips?"),
        ("cycle UF > UL", 1, "cycle", "expected a claim; found “cycle”", "is it cycles?"),
        ("Keeps U", 1, "Keeps", "expected a claim; found “Keeps”", "is it keeps?"),
        ("twist", 1, "twist", "expected a claim; found “twist”", "is it twists?"),
        ("same @x", 1, "same", "expected a claim; found “same”", "is it same as?"),
        ("does nothin", 1, "does", "expected a claim; found “does”", "is it does nothing?"),
        ("flips uf", 7, "uf", "expected a place, such as UF or UFR; found “uf”", "in capitals: UF"),
        (
            "cycles UF -> UL",
            11,
            "->",
            "expected “>” and the place that the piece goes to; found “->”",
            "write >",
        ),
        (
            "cycles UF > UL → UB",
            16,
            "→",
            "expected “>” and the place that the piece goes to; found “→”",
            "write >",
        ),
        ("keeps everything", 7, "everything", "“everything” names no pieces", "is it all?"),
        ("keeps D expect DFR", 9, "expect", "expected the end of the claim; found “expect”", "is it except?"),
        ("keeps U.", 8, ".", "expected the end of the claim; found “.”", "no full stop behind a claim"),
        ("order 6.", 8, ".", "expected the end of the claim; found “.”", "no full stop behind a claim"),
        (
            "swaps UFR with UB",
            7,
            "UFR with UB",
            "pieces of different kinds (corner, edge) never change places",
            "a swap is of two pieces of one kind",
        ),
        (
            "flips UF in any orientation",
            10,
            "in",
            "expected the end of the claim; found “in”",
            "only cycles and swaps",
        ),
        (
            "changes only centres and edges and corners",
            14,
            "centres and edges and corners",
            "these are all pieces, so that this is always true",
            "name those alone that may change",
        ),
        ("flips", 6, "", "expected a place, such as UF or UFR; the text ends here", ""),
        ("flips UFR", 7, "UFR", "UFR is not an edge", "UFR is of the kind corner"),
        ("flips UF and UX", 14, "UX", "cube-3 has no place “UX”", "X is no face"),
        ("flips UF UR", 10, "UR", "expected the end of the claim; found “UR”", "put a comma or “and”"),
        ("flips UF and", 13, "", "expected a place, such as UF or UFR; the text ends here", ""),
        ("flips UD", 7, "UD", "cube-3 has no place “UD”", "are opposite faces: no piece has both"),
        ("twists UF clockwise", 8, "UF", "UF is not a corner", "UF is of the kind edge"),
        ("twists UFR", 11, "", "expected “clockwise” or “anticlockwise”; the text ends here", "from outside"),
        (
            "twists UFR left",
            12,
            "left",
            "expected “clockwise” or “anticlockwise”; found “left”",
            "from outside",
        ),
        ("cycles UF", 10, "", "expected “>” and the place that the piece goes to; the text ends here", ""),
        (
            "cycles UF > UFR",
            8,
            "UF > UFR",
            "pieces of different kinds (corner, edge) never change places",
            "one kind",
        ),
        ("cycles UF > UL > UF > UB", 8, "UF > UL > UF > UB", "a place stands here twice", "once"),
        (
            "cycles UF > UL in orientation",
            16,
            "in",
            "expected the end of the claim; found “in”",
            "“in any orientation”",
        ),
        (
            "swaps UF and UB",
            10,
            "and",
            "expected “with” and the other place; found “and”",
            "write with",
        ),
        ("swaps UF with FU", 7, "UF with FU", "a place stands here twice", "two different places"),
        ("flips UF, UR and FU", 18, "FU", "UF is named here twice", "say once where each piece goes"),
        (
            "twists UFR clockwise and RUF anticlockwise",
            26,
            "RUF",
            "UFR is named here twice",
            "say once where each piece goes",
        ),
        ("twists UFR, UFR clockwise", 13, "UFR", "UFR is named here twice", "say once where each piece goes"),
        (
            "swaps UF with UB and UL with BU",
            22,
            "UL with BU",
            "UB is named here twice",
            "say once where each piece goes",
        ),
        (
            "cycles UF > UR > UB and DF > FU > DB",
            25,
            "DF > FU > DB",
            "UF is named here twice",
            "say once where each piece goes",
        ),
        ("keeps UF and UF", 14, "UF", "“UF” stands here twice", "take it away"),
        ("changes only R and R", 20, "R", "“R” stands here twice", "take it away"),
        ("keeps corners of E", 7, "corners", "there are no corners of E", "of E there are edges, centres"),
        ("keeps", 6, "", "expected pieces, such as U, UF, edges of U or all; the text ends here", ""),
        ("changes UF", 1, "changes", "expected a claim; found “changes”", "changes only"),
        (
            "does nothing much",
            14,
            "much",
            "expected the end of the claim; found “much”",
            "an item of its own",
        ),
        ("order six", 7, "six", "expected a number; found “six”", ""),
        ("length 8", 9, "", "expected a turn metric; the text ends here", "one of OBTM, QTM, STM, ETM"),
        ("length 8 HTM", 10, "HTM", "expected a turn metric; found “HTM”", "one of OBTM, QTM, STM, ETM"),
        ("length OBTM", 8, "OBTM", "expected a number; found “OBTM”", ""),
        (
            "same as lift-edge",
            9,
            "lift-edge",
            "expected a sequence, such as @lift-edge; found “lift-edge”",
            "",
        ),
        ("same as @lift'", 14, "'", "expected the end of the claim; found “'”", "undoes @…"),
        ("undoes", 7, "", "expected a sequence, such as @lift-edge; the text ends here", ""),
        ("mirrors @A", 9, "@A", "expected a sequence, such as @lift-edge; found “@A”", ""),
    ],
)
def test_a_malformed_claim_is_marked_where_it_fails(
    claim: str, column: int, marked: str, message: str, hint: str
) -> None:
    with pytest.raises(Problem) as caught:
        parse_claim(written(claim), catalogue.puzzle("cube-3"))
    problem = caught.value
    assert (problem.passage.column, problem.passage.text, problem.message) == (column, marked, message)
    assert hint in problem.hint
    assert problem.hint


@pytest.mark.parametrize(
    ("text", "joint"),
    [
        ("keeps D, keeps L", ","),
        ("keeps centres and keeps D", "and"),
        ("flips UF and UR, keeps D", ","),
        ("flips UF and swaps UR with UL", "and"),
        ("changes only UF, UR, and flips UF", ", and"),
        ("cycles UF > UR > UB, keeps D", ","),
        ("order 2, keeps D", ","),
        ("length 8 OBTM and order 2", "and"),
    ],
)
def test_a_further_claim_is_told_how_it_is_parted_from_the_one_before(text: str, joint: str) -> None:
    cube = catalogue.puzzle("cube-3")
    with pytest.raises(Problem) as caught:
        parse_claim(written(text), cube)
    assert caught.value.passage.text == joint
    assert caught.value.hint.startswith(f"write ; in place of “{joint}”")
    before, _, behind = text.rpartition(joint)
    findings = Findings()
    assert len(parse_claims([written(f"{before};{behind}")], cube, findings)) == 2
    assert findings.problems == []


@pytest.mark.parametrize("claim", ["order " + "9" * 5000, "length " + "9" * 5000 + " OBTM"])
def test_a_number_of_any_length_is_false_or_a_problem_never_a_crash(fault, claim: str) -> None:
    with contextlib.suppress(Problem):
        assert fault(claim, "U")


WORDS = [
    *" ".join(KINDS).split(),
    *("UF", "UFR", "U", "and", ",", ">", "with", "except", "of", "edges", "in any", "orientation"),
    *("6", "OBTM", "clockwise", "@it", "²", "’", "\n"),
]


@given(st.one_of(st.text(max_size=40), st.lists(st.sampled_from(WORDS), max_size=10).map(" ".join)))
def test_any_text_is_a_claim_or_a_problem(text: str) -> None:
    puzzle = catalogue.puzzle("cube-3")
    case = Subject(Effect(puzzle, puzzle.identity), Length(), {"it": puzzle.identity})
    try:
        told = parse_claim(written(text), puzzle).fault(case)
    except Problem as problem:
        told, hint, stands = problem.message, problem.hint, problem.passage
        assert hint
        assert 0 <= stands.start <= stands.end <= len(text)
    assert isinstance(told, str)


def test_a_corner_of_four_stickers_may_be_turned_halfway() -> None:
    # By hand: the axis A goes through a vertex where four faces meet; A2 is two quarters.
    text = "solid: octahedron\naxes: vertices\ndepths: [1/2, -1/2]\nangle: 90\n"
    puzzle = own_puzzles("gem", text)["gem"]
    corner = next(p for p in puzzle.pieces if len(p.stickers) == 4 and p.layers["A"] == 1)
    tree = parse(written("A2"), puzzle)
    case = Subject(Effect(puzzle, permutation(tree, puzzle)), Length(), {})
    claim = f"twists {corner.name} halfway"
    assert parse_claim(written(claim), puzzle).fault(case) == ""
    assert parse_claim(written(claim.replace("halfway", "clockwise")), puzzle).fault(case) == (
        f"{corner.name} is twisted halfway"
    )


def test_a_corner_of_three_stickers_is_never_turned_halfway() -> None:
    with pytest.raises(Problem, match="UFR has 3 stickers, and cannot be turned halfway"):
        parse_claim(written("twists UFR halfway"), catalogue.puzzle("cube-3"))


def test_a_claim_stands_once_among_all_that_are_made() -> None:
    findings = Findings()
    places = [written("flips UF; keeps D"), written("order 2;  flips  UF")]
    assert len(parse_claims(places, catalogue.puzzle("cube-3"), findings)) == 4
    (problem,) = findings.problems
    assert problem.message == "“flips UF” stands here twice"
    assert problem.passage.source is places[1].source
