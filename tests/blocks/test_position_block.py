"""The block `position`: where pieces are, what solves it, and what no turning reaches."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest

from sitegen.blocks.moves.sequence_figures import pairs
from sitegen.blocks.position_block import Position
from sitegen.blocks.position_block import of_position as figures
from sitegen.effects.claims import Subject, parse_claim
from sitegen.effects.effect import Effect
from sitegen.figures.of_position import palette
from sitegen.moves.metrics import Length
from sitegen.problems import written

LIFT = "F D' U L2 U2 D2 R U"
FLIP_PAIR = f"```moves flip-pair\n[{LIFT}, U]\n```\n"
"""By REFERENCES, the sequence that flips UF in its layer; so this flips UF and UR."""


def block(body: str, name: str = "p") -> str:
    return f"```position {name}\n{body}\n```\n"


@pytest.fixture
def position(checked) -> Callable[..., Position]:
    """The position of a block; its guide has no problems."""
    return lambda body, more="", config="title: T\n": checked(config, index=block(body) + more)


@pytest.fixture
def found(mistakes) -> Callable[..., list[tuple[int, int, str, str]]]:
    return lambda body, more="", config="title: T\n": mistakes(config, index=block(body) + more)


# Where pieces are -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("body", "moves"),
    [
        ("pieces: flips UF and UR", f"[{LIFT}, U]"),
        ("flips UF and UR", f"[{LIFT}, U]"),  # without a key
        ("stickers: UF is at FU, UR is at RU", f"[{LIFT}, U]"),
        ("stickers:\n- FU is at UF\n- UR is at RU", f"[{LIFT}, U]"),  # either sticker tells it
        (f"moves: [{LIFT}, U]", f"[{LIFT}, U]"),
        # By hand, clockwise from above: front to left, left to back, back to right, right to front.
        ("pieces:\n- cycles UF > UL > UB > UR\n- cycles UFR > UFL > UBL > UBR", "U"),
        ("pieces:\n- swaps UF with UB and UL with UR\n- swaps UFR with UBL, UFL with UBR", "U2"),
        # By hand: R takes the sticker on U to B, that on B to D, that on D to F and that on F to U.
        ("pieces:\n- cycles UR > BR > DR > FR\n- cycles UFR > BUR > DBR > FDR", "R"),
        (
            "stickers:\n- UR is at BR, BR is at DR, DR is at FR and FR is at UR\n"
            "- RUF is at RUB, RUB is at RDB\n- RDB is at RDF and RDF is at RUF",
            "R",
        ),
    ],
)
def test_a_position_is_where_the_author_says_the_pieces_are(position, turned, cube3, body, moves) -> None:
    assert position(body).position == turned(moves, cube3)


def test_a_twist_is_in_its_sense_seen_from_outside(position, cube3) -> None:
    # By hand: seen from outside, the faces of the corner UFR are U, R, F clockwise, and of UFL U, F, L.
    where = position("pieces: twists UFR clockwise and UFL anticlockwise").position
    slots = cube3.slots
    assert [where[slots[name]] for name in ("UFR", "RUF", "FUR")] == [slots[n] for n in ("RUF", "FUR", "UFR")]
    assert [where[slots[name]] for name in ("UFL", "LUF", "FUL")] == [slots[n] for n in ("LUF", "FUL", "UFL")]


@pytest.mark.parametrize(
    "claim",
    [
        "flips UF and UR",
        "twists UFR and UBL clockwise and DFR clockwise",
        "twists UFR clockwise and DBL anticlockwise",
        "cycles UFR > RUB > DFR and UF > LU > BU",
        "swaps UF with BU and UFR with DBL",
    ],
)
def test_a_claim_is_true_of_the_position_that_it_gives(position, cube3, claim: str) -> None:
    # Claims are checked without knowing how they give a position.
    where = position(f"pieces: {claim}").position
    assert parse_claim(written(claim), cube3).fault(Subject(Effect(cube3, where), Length(), {})) == ""


def test_a_position_is_told_in_words(position) -> None:
    assert position("flips UF and UR").words == "UF and UR are flipped; everything else is home."
    assert position("cycles UF > UL > UB").words == (
        "UF is at UL, UL at UB and UB at UF; everything else is home."
    )
    assert position("swaps UF with UL and UR with UB").words == (
        "UF and UL are in each other's places; UR and UB are in each other's places; everything else is home."
    )
    assert position("moves: U U'").words == "Everything is home."


def test_a_turning_of_the_whole_puzzle_is_told_as_it_stands_and_turned_back(position) -> None:
    turned_about = position("moves: x")
    assert turned_about.words == (
        "2 × 4 corners, 3 × 4 edges and 4 centres are in each other's places."  # by hand: x moves so many
    )
    assert (turned_about.turning_back, turned_about.words_turned_back) == ("x'", "Everything is home.")


def test_a_position_keeps_what_its_author_wrote(position) -> None:
    shown = position("title: Two\npieces: flips UF and UR\nview: top, net\nletters: yes\nsay: Hm.")
    assert (shown.title, shown.shown.views) == ("Two", ("top", "net"))
    assert (shown.shown.letters, shown.shown.arrows, len(shown.prose)) == (True, False, 1)


def test_a_position_is_no_sequence(guide_at) -> None:
    guide = guide_at(index=block("flips UF and UR", "two-flipped"))
    assert (guide.sequences, guide.blocks["index"][0].checked.title) == ({}, "Two flipped")


# What solves it -------------------------------------------------------------------------------------------


@pytest.mark.parametrize("solve", ["@flip-pair", "@flip-pair'", f"[{LIFT}, U]", "(@flip-pair)3"])
def test_what_solves_a_position_is_checked_by_turning(position, solve: str) -> None:
    # Two flips undo themselves, so that the sequence solves what it makes.
    solved = position(f"pieces: flips UF and UR\nsolve: {solve}", FLIP_PAIR)
    assert (solved.solve, solved.solved_after) == (solve, "")


def test_the_whole_puzzle_may_have_to_be_turned_when_it_is_solved(position) -> None:
    assert position("moves: U\nsolve: U' x").solved_after == "x'"


def test_a_position_is_solved_when_it_looks_so(position) -> None:
    # By hand: four like centres going round on their own face cannot be seen to have moved.
    body = "pieces: cycles Ufl > Ufr > Ubr > Ubl\nsolve: U U'"
    assert position(body, config="title: T\npuzzle: cube-4\n").solve == "U U'"


def test_where_it_is_not_solved_what_is_left_is_told(found) -> None:
    [(line, column, message, hint)] = found("pieces: flips UF and UB\nsolve: @flip-pair", FLIP_PAIR)
    assert (line, column, message) == (3, 8, "@flip-pair does not solve this position")
    # By hand: of the flips of UF, UB, UF and UR those of UF cancel.
    assert hint == "what is left: UR and UB are flipped; everything else is home."


def test_a_position_refers_to_what_solves_it(position) -> None:
    assert position("moves: @flip-pair\nsolve: @flip-pair", FLIP_PAIR).refers_to == ("flip-pair",)


def test_a_position_cannot_be_referred_to_as_moves(found) -> None:
    messages = [message for _, _, message, _ in found("flips UF and UR", "```moves x\n@p\n```\n")]
    assert messages == ["no sequence is named p"]


# What no turning reaches ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("body", "law", "sums"),
    [
        ("pieces: flips UF", "flips of edges come in pairs", "here there is 1 (UF)"),
        (
            "pieces: twists UFR clockwise",
            "twists of corners add up to whole turns",
            "here they add up to 1/3 of a turn clockwise (UFR 1/3)",
        ),
        (
            "pieces: swaps UF with UR",
            "corners and edges are permuted both evenly or both oddly",
            "here the corners make no swap and the edges make 1 swap (UF > UR)",
        ),
        ("stickers: UF is at FU", "flips of edges come in pairs", "here there is 1 (UF)"),
    ],
)
def test_an_impossible_position_is_refused_with_its_law_and_sums(found, position, body, law, sums) -> None:
    [(line, _, message, hint)] = found(body)
    assert (line, message) == (2, f"this position is impossible: {law}")
    assert hint == f"{sums}; to draw it all the same write impossible: yes"
    assert position(f"{body}\nimpossible: yes").laws == (f"{law[0].upper()}{law[1:]}; {sums}.",)


def test_each_broken_law_is_a_problem(found) -> None:
    problems = found("pieces:\n- flips UF\n- twists UFR clockwise")
    assert [message.split(": ")[1] for _, _, message, _ in problems] == [
        "flips of edges come in pairs",
        "twists of corners add up to whole turns",
    ]


@pytest.mark.parametrize(
    "body", ["pieces: flips UF and UR", "moves: R U", "stickers: UF is at FU, UR is at RU"]
)
def test_a_possible_position_is_not_called_impossible(found, body: str) -> None:
    said = "turning reaches this position, so it is possible", "take “impossible” away"
    assert found(f"{body}\nimpossible: yes") == [(3, 13, *said)]


def test_impossible_may_be_denied(position) -> None:
    assert position("pieces: flips UF and UR\nimpossible: no").laws == ()


# Mistakes, each where it stands ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("body", "line", "column", "message", "hint"),
    [
        ("", 1, 4, "the block does not say where the pieces are", "write “pieces: flips UF and UR”"),
        ("title: T", 1, 4, "the block does not say where the pieces are", "write “pieces: flips UF and UR”"),
        ("pieces:", 2, 1, "nothing is written for “pieces”", "or take the key away"),
        ("moves: U\npieces: flips UF", 3, 1, "moves and pieces exclude each other", "keep one of the two"),
        ("stickers: UF is at FU\nmoves: U", 3, 1, "stickers and moves exclude each other", "keep one"),
        ("peices: flips UF", 2, 1, "there is no key “peices” here", "is it pieces?"),
        ("pieces: flips UX", 2, 15, "cube-3 has no place “UX”", ""),
        ("pieces: flips UFR", 2, 15, "UFR is not an edge", "kind corner"),
        (
            "pieces: keeps U",
            2,
            9,
            "“keeps” does not say where pieces are",
            "a position is given by flips, twists, cycles, swaps and does nothing",
        ),
        ("pieces: changes only U", 2, 9, "“changes only” does not say where pieces are", "flips"),
        ("pieces: flisp UF", 2, 9, "swaps or does nothing; found “flisp”", "is it flips?"),
        ("pieces:\n- flips UF and UR\n- flips UB UL", 4, 12, "expected the end of the claim", "comma"),
        (
            "pieces: cycles UF > UR > UL in any orientation",
            2,
            9,
            "“in any orientation” does not say how the pieces lie",
            "name the sticker at each place, as in UFR > RUB",
        ),
        ("pieces: flips UF, UR and FU", 2, 26, "UF is named here twice", "say once where each piece goes"),
        ("pieces: cycles UF > UR and UR > UL", 2, 28, "UR is named here twice", "say once"),
        ("pieces: twists UFR clockwise and RUF anticlockwise", 2, 34, "UFR is named here twice", "once"),
        ("pieces:\n- flips UF\n- swaps UF with UR", 4, 3, "UF is named here twice", "say once"),
        ("stickers: UF at FU", 2, 14, "expected “is at” and a place; found “at”", "as in UF is at FU"),
        ("stickers: UF is at FU; UR is at RU", 2, 22, "expected a comma, “and” or the end", "is at FU"),
        ("stickers: UF is at QU", 2, 20, "cube-3 has no place “QU”", "Q is no face"),
        (
            "stickers: UF is at UFR",
            2,
            11,
            "a piece of the kind edge cannot be where one of the kind corner belongs",
            "name two places of one kind",
        ),
        ("stickers: UF is at UR, FU is at UL", 2, 11, "UF is named here twice", "say once"),
        ("stickers: UF is at UR, UL is at RU", 2, 11, "two pieces cannot be at UR", "elsewhere"),
        ("stickers: UF is at UR", 2, 11, "no piece is said to be at UF", "say what has come there"),
        ("stickers:\n- UF is at UR, UR is at UL", 3, 1, "no piece is said to be at UF", "say what"),
        ("moves: R Q", 2, 10, "expected", ""),
        ("moves: @nothing", 2, 8, "no sequence is named nothing", ""),
        ("moves: U\nsolve: @nothing", 3, 8, "no sequence is named nothing", ""),
        ("moves: U\nsolve: Q", 3, 8, "expected", ""),
        ("moves: U\nsolve: U", 3, 8, "U does not solve this position", "what is left: "),
        ("flips: UF", 2, 1, "there is no key “flips” here", ""),
        ("pieces: flips UF\nimpossible: perhaps", 3, 13, "impossible is yes or no", "write yes or no"),
        (
            "pieces: flips UF\nimpossible: yes\nsolve: U",
            4,
            1,
            "no moves solve an impossible position",
            "take away “solve”, or “impossible”",
        ),
        ("moves: U\nview: tpo", 3, 7, "cube-3 has no view “tpo”", "views are"),
        ("moves: U\narrows: maybe", 3, 9, "arrows is yes or no", "write yes or no"),
    ],
)
def test_a_mistake_is_shown_where_it_stands(found, body, line, column, message, hint) -> None:
    first = found(body)[0]
    assert first[:2] == (line, column)
    assert message in first[2]
    assert hint in first[3]


def test_several_mistakes_are_told_at_once(found) -> None:
    lines = [line for line, *_ in found("pieces:\n- flips UX\n- flips UY\nview: tpo\nsolve: Q")]
    assert lines == [3, 4, 5, 6]


# Drawn ----------------------------------------------------------------------------------------------------


def test_a_position_is_drawn_in_each_view_and_heard_once(position, cube3) -> None:
    drawn = figures(position("title: Two\npieces: flips UF and UR\nview: corner, top"), palette(cube3))
    assert [view for view, _ in drawn] == ["corner", "top"]
    assert ["<title>Two</title>" in svg for _, svg in drawn] == [True, False]
    assert ['aria-hidden="true">' in svg.partition("<path")[0] for _, svg in drawn] == [False, True]


def test_arrows_lead_home_where_they_are_asked_for(position, cube3) -> None:
    plain = position("pieces: flips UF and UR")
    arrows = position("pieces: flips UF and UR\narrows: yes")
    [(_, without)], [(_, marked)] = figures(plain, palette(cube3)), figures(arrows, palette(cube3))
    assert "The arrows and marks lead home." in marked
    assert "lead home" not in without
    assert len(marked) > len(without)


def test_the_way_home_is_that_of_a_sequence_that_solves_it(position, guide_at, cube3) -> None:
    """The figure *before* of a sequence that ends solved shows the same position and the same ways."""
    moves = "R2 U R U R' U' R' U' R' U R'"
    before = guide_at(index=f"```moves x\nmoves: {moves}\nends: solved\n```\n").sequences["x"]
    [pair] = pairs(before, palette(cube3))
    [(_, svg)] = figures(
        position(f"pieces: cycles UF > UR > UL\nsolve: {moves}\narrows: yes"), palette(cube3)
    )
    assert unnamed(svg) == unnamed(pair.before)


def unnamed(svg: str) -> str:
    """A figure without its words."""
    return re.sub(r"<(title|desc)>.*?</\1>", "", svg)


def test_claims_about_a_position_stand_on_lines_or_behind_semicolons(position) -> None:
    claims = ["flips UF and UR", "twists UFR clockwise and UFL anticlockwise"]
    lines = position("pieces:\n" + "".join(f"- {claim}\n" for claim in claims))
    assert position(f"pieces: {'; '.join(claims)};").position == lines.position


def test_a_body_without_keys_is_a_claim_a_line(guide_at) -> None:
    guide = guide_at(
        index="```position x\nflips UF and UR\ntwists UFR clockwise and UBL anticlockwise\n```\n"
    )
    assert guide.problems == ()
    effect = guide.blocks["index"][0].checked.effect
    assert [piece.name for piece in effect.flips] == ["UF", "UR"]
    assert len(effect.twists) == 2
