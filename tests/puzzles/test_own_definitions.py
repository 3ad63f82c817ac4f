"""An author's own puzzle: what a definition may say, and what is said of one that cannot be turned."""

from __future__ import annotations

from collections import Counter
from importlib.resources import files
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sample_definitions import own_puzzles
from turned_text import does

from sitegen.moves.notation import NOTATIONS, check_notation
from sitegen.problems import Problem, Problems, Source
from sitegen.puzzles import catalogue
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.definition import COLOURS
from sitegen.puzzles.puzzle import Puzzle
from sitegen.puzzles.reading import read_definitions
from sitegen.puzzles.solids import NORMALS, SOLIDS, meeting

SOUND = {"solid": "cube", "axes": "faces", "depths": "[1/3, -1/3]", "angle": "90"}


def text_of(**changed: str) -> str:
    """A definition, one key a line, without those that are changed to nothing."""
    keys = {**SOUND, **changed}
    return "".join(f"{key}: {value}\n" for key, value in keys.items() if value)


def own(**changed: str) -> Puzzle:
    return own_puzzles("mine", text_of(**changed))["mine"]


def problems_in(text: str) -> list[Problem]:
    try:
        own_puzzles("mine", text)
    except Problem as found:
        return [found]
    except Problems as found:
        return list(found.problems)
    return []


def turn_orders(puzzle: Puzzle) -> set[int]:
    return {perm.order(puzzle.permutation(turn)) for turn in puzzle.turns()}


