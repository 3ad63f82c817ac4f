"""What is to be derived: claims, what is guarded at every step, and which pieces are followed meanwhile."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from sitegen.effects.claims.keeps import Keeps
from sitegen.effects.piece_names import part_of, shortest_text
from sitegen.effects.piece_sets import Part, Pieces
from sitegen.effects.words import listed
from sitegen.moves.notation import outer_layers
from sitegen.problems import Passage, Problem
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Puzzle
from sitegen.search.query import Query, Written, query
from sitegen.search.turns import Turns


@dataclass(frozen=True, eq=False)
class Aim:
    """`query` asks all of it: what the claims say, and that the guard is home."""

    query: Query
    guard: Pieces
    watch: Pieces
    guarded: str
    """The guard as an author may write it."""
    watched: str
    claims: tuple[str, ...]
    """What the author asks, each on one line, and that the guard is kept."""

    @property
    def asked(self) -> str:
        """What the author asks."""
        return "; ".join(self.query.texts[:-1])


def aim(
    claims: Sequence[Written],
    turns: Turns,
    others: Mapping[str, Permutation],
    whole: Passage,
    marked: bool = False,
    guard: Part | None = None,
    watch: Part | None = None,
) -> Aim:
    """Raises Problem for what cannot be, or cannot be derived; at `whole` if it is not said where.

    Where nothing else is said, the pieces that the claims change are watched; guarded are those that they
    keep, or else the rest of the first layer that has all that are changed.
    """
    puzzle = turns.puzzle
    kept, changed = _told(query(claims, turns, others, whole, marked))
    if not changed:
        hint = "say what is to become of a piece, as in flips UF"
        raise Problem("this changes no piece, so that there is nothing to derive", whole, hint)
    if len(set(turns.lines)) == 1:
        message = f"turns of {turns.allowed} alone do the same in any order, so that setting aside is no help"
        raise Problem(message, whole, "allow other turns as well")
    guarded = guard or part_of(kept or _rest_of_layer(changed, puzzle, whole), puzzle)
    watched = watch or part_of(changed, puzzle)
    _check_apart(guarded, changed, "the goal changes", puzzle)
    _check_apart(watched, guarded[1], "the guard keeps", puzzle)
    sought = query([*claims, (guarded[0], Keeps(guarded[1]))], turns, others, whole, marked)
    text, followed = (shortest_text(part, puzzle) for part in (guarded, watched))
    said = sought.texts[:-1] if guarded[1] <= kept else [*sought.texts[:-1], f"keeps {text}"]
    return Aim(sought, guarded[1], watched[1], text, followed, tuple(said))


def _told(sought: Query) -> tuple[Pieces, Pieces]:
    """The pieces that are to stay as they are, and those that are to change."""
    stay, change = set[int](), set[int]()
    for slot, there in sought.asked.items():
        (stay if there == {slot} else change).add(sought.puzzle.stickers[slot].piece)
    return frozenset(stay - change), frozenset(change)


def _rest_of_layer(changed: Pieces, puzzle: Puzzle, whole: Passage) -> Pieces:
    """What else the first outer layer has that all these pieces are in."""
    layers = map(puzzle.pieces_in, outer_layers(puzzle).values())
    around = next((layer - changed for layer in layers if changed < layer), None)
    if around is None:
        names = listed([puzzle.pieces[index].name for index in sorted(changed)])
        hint = "say by --guard what is to be kept, as in --guard U"
        raise Problem(f"no layer has all of {names}, so that it is not known what to guard", whole, hint)
    return around


def _check_apart(part: Part, others: Pieces, what: str, puzzle: Puzzle) -> None:
    """Raises Problem where pieces are named of which the contrary is asked."""
    passage, pieces = part
    if both := pieces & others:
        names = listed([puzzle.pieces[index].name for index in sorted(both)])
        raise Problem(f"{what} {names}", passage, "take it out, as in U except UF")
