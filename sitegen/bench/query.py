"""What is searched for: claims, and the turns that may do it. What cannot be is refused before any search."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from sitegen.bench.turns import Turns
from sitegen.effects.claims import Claim
from sitegen.effects.claims.case import Asked
from sitegen.effects.effect import holds
from sitegen.effects.feasible import forbidden
from sitegen.effects.laws import Broken, Laws, laws_of
from sitegen.effects.words import listed
from sitegen.moves.notation import layer_names
from sitegen.problems import Passage, Problem
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Puzzle

Written = tuple[Passage, Claim]


@dataclass(frozen=True, eq=False)
class Query:
    claims: tuple[Written, ...]
    turns: Turns
    others: Mapping[str, Permutation]
    """The sequences that claims may refer to."""
    asked: Asked
    """All that the claims ask of single stickers."""

    @property
    def puzzle(self) -> Puzzle:
        return self.turns.puzzle

    @property
    def texts(self) -> list[str]:
        """The claims as written, each on one line."""
        return [_text(passage) for passage, _ in self.claims]

    @cached_property
    def symmetries(self) -> list[tuple[int, ...]]:
        """What each turn becomes, for every symmetry of the puzzle that leaves what is asked as it is."""
        same = [s for s in self.puzzle.symmetries if _carried(self.asked, s) == self.asked]
        carried = [self.turns.carried(symmetry) for symmetry in same]
        return [images for images in carried if images is not None]


def _carried(asked: Asked, symmetry: Permutation) -> Asked:
    return {symmetry[slot]: frozenset(symmetry[t] for t in targets) for slot, targets in asked.items()}


def query(
    claims: Sequence[Written], turns: Turns, others: Mapping[str, Permutation], whole: Passage
) -> Query:
    """Raises Problem for claims that contradict each other, or that no sequence can fulfil; at `whole`."""
    asked = _together(claims, turns.puzzle, others)
    if broken := _forbidden(asked, turns):
        law = broken[0]
        advice = "ask something else of this piece" if law.stray else "let other pieces change too"
        hint = f"{law.here}; {advice}" if law.here else advice
        raise Problem(f"no sequence does this: {law.law}", whole, hint)
    if broken := _out_of_reach(asked, turns):
        names = listed(list(turns.names))
        raise Problem(f"no sequence of {names} alone does this: {broken[0].law}", whole, "allow more turns")
    return Query(tuple(claims), turns, others, asked)


def _together(claims: Sequence[Written], puzzle: Puzzle, others: Mapping[str, Permutation]) -> Asked:
    """What all claims ask. Raises Problem where two of them, or one, ask what excludes itself."""
    left: dict[int, frozenset[int]] = {}
    owner: dict[int, Passage] = {}
    for passage, claim in claims:
        for slot, targets in claim.asks(puzzle, others).items():
            left[slot] = left.get(slot, targets) & targets
            if not left[slot]:
                raise _contradiction(puzzle.piece_at(slot).name, owner.get(slot, passage), passage)
            owner[slot] = passage
    _one_piece_a_place(left, owner, puzzle)
    return left


def _contradiction(name: str, first: Passage, second: Passage) -> Problem:
    if first is second:
        return Problem(f"this asks two things of {name}", second, "say once where each piece goes")
    hint = f"leave {name} out of one of them, as in keeps U except UF"
    return Problem(f"this contradicts “{_text(first)}”: {name} cannot do both", second, hint)


def _one_piece_a_place(asked: Asked, owner: Mapping[int, Passage], puzzle: Puzzle) -> None:
    """Raises Problem where two pieces are asked to one place."""
    taken: dict[int, int] = {}
    for piece in puzzle.pieces:
        first = piece.stickers[0]
        places = {puzzle.stickers[slot].piece for slot in asked.get(first, ())}
        if len(places) != 1:
            continue
        place = places.pop()
        if place in taken:
            other = puzzle.pieces[taken[place]]
            message = f"{other.name} and {piece.name} cannot both come to {puzzle.pieces[place].name}"
            late, early = sorted(
                [owner[first], owner[other.stickers[0]]], key=lambda p: (p.line, p.column), reverse=True
            )
            raise Problem(message, late, f"“{_text(early)}” speaks of it too" if early is not late else "")
        taken[place] = piece.index


def _text(passage: Passage) -> str:
    return " ".join(passage.text.split())


def _forbidden(asked: Asked, turns: Turns) -> tuple[Broken, ...]:
    """The laws against it, if there are any however the turns leave the centres."""
    found = [forbidden(each, laws_of(turns.puzzle)) for each in _held(asked, turns)]
    return found[0] if found and all(found) else ()


def _held(asked: Asked, turns: Turns) -> Iterator[Asked]:
    """What is asked, as it is seen with the centres home, for each way in which they may be moved."""
    puzzle = turns.puzzle
    centres = puzzle.fixed_centres
    for whole in holds(puzzle) if turns.moves_centres else [puzzle.identity]:
        back = perm.inverse(whole)
        if all(back[centre] in asked.get(centre, (back[centre],)) for centre in centres):
            yield {slot: frozenset(whole[t] for t in targets) for slot, targets in asked.items()}


def _out_of_reach(asked: Asked, turns: Turns) -> tuple[Broken, ...]:
    """What the turns allowed cannot do, where others of the puzzle's could."""
    once = [turn for turn in turns.listed if turn.amount == 1]
    if turns.moves_centres or len(once) >= len(layer_names(turns.puzzle)):
        return ()
    return forbidden(asked, Laws(turns.puzzle, once))