# What a definition may say --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("solid", "axes", "depths", "angle", "count", "stickers"),
    [
        # By hand, for cuts near the surface: parts of a face, times faces. Lines near the sides of a triangle
        # part it in 7, of a square in 9, of a pentagon in 11; lines across its corners part n sides in n + 1.
        # Where cuts of both sorts meet a triangle, each corner's rhombus is halved: 7 + 3. The square that is
        # cut along its sides and across its corners has each corner's square halved: 9 + 4.
        ("tetrahedron", "faces", "[0.6]", 120, 4, 4 * 7),
        ("tetrahedron", "vertices", "[2]", 120, 4, 4 * 4),
        ("tetrahedron", "edges", "[1.5]", 180, 6, 4 * 10),
        ("cube", "faces", "[0.6]", 90, 6, 6 * 9),
        ("cube", "vertices", "[1.5]", 120, 8, 6 * 5),
        ("cube", "edges", "[1.2]", 180, 12, 6 * 13),
        ("octahedron", "faces", "[0.8]", 120, 8, 8 * 10),
        ("octahedron", "vertices", "[1.5]", 90, 6, 8 * 4),
        ("octahedron", "edges", "[1.2]", 180, 12, None),
        ("dodecahedron", "faces", "[0.7]", 72, 12, 12 * 11),
        ("dodecahedron", "vertices", "[1.2]", 120, 20, 12 * 6),
        ("dodecahedron", "edges", "[1.04]", 180, 30, None),
    ],
)
def test_every_solid_can_be_turned_about_its_faces_edges_and_vertices(
    solid: str, axes: str, depths: str, angle: int, count: int, stickers: int | None
) -> None:
    puzzle = own(solid=solid, axes=axes, depths=depths, angle=str(angle))
    assert (len(puzzle.axes), puzzle.full_turn) == (count, 360 // angle)
    assert stickers in (None, len(puzzle.stickers))
    assert max(turn_orders(puzzle)) == 360 // angle
    assert len({sticker.name for sticker in puzzle.stickers}) == len(puzzle.stickers)


def test_axes_may_be_named_by_the_faces_that_meet_there() -> None:
    """The shipped pyraminx, as an author might write it: the order of faces and commas count for nothing."""
    mine = own(
        solid="tetrahedron",
        axes="{U: L F R, Left: 'F, L, D', R: D R F, B: R L D}",
        depths="[5/3, 1/3]",
        angle="120",
        turns="{U: {axis: U, layers: 1-2}, u: {axis: U, layers: 1}}",
    )
    shipped = catalogue.puzzle("pyraminx")
    assert list(mine.axes) == ["U", "Left", "R", "B"]
    assert len(mine.stickers) == len(shipped.stickers)
    for written_mine, written_shipped in [("U", "U"), ("u", "u"), ("1Left", "l"), ("2Left", "2L")]:
        turned = does(written_mine, mine)
        there = does(written_shipped, shipped)
        assert turned == there, written_mine


def test_half_the_faces_round_a_vertex_are_enough_to_name_it() -> None:
    # By hand: at the upper vertex of the octahedron A and C lie across from each other.
    assert own(solid="octahedron", axes="{T: A C}", depths="[0.5]", angle="90").axes["T"] == pytest.approx(
        (0, 1, 0)
    )


@pytest.mark.parametrize(
    ("depths", "meant"),
    [
        ("[1/3, -1/3]", (1 / 3, -1 / 3)),
        ("1/4", (0.25,)),
        ("[-0.25, .5, +0]", (0.5, 0, -0.25)),
        ("[ 1 / 2 ]", (0.5,)),
        ("[0.6/2]", (0.3,)),
        ("[1/sqrt(2), -sqrt(2)/4]", (0.5**0.5, -(0.5**0.5) / 2)),
        ('["√3/3", "-(√3/3)"]', (3**-0.5, -(3**-0.5))),
        ("0.7071067811865475", (0.5**0.5,)),
    ],
)
def test_depths_are_decimals_fractions_and_roots_in_any_order(depths: str, meant: tuple[float, ...]) -> None:
    assert own(depths=depths).depths == pytest.approx(meant)


def test_faces_may_have_names_of_ones_own_and_the_rest_follows() -> None:
    puzzle = own(names="{U: Top, D: F, F: D}", colours="{Top: sky, F: sand}")
    assert [face.name for face in puzzle.faces] == ["Top", "F", "D", "B", "L", "R"]
    assert dict(puzzle.axes)["D"] == pytest.approx((0, 0, 1))
    assert {"TopDR", "TopD", "Top"} <= puzzle.slots.keys()
    assert [face.colour for face in puzzle.faces[:2]] == ["sky", "sand"]
    assert does("Top2 D'", puzzle) != puzzle.identity


@pytest.mark.parametrize("solid", SOLIDS)
def test_names_and_colours_that_are_not_given_are_made(solid: str) -> None:
    puzzle = own(
        solid=solid, depths="[0.9]", angle="90" if solid == "cube" else "72" if solid[0] == "d" else "120"
    )
    assert [face.name for face in puzzle.faces] == list(SOLIDS[solid])
    colours = [face.colour for face in puzzle.faces]
    assert len(set(colours)) == len(colours)
    assert set(colours) <= set(COLOURS)


def test_a_colour_that_is_given_goes_to_no_other_face() -> None:
    # By hand: white is the first that is left to be given, and is taken.
    assert Counter(face.colour for face in own(colours="{R: white}").faces).most_common(1)[0][1] == 1


def test_turns_may_have_names_of_their_own() -> None:
    """By hand, on a cube of three layers: a name stands for layers, and for how far they turn."""
    puzzle = own(
        turns="{U: {axis: U, layers: 1-2}, m: {axis: L, layers: 2}, "
        "Half: {axis: R, layers: 1, times: 2}, t++: {axis: F, layers: 1-3, times: -1}}"
    )
    for name, same in [
        ("U", "1-2U"),
        ("m", "2L"),
        ("m'", "2L'"),
        ("Half", "R2"),
        ("t++", "1-3F'"),
        ("U2", "1U2 2U2"),
    ]:
        turned, there = (does(text, puzzle) for text in (name, same))
        assert turned == there, name


def test_one_file_may_define_a_puzzle_in_several_sizes() -> None:
    puzzles = own_puzzles("mine", text_of(sizes="[2, 3]", depths="equal layers"))
    assert {name: len(puzzle.stickers) for name, puzzle in puzzles.items()} == {"mine-2": 24, "mine-3": 54}


def test_readers_know_a_puzzle_by_its_title_or_by_its_name_as_one() -> None:
    assert own(title="The Nth pebble, of N").title == "The Nth pebble, of N"
    assert own_puzzles("my-pebble", text_of())["my-pebble"].title == "My pebble"
    sizes = {"sizes": "[2, 3]", "depths": "equal layers"}
    several = own_puzzles("mine", text_of(**sizes, title="Nan's pebble, N×N"))
    assert [puzzle.title for puzzle in several.values()] == ["Nan's pebble, 2×2", "Nan's pebble, 3×3"]
    assert [puzzle.title for puzzle in own_puzzles("mine", text_of(**sizes)).values()] == ["Mine 2", "Mine 3"]


def test_the_puzzles_that_ship_have_the_titles_of_the_trade() -> None:
    """Common practice: cubes are called by their layers, and the WCA Regulations name the others so (9b;
    from memory)."""
    assert [catalogue.puzzle(name).title for name in catalogue.names()] == [
        *(f"{n}×{n}×{n} cube" for n in range(2, 8)),
        "Megaminx",
        "Pyraminx",
        "Skewb",
    ]


def test_the_notation_of_cubes_is_there_for_an_authors_own_cube() -> None:
    puzzle = own(notation="cube")
    shipped, text = catalogue.puzzle("cube-3"), "M x Rw"
    turned, there = (does(text, each) for each in (puzzle, shipped))
    assert turned == there


def test_each_puzzle_that_ships_has_a_notation_that_is_for_it() -> None:
    folder = files("sitegen.puzzles").joinpath("definitions")
    sources = {entry.name: entry.read_text(encoding="utf-8") for entry in folder.iterdir()}
    found = {}
    for name, text in sources.items():
        found |= read_definitions(name.removesuffix(".yaml"), Source(name, text), check_notation)
    assert {*found} == {*catalogue.names()}
    assert {definition.notation for definition in found.values()} == {"", *NOTATIONS}


def test_faces_whose_names_begin_alike_leave_every_place_a_name_of_its_own() -> None:
    # A and Ab with a lean to B would be read in two ways, were they not told apart.
    puzzle = own(depths="[0.6, 0.2, -0.2, -0.6]", names="{U: Ab, F: A, R: B, B: Z}")
    names = Counter(sticker.name for sticker in puzzle.stickers)
    assert names.most_common(1)[0][1] == 1
    assert all(puzzle.slots[sticker.name] == sticker.index for sticker in puzzle.stickers)


@pytest.mark.parametrize("depth", ["0.8", "0.6", "0.5", "0.4472135955", "0.3", "0.1", "0"])
def test_a_dodecahedron_cut_at_all_its_faces_turns_however_deep(depth: str) -> None:
    """A turn of the whole solid takes all cuts to cuts, so that those of a layer do so too."""
    puzzle = own(solid="dodecahedron", depths=f"[{depth}]", angle="72")
    assert turn_orders(puzzle) == {5}


@settings(max_examples=25)
@given(
    solid=st.sampled_from(list(SOLIDS)),
    axes=st.sampled_from(["faces", "edges", "vertices"]),
    depths=st.lists(st.integers(-8, 17), min_size=1, max_size=2, unique=True),
    angle=st.sampled_from([60, 72, 90, 120, 180]),
)
def test_whatever_is_cut_either_turns_or_is_refused_with_a_reason(
    solid: str, axes: str, depths: list[int], angle: int
) -> None:
    """What turns keeps every piece whole, and comes back after a whole turn."""
    listed = ", ".join(f"{depth}/10" for depth in depths)
    text = text_of(solid=solid, axes=axes, depths=f"[{listed}]", angle=str(angle))
    if problems := problems_in(text):
        assert all(told_well(problem) for problem in problems)
        return
    puzzle = own_puzzles("mine", text)["mine"]
    for turn in puzzle.turns():
        p = puzzle.permutation(turn)
        assert perm.power(p, 360 // angle) == puzzle.identity
        for piece in puzzle.pieces:
            places = {puzzle.stickers[p[slot]].piece for slot in piece.stickers}
            assert len(places) == 1
            assert len(puzzle.pieces[places.pop()].stickers) == len(piece.stickers)


# What is refused ------------------------------------------------------------------------------------------


def told_well(problem: Problem) -> bool:
    """With the file, a line and a column that are there, what is wrong, and what to do."""
    place = problem.passage
    lines = place.source.text.split("\n")
    return (
        place.source.name == "content/puzzles/mine.yaml"
        and 1 <= place.line <= len(lines)
        and 1 <= place.column <= len(lines[place.line - 1]) + 1
        and bool(problem.message)
        and bool(problem.hint)
    )


REFUSED: list[tuple[dict[str, str], int, int, str, str]] = [
    # What is changed, line, column, a part of the message, a part of the hint.
    ({"solid": "kube"}, 1, 8, "solid cannot be “kube”", "is it cube?"),
    ({"solid": "[cube]"}, 1, 8, "solid is a text", "“solid: …” with one text"),
    (
        {"depths": "", "angle": ""},
        1,
        1,
        "the definition lacks depths, angle",
        "a definition says solid, axes",
    ),
    ({"depths": "", "depth": "1/3"}, 4, 1, "there is no key “depth” here", "is it depths?"),
    # The title.
    (
        {"title": "Pebble", "depths": "equal layers", "sizes": "[2, 3]"},
        5,
        8,
        "each size would have the same title",
        "write N for its number of layers, as in “Pebble with N layers”",
    ),
    ({"title": "[a]"}, 5, 8, "title is a text", "“title: …” with one text"),
    ({"title": "A *fine* one"}, 5, 10, "nothing is set off", "write it without these signs"),
    # The angle.
    ({"angle": "100"}, 4, 8, "divides 360", "write 90, 120, 72 or 180"),
    ({"angle": "360"}, 4, 8, "divides 360", "write 90, 120, 72 or 180"),
    ({"angle": "0"}, 4, 8, "angle is a number from 1 to 360, not “0”", "write 90"),
    ({"angle": "a right one"}, 4, 8, "angle is a number from 1 to 360", "write 90"),
    ({"angle": "[90]"}, 4, 8, "angle is a text", "“angle: …” with one text"),
    ({"angle": "45"}, 4, 1, "turned about U by 45 degrees the cube does not come back", "turn by 90"),
    ({"angle": "120"}, 4, 1, "turned about U by 120 degrees the cube does not come back", "turn by 90"),
    ({"solid": "dodecahedron", "angle": "120"}, 4, 1, "the dodecahedron does not come back", "turn by 72"),
    # Depths.
    ({"depths": "[1/3, deep]"}, 3, 15, "expected a number; found “deep”", "as in 0.4, -1/3 or sqrt(2)/2"),
    ({"depths": "[nan]"}, 3, 10, "expected a number; found “nan”", "-1/3"),
    ({"depths": "[1/0]"}, 3, 12, "nothing can be divided by 0", "-1/3"),
    ({"depths": "[1e999]"}, 3, 11, "expected the end of the number", "-1/3"),
    ({"depths": "[1/sqrt(-2)]"}, 3, 16, "has a root", "-1/3"),
    ({"depths": f"[{'9' * 400}]"}, 3, 10, "too long", "fewer digits"),
    ({"depths": "[1/3, 0.3333]"}, 3, 9, "two depths are the same", "write each cut once"),
    ({"depths": "[1.2]"}, 3, 1, "a cut 1.2 from the middle misses the cube on the axis U", "from -1 to 1"),
    ({"depths": "[1]"}, 3, 1, "misses the cube", "from -1 to 1"),
    ({"depths": "[]"}, 3, 1, "nothing is written for “depths”", "take the key away"),
    ({"depths": str([f"{n}/20" for n in range(13)])}, 3, 9, "there are 1 to 12 depths", "[1/3, -1/3]"),
    ({"depths": str([n / 20 for n in range(12)])}, 3, 1, "too many stickers", "1200 are the most"),
    ({"depths": "{a: 1}"}, 3, 9, "depths is a list", "[one, two]"),
    ({"depths": "equal layers"}, 3, 9, "without sizes “equal layers” does not say", "[1/3, -1/3]"),
    ({"solid": "dodecahedron", "angle": "72", "depths": "[0.447]"}, 3, 1, "wide", "move cuts apart"),
    # Axes.
    ({"axes": "corners"}, 2, 7, "“faces”, “edges”, “vertices”, or names", "{A: U F L}"),
    ({"axes": "[U, R]"}, 2, 7, "“faces”, “edges”, “vertices”, or names", "{A: U F L}"),
    ({"axes": "{U: [F, R]}"}, 2, 7, "“faces”, “edges”, “vertices”, or names", "{A: U F L}"),
    ({"axes": "{U: F R X}"}, 2, 15, "there is no face X", "faces are U, D, F, B, L, R"),
    ({"axes": "{U: F R U, L: U F R}"}, 2, 21, "two axes point the same way", "write each axis once"),
    (
        {"axes": "{U: L R}"},
        2,
        11,
        "L and R meet nowhere",
        "the two at an edge, or those that meet at a vertex",
    ),
    ({"axes": "{U: U F F}"}, 2, 15, "“F” stands here twice", "write it once"),
    ({"axes": "{u: F R U}"}, 2, 8, "“u” cannot name an axis", "a name is a capital letter"),
    ({"axes": "{Uw: F R U}"}, 2, 8, "“Uw” cannot name an axis", "never ends in w"),
    (
        {"solid": "octahedron", "axes": "{T: A B C}"},
        2,
        1,
        "does not come back",
        "all faces that meet at a vertex",
    ),
    (
        {"solid": "dodecahedron", "axes": "{T: U Dr}", "angle": "180"},
        2,
        11,
        "U and Dr meet nowhere",
        "an edge",
    ),
    # Cuts that turning brings to where there are none.
    ({"axes": "{U: U, R: R}", "depths": "[1/3]"}, 2, 1, "layer 1 of U cannot turn", "bring cuts to cuts"),
    (
        {"axes": "{A: U F, B: U R}", "depths": "[1/2]", "angle": "180"},
        2,
        1,
        "a cut of B, 0.5 from",
        "put axes",
    ),
    (
        {"solid": "dodecahedron", "axes": "{U: U, F: F}", "depths": "[1/2]", "angle": "72"},
        2,
        1,
        "cannot turn",
        "",
    ),
    # Colours and names.
    ({"colours": "{U: whit}"}, 5, 14, "U cannot be “whit”", "is it white?"),
    ({"colours": "{U: red, D: red}"}, 5, 22, "U and D have the same colour", "a colour of its own"),
    ({"colours": "{Q: white}"}, 5, 11, "there is no face Q", "faces are U, D, F, B, L, R"),
    ({"colours": "[white]"}, 5, 10, "colours are faces with a colour", "{U: white, D: yellow}"),
    ({"names": "{U: up}"}, 5, 8, "“up” cannot name a face", "a name is a capital letter"),
    ({"names": "{U: Upper}"}, 5, 8, "“Upper” cannot name a face", "a name is a capital letter"),
    ({"names": "{U: Uw}"}, 5, 8, "“Uw” cannot name a face", "never ends in w"),
    ({"names": "{U: A, F: A}"}, 5, 8, "two faces have the same name", "give another name"),
    ({"names": "{U: F}"}, 5, 8, "two faces have the same name", "give another name"),
    ({"names": "{Q: A}"}, 5, 9, "the cube has no face Q", "its faces are U, D, F, B, L, R"),
    # Turns.
    ({"turns": "U"}, 5, 8, "turns are names, each with an axis and layers", "{u: {axis: U, layers: 1}}"),
    ({"turns": "{q: U}"}, 5, 12, "the turn q has an axis and layers", "{axis: U, layers: 1-2}"),
    ({"turns": "{q: {axis: U}}"}, 5, 12, "the turn q has an axis and layers", "{axis: U, layers: 1-2}"),
    ({"turns": "{q: {axis: U, layers: 1, by: 2}}"}, 5, 12, "may have times", "times: 2"),
    ({"turns": "{q: {axis: Q, layers: 1}}"}, 5, 19, "axis cannot be “Q”", "one of U, D, F, B, L, R"),
    ({"turns": "{q: {axis: U, layers: 2-9}}"}, 5, 30, "layers are numbers from 1 to 3", "write 1, or 1-2"),
    ({"turns": "{q: {axis: U, layers: 3-2}}"}, 5, 30, "layers are numbers from 1 to 3", "write 1, or 1-2"),
    ({"turns": "{q: {axis: U, layers: all}}"}, 5, 30, "layers are numbers from 1 to 3", "write 1, or 1-2"),
    (
        {"turns": "{q: {axis: U, layers: 1, times: 99}}"},
        5,
        40,
        "times is a number from -9 to 9, not “99”",
        "smallest turns",
    ),
    (
        {"turns": "{q: {axis: U, layers: 1, times: 4}}"},
        5,
        12,
        "would turn nothing",
        "4 of the smallest turns",
    ),
    (
        {"turns": "{q: {axis: U, layers: 1, times: 0}}"},
        5,
        12,
        "would turn nothing",
        "4 of the smallest turns",
    ),
    ({"turns": "{U: {axis: R, layers: 1}}"}, 5, 12, "the turn U is not one of the axis U", "another name"),
    ({"turns": "{1q: {axis: U, layers: 1}}"}, 5, 9, "“1q” cannot name a turn", "small letters alone"),
    ({"turns": "{Uw: {axis: U, layers: 1-2}}"}, 5, 9, "“Uw” cannot name a turn", "never ends in w"),
    # Notation and sizes.
    ({"notation": "knots"}, 5, 11, "notation cannot be “knots”", "write cube"),
    (
        {"notation": "cube", "depths": "[1/2]"},
        5,
        11,
        "the notation cube is for cubes of equal layers",
        "leave it out",
    ),
    ({"notation": "cube", "angle": "180"}, 5, 11, "that turn by 90", "leave it out"),
    ({"notation": "cube", "names": "{U: A}"}, 5, 11, "about U, D, F, B, L and R", "leave it out"),
    ({"solid": "tetrahedron", "angle": "120", "notation": "cube"}, 5, 11, "is for cubes", "leave it out"),
    (
        {"sizes": "[3, 99]", "depths": "equal layers"},
        5,
        12,
        "sizes is a number from 2 to 13, not “99”",
        "[2, 3]",
    ),
    ({"sizes": "[3, 3]", "depths": "equal layers"}, 5, 12, "“3” stands here twice", "write it once"),
    ({"sizes": "[3, 03]", "depths": "equal layers"}, 5, 8, "sizes are different numbers", "[2, 3]"),
    ({"sizes": "[]", "depths": "equal layers"}, 5, 1, "nothing is written for “sizes”", "take the key"),
    ({"sizes": "[3]"}, 3, 9, "sizes go with equal layers alone", "leave sizes out"),
    (
        {
            "solid": "tetrahedron",
            "axes": "vertices",
            "depths": "equal layers",
            "angle": "120",
            "sizes": "[3]",
        },
        5,
        8,
        "sizes go with axes through faces that have one opposite alone",
        "leave sizes out",
    ),
]


@pytest.mark.parametrize(("changed", "line", "column", "message", "hint"), REFUSED)
def test_what_is_wrong_is_told_with_its_place_and_what_to_do(
    changed: dict[str, str], line: int, column: int, message: str, hint: str
) -> None:
    found = problems_in(text_of(**changed))
    assert all(told_well(problem) for problem in found)
    assert [
        problem
        for problem in found
        if (problem.passage.line, problem.passage.column) == (line, column)
        and message in problem.message
        and hint in problem.hint
    ], list(map(str, found))


def test_one_mistake_is_told_once() -> None:
    """But for a key that is misspelt and lacks: it stands wrong in one place, and not at all in another."""
    for changed, *_ in REFUSED:
        if "depth" not in changed:
            assert len(problems_in(text_of(**changed))) == 1, changed


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("title", "Pebble"),
        ("colours", "{U: whit}"),
        ("names", "{U: u}"),
        ("angle", "100"),
        ("notation", "cub"),
    ],
)
def test_one_mistake_is_told_once_whatever_sizes_there_are(key: str, value: str) -> None:
    sizes = {"sizes": "[2, 3, 4]", "depths": "equal layers"}
    assert len(problems_in(text_of(**sizes, **{key: value}))) == 1
    assert len(problems_in(text_of(**sizes, title="Pebble", colours="{U: whit}"))) == 2


