"""Random moves for property tests: texts with nesting, and what they mean turn by turn.

The meaning is worked out here from the text's own building, by the definitions of the design (section 4),
and shares no code with the parser or the tree.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from hypothesis import strategies as st

from sitegen.puzzles import catalogue
from sitegen.puzzles.puzzle import Puzzle, Turn

SIZES = range(2, 8)


@dataclass(frozen=True)
class Written:
    """A text, the turns that it means one by one, each with its amount, and the puzzle."""

    text: str
    turns: tuple[tuple[str, int], ...]


@cache
def letters(size: int) -> list[str]:
    """Every way to write a turn, without its amount: WCA 12a1, 12a2, 12a4; slices are common practice."""
    written = [*"RLUDFB", *"xyz"]
    written += [f"{face}w" for face in "RLUDFB" if size > 2]
    written += [f"{n}{face}w" for face in "RLUDFB" for n in range(2, size)]
    written += [f"{n}{face}" for face in "RLUDFB" for n in range(2, size)]
    written += [f"{a}-{b}{face}" for face in "RLUDFB" for a in range(2, size) for b in range(a + 1, size)]
    written += list("MES") if size % 2 else []
    written += list("rludfb") if size == 3 else []
    return written


AMOUNTS = {"": 1, "2": 2, "'": -1, "’": -1, "′": -1, "2'": -2, "2’": -2}


def undone(turns: tuple[tuple[str, int], ...]) -> tuple[tuple[str, int], ...]:
    return tuple((letter, -amount) for letter, amount in reversed(turns))


@cache
def single(size: int) -> st.SearchStrategy[Written]:
    return st.builds(
        lambda letter, mark: Written(letter + mark, ((letter, AMOUNTS[mark]),)),
        st.sampled_from(letters(size)),
        st.sampled_from(list(AMOUNTS)),
    )


def row(parts: list[Written]) -> Written:
    return Written(" ".join(p.text for p in parts), tuple(t for p in parts for t in p.turns))


def repeated(body: Written, count: int | None, prime: bool) -> Written:
    text = f"({body.text}){'' if count is None else count}{chr(39) if prime else ''}"
    return Written(text, (undone(body.turns) if prime else body.turns) * (1 if count is None else count))


def commutator(a: Written, b: Written) -> Written:
    return Written(f"[{a.text}, {b.text}]", a.turns + b.turns + undone(a.turns) + undone(b.turns))


def conjugate(a: Written, b: Written) -> Written:
    return Written(f"[{a.text}: {b.text}]", a.turns + b.turns + undone(a.turns))


@cache
def moves(size: int) -> st.SearchStrategy[Written]:
    """Texts with groups, repeats, commutators and conjugates in one another."""
    return st.recursive(
        st.lists(single(size), min_size=1, max_size=4).map(row),
        lambda inner: st.one_of(
            st.lists(inner, min_size=1, max_size=3).map(row),
            st.builds(repeated, inner, st.one_of(st.none(), st.integers(0, 4)), st.booleans()),
            st.builds(commutator, inner, inner),
            st.builds(conjugate, inner, inner),
        ),
        max_leaves=6,
    ).filter(lambda written: len(written.turns) < 500)


def cube_and_moves() -> st.SearchStrategy[tuple[Puzzle, Written]]:
    return st.sampled_from(SIZES).flatmap(
        lambda size: st.tuples(st.just(catalogue.puzzle(f"cube-{size}")), moves(size))
    )


@st.composite
def any_turn(draw: st.DrawFn, puzzle: Puzzle) -> Turn:
    """Any block of neighbouring layers, from either side, whole puzzle included."""
    first = draw(st.integers(1, puzzle.layer_count))
    last = draw(st.integers(first, puzzle.layer_count))
    axis, amount = draw(st.sampled_from(list(puzzle.axes))), draw(st.sampled_from([1, 2, -1, -2, 3]))
    return Turn(axis, first, last, amount)


def cube_and_turns(most: int = 12) -> st.SearchStrategy[tuple[Puzzle, tuple[Turn, ...]]]:
    return st.sampled_from(SIZES).flatmap(
        lambda size: (
            lambda puzzle: st.tuples(st.just(puzzle), st.lists(any_turn(puzzle), max_size=most).map(tuple))
        )(catalogue.puzzle(f"cube-{size}"))
    )
