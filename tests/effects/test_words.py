"""Effects said in words: exact sentences worked by hand, and sentences that leave nothing out."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from test_effect import LIFT, MOVES, effect_of

from sitegen.effects.effect import Effect
from sitegen.effects.words import brief, listed, say, where
from sitegen.puzzles import catalogue
from sitegen.puzzles import permutation as perm


@pytest.mark.parametrize(
    ("moves", "sentence"),
    [
        ("", "Everything is home."),
        ("R R'", "Everything is home."),
        # REFERENCES, common practice: the lifted edge and the one that U brings in its place.
        (f"[{LIFT}, U]", "UF and UR are flipped; everything else is home."),
    ],
)
def test_a_sentence_is_the_one_worked_out_by_hand(effect, moves: str, sentence: str) -> None:
    assert say(effect(moves)) == sentence


def clauses(sentence: str) -> set[str]:
    return set(sentence.removesuffix(".").split("; "))


def test_a_quarter_turn_moves_corners_and_edges_round(effect) -> None:
    # By hand: from above, clockwise, front goes to left, left to back, back to right, right to front.
    assert clauses(say(effect("U"))) == {
        "UF goes to UL, UL to UB, UB to UR and UR to UF",
        "UFL goes to UBL, UBL to UBR, UBR to UFR and UFR to UFL",
        "everything else is home",
    }


def test_a_half_turn_swaps_what_is_across(effect) -> None:
    assert clauses(say(effect("U2"))) == {
        "UF and UB change places",
        "UL and UR change places",
        "UFL and UBR change places",
        "UFR and UBL change places",
        "everything else is home",
    }


def test_a_cycle_that_comes_round_turned_says_so(effect) -> None:
    # By hand: R U R' U' takes the U sticker of UFR down to R, and what comes back shows it on R again.
    assert "UFR goes to RDF and RDF to RUF" in clauses(say(effect("R U R' U'")))


def test_twists_name_their_sense_once_for_all_corners_that_share_it(effect) -> None:
    # [A, U] with A twisting one corner of U: by the law of twists the other turns the other way.
    sentence = say(effect("[(R' D' R D)2, U]"))
    assert re.fullmatch(
        r"(\w+) is twisted (anti)?clockwise and (\w+) (anti)?clockwise; everything else is home\.", sentence
    )
    assert tuple(sorted(re.findall(r"\bU\w\w\b", sentence), reverse=True)) == ("UFR", "UBR")


@pytest.mark.parametrize(
    ("parts", "text"),
    [([], ""), (["a"], "a"), (["a", "b"], "a and b"), (["a", "b", "c"], "a, b and c")],
)
def test_lists_read_as_people_write_them(parts: list[str], text: str) -> None:
    assert listed(parts) == text


# Nothing is left out --------------------------------------------------------------------------------------


def carried_out(sentence: str, effect: Effect) -> dict[int, int]:
    """Where a reader who has nothing but the sentence puts each sticker."""
    puzzle, goes = effect.puzzle, {s.index: s.index for s in effect.puzzle.stickers}

    def move(a: str, b: str) -> None:
        start, end = puzzle.slots[a], puzzle.slots[b]
        source, target = puzzle.piece_at(start).stickers, puzzle.piece_at(end).stickers
        for i in range(len(source)):
            step = source[(source.index(start) + i) % len(source)]
            goes[step] = target[(target.index(end) + i) % len(target)]

    for clause in clauses(sentence):
        if clause.endswith("flipped"):
            for name in re.findall(r"[A-Z]+", clause):
                move(name, name[::-1])
        elif "twisted" in clause:
            for names, sense in re.findall(
                r"(.*?)(?:\bis twisted|\bare twisted)? (anticlockwise|clockwise)", clause
            ):
                for name in re.findall(r"[A-Z]{3}", names):
                    stickers = puzzle.piece_at(puzzle.slots[name]).stickers
                    ends = (
                        stickers[1:] + stickers[:1] if sense == "clockwise" else stickers[-1:] + stickers[:-1]
                    )
                    goes.update(zip(stickers, ends, strict=True))
        elif "change places" in clause:
            a, b = re.findall(r"[A-Z]+", clause)
            move(a, b)
            move(b, a)
        elif "goes to" in clause:
            for a, b in re.findall(r"([A-Z]+) (?:goes )?to ([A-Z]+)", clause):
                move(a, b)
        else:
            assert clause in ("everything else is home", "Everything is home")
    return goes


@given(MOVES)
def test_a_reader_of_the_sentence_could_carry_the_effect_out(text: str) -> None:
    effect = effect_of(text)
    expected = {s.index: effect.permutation[s.index] for s in effect.puzzle.stickers}
    assert carried_out(say(effect), effect) == expected


@pytest.mark.parametrize("name", catalogue.names())
@pytest.mark.parametrize("tell", [say, brief, where])
def test_many_pieces_turned_in_place_are_told_and_nothing_is_said_to_go_round(name: str, tell) -> None:
    """A piece of two stickers or more is turned by one of them, each of these pieces."""
    puzzle = catalogue.puzzle(name)
    turned = [piece for piece in puzzle.pieces if len(piece.stickers) > 1]
    images = list(range(len(puzzle.stickers)))
    for piece in turned:
        for slot, image in zip(piece.stickers, piece.stickers[1:] + piece.stickers[:1], strict=True):
            images[slot] = image
    told = clauses(tell(Effect(puzzle, perm.from_images(images), marked=True)))
    told.discard("everything else is home")
    assert all(re.fullmatch(r"\w.* (is|are) (flipped|twisted clockwise)", clause) for clause in told)
    assert {name for clause in told for name in re.findall("[A-Z]\\w*", clause)} == {p.name for p in turned}