def test_all_mistakes_of_a_definition_are_told_together() -> None:
    text = text_of(solid="kube", depths="[deep]", angle="7")
    assert [problem.passage.line for problem in problems_in(text)] == [1, 3, 4]
    text = text_of(axes="{U: X}", colours="{U: whit}")
    assert [problem.passage.line for problem in problems_in(text)] == [2, 5]


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "the definition lacks solid, axes, depths, angle"),
        ("\n\n", "the definition lacks solid, axes, depths, angle"),
        ("# A puzzle of mine.\n", "the definition lacks solid, axes, depths, angle"),
        ("cube\n", "expected keys and values"),
        ("- cube\n", "expected keys and values"),
        ("solid: cube\naxes: [faces\ndepths: 1/3\nangle: 90\n", "YAML: expected ',' or ']'"),
        ("solid: cube\n\taxes: faces\n", "YAML: found a tab"),
        ("solid: cube\nsolid: cube\n", "the key “solid” stands here twice"),
        ("solid: !!python/name:os.system cube\n" + text_of(solid=""), "means nothing here"),
        ("solid: cube\x00\n", "YAML: special characters are not allowed"),
        ("solid: " + "[" * 5000, "YAML: lists stand in lists too deep"),
        ("solid: cube\naxes: *faces\n", "YAML: an alias"),
        ("{solid: cube, axes: {\ndepths: F}}\n", "the definition lacks depths, angle"),
    ],
)
def test_what_is_no_yaml_or_no_definition_is_told(text: str, message: str) -> None:
    found = problems_in(text)
    assert all(told_well(problem) for problem in found)
    assert any(message in problem.message for problem in found)


