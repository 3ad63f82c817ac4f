"""What is searched for: claims, and the turns that may do it. What cannot be is refused before any search."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations

from sitegen.effects.claims import Claim
from sitegen.effects.claims.claim import Asked, Reading, as_seen
from sitegen.effects.effect import holds
from sitegen.effects.feasible import forbidden
from sitegen.effects.laws import Broken, Laws, laws_of
from sitegen.effects.piece_sets import Pieces
from sitegen.moves.metrics import METRICS
from sitegen.problems import Passage, Problem
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Puzzle
from sitegen.search.turns import Turns

Written = tuple[Passage, Claim]


@dataclass(frozen=True, eq=False)
class Query:
    """What sequences are to do, of what turns they are made, and what single stickers tell of that."""

    claims: tuple[Written, ...]
    turns: Turns
    others: Mapping[str, Permutation]
    """The sequences that claims may refer to."""
    asked: Asked
    """All that the claims ask of single stickers."""
    marked: bool = False
    """Whether pieces that look alike are told apart."""

    @property
    def puzzle(self) -> Puzzle:
        return self.turns.puzzle

    @property
    def texts(self) -> list[str]:
        """The claims as written, each on one line."""
        return [_text(passage) for passage, _ in self.claims]

    @property
    def pieces(self) -> Pieces:
        """The pieces that something is asked of."""
        return frozenset(self.puzzle.stickers[slot].piece for each in self._asks() for slot in each)

    @property
    def unsaid(self) -> str:
        """What to say further, so that a search has more to go by."""
        named = {slot for each in self._asks() for slot in each}
        like_are_free = bool(named - self.asked.keys())
        all_named = len(named) == len(self.puzzle.stickers)
        more = [] if all_named and like_are_free else ["say more of what becomes of the pieces"]
        apart = ["tell apart those that look alike: --marked, or marked: yes"] if like_are_free else []
        return ", or ".join([*more, *apart])

    def _asks(self) -> list[Asked]:
        """What each claim asks, where pieces that look alike would not count as one."""
        reading = Reading(self.puzzle, self.others, self.marked)
        return [claim.asks(reading) for _, claim in self.claims]

    @property
    def longest(self) -> int | None:
        """The longest length that the claims allow, in the metric of the search, if they speak of it."""
        counts = [count for _, claim in self.claims for count in claim.counts().items()]
        longest = (self.turns.most(number, what) for what, number in counts if what in METRICS)
        return min(longest, default=None)

    @property
    def symmetries(self) -> list[tuple[int, ...]]:
        """What each turn becomes, for every symmetry of the puzzle that leaves what is asked as it is."""
        return [images for _, images in self._kept]

    @property
    def kept_by(self) -> list[Permutation]:
        """These symmetries, by where they take what is in each slot."""
        return [symmetry for symmetry, _ in self._kept]

    @cached_property
    def _kept(self) -> list[tuple[Permutation, tuple[int, ...]]]:
        carried = ((s, self.turns.carried(s)) for s in self.puzzle.symmetries if self._same(s))
        return [(symmetry, images) for symmetry, images in carried if images is not None]

    def _same(self, symmetry: Permutation) -> bool:
        carried = {symmetry[s]: frozenset(symmetry[t] for t in there) for s, there in self.asked.items()}
        return self.asked == carried


def query(
    claims: Sequence[Written],
    turns: Turns,
    others: Mapping[str, Permutation],
    whole: Passage,
    marked: bool = False,
) -> Query:
    """Raises Problem for claims that contradict each other, or that no sequence can fulfil; at `whole`."""
    asked = _together(claims, Reading(turns.puzzle, others, marked))
    _check_possible(asked, turns, whole)
    return Query(tuple(claims), turns, others, asked, marked)


def _check_possible(asked: Asked, turns: Turns, whole: Passage) -> None:
    """Raises Problem where nothing can do what is asked."""
    once = [turn for turn in turns.listed if turn.amount == 1]
    broken = () if turns.moves_centres else forbidden(asked, Laws(turns.puzzle, once, unseen=False))
    if (broken or turns.moves_centres) and (anyhow := _forbidden(asked, turns.puzzle)):
        raise _impossible(anyhow[0], whole)
    if broken:
        message = f"no sequence of turns of {turns.allowed} alone does this: {broken[0].law}"
        raise Problem(message, whole, "allow more turns, such as other faces or slices")


def _impossible(law: Broken, whole: Passage) -> Problem:
    advice = "ask something else of this piece" if law.stray else "let other pieces change too"
    hint = f"{law.here}; {advice}" if law.here else advice
    return Problem(f"no sequence does this: {law.law}", whole, hint)


def _forbidden(asked: Asked, puzzle: Puzzle) -> tuple[Broken, ...]:
    """The laws against it, whatever the turns: there must be some however the centres are left."""
    laws = laws_of(puzzle, unseen=False)
    found = [forbidden(each, laws) for each in _held(asked, puzzle)]
    return found[0] if found and all(found) else ()


def _held(asked: Asked, puzzle: Puzzle) -> Iterator[Asked]:
    """What is asked, as it is seen with the centres home, for each way in which they may be moved."""
    centres = puzzle.fixed_centres
    for whole in holds(puzzle) if centres else [puzzle.identity]:
        back = perm.inverse(whole)
        if all(back[centre] in asked.get(centre, (back[centre],)) for centre in centres):
            yield {slot: frozenset(whole[t] for t in targets) for slot, targets in asked.items()}


def _together(claims: Sequence[Written], reading: Reading) -> Asked:
    """What all claims ask. Raises Problem where two of them exclude each other."""
    left: dict[int, frozenset[int]] = {}
    owner: dict[int, Passage] = {}
    _one_number_each(claims)
    for passage, claim in claims:
        if claim.unseen and not reading.marked:
            raise Problem(claim.unseen, passage, "mark them: marked: yes, or --marked")
        for slot, targets in as_seen(claim.asks(reading), reading).items():
            both = left.get(slot, targets) & targets
            if not both:
                name = reading.puzzle.piece_at(slot).name
                raise _contradiction(name, owner[slot], passage)
            if left.get(slot) != both:
                left[slot], owner[slot] = both, passage
    _one_piece_a_place(left, owner, reading.puzzle)
    return left


def _one_number_each(claims: Sequence[Written]) -> None:
    """Raises Problem for two orders, or two lengths in one metric."""
    for (first, a), (second, b) in combinations(claims, 2):
        one, other = a.counts(), b.counts()
        if any(one[what] != other[what] for what in one.keys() & other.keys()):
            raise Problem(f"this contradicts “{_text(first)}”", second, "keep one of the two")


def _contradiction(name: str, first: Passage, second: Passage) -> Problem:
    message = f"this contradicts “{_text(first)}”: {name} cannot do both"
    return Problem(message, second, f"leave {name} out of one of them")


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
            owners = [owner[first], owner[other.stickers[0]]]
            early, late = sorted(owners, key=lambda passage: (passage.line, passage.column))
            raise Problem(message, late, f"“{_text(early)}” speaks of it too" if early is not late else "")
        taken[place] = piece.index


def _text(passage: Passage) -> str:
    return " ".join(passage.text.split())
