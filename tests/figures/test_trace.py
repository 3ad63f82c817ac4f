"""What marks promise: one for each changed piece, or none at all where there are too many."""

from __future__ import annotations

from sitegen.effects.effect import Effect
from sitegen.figures.picture import Arrow, FlipMark, Mark, TwistMark
from sitegen.figures.trace import MOST_MARKED, follow, in_focus, trace
from sitegen.moves.parse import parse
from sitegen.moves.turning import expand
from sitegen.problems import written
from sitegen.puzzles import catalogue
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.puzzle import Puzzle, Turn


def effect_of(puzzle: Puzzle, *turns: Turn) -> Effect:
    done = puzzle.identity
    for turn in turns:
        done = perm.compose(done, puzzle.permutation(turn))
    return Effect(puzzle, done)


def traced(effect: Effect, pieces: frozenset[int] | None = None) -> tuple[Mark, ...]:
    at = effect.puzzle.identity
    return trace(effect.puzzle, effect.permutation, in_focus(effect.puzzle, at, pieces, marked=True))


def test_a_turn_of_the_top_has_an_arrow_for_each_of_its_eight_pieces(cube3: Puzzle) -> None:
    marks = traced(effect_of(cube3, Turn("U", 1, 1, 1)))
    # Four edges and four corners; the centre stays where it is.
    assert len(marks) == 8 == MOST_MARKED
    assert all(isinstance(mark, Arrow) for mark in marks)


def test_with_too_many_changed_pieces_there_is_no_mark(cube3: Puzzle) -> None:
    # By hand: D and B move eight pieces each and have a row of three in common, so 13 are moved at most.
    effect = effect_of(cube3, Turn("D", 1, 1, 1), Turn("B", 1, 1, 1))
    assert len(effect.changed) > MOST_MARKED
    assert traced(effect) == ()


def test_flips_and_twists_are_left_out_with_the_rest(cube3: Puzzle) -> None:
    # By hand: R U takes seven edges in a cycle, five corners in another, and turns the sixth corner in place;
    # its order is 105. After five times all six corners are home but twisted, and the edges are on their way.
    five = effect_of(cube3, *[Turn("R", 1, 1, 1), Turn("U", 1, 1, 1)] * 5)
    assert len(five.twists) == 6
    assert len(five.changed) == 13
    assert traced(five) == ()


def test_what_is_asked_for_is_marked_though_much_else_is_changed(cube3: Puzzle) -> None:
    effect = effect_of(cube3, *[Turn("R", 1, 1, 1), Turn("U", 1, 1, 1)] * 5)
    pieces = frozenset(twist.piece.index for twist in effect.twists)
    assert len(traced(effect, pieces)) == len(pieces)


def test_a_piece_in_focus_is_named_by_where_it_belongs(cube3: Puzzle) -> None:
    # By hand: after U the piece of UF is at UL.
    position = cube3.permutation(Turn("U", 1, 1, 1))
    piece = cube3.piece_at(cube3.slots["UF"]).index
    slots = in_focus(cube3, position, frozenset([piece]), marked=False)
    assert slots == {cube3.slots["UL"], cube3.slots["LU"]}


def test_of_two_pieces_that_change_places_one_in_focus_has_an_arrow_with_one_head(cube3: Puzzle) -> None:
    half = effect_of(cube3, Turn("U", 1, 1, 2))
    piece, other = (cube3.piece_at(cube3.slots[name]).index for name in ("UF", "UB"))
    (alone,) = traced(half, frozenset([piece]))
    (both,) = traced(half, frozenset([piece, other]))
    assert isinstance(alone, Arrow)
    assert isinstance(both, Arrow)
    assert (alone.swap, both.swap) == (False, True)


def stops(puzzle: Puzzle, turns: str) -> list[perm.Permutation]:
    """The positions between some turns, the solved one first."""
    found = [puzzle.identity]
    for turn in expand(parse(written(turns), puzzle)):
        found.append(perm.compose(found[-1], puzzle.permutation(turn)))
    return found


def followed(puzzle: Puzzle, place: str, turns: str) -> tuple[Mark, ...]:
    return follow(puzzle, [puzzle.piece_at(puzzle.slots[place]).index], stops(puzzle, turns))


def test_a_watched_piece_has_an_arrow_for_each_turn_that_takes_it_on(cube3: Puzzle) -> None:
    marks = followed(cube3, "UF", "F U R")
    assert [(cube3.stickers[m.starts[0]].name, cube3.stickers[m.ends[0]].name) for m in marks] == [
        ("UF", "RF"),
        ("RF", "RU"),
    ]
    assert not any(mark.leap for mark in marks)


def test_a_path_that_goes_the_same_way_twice_is_one_arrow_that_says_so(cube3: Puzzle) -> None:
    (mark,) = followed(cube3, "UF", "F F F F F")
    assert isinstance(mark, Arrow)
    assert mark.leap
    names = [cube3.stickers[slot].name for slot in (mark.starts[0], mark.ends[0])]
    assert names == ["UF", "RF"]


def test_a_path_that_ends_where_it_began_turned_over_has_its_mark_there(cube3: Puzzle) -> None:
    marks = followed(cube3, "UF", "F E F2 E2 F E")
    assert [type(mark) for mark in marks if not isinstance(mark, Arrow)] == [FlipMark]


def way_on(puzzle: Puzzle, here: int, many: int, gone: tuple[tuple[int, int], ...] = ()) -> list[str] | None:
    """Quarter turns that each take the piece in a slot on, never the same way twice; None where none do."""
    if many == 0:
        return []
    for name in puzzle.axes:
        there = puzzle.permutation(Turn(name, 1, 1, 1))[here]
        way = puzzle.stickers[here].piece, puzzle.stickers[there].piece
        if (
            there != here
            and way not in gone
            and (rest := way_on(puzzle, there, many - 1, (*gone, way))) is not None
        ):
            return [name, *rest]
    return None


def test_a_path_of_as_many_ways_as_there_may_be_marks_is_told_and_a_longer_one_is_one_arrow(
    cube3: Puzzle,
) -> None:
    for many in (MOST_MARKED, MOST_MARKED + 1):
        turns = way_on(cube3, cube3.slots["UF"], many)
        assert turns
        marks = followed(cube3, "UF", " ".join(turns))
        leaps = [isinstance(mark, Arrow) and mark.leap for mark in marks]
        assert leaps == ([False] * many if many == MOST_MARKED else [True])


def test_what_turned_a_piece_before_it_left_is_told_where_it_began() -> None:
    # WCA 12h: U turns the half of a skewb round UBL, which is twisted, and B that round its neighbour.
    skewb = catalogue.puzzle("skewb")
    arrow, twisted = followed(skewb, "UBL", "U B")
    assert isinstance(arrow, Arrow)
    assert isinstance(twisted, TwistMark)
    place = skewb.piece_at(skewb.slots["UBL"])
    assert set(twisted.stickers) == set(arrow.starts) == set(place.stickers)
