"""Pieces that look alike, in a guide: blocks say what can be seen, and where `marked: yes` what truly moved.

By hand, on the cube of four layers: U turns its four centres among themselves, which nobody sees; and
[2R, U 2L U'] is a commutator of two slices that share one centre of U, so that three centres go round.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner
from sample_guide import guide_of

from sitegen.cli import main
from sitegen.effects.fares import AWAY, HOME
from sitegen.effects.words import likeness
from sitegen.site.publish import publish

FRONT = "---\npuzzle: cube-4\n---\n"
AROUND = "(R U R' U)5"
"""Common practice: on cube-3 this turns the centre of U halfway and does nothing else."""
THREE = "[2R, U 2L U']"


def moves(text: str, *lines: str, name: str = "x") -> str:
    body = "\n".join([f"moves: {text}", *lines])
    return f"{FRONT}```moves {name}\n{body}\n```\n"


def checked(guide):
    assert guide.problems == ()
    return [block.checked for block in guide.blocks["index"]]


def claims(*texts: str) -> str:
    return "claims:\n" + "\n".join(f"- {text}" for text in texts)


# Moves ----------------------------------------------------------------------------------------------------


def test_a_sequence_keeps_what_looks_the_same_after_it(guide_at) -> None:
    told = claims("keeps centres", "does nothing", "order 1")
    (sequence,) = checked(guide_at(index=moves(AROUND, told)))
    assert sequence.effect.changed == ()


def test_marked_it_keeps_only_what_has_truly_stayed(guide_at) -> None:
    told = claims(
        "keeps wings", "order 2", "swaps Ufl with Ubr and Ufr with Ubl", "changes only centres of U"
    )
    (sequence,) = checked(guide_at(index=moves(AROUND, "marked: yes", told)))
    assert {piece.name for piece in sequence.effect.changed} == {"Ufl", "Ufr", "Ubl", "Ubr"}


@pytest.mark.parametrize(
    ("lines", "said"),
    [
        ((claims("swaps Ufl with Ubr"),), "Ufl and Ubr look alike, so nobody sees one go to the other"),
        (("marked: yes", claims("keeps centres")), "Ufl goes to Ubr"),
        (("marked: yes", claims("does nothing")), "Ufl goes to Ubr"),
        (("marked: perhaps",), "marked is yes or no, not “perhaps”"),
    ],
)
def test_a_claim_that_is_false_of_what_it_speaks_of_is_refused(problems_of, lines, said: str) -> None:
    (problem,) = problems_of(index=moves(AROUND, *lines))
    assert said in problem.message


def test_whoever_claims_what_nobody_sees_is_told_of_the_key(problems_of) -> None:
    (problem,) = problems_of(index=moves("U", claims("cycles Ufl > Ubl > Ubr > Ufr")))
    assert "marked: yes" in problem.message


@pytest.mark.parametrize("puzzle", ["cube-2", "cube-3", "megaminx"])
@pytest.mark.parametrize("kind", ["moves", "derivation", "find"])
def test_the_key_is_refused_where_no_two_pieces_look_alike(problems_of, puzzle: str, kind: str) -> None:
    body = {"moves": "moves: U", "derivation": "steps:\n- turn: U", "find": "claims: order 2"}[kind]
    page = f"---\npuzzle: {puzzle}\n---\n```{kind} x\n{body}\nmarked: yes\n```\n"
    (problem,) = [each for each in problems_of(index=page) if "alike" in each.message]
    assert problem.message == f"no two pieces of {puzzle} look alike"
    assert problem.passage.text == "marked"
    assert "take “marked” away" in problem.hint


def test_other_sequences_are_compared_as_they_look_and_marked_as_they_truly_are(problems_of) -> None:
    first = moves("F", name="first")
    for relation, text in (("same as", f"{AROUND} F"), ("undoes", f"F' {AROUND}")):
        other = moves(text, claims(f"{relation} @first"), name="other").removeprefix(FRONT)
        # By hand: U's centres, half turned, are carried nowhere by F, which does not move them.
        assert problems_of(index=first + other) == []
        marked = other.replace("claims:", "marked: yes\nclaims:")
        (problem,) = problems_of(index=first + marked)
        assert problem.message.startswith("this claim is false: @first does this")


def test_before_and_after_are_composed_of_what_truly_moved(guide_at, turned) -> None:
    (sequence,) = checked(guide_at(index=moves("2R U 2R'", "ends: solved")))
    assert sequence.before == turned("2R U' 2R'", sequence.puzzle)


# What is said of it ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("front", "text", "marked", "said"),
    [
        (FRONT, "U", False, "Pieces that look alike count as one"),
        (FRONT, "U", True, "Pieces that look alike are told apart"),
        (FRONT, THREE, False, ""),  # no centre comes to the place of one like it
        (FRONT, THREE, True, ""),
        ("", "U", False, ""),
    ],
)
def test_a_sequence_says_how_like_pieces_count_where_that_makes_a_difference(
    guide_at, front: str, text: str, marked: bool, said: str
) -> None:
    page = moves(text, *["marked: yes"] * marked).replace(FRONT, front)
    (sequence,) = checked(guide_at(index=page))
    assert sequence.likeness.startswith(said)
    assert bool(sequence.likeness) == bool(said)
    assert sequence.likeness == likeness(sequence.effect)


def test_the_pages_show_what_is_said(tmp_path: Path) -> None:
    why = derivation().removeprefix(FRONT).replace("why", "why\ntitle: Why")
    three = moves(THREE, name="three").removeprefix(FRONT)
    pages = {"index": moves("U", name="turn"), "why": f"{FRONT}{why}", "three": f"{FRONT}{three}"}
    publish(guide_of(tmp_path, "title: T\npuzzle: cube-4\n", **pages))
    said = {
        name: (tmp_path / "output" / f"{name}.html").read_text().count("Pieces that look alike count as one")
        for name in ("index", "why", "three", "sequences/turn", "sequences/three")
    }
    assert said == {"index": 1, "why": 1, "three": 0, "sequences/turn": 1, "sequences/three": 0}


# Derivations ----------------------------------------------------------------------------------------------


def derivation(*lines: str) -> str:
    body = "\n".join(["guard: centres of U", *lines, "steps:\n- turn: U"])
    return f"{FRONT}```derivation why\n{body}\n```\n"


def test_a_guarded_piece_is_home_when_it_looks_home(guide_at) -> None:
    (found,) = checked(guide_at(index=derivation()))
    assert set(found.stages[-1].states.values()) == {HOME}
    assert found.stages[-1].guarded == "4 of 4 home"
    assert found.likeness


def test_marked_guards_must_truly_be_home(problems_of, guide_at) -> None:
    (problem,) = problems_of(index=derivation("marked: yes"))
    assert "Ufl" in problem.message
    (found,) = checked(guide_at(index=derivation("marked: yes", "fails: yes")))
    assert set(found.stages[-1].states.values()) == {AWAY}


def test_of_like_guards_only_as_many_are_away_as_colours_are_missing(guide_at) -> None:
    page = derivation("fails: yes").replace("- turn: U", "- turn: 2R\n- turn: U")
    (found,) = checked(guide_at(index=page))
    # By hand: 2R takes two centres out of U, and U turns what is there.
    assert [stage.guarded.split(";")[0] for stage in found.stages] == ["2 of 4 home", "2 of 4 home"]


def test_a_watched_piece_is_followed_as_if_it_were_marked(guide_at) -> None:
    (found,) = checked(guide_at(index=derivation("watch: Ufl")))
    assert found.stages[0].did == "Ufl goes from Ufl to Ubl."


# Finding --------------------------------------------------------------------------------------------------


def found(*lines: str) -> str:
    body = "\n".join(lines)
    return f"{FRONT}```find\n{body}\n```\n"


def test_what_is_found_does_what_is_claimed_as_far_as_can_be_seen(guide_at) -> None:
    (ways,) = checked(guide_at(index=found("claims: keeps centres; order 4", "faces: U")))
    assert {way.sequence.moves for way in ways.ways} == {"U", "U'"}
    (ways,) = checked(
        guide_at(index=found("claims: cycles Ufl > Ubl > Ubr > Ufr", "faces: U", "marked: yes"))
    )
    assert [way.sequence.moves for way in ways.ways] == ["U"]
    assert ways.ways[0].sequence.effect.marked
    assert "marked: yes" in ways.ways[0].source


def test_what_nobody_can_see_is_not_searched_for(problems_of) -> None:
    (problem,) = problems_of(index=found("claims: swaps Ufl with Ubr"))
    assert "look alike" in problem.message


# Methods --------------------------------------------------------------------------------------------------


def method(goal: str, *lines: str) -> str:
    stage = "\n  ".join([f"goal: {goal}", "using: @three", "lead-in: 1 turn", "hold: x and y", *lines])
    block = f"```method m\ncount: 5\nstages:\n- stage: Centres\n  {stage}\n```\n"
    return moves(THREE, name="three") + "\n" + block


def test_a_stage_of_centres_is_solved_by_colours(guide_at) -> None:
    _, made = checked(guide_at(index=method("centres of U home")))
    # By hand: four of 24 places show the colour of U, in 10,626 ways, and how the cube is held makes no case.
    # Burnside: of these, each of 9 half turns of the cube leaves 66 as they are, each of 6 quarter turns 6.
    cases = (10_626 + 9 * 66 + 6 * 6) // 24
    assert (made.covered, made.cases) == (cases, cases) == (469, 469)
    assert (made.trial.solved, made.trial.tried) == (5, 5)


@pytest.mark.parametrize(
    ("goal", "lines"),
    [("Ufl home", ()), ("centres of U home", ("one by one: Ufl and Ufr, Ubl and Ubr",))],
)
def test_stages_never_ask_which_of_like_pieces_it_is(problems_of, goal: str, lines: tuple[str, ...]) -> None:
    (problem,) = problems_of(index=method(goal, *lines))
    assert "like" in problem.message
    assert problem.hint == "ask for all that look alike, or for none of them"


# The command ----------------------------------------------------------------------------------------------


def test_the_commands_tell_like_pieces_apart_when_asked() -> None:
    run = CliRunner().invoke
    assert "Everything is home." in run(main, ["effect", AROUND, "--puzzle", "cube-4"]).output
    marked = run(main, ["effect", AROUND, "--puzzle", "cube-4", "--marked"]).output
    assert "Ufl and Ubr change places; Ufr and Ubl change places; everything else is home." in marked
    asked = ["find", "cycles Ufl > Ubl > Ubr > Ufr", "--faces", "U", "--puzzle", "cube-4"]
    refused = run(main, asked)
    assert refused.exit_code == 2
    assert "look alike" in refused.output
    assert run(main, [*asked, "--marked"]).output.startswith("U\n")


# In a sentence --------------------------------------------------------------------------------------------

SEEN = ("keeps centres", "does nothing", "order 1")
MEANT = ("swaps Ufl with Ubr", "order 2")


@pytest.mark.parametrize("marked", [True, False])
@pytest.mark.parametrize("claim", [*SEEN, *MEANT])
def test_a_claim_in_prose_is_about_marked_pieces_where_the_sequence_that_it_names_is(
    guide_at, claim: str, marked: bool
) -> None:
    text = moves(AROUND, *(["marked: yes"] if marked else [])) + f"\nIt `{claim}`{{.claim of=x}}.\n"
    assert (guide_at(index=text).problems == ()) == (claim in (MEANT if marked else SEEN))


@pytest.mark.parametrize("claim", [*SEEN, *MEANT])
def test_a_claim_in_prose_about_moves_is_about_what_can_be_seen(guide_at, claim: str) -> None:
    text = f"{FRONT}Here `{AROUND}`{{.moves}} `{claim}`{{.claim}}.\n"
    assert (guide_at(index=text).problems == ()) == (claim in SEEN)
