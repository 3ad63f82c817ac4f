"""Sets of pieces as an author names them; what each set holds is said by place names, worked by hand."""

from __future__ import annotations

from itertools import product

import pytest

from sitegen.effects.piece_sets import parse_pieces
from sitegen.moves.notation import layer_names
from sitegen.problems import Problem, written
from sitegen.puzzles import catalogue
from sitegen.puzzles.puzzle import Puzzle

CORNERS = "UFL UFR UBL UBR DFL DFR DBL DBR"
EDGES = "UF UL UR UB DF DL DR DB FL FR BL BR"
CENTRES = "U D F B L R"


def names(text: str, puzzle: str = "cube-3") -> set[str]:
    cube = catalogue.puzzle(puzzle)
    return {cube.pieces[index].name for index in parse_pieces(written(text), cube)}


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("U", "UFL UFR UBL UBR UF UL UR UB U"),  # a layer with its centre
        ("M", "UF UB DF DB U D F B"),  # between L and R
        ("E", "FL FR BL BR F B L R"),
        ("S", "UL UR DL DR U D L R"),
        ("UF", "UF"),
        ("FU", "UF"),  # the same piece by its other sticker
        ("RUF", "UFR"),
        ("UF, UR and UFR", "UF UR UFR"),
        ("UF and UR, UFR", "UF UR UFR"),
        ("UF, UR, and UFR", "UF UR UFR"),
        ("corners", CORNERS),
        ("edges", EDGES),
        ("centres", CENTRES),
        ("corner", CORNERS),  # one kind, in the singular
        ("all", f"{CORNERS} {EDGES} {CENTRES}"),
        ("edges of U", "UF UL UR UB"),
        ("corners and edges of U", "UFL UFR UBL UBR UF UL UR UB"),
        ("corners, edges and centres of U", "UFL UFR UBL UBR UF UL UR UB U"),
        ("edges of U and D", "UF UL UR UB DF DL DR DB"),
        ("edges of U and DFR", "UF UL UR UB DFR"),  # DFR is no layer
        ("edges of U and corners of D", "UF UL UR UB DFL DFR DBL DBR"),
        ("UF and corners of U", "UF UFL UFR UBL UBR"),
        ("edges of M", "UF UB DF DB"),
        ("U except UF", "UFL UFR UBL UBR UL UR UB U"),
        ("U except UF and UR", "UFL UFR UBL UBR UL UB U"),
        ("U and D except corners", "UF UL UR UB U DF DL DR DB D"),
        ("U except edges of U", "UFL UFR UBL UBR U"),
        ("all except U", "DFL DFR DBL DBR DF DL DR DB FL FR BL BR D F B L R"),
        ("all except centres of U", f"{CORNERS} {EDGES} D F B L R"),
        ("  UF  and\n UR ", "UF UR"),
    ],
)
def test_a_set_holds_the_pieces_that_its_words_say(text: str, expected: str) -> None:
    assert names(text) == set(expected.split())


@pytest.mark.parametrize(("puzzle", "count"), [("cube-2", 4), ("cube-3", 9), ("cube-4", 16), ("cube-5", 25)])
def test_a_layer_of_an_n_cube_has_n_times_n_pieces(puzzle: str, count: int) -> None:
    assert len(names("U", puzzle)) == count


def test_inner_layers_of_larger_cubes_are_named_by_number() -> None:
    # cube-4: one ring of 4 places a side, each without the corners of the face: 12 pieces of two kinds.
    assert len(names("2R", "cube-4")) == 12
    assert names("2R", "cube-4") & names("R", "cube-4") == set()
    assert names("Rw", "cube-4") == names("R and 2R", "cube-4")


