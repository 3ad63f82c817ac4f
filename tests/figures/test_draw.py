"""What a figure promises: well-formed, small, complete, the same every time, and readable without colour."""

from __future__ import annotations

import re
import time
import xml.etree.ElementTree as ET
from dataclasses import replace

import pytest
from sample_pictures import busy, solved

from sitegen.figures.draw import draw
from sitegen.figures.views import VIEWS, available, layout
from sitegen.puzzles import catalogue
from sitegen.puzzles.puzzle import Puzzle, Turn

SHIPPED = [(name, view) for name in catalogue.names() for view in available(catalogue.puzzle(name))]


def paths(figure: str, of: str) -> list[str]:
    return re.findall(rf'<path d="([^"]*)" class="{of}"', figure)


@pytest.mark.parametrize(("name", "view"), SHIPPED)
def test_every_view_draws_every_shipped_puzzle(name: str, view: str) -> None:
    puzzle = catalogue.puzzle(name)
    axis = next(iter(puzzle.axes))
    figure = draw(solved(puzzle, marks=(Turn(axis, 1, 1, 1),)), view)
    root = ET.fromstring(figure)
    assert root.tag == "svg"
    assert root.find("path") is not None, "the body"


@pytest.mark.parametrize(("name", "view"), SHIPPED)
def test_every_visible_sticker_is_drawn_once(name: str, view: str) -> None:
    puzzle = catalogue.puzzle(name)
    figure = draw(solved(puzzle), view)
    stickers = re.search(r'<g class="stickers".*?</g>', figure)
    assert stickers
    # Each sticker is one closed polygon: it ends with a z.
    assert stickers.group().count("z") == len(layout(puzzle, view).shapes)


def test_a_corner_of_a_cube_shows_three_faces_and_a_net_all(cube3: Puzzle) -> None:
    # Counted by hand on a cube: 9 stickers a face, 3 faces; 9 and a rim of 12; 6 faces.
    counts = {view: len(layout(cube3, view).shapes) for view in VIEWS}
    assert counts == {"corner": 27, "corner with back": 54, "top": 21, "net": 54}


def test_stickers_of_one_colour_share_a_path(cube3: Puzzle) -> None:
    figure = draw(solved(cube3), "net")
    for colour in ("white", "yellow", "green", "blue", "orange", "red"):
        assert len(paths(figure, colour)) == 1


def test_the_busiest_cube_3_corner_stays_below_four_kilobytes(cube3: Puzzle) -> None:
    assert len(draw(busy(cube3), "corner").encode()) < 4000


@pytest.mark.parametrize("view", VIEWS)
def test_coordinates_carry_at_most_two_decimals(cube3: Puzzle, view: str) -> None:
    assert not re.search(r"\.\d{3}", draw(busy(cube3), view))


def test_title_and_description_are_there_and_escaped(cube3: Puzzle) -> None:
    root = ET.fromstring(draw(busy(cube3), "corner"))
    assert root.findtext("title") == "Two edges of U & F"
    assert root.findtext("desc") == "UF and UR are turned over; <all> else is home."
    assert root.get("role") == "img"


def test_the_same_picture_gives_the_same_bytes(cube3: Puzzle) -> None:
    first = draw(busy(cube3), "corner")
    draw(solved(cube3), "net")
    assert draw(busy(cube3), "corner") == first


def test_a_figure_within_a_page_has_no_size_no_ids_and_no_colours_of_its_own(cube3: Puzzle) -> None:
    figure = draw(busy(cube3), "corner")
    head = figure[: figure.index(">")]
    assert "viewBox" in head
    assert " width=" not in head
    assert not re.search(r' (id|style|fill|stroke)="', figure)


def test_an_unknown_view_is_refused(cube3: Puzzle) -> None:
    with pytest.raises(KeyError):
        draw(solved(cube3), "inside out")


def test_letters_wait_for_print_unless_they_are_asked_for(cube3: Puzzle) -> None:
    hidden = draw(solved(cube3), "corner")
    assert 'class="letters"' in hidden
    assert 'class="letters shown"' in draw(solved(cube3, letters_shown=True), "corner")
    texts = re.findall(r'<text x="([^"]*)" y="([^"]*)"[^>]*>([^<]*)</text>', hidden)
    assert all(len(xs.split()) == len(ys.split()) == len(word) for xs, ys, word in texts)
    assert sum(len(word) for *_, word in texts) == 27


def test_longer_letters_stand_by_themselves(cube3: Puzzle) -> None:
    picture = replace(solved(cube3), letters=("BR",) + ("U",) * 53)
    texts = re.findall(r"<text[^>]*>([^<]*)<", draw(picture, "net"))
    assert sorted(texts) == ["BR", "U" * 53]


def letters(figure: str) -> int:
    return sum(map(len, re.findall(r"<text[^>]*>([^<]*)<", figure)))


def test_muted_stickers_carry_no_letters(cube3: Puzzle) -> None:
    out = frozenset({cube3.slots["UF"], cube3.slots["FU"], cube3.slots["DB"]})
    # Three faces of nine are in sight, and two of the three muted ones.
    assert letters(draw(solved(cube3, muted=out), "corner")) == 27 - 2


def test_where_every_sticker_in_sight_is_muted_the_letters_stay(cube3: Puzzle) -> None:
    assert letters(draw(solved(cube3, muted=frozenset(range(54))), "corner")) == 27


def test_muted_stickers_lose_their_colour_but_stay(cube3: Puzzle) -> None:
    centres = {each for each in range(54) if len(cube3.piece_at(each).stickers) == 1}
    figure = draw(solved(cube3, muted=frozenset(range(54)) - centres), "corner")
    assert paths(figure, "muted")[0].count("z") == 24
    assert paths(figure, "white")[0].count("z") == 1


def test_guarded_stickers_have_a_line_within(cube3: Puzzle) -> None:
    slots = frozenset({cube3.slots["UF"], cube3.slots["UR"], cube3.slots["DB"]})
    # The sticker at DB is on a hidden face.
    assert paths(draw(solved(cube3, outlined=slots), "corner"), "guard")[0].count("z") == 2


def test_a_half_turn_is_written_on_its_arrow(cube3: Puzzle) -> None:
    assert ">2</text>" in draw(solved(cube3, marks=(Turn("R", 1, 1, 2),)), "corner")
    assert ">2</text>" in draw(solved(cube3, marks=(Turn("R", 1, 1, -2),)), "corner")
    assert ">2</text>" not in draw(solved(cube3, marks=(Turn("R", 1, 1, 3),)), "corner")


def test_three_quarters_forward_is_drawn_as_a_quarter_back(cube3: Puzzle) -> None:
    pictures = [solved(cube3, marks=(Turn("R", 1, 1, n),)) for n in (3, -1, 1)]
    forward, back, other = (draw(picture, "corner") for picture in pictures)
    assert forward == back
    assert forward != other


def test_a_figure_takes_a_few_milliseconds(cube3: Puzzle) -> None:
    picture = busy(cube3)
    draw(picture, "corner")
    start = time.process_time()
    for _ in range(50):
        draw(picture, "corner")
    # Measured 2 to 5 ms of the processor; the bound leaves room for a slower machine.
    assert (time.process_time() - start) / 50 < 0.02


def test_a_guarded_sticker_that_is_muted_keeps_its_line(cube3: Puzzle) -> None:
    slots = frozenset({cube3.slots["UF"]})
    assert paths(draw(solved(cube3, outlined=slots, muted=slots), "corner"), "guard faint")
