"""Scratch paper says what commands say and blocks prove, and a block that it gives publishes."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from random_moves import moves as moves_of_cube
from read_html import Document
from running import run
from sample_guide import guide_of, small_guide, write_guide

from sitegen.effects.words import say
from sitegen.figures.views import VIEWS, available
from sitegen.guide.asked import Asking
from sitegen.guide.load import read_guide
from sitegen.preview.panel import filled
from sitegen.preview.scratch import Paper, Scratch, answer, answered
from sitegen.preview.seek import MOST, seek
from sitegen.problems import Problem, Problems
from sitegen.site.publish import check

MOVES = ["R U R' U'", "M2", "[@lift-edge, U]", "(R U2 D' B D')1260", "R R'", "x y2", "@slice'"]


@pytest.fixture(scope="module")
def folder(tmp_path_factory) -> Path:
    return write_guide(tmp_path_factory.mktemp("guide"), small_guide())


@pytest.fixture(scope="module")
def paper(folder: Path) -> Paper:
    return Paper(folder)


@pytest.fixture
def within(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(folder)


# The same answers as elsewhere -----------------------------------------------------------------------------


@pytest.mark.parametrize("moves", MOVES)
def test_it_says_what_the_command_effect_says(paper: Paper, within: None, moves: str) -> None:
    told = json.loads(run("effect", "--json", moves).stdout)
    found = answer(Scratch(moves), paper)
    assert found.sequence.effect.order == told["order"]
    assert list(found.sequence.effect.keeps) == told["keeps"]
    assert found.sequence.length._asdict() == told["length"]
    page = Document.read(answered(Scratch(moves), paper))
    assert page.faults == []
    words = run("effect", moves).stdout
    assert say(found.sequence.effect) in words
    assert any(say(found.sequence.effect) in each.text for each in page.root.all("p", class_="effect"))


@pytest.mark.parametrize(
    ("moves", "puzzle"), [("R U R' U'", "pyraminx"), ("R", "skewb"), ("2R2", "cube-5"), ("R U", "megaminx")]
)
def test_other_puzzles_are_turned_as_well(paper: Paper, within: None, moves: str, puzzle: str) -> None:
    told = json.loads(run("effect", "--json", "--puzzle", puzzle, moves).stdout)
    assert answer(Scratch(moves, puzzle=puzzle), paper).sequence.effect.order == told["order"]
    assert "<svg" in answered(Scratch(moves, puzzle=puzzle), paper)


CLAIMS = [
    "flips UF",
    "keeps U except UF",
    "keeps D",
    "order 14",
    "undoes @slice",
    "same as @lift-edge",
    "flips UR",
]


def test_claims_hold_just_where_they_hold_in_a_block(paper: Paper, folder: Path, tmp_path: Path) -> None:
    moves = "F D' U L2 U2 D2 R U"
    found = answer(Scratch(moves, "\n".join(CLAIMS)), paper)
    assert [claim.text for claim in found.claims] == CLAIMS
    for claim in found.claims:
        files = {
            **small_guide(),
            "content/here.md": f"```moves\nmoves: {moves}\nclaims:\n- {claim.text}\n```\n",
        }
        problems = read_guide(write_guide(tmp_path, files)).problems
        assert [problem.message for problem in problems] == ([claim.fault] if claim.fault else [])
    assert {bool(claim.fault) for claim in found.claims} == {True, False}


def test_a_claim_that_cannot_be_read_stands_beside_those_that_can(paper: Paper) -> None:
    found = answer(
        Scratch("R U R' U'", "order 6; kepes U\nfliped UF; keeps @nothing; same as @nothing"), paper
    )
    assert [(claim.text, bool(claim.fault)) for claim in found.claims if not claim.fault] == [
        ("order 6", False)
    ]
    assert len(found.claims) == 5


@pytest.mark.parametrize(
    "lines", ["order 6\n\nkeeps centres", "- order 6\n- keeps centres\n", "# why\norder 6\n#\nkeeps centres"]
)
def test_claims_may_be_pasted_as_they_stand_in_a_block(paper: Paper, lines: str) -> None:
    claims = answered(Scratch("R U R' U'", lines), paper)
    assert claims == answered(Scratch("R U R' U'", "order 6; keeps centres"), paper)
    assert "order 6" in claims


def test_it_names_what_the_guide_has_with_that_effect(paper: Paper) -> None:
    """The relation is that of the claims: `same as` and `undoes` hold of these moves."""
    same = answer(Scratch("F D' U L2 U2 D2 R U", "same as @lift-edge"), paper)
    assert same.claims[0].fault == ""
    assert [(g.kind, [r.name for r in g.listed]) for g in same.related if g.kind == "same"] == [
        ("same", ["lift-edge"])
    ]
    undone = answer(Scratch("M'", "undoes @slice"), paper)
    assert undone.claims[0].fault == ""
    (group, *_) = undone.related
    assert (group.kind, [each.name for each in group.listed]) == ("undoes", ["slice"])
    page = Document.read(answered(Scratch("M'"), paper))
    assert [link.attributes["href"] for link in page.root.all("a")] == ["/sequences/slice.html"]


def test_how_the_moves_are_made_is_told_with_a_derivation_that_publishes(tmp_path: Path) -> None:
    found = answer(Scratch("F D F' U F D' F' U'"), Paper(guide_of(tmp_path / "one", index="# Home\n")))
    assert found.ways[0] == "[[F: D], U]"
    assert "- turn: [F: D]'\n" in found.derivation
    check(guide_of(tmp_path / "other", index=found.derivation))


def test_moves_that_are_made_of_nothing_shorter_have_no_derivation(paper: Paper) -> None:
    found = answer(Scratch("R U F"), paper)
    assert (found.ways, found.derivation) == ((), "")
    assert "How it is made" not in answered(Scratch("R U F"), paper)
    assert "How it is made" in answered(Scratch("R U R'"), paper)


@pytest.mark.parametrize("moves", ["R U R' U'", "F D' U L2 U2 D2 R U", "M U Rw"])
def test_the_inverse_and_the_mirror_images_are_what_the_claims_call_so(tmp_path: Path, moves: str) -> None:
    there = Paper(guide_of(tmp_path, own=f"```moves own\n{moves}\n```\n"))
    found = answer(Scratch(moves), there)
    assert answer(Scratch(found.inverse, "undoes @own"), there).claims[0].fault == ""
    assert answer(Scratch(f"{moves} {found.inverse}", "does nothing"), there).claims[0].fault == ""
    assert len(found.mirrors) == 9  # a cube has nine planes of reflection
    for each in found.mirrors:
        assert answer(Scratch(each.moves, "mirrors @own"), there).claims[0].fault == ""


@pytest.mark.parametrize("view", VIEWS)
def test_before_and_after_are_drawn_in_the_view_that_is_wanted(paper: Paper, view: str) -> None:
    page = Document.read(answered(Scratch("R U", view=view), paper))
    assert [pair.attributes["data-view"] for pair in page.root.all("div", class_="pair")] == [view]
    (pair,) = page.root.all("div", class_="pair")
    assert [each.text for each in pair.all("figcaption")] == ["before", "after"]


def test_a_view_that_a_puzzle_does_not_have_is_not_insisted_on(paper: Paper) -> None:
    name, view = next(
        (name, view) for name in paper.puzzles for view in VIEWS if view not in available(paper.puzzle(name))
    )
    turn = next(iter(paper.puzzle(name).axes))
    assert 'data-view="corner"' in answered(Scratch(turn, puzzle=name, view=view), paper)


# Blocks ----------------------------------------------------------------------------------------------------


@settings(max_examples=25)
@given(moves=moves_of_cube(3))
def test_a_block_publishes_where_it_is_pasted(tmp_path_factory: pytest.TempPathFactory, moves) -> None:
    folder = guide_of(tmp_path_factory.getbasetemp() / "pasted")
    found = answer(Scratch(moves.text), Paper(folder))
    (folder / "content/index.md").write_text(f"# Home\n\n{found.block}\n")
    guide = read_guide(folder)
    assert [str(problem) for problem in guide.problems] == []
    assert [s.effect.permutation for s in guide.sequences.values()] == [
        found.sequence.effect.permutation
    ] * bool(found.block)


def test_a_block_claims_what_is_true_of_what_was_claimed_under_a_name_that_is_free(paper: Paper) -> None:
    found = answer(Scratch("F D' U L2 U2 D2 R U", "flips UR\nflips UF\nkeeps U except UF"), paper)
    assert found.block.split("\n")[3:] == ["claims:", "- flips UF", "- keeps U except UF", "```"]
    assert found.block.startswith("```moves flips-uf\ntitle: Flips UF\n")
    assert "```moves from-scratch-paper\n" in answer(Scratch("R U F D L B"), paper).block


def test_a_name_that_the_guide_has_is_not_given_again(tmp_path: Path) -> None:
    there = Paper(guide_of(tmp_path, own="```moves flips-uf\nF E F2 E2 F E\n```\n"))
    assert answer(Scratch("F E F2 E2 F E", "flips UF"), there).block.startswith("```moves flips-uf-2\n")
    (found, *_) = seek(there.folder, Asking("does nothing", longest=0)).answers
    assert found.block == ""


# What cannot be answered -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("moves", "puzzle", "told"),
    [
        ("R Q", None, "moves:1:3:"),
        ("@nothing", None, "no sequence is named nothing"),
        ("(((", None, "moves:1:3:"),
        ("R", "cube-99", "no puzzle is called cube-99"),
    ],
)
def test_what_cannot_be_read_is_told_with_its_place(
    paper: Paper, moves: str, puzzle: str | None, told: str
) -> None:
    with pytest.raises((Problem, Problems)):
        answer(Scratch(moves, puzzle=puzzle), paper)
    assert told in answered(Scratch(moves, puzzle=puzzle), paper)


def test_without_moves_nothing_is_said(paper: Paper) -> None:
    assert answered(Scratch("  \n ", "flips UF"), paper) == filled("blank.html")


def test_a_guide_that_cannot_be_read_stops_nobody(tmp_path: Path) -> None:
    broken = Paper(write_guide(tmp_path, {"content/guide.yaml": "pages: [", "content/index.md": "Home."}))
    assert broken.puzzles
    assert "flips" not in answered(Scratch("R U", puzzle="cube-3"), broken)
    assert answer(Scratch("R U", puzzle="cube-3"), broken).sequence.effect.order == 105


TYPED = ["R U", "@slice", "<script>", "flips UF", "keeps <b>", "'\"&", "x" * 500]
TEXT = st.text(max_size=30) | st.sampled_from(TYPED)


@settings(max_examples=60)
@given(moves=TEXT, claims=TEXT, puzzle=TEXT, view=TEXT)
def test_whatever_is_typed_is_answered_and_nothing_of_it_is_taken_for_html(
    folder: Path, moves: str, claims: str, puzzle: str, view: str
) -> None:
    there = Paper(folder)
    for scratch in (
        Scratch(moves, claims, puzzle or None, view),
        Scratch("R U", f"{claims}; flips UF", None, view),
    ):
        page = Document.read(answered(scratch, there))
        assert page.faults == []
        assert page.root.all("script") == page.root.all("b", class_="x") == []


# Finding ---------------------------------------------------------------------------------------------------


def test_it_finds_what_the_command_find_finds(folder: Path, within: None) -> None:
    claims = "cycles UFR > DFR; keeps U except UFR"
    found = seek(folder, Asking(claims, faces="R,F,D"))
    lines = run("find", claims, "--faces", "R,F,D", "--most", str(MOST), "--json").stdout.splitlines()
    assert [each.moves for each in found.answers] == [json.loads(line)["moves"] for line in lines]
    assert "none is shorter" in found.account
    assert all(each.block.startswith("```moves cycles-ufr-dfr-") for each in found.answers)


def test_what_is_found_can_be_pasted(folder: Path, tmp_path: Path) -> None:
    found = seek(folder, Asking("flips UF; keeps U except UF"))
    text = "\n\n".join(each.block for each in found.answers)
    guide = read_guide(guide_of(tmp_path, found=text))
    assert guide.problems == ()
    assert len(guide.sequences) == len(found.answers) == 8  # as the command tells: 8 of 8 OBTM


def test_what_cannot_be_is_refused(folder: Path) -> None:
    (told,) = seek(folder, Asking("flips UF; changes only UF")).problems
    assert "flips of edges come in pairs" in told


@pytest.mark.parametrize(
    ("moves", "claims"), [("@bad U", ""), ("R", "mirrors @bad"), ("@bad", "same as @bad")]
)
def test_a_false_claim_about_a_sequence_that_is_named_is_noted(tmp_path, moves: str, claims: str) -> None:
    folder = guide_of(tmp_path, index="Text.\n\n```moves bad\nmoves: R U\nclaims: order 3\n```\n")
    found = answer(Scratch(moves, claims=claims), Paper(folder))
    (note,) = found.notes
    assert note.startswith("content/index.md:5:9: note: this claim is false")
    assert note in Document.read(answered(Scratch(moves, claims=claims), Paper(folder))).root.text
    assert answer(Scratch("R", claims="order 4"), Paper(folder)).notes == ()