@pytest.mark.parametrize(
    ("text", "column", "marked", "message", "hint"),
    [
        ("edgs of U", 1, "edgs", "“edgs” names no pieces", "is it edges?"),
        ("U except UFF", 10, "UFF", "cube-3 has no place “UFF”", "is it UF?"),
        ("U and UD", 7, "UD", "cube-3 has no place “UD”", "are opposite faces: no piece has both"),
        ("edges of UF", 10, "UF", "“UF” is not a layer", "layers are U, D, F, B, L, R, E, S, M"),
        ("U except", 9, "", "expected pieces, such as U, UF, edges of U or all; the text ends here", ""),
        ("", 1, "", "expected pieces, such as U, UF, edges of U or all; the text ends here", ""),
        (
            "UF UR",
            4,
            "UR",
            "expected “and”, “except” or the end; found “UR”",
            "put a comma or “and” between them",
        ),
        ("D expect DFR", 3, "expect", "expected “and”, “except” or the end; found “expect”", "is it except?"),
        (
            "U without UF",
            3,
            "without",
            "expected “and”, “except” or the end; found “without”",
            "is it except?",
        ),
        ("UF and UR.", 10, ".", "expected “and”, “except” or the end; found “.”", "take the full stop away"),
        ("uf", 1, "uf", "“uf” names no pieces", "places are written in capitals: UF"),
        ("UF and ufr", 8, "ufr", "“ufr” names no pieces", "places are written in capitals: UFR"),
        ("u except UF", 1, "u", "“u” names no pieces", "layers are written in capitals: U"),
        ("m and s", 1, "m", "“m” names no pieces", "layers are written in capitals: M"),
        ("edges of u", 10, "u", "expected a layer, such as U; found “u”", "written in capitals: U"),
        ("Uf", 1, "Uf", "cube-3 has no place “Uf”", "places are written in capitals: UF"),
        ("everything", 1, "everything", "“everything” names no pieces", "is it all?"),
        ("al", 1, "al", "“al” names no pieces", "is it all?"),
        ("UF and , UR", 8, ",", "expected pieces, such as U, UF, edges of U or all; found “,”", ""),
        ("edges of", 9, "", "expected a layer, such as U; the text ends here", ""),
        ("wings", 1, "wings", "“wings” names no pieces", "corners, edges; all are meant by “all”"),
        ("U ; D", 3, ";", "expected “and”, “except” or the end; found “;”", ""),
        ("UF, UR and FU", 12, "FU", "“FU” is meant by “UF” already", "take it away"),
        ("edges and edges", 11, "edges", "“edges” stands here twice", "take it away"),
        ("edges of U and U", 16, "U", "“U” stands here twice", "take it away"),
        ("U except DF", 10, "DF", "“DF” is not among these", "take it away"),
        (
            "U except UF and DF",
            17,
            "DF",
            "“DF” is not among these",
            "take it",
        ),
        ("corners of M", 1, "corners", "there are no corners of M", ""),
    ],
)
def test_a_set_that_cannot_be_read_is_marked_where_it_fails(
    text: str, column: int, marked: str, message: str, hint: str
) -> None:
    with pytest.raises(Problem) as caught:
        names(text)
    problem = caught.value
    assert (problem.passage.column, problem.passage.text) == (column, marked)
    assert problem.message == message
    assert hint in problem.hint
    assert problem.hint


@pytest.mark.parametrize(
    ("text", "puzzle", "column", "hint"),
    [
        ("UF", "cube-4", 1, "places there: UFl, UFr"),
        ("FU", "cube-4", 1, "places there: UFl, UFr"),
        ("UFR and DF", "cube-4", 9, "places there: DFl, DFr"),
        ("UF", "cube-6", 1, "places there: UFl, UF3l, UF3r, UFr"),
        ("UF", "cube-2", 1, "is it one of UFL, UFR?"),
    ],
)
def test_faces_that_meet_in_several_places_or_none_are_told_apart(
    text: str, puzzle: str, column: int, hint: str
) -> None:
    with pytest.raises(Problem) as caught:
        names(text, puzzle)
    assert (caught.value.passage.column, caught.value.hint) == (column, hint)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("u", "FRLu"),  # WCA 12e: the tip alone
        ("tips of u", "FRLu"),
        ("tips of U and l", "FRLu FLDl"),
        ("tips of u and l", "FRLu FLDl"),
        ("U except u", "FRL FR FL RL"),
        ("u, l and FD", "FRLu FLDl FD"),
        ("edges and u", "FR FL RL FD RD LD FRLu"),
        ("corners and u", "FRL FLD FRD RLD FRLu"),
        ("tips and edges of U", "FRLu FR FL RL"),
        ("corners, u", "FRL FLD FRD RLD FRLu"),
    ],
)
def test_layers_that_a_puzzle_names_in_small_letters_are_read_so(text: str, expected: str) -> None:
    assert names(text, "pyraminx") == set(expected.split())


@pytest.mark.parametrize("name", catalogue.names())
def test_every_layer_is_a_set_of_pieces_by_the_name_it_is_told_by(name: str) -> None:
    puzzle = catalogue.puzzle(name)
    everything = frozenset(range(len(puzzle.pieces)))
    for layer, turn in layer_names(puzzle).items():
        inside = puzzle.pieces_in(turn)
        assert parse_pieces(written(layer), puzzle) == inside
        assert parse_pieces(written(f"all except {layer}"), puzzle) == everything - inside


PUZZLES = ("cube-2", "cube-3", "cube-5", "pyraminx", "skewb")


