"""What a stage of a method is to reach, and how far a position has reached it, as labels on stickers.

A label stands for all that a goal asks of a sticker, so that stickers with one label may change places. A
*state* says which label is in each slot; a goal is reached where every label is where it belongs. Stickers
that nobody asks about bear the label 0.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Sequence
from dataclasses import dataclass, replace

from sitegen.effects.likeness import alike, looks
from sitegen.effects.piece_sets import RULES, Pieces, piece_words, read_pieces
from sitegen.effects.words import listed
from sitegen.names import read_names
from sitegen.problems import Passage, Problem
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Piece, Puzzle
from sitegen.tokenizer import Tokenizer

State = Permutation
"""For each slot the label that is there: no permutation, but kept as one.

`compose(p, state)` is the state before p was done, `compose(inverse(p), state)` the one after it.
"""

HOME, PLACED, ORIENTED = "home", "placed", "oriented"
STATES = (HOME, PLACED, ORIENTED)
GOAL_RULES = {"state": rf"(?:{'|'.join(STATES)})\b", "by": r"by\b", "face": r"(?!and\b)[A-Za-z]+\b", **RULES}
GOAL_HINT = "write for example “edges of U placed”, or “corners oriented by U and D”"

GOALS_HINT = "faces are joined by “and”; each goal has a line of its own, or a semicolon before it"


@dataclass(frozen=True)
class Goal:
    """Pieces that must be home; or placed, whichever way round; or oriented, in any of their places.

    Oriented pieces each show the sticker of the first face of `by` that they have where such a one belongs.
    """

    pieces: Pieces
    state: str
    by: tuple[str, ...] = ()

    def only(self, pieces: Pieces) -> Goal:
        """The same asked of fewer pieces."""
        return replace(self, pieces=self.pieces & pieces)

    def asks(self, puzzle: Puzzle) -> dict[int, Hashable]:
        """For each sticker that it asks about, what it asks: the same of those that may change places."""
        pieces = [puzzle.pieces[index] for index in sorted(self.pieces)]
        if self.state == ORIENTED:
            slots = [reference(piece, self.by, puzzle) for piece in pieces]
            return {slot: ORIENTED for slot in slots if slot is not None}
        look = looks(puzzle)
        if self.state == HOME:
            return {slot: look[slot] for piece in pieces for slot in piece.stickers}
        return {slot: puzzle.stickers[look[slot]].piece for piece in pieces for slot in piece.stickers}


def reference(piece: Piece, by: Iterable[str], puzzle: Puzzle) -> int | None:
    """The sticker of a piece that says how it is oriented, if it has one."""
    on = {puzzle.stickers[slot].face: slot for slot in piece.stickers}
    return next((on[face] for face in by if face in on), None)


def goal_words(puzzle: Puzzle) -> list[str]:
    """The words that a goal is written in."""
    return [*piece_words(puzzle), *STATES, "by"]


def parse_goal(passage: Passage, puzzle: Puzzle) -> Goal:
    """goal := pieces ("home" | "placed" | "oriented" "by" faces)    Raises Problem."""
    tokens = Tokenizer(passage, GOAL_RULES)
    pieces = read_pieces(tokens, puzzle)
    state = tokens.expect("“home”, “placed” or “oriented”", "state", hint=GOAL_HINT).text
    by: tuple[str, ...] = ()
    if state == ORIENTED:
        tokens.expect("“by” and faces", "by", hint="say by which stickers: oriented by U and D")
        by = _faces(tokens, puzzle)
    tokens.expect_end("the end", GOALS_HINT)
    goal = Goal(pieces, state, by)
    _check(goal, passage, puzzle)
    return goal


def _faces(tokens: Tokenizer, puzzle: Puzzle) -> tuple[str, ...]:
    """faces := names, each of a face"""
    known = [face.name for face in puzzle.faces]
    hint = f"faces are {', '.join(known)}"
    named = read_names(tokens, "a face", hint, rule="face")
    for face in named:
        if face.text not in known:
            raise Problem(f"{puzzle.name} has no face {face.text}", face, hint)
    return tuple(face.text for face in named)


def _check(goal: Goal, passage: Passage, puzzle: Puzzle) -> None:
    """Raises Problem for a goal that some piece cannot be asked for."""
    check_alike(goal.pieces, passage, puzzle)
    if goal.state != ORIENTED:
        return
    pieces = [puzzle.pieces[index] for index in sorted(goal.pieces)]
    without = [piece.name for piece in pieces if reference(piece, goal.by, puzzle) is None]
    if without:
        has = "has" if len(without) == 1 else "have"
        message = f"{listed(without)} {has} no sticker of {listed(goal.by, 'or')}"
        raise Problem(message, passage, "name more faces; a piece goes by the first that it has")


def check_alike(pieces: Pieces, passage: Passage, puzzle: Puzzle) -> None:
    """Raises Problem for pieces with others that look alike and are not among them.

    Of one of these nobody could say whether it is the one that is asked for.
    """
    for group in alike(puzzle):
        names = {puzzle.piece_at(stickers[0]).index: puzzle.piece_at(stickers[0]).name for stickers in group}
        asked = [name for index, name in names.items() if index in pieces]
        others = [name for index, name in names.items() if index not in pieces]
        if asked and others:
            verb = "looks" if len(asked) == 1 else "look"
            message = f"{listed(asked)} {verb} like {listed(others)}"
            raise Problem(message, passage, "ask for all that look alike, or for none of them")


def labels(puzzle: Puzzle, goals: Iterable[Goal]) -> State:
    """The state in which all goals are reached."""
    asked: list[tuple[Hashable, ...]] = [()] * len(puzzle.stickers)
    for number, goal in enumerate(goals):
        for slot, what in goal.asks(puzzle).items():
            asked[slot] += ((number, what),)
    numbers: dict[tuple[Hashable, ...], int] = {(): 0}
    for what in asked:
        numbers.setdefault(what, len(numbers))
    return padded([numbers[what] for what in asked], puzzle)


@dataclass(frozen=True)
class Gained:
    """What is reached in a state, and what of it was not in an earlier one: each by slots."""

    asked: frozenset[int]
    """All that goals ask about, now or earlier."""
    new: frozenset[int]
    """The part of it that belongs to pieces that were asked for last, and of which less was known before."""
    placed: frozenset[int]
    """The part of what is new that belongs to pieces of which only the place matters."""
    own: frozenset[int]
    """Those of all pieces that are known to be in their own places."""


def gained(before: State, goals: Sequence[Goal], reached: State, puzzle: Puzzle) -> Gained:
    """What some goals have added, which lead from one state to another."""
    wanted = _slots(puzzle.pieces[index] for goal in goals for index in goal.pieces)
    earlier, now = _bearing(before), _bearing(reached)
    asked = frozenset(sticker.index for sticker in puzzle.stickers if reached[sticker.index])
    new = frozenset(slot for slot in asked & wanted if earlier[before[slot]] != now[reached[slot]])
    placed = _slots(piece for piece in puzzle.pieces if only_place(piece, reached))
    own = _slots(
        piece
        for piece in puzzle.pieces
        if any(now[reached[slot]] <= {*piece.stickers} for slot in asked.intersection(piece.stickers))
    )
    return Gained(asked, new, new & placed, own)


def only_place(piece: Piece, reached: State) -> bool:
    """Whether a piece may lie in its place whichever way round."""
    return len({reached[slot] for slot in piece.stickers}) == 1 < len(piece.stickers)


def _bearing(state: State) -> dict[int, set[int]]:
    """For each label the slots where it is."""
    found: dict[int, set[int]] = {}
    for slot, label in enumerate(state):
        found.setdefault(label, set()).add(slot)
    return found


def _slots(pieces: Iterable[Piece]) -> frozenset[int]:
    return frozenset(slot for piece in pieces for slot in piece.stickers)


def padded(state: Iterable[int], puzzle: Puzzle) -> State:
    """A state from its labels, slot by slot."""
    whole = puzzle.identity
    return bytes(state).ljust(len(whole), b"\0") if isinstance(whole, bytes) else tuple(state)


def all_padded(states: Iterable[State], puzzle: Puzzle) -> list[State]:
    """`padded` of very many, which need not be padded yet."""
    size = len(puzzle.identity)
    return [state.ljust(size, b"\0") if isinstance(state, bytes) else state for state in states]


def state_of(position: Permutation, reached: State) -> State:
    """How far a position has reached goals: the state that it makes of the one that reaches them."""
    return perm.compose(perm.inverse(position), reached)


def is_reached(position: Permutation, reached: State) -> bool:
    """Whether in a position, which may be given by the slots that there are, goals are reached."""
    return perm.compose(position, reached) == reached[: len(position)]
