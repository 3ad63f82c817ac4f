"""Turns by the names of a puzzle's own axes: how each is read, written and refused."""

from __future__ import annotations

import pytest
import sample_definitions as samples

from sitegen.moves.notation import outer_layers, write
from sitegen.moves.parse import parse
from sitegen.moves.turning import expand
from sitegen.problems import Problem, written
from sitegen.puzzles import catalogue
from sitegen.puzzles.puzzle import Puzzle, Turn


@pytest.mark.parametrize(
    ("name", "text", "turn"),
    [
        ("pyraminx", "U", Turn("U", 1, 2, 1)),  # WCA 12e: two layers
        ("pyraminx", "u'", Turn("U", 1, 1, -1)),  # WCA 12e: the vertex alone
        ("pyraminx", "2U", Turn("U", 2, 2, 1)),
        ("pyraminx", "2-3U", Turn("U", 2, 3, 1)),
        ("pyraminx", "3Uw", Turn("U", 1, 3, 1)),
        ("megaminx", "2Br'", Turn("Br", 2, 2, -1)),
        ("megaminx", "Dblw2", Turn("Dbl", 1, 2, 2)),
    ],
)
def test_each_way_of_naming_layers_is_the_turn_it_says(name: str, text: str, turn: Turn) -> None:
    assert expand(parse(written(text), catalogue.puzzle(name))) == (turn,)


@pytest.mark.parametrize("name", ["pyraminx", "skewb", "megaminx"])
def test_every_turn_is_written_so_that_it_is_read_as_the_same(name: str) -> None:
    puzzle = catalogue.puzzle(name)
    for axis in puzzle.axes:
        for first in range(1, puzzle.layer_count + 1):
            for last in range(first, puzzle.layer_count + 1):
                for amount in range(1, puzzle.full_turn):
                    turn = Turn(axis, first, last, amount)
                    (again,) = expand(parse(written(write(turn, puzzle)), puzzle))
                    assert puzzle.permutation(again) == puzzle.permutation(turn), write(turn, puzzle)


@pytest.mark.parametrize("name", catalogue.names())
def test_an_outer_layer_turned_back_is_written_by_its_own_name(name: str) -> None:
    puzzle = catalogue.puzzle(name)
    for turn in outer_layers(puzzle).values():
        assert write(turn.by(-1), puzzle) == write(turn, puzzle) + "'"


@pytest.mark.parametrize(
    ("turn", "text"),
    [
        (Turn("A", 1, 1, 1), "A"),
        (Turn("A", 1, 2, 1), "Aw"),
        (Turn("A", 1, 3, 1), "3Aw"),
        (Turn("A", 2, 2, -1), "2A'"),
        (Turn("A", 2, 3, -1), "2-3A'"),
        (Turn("A", 1, 4, 1), "1-4A"),  # all layers: the whole puzzle, for which no shorter sign is given
    ],
)
def test_a_turn_is_written_the_shortest_way(turn: Turn, text: str) -> None:
    puzzle = samples.tetrahedron_of_four_layers()
    assert write(turn, puzzle) == text
    (again,) = expand(parse(written(text), puzzle))
    assert again == turn


@pytest.mark.parametrize(
    ("name", "text", "message", "hint"),
    [
        ("pyraminx", "Q", "found “Q”", "turns are U L R B u l r b"),
        ("pyraminx", "2-U", "“2-U” says where the layers begin and not where they end", "write 2-3U"),
        ("pyraminx", "2u", "u takes no layer numbers and no w", "write u alone"),
        ("pyraminx", "2-3Uw", "2 and w do not go together", "write 3Uw, or 2-3U"),
        (
            "pyraminx",
            "4U",
            "pyraminx has no layers 4U",
            "layers of U are numbered from 1, the outermost, to 3",
        ),
        ("megaminx", "BR", "“BR” is read in two ways", "write Br for the face, or put blanks between: B R"),
    ],
)
def test_what_is_no_turn_is_told_with_what_to_write(name: str, text: str, message: str, hint: str) -> None:
    with pytest.raises(Problem) as caught:
        parse(written(text), catalogue.puzzle(name))
    assert message in caught.value.message
    assert hint in caught.value.hint
    _reads_or_lists(caught.value.hint, catalogue.puzzle(name))


def _reads_or_lists(hint: str, puzzle: Puzzle) -> None:
    """What a hint says to write can be read."""
    if hint.startswith("write "):
        for text in hint.removeprefix("write ").replace(" alone", "").split(" for ")[0].split(", or "):
            parse(written(text), puzzle)
