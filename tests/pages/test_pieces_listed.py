"""Keys that take pieces, such as `focus`: written as a list they mean what they mean on a line."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitegen.blocks import keys
from sitegen.effects.piece_sets import parse_pieces
from sitegen.pages.block_body import read_fields
from sitegen.problems import Findings, written
from sitegen.puzzles import catalogue

CUBE = catalogue.puzzle("cube-3")
APART = [
    "UF",
    "UR and UFR",
    "centres",
    "edges of D",
    "corners of D except DFR",
    "FL, BL",
    "face U except edges",
]
"""Sets of which some share pieces, and none is part of another."""


def read(value: str) -> tuple[frozenset[int], list[tuple[int, int, str]]]:
    findings = Findings()
    fields = read_fields(written(f"focus: {value}\n"), ("focus",))
    found = keys.pieces(fields, "focus", CUBE, findings)
    return found, [(p.passage.line, p.passage.column, p.passage.text) for p in findings.problems]


@given(st.lists(st.sampled_from(["UF", "UR", "UFR", "D", "FL", "BL"]), min_size=1, unique=True))
def test_a_list_of_places_and_layers_is_the_same_on_a_line_in_brackets_and_below(names: list[str]) -> None:
    on_a_line = parse_pieces(written(" and ".join(names)), CUBE), []
    assert read(f"[{', '.join(names)}]") == on_a_line
    assert read("".join(f"\n- {name}" for name in names)) == on_a_line
    assert read(", ".join(names)) == on_a_line


@given(st.lists(st.sampled_from(APART), min_size=1, unique=True))
def test_each_item_is_read_by_itself(items: list[str]) -> None:
    """What one takes out with “except” it takes out of itself, and what is “of” something is of its own."""
    each = [parse_pieces(written(item), CUBE) for item in items]
    assert read("".join(f"\n- {item}" for item in items)) == (frozenset().union(*each), [])


@pytest.mark.parametrize(
    ("value", "place"),
    [
        ("\n- UF\n- UX", (3, 3, "UX")),
        ("[UF, UX]", (1, 13, "UX")),
        ("\n- UF\n- UR, FU", (2, 3, "UF")),
        ("[U except UF, UR]", (1, 22, "UR")),
        ("\n- U except DF", (2, 12, "DF")),
        ("UF UR", (1, 11, "UR")),
    ],
)
def test_a_mistake_in_an_item_is_told_where_it_stands(value: str, place: tuple[int, int, str]) -> None:
    assert read(value)[1] == [place]


@pytest.mark.parametrize("key", ["focus", "guard", "watch"])
@pytest.mark.parametrize("value", ["[UF, UR]", "\n- UF\n- UR"])
def test_every_key_that_takes_pieces_takes_them_as_a_list(headlines, key: str, value: str) -> None:
    block = "moves" if key == "focus" else "derivation"
    body = "moves: U2 U2" if key == "focus" else "steps:\n- turn: U2\n- undo: all"
    assert headlines(index=f"```{block} x\n{key}: {value}\n{body}\n```\n") == []
