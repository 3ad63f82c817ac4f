"""From a tree to what it does and how long it is: permutation, number of turns, turns written out.

Each is one fold; a repeat is a power or a multiplication, never a loop.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import reduce
from itertools import groupby

from sitegen.moves.tree import Algebra, Commutator, Conjugate, Node, Reference, Series, SingleTurn, fold
from sitegen.problems import Problem
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Puzzle, Turn

MOST_TURNS = 100_000
"""More turns than this are not written out."""


def permutation(tree: Node, puzzle: Puzzle) -> Permutation:
    """Where the moves take what is in each slot."""
    algebra = Algebra[Permutation](
        turn=puzzle.permutation,
        join=lambda parts: reduce(perm.compose, parts, puzzle.identity),
        times=perm.power,
    )
    return fold(tree, algebra)


def turn_count(tree: Node) -> int:
    """How many turns the moves have when written out."""
    return fold(tree, Algebra[int](turn=lambda _: 1, join=sum, times=lambda count, times: count * abs(times)))


def expand(tree: Node) -> tuple[Turn, ...]:
    """The turns written out one by one. Raises Problem past MOST_TURNS."""
    count = turn_count(tree)
    if count > MOST_TURNS:
        raise Problem(
            f"written out these are {number_in_words(count)} turns; the most is {MOST_TURNS:,}",
            tree.passage,
            "repeat less often",
        )
    algebra = Algebra[tuple[Turn, ...]](
        turn=lambda turn: (turn,),
        join=lambda parts: tuple(turn for part in parts for turn in part),
        times=lambda turns, times: (turns if times >= 0 else inverse_turns(turns)) * abs(times),
    )
    return fold(tree, algebra)


def in_steps(tree: Node) -> Iterator[tuple[Turn, ...]]:
    """The turns written out, parted where the structure of the moves parts them: [A: B] is A, B, A'..

    Turns in a row are a step. Raises Problem past MOST_TURNS.
    """
    match tree:
        case Reference(body=body) if body is not None:
            yield from in_steps(body)
        case Commutator(a=a, b=b):
            first, second = expand(a), expand(b)
            yield from (first, second, inverse_turns(first), inverse_turns(second))
        case Conjugate(a=a, b=b):
            yield expand(a)
            yield from in_steps(b)
            yield inverse_turns(expand(a))
        case Series(items=(only,)):
            yield from in_steps(only)
        case Series(items=items):
            for turns, row in groupby(items, lambda item: isinstance(item, SingleTurn)):
                steps = [expand(each) for each in row]
                yield from [sum(steps, ())] if turns else steps
        case _:
            yield expand(tree)


MOST_EXACT = 10**15
"""From here on nobody reads a number, and browsers would not read it exactly."""


def number_in_words(count: int) -> str:
    """A number of any size, shortened where nobody would read it."""
    return f"{count:,}" if count < MOST_EXACT else f"over 10^{count.bit_length() * 3 // 10 - 1}"


def inverse_turns(turns: tuple[Turn, ...]) -> tuple[Turn, ...]:
    """The turns that undo these."""
    return tuple(Turn(t.axis, t.first, t.last, -t.amount) for t in reversed(turns))


def mirror(turns: tuple[Turn, ...], puzzle: Puzzle, plane: Permutation) -> tuple[Turn, ...]:
    """The turns as seen in a mirror (one of `puzzle.mirrors`): every sense of turning is reversed."""
    return tuple(puzzle.carried(turn, plane) for turn in turns)


def held(turns: tuple[Turn, ...], puzzle: Puzzle, hold: Permutation) -> tuple[Turn, ...]:
    """What these turns are when the whole puzzle is first turned by `hold`, and turned back afterwards."""
    back = perm.inverse(hold)
    return tuple(puzzle.carried(turn, back) for turn in turns)


def permutation_of(turns: tuple[Turn, ...], puzzle: Puzzle) -> Permutation:
    """Where turns, done one after another, take what is in each slot."""
    return reduce(perm.compose, map(puzzle.permutation, turns), puzzle.identity)