@pytest.mark.parametrize(
    "text",
    [
        "&a [*a]\n",
        "&a {*a : b}\n",
        "&a {solid: *a}\n",
        text_of(solid="&a [*a]"),
        text_of(axes="&a {U: *a}"),
        text_of(depths="&a [*a]"),
        text_of(angle="&a {a: *a}"),
        text_of(names="&a {U: *a}"),
        text_of(colours="&a {U: *a}"),
        text_of(turns="&a {x: *a}"),
        text_of(turns="{x: &a {axis: *a, layers: *a}}"),
        text_of(notation="&a [*a]"),
        text_of(sizes="&a [*a]"),
    ],
)
def test_what_contains_itself_is_refused(text: str) -> None:
    found = problems_in(text)
    assert found
    assert all(told_well(problem) for problem in found)


@settings(max_examples=150)
@given(
    key=st.sampled_from([*SOUND, "names", "colours", "turns", "notation", "sizes"]),
    value=st.text(st.sampled_from("URFDu1/3-+.: ,[]{}&*a!#'\"|>?\n\t∞"), max_size=24),
)
def test_no_value_ends_in_anything_but_a_problem(key: str, value: str) -> None:
    assert all(bool(problem.message) for problem in problems_in(text_of(**{key: f" {value}"})))


def test_an_axis_is_made_of_two_faces_that_meet_and_of_no_others() -> None:
    """On a cube with one axis, whose layers nothing else cuts, all turn that come back to themselves."""
    faces = SOLIDS["cube"]
    groups = meeting(NORMALS["cube"])
    for named in product(faces, repeat=2):
        found = problems_in(text_of(axes=f"{{A: {' '.join(named)}}}", angle="180"))
        meets = named[0] != named[1] and any({faces[n] for n in named} <= set(group) for group in groups)
        assert (not found) == meets, named
