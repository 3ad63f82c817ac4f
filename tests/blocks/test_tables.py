"""The table of a kind of block says what its block is read by: each key, and words that its values take."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from sitegen.blocks import keys
from sitegen.blocks.block import Head
from sitegen.blocks.kinds import KINDS
from sitegen.effects.piece_sets import JOINTS, parse_pieces, piece_words
from sitegen.pages.markdown import Fence, fences, page_prose
from sitegen.problems import Findings, written
from sitegen.puzzles import catalogue
from sitegen.puzzles.puzzle import Puzzle

PUZZLES = ("cube-2", "cube-3", "cube-5", "pyraminx", "skewb", "megaminx")
CHOICES = (keys.YES, keys.VIEW, keys.LAYER, keys.LAYERS)
SAMPLES = {
    "moves": "moves: R\n",
    "derivation": "names: it\nguard: U\nsteps:\n- turn: R\n- undo: all\n",
    "position": "moves: R\n",
    "find": "claims: flips UF\n",
    "derive": "claims: flips UF\n",
    "method": "stages:\n- stage: One\n  goal: all home\n  using: any turns up to 2\n",
    "worked example": "moves: R\n",
    "practice": "from: @one\n",
}
"""A body for each kind, to which a line can be added."""


def fence(kind: str, body: str) -> Fence:
    return next(fences(page_prose(written(f"```{kind} name\n{body}```\n"), html=False)))


def problems(kind: str, body: str, puzzle: Puzzle) -> list[str]:
    findings = Findings()
    head = Head("name", "index", puzzle, html=False)
    findings.attempt(None, KINDS[kind].parse, fence(kind, body), head, findings)
    return [problem.message for problem in findings.problems]


def chosen(kind: str, puzzle: Puzzle) -> Iterator[tuple[str, str]]:
    """Each key of a kind that takes one of a few words, with each of them."""
    for key, meaning in KINDS[kind].table.keys.items():
        words = list(meaning.words(puzzle))
        if meaning in CHOICES or meaning.what == " or ".join(words):
            yield from ((key, word) for word in words)


@pytest.mark.parametrize("kind", KINDS)
def test_every_key_of_the_table_is_read_and_no_other(kind: str, cube3: Puzzle) -> None:
    table = KINDS[kind].table
    for key in table.keys:
        if f"{key}:" not in SAMPLES[kind]:
            told = problems(kind, f"{SAMPLES[kind]}{key}: 1\n", cube3)
            assert not [each for each in told if "no key" in each], (key, told)
    assert "there is no key “colour” here" in problems(kind, f"{SAMPLES[kind]}colour: 1\n", cube3)
    assert table.plain in ("", *table.keys)
    assert set(table.nested) <= set(table.keys)


@pytest.mark.parametrize("puzzle", PUZZLES)
@pytest.mark.parametrize("kind", KINDS)
def test_every_word_that_a_key_is_said_to_take_is_read(kind: str, puzzle: str) -> None:
    turned = catalogue.puzzle(puzzle)
    moves = next(iter(turned.axes))
    body = (
        SAMPLES[kind]
        .replace("R\n", f"{moves}\n")
        .replace("flips UF", "order 4")
        .replace("guard: U", f"guard: {moves}")
    )
    before = problems(kind, body, turned)
    seen = 0
    for key, word in chosen(kind, turned):
        if f"{key}:" not in body and key != "marked":
            assert problems(kind, f"{body}{key}: {word}\n", turned) == before, (key, word)
            seen += 1
    assert seen >= 4


@pytest.mark.parametrize("puzzle", PUZZLES)
def test_every_word_for_pieces_names_some(puzzle: str) -> None:
    turned = catalogue.puzzle(puzzle)
    for word in piece_words(turned):
        if word not in (*JOINTS, "face"):
            assert parse_pieces(written(word), turned), word