def parts_of(name: str) -> dict[str, frozenset[int]]:
    """What may stand in a set, and the pieces that it holds, read from the puzzle alone."""
    puzzle = catalogue.puzzle(name)
    layers = {layer: puzzle.pieces_in(turn) for layer, turn in layer_names(puzzle).items()}
    places = {piece.name: frozenset([piece.index]) for piece in puzzle.pieces if piece.name not in layers}
    return {**places, **puzzle.kinds, **layers, "all": frozenset(range(len(puzzle.pieces)))}


@pytest.mark.parametrize("name", PUZZLES)
def test_what_another_part_of_a_set_names_already_is_refused_where_it_stands(name: str) -> None:
    """In every pair of parts, joined and taken out, in either order."""
    parts, everything = list(parts_of(name).items()), parts_of(name)["all"]
    few = parts if len(parts) < 60 else parts[:: len(parts) // 60]
    for (one, these), (other, those) in product(few, few):
        refused = None
        if these <= those or those <= these:
            # Of two that name the same the later one is too many.
            refused = one if these < those else other
        for lead in ("", "all except "):
            text = f"{lead}{one} and {other}"
            if refused is None:
                union = these | those
                if not lead or union < everything:
                    assert parse_pieces(written(text), catalogue.puzzle(name)) == (
                        everything - union if lead else union
                    )
                continue
            with pytest.raises(Problem, match=r"stands here twice|is meant by .* already") as caught:
                parse_pieces(written(text), catalogue.puzzle(name))
            assert caught.value.passage.text == refused
            at = len(lead) if these < those else len(f"{lead}{one} and ")
            assert caught.value.passage.start == at


@pytest.mark.parametrize(
    ("text", "marked", "message"),
    [
        ("UF, UR, UF", (8, 10), "“UF” stands here twice"),
        ("R and R", (6, 7), "“R” stands here twice"),
        ("UF and FU", (7, 9), "“FU” is meant by “UF” already"),
        ("UF and U", (0, 2), "“UF” is meant by “U” already"),
        ("edges and edges of U", (10, 15), "“edges” stands here twice"),
        ("edges of U and U", (15, 16), "“U” stands here twice"),
        ("U except UF, UF", (13, 15), "“UF” stands here twice"),
    ],
)
def test_a_piece_named_twice_is_told_with_its_place(text: str, marked: tuple[int, int], message: str) -> None:
    with pytest.raises(Problem) as caught:
        names(text)
    passage = caught.value.passage
    assert ((passage.start, passage.end), caught.value.message) == (marked, message)


@pytest.mark.parametrize("name", catalogue.names())
def test_nothing_is_said_of_pieces_that_there_are_not(name: str) -> None:
    """Each kind of each layer holds pieces or is refused; so is what takes nothing out."""
    puzzle = catalogue.puzzle(name)
    for layer, turn in layer_names(puzzle).items():
        for kind, those in puzzle.kinds.items():
            text, found = f"{kind} of {layer}", those & puzzle.pieces_in(turn)
            if found:
                assert parse_pieces(written(text), puzzle) == found
                continue
            with pytest.raises(Problem, match=f"there are no {kind} of {layer}"):
                parse_pieces(written(text), puzzle)
            if puzzle.pieces_in(turn) < frozenset(range(len(puzzle.pieces))) and len(puzzle.kinds) > 1:
                with pytest.raises(Problem, match=f"“{kind}” is not among these"):
                    parse_pieces(written(f"{layer} except {kind}"), puzzle)


@pytest.mark.parametrize(
    ("text", "marked", "message", "hint"),
    [
        ("corners of E", "corners", "there are no corners of E", "of E there are edges, centres"),
        ("edges and corners of E", "corners", "there are no corners of E", "of E there are edges, centres"),
        ("corners of U and E", "corners", "there are no corners of E", "of E there are edges, centres"),
        ("U except UF and DF", "DF", "“DF” is not among these", "take it away"),
    ],
)
def test_a_part_that_holds_nothing_is_told_with_what_there_is(
    text: str, marked: str, message: str, hint: str
) -> None:
    with pytest.raises(Problem) as caught:
        names(text)
    assert (caught.value.passage.text, caught.value.message) == (marked, message)
    assert hint in caught.value.hint


def test_turning_the_whole_puzzle_is_no_layer(megaminx: Puzzle) -> None:
    with pytest.raises(Problem, match="“x” names no pieces"):
        parse_pieces(written("x"), megaminx)


def test_a_layer_number_of_any_length_is_a_problem_not_a_crash() -> None:
    with pytest.raises(Problem):
        names("9" * 5000 + "R")
