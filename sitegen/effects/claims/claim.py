"""What every claim is: something said about a case, which finds fault with it or finds none."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import ClassVar, TypeVar

from sitegen.effects.effect import Effect
from sitegen.effects.likeness import alike
from sitegen.effects.piece_sets import PLACE_HINT, next_capitals_hint, slot_of
from sitegen.effects.piece_sets import RULES as PIECE_RULES
from sitegen.moves.metrics import Length
from sitegen.moves.references import REFERENCE
from sitegen.problems import Passage
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Piece, Puzzle, Turn
from sitegen.tokenizer import Tokenizer

T = TypeVar("T")

ANY_ORIENTATION = "in any orientation"
RULES = {
    "number": r"[0-9]+\b",
    ">": r">",
    "arrow": r"[-–—=]+>|[→⇒➔]",
    "reference": REFERENCE.pattern,
    "with": r"with\b",
    "orientation": ANY_ORIENTATION.replace(" ", r"\s+") + r"\b",
    **PIECE_RULES,
}


@dataclass(frozen=True)
class Reading:
    """What effects are read by; `others` are the sequences that one may be compared with."""

    puzzle: Puzzle
    others: Mapping[str, Permutation]
    marked: bool = False
    """Whether pieces that look alike are told apart."""

    def effect(self, permutation: Permutation) -> Effect:
        """What a sequence of this permutation does, told as this reading tells it."""
        return Effect(self.puzzle, permutation, self.marked)

    def appearance(self, permutation: Permutation) -> Permutation:
        """Something that permutations share just when nothing told of them differs."""
        return self.effect(permutation).appearance


@dataclass(frozen=True)
class Subject:
    """The sequence that claims are made about, in places of space: its centres are pieces like any others."""

    effect: Effect
    length: Length
    others: Mapping[str, Permutation]

    @property
    def puzzle(self) -> Puzzle:
        return self.effect.puzzle

    @property
    def reading(self) -> Reading:
        """How the other sequences are read: as this one is."""
        return Reading(self.puzzle, self.others, self.effect.marked)


Asked = Mapping[int, frozenset[int]]
"""For stickers the slots where each of them may come; of the others nothing is asked."""


class Claim(ABC):
    """A statement by the author about an effect."""

    BY_STICKERS: ClassVar[bool] = False
    """Whether what it `asks` of single stickers is all that it says, where no pieces look alike."""

    @abstractmethod
    def fault(self, case: Subject) -> str:
        """What is the case instead; empty where the claim holds. Raises Problem for an unknown reference."""

    def asks(self, reading: Reading) -> Asked:
        """What of the claim can be told by single stickers; `fault` has the last word. Raises Problem."""
        return {}

    def counts(self) -> Mapping[str, int]:
        """The numbers that it says: an `order`, or a length by its metric."""
        return {}

    def endings(self, case: Subject) -> Iterable[tuple[Turn, ...]]:
        """Turns of the whole puzzle by which a sequence may have to end for the claim to hold of it."""
        return [case.effect.turning_back]

    def says_nothing_of(self, name: str) -> bool:
        """Whether it is true of a sequence for no more than that this is its name."""
        return False

    @property
    def unseen(self) -> str:
        """Why it cannot be seen to hold unless pieces are marked; empty where it can."""
        return ""


class Placing(Claim):
    """A claim that says of the pieces that it names just where they go, so that it can give a position."""

    oriented: bool = True
    """Whether it also says how they lie there; else it gives no position."""

    @abstractmethod
    def moved(self) -> Mapping[int, int]:
        """The slot that each sticker of these pieces goes to."""


def placed(piece: Piece, slot: int, place: Piece, there: int) -> dict[int, int]:
    """Where every sticker of a piece goes when the one in `slot` goes to the slot `there` of a place."""
    shift = place.stickers.index(there) - piece.stickers.index(slot)
    count = len(place.stickers)
    return {start: place.stickers[(i + shift) % count] for i, start in enumerate(piece.stickers)}


def merged(parts: Iterable[Mapping[int, T]]) -> dict[int, T]:
    """What is said of the stickers of several pieces, each of them named once."""
    return {slot: said for part in parts for slot, said in part.items()}


def as_seen(asked: Asked, reading: Reading) -> Asked:
    """What is left of it where pieces that look alike count as one, told by single stickers.

    Where each of them is asked to stay, each may come to the place of any. Of the others nothing can be said
    of one sticker; what is found must be held against the claims in any case.
    """
    if reading.marked:
        return asked
    left = dict(asked)
    for group in alike(reading.puzzle):
        for slots in zip(*group, strict=True):
            stay = all(asked.get(slot) == frozenset([slot]) for slot in slots)
            for slot in slots:
                left.pop(slot, None)
                if stay:
                    left[slot] = frozenset(slots)
    return left


def just(moved: Mapping[int, int]) -> Asked:
    """Each sticker asked to come to one slot."""
    return {slot: frozenset([target]) for slot, target in moved.items()}


def tokens_of(passage: Passage) -> Tokenizer:
    """The tokens of a claim: words, places, numbers and signs."""
    return Tokenizer(passage, RULES)


def read_slot(tokens: Tokenizer, puzzle: Puzzle) -> int:
    """PLACE, as the slot of the sticker that is named first. Raises Problem."""
    hint = next_capitals_hint(tokens, puzzle) or PLACE_HINT
    token = tokens.expect("a place, such as UF or UFR", "name", hint=hint)
    return slot_of(token, puzzle)


def another(tokens: Tokenizer) -> bool:
    """Reads “,” or “and” or both, where one stands."""
    comma, word = tokens.read(","), tokens.read("and")
    return bool(comma or word)


def fate(piece: Piece, effect: Effect) -> str:
    """What becomes of one piece: `UF goes to UR`, `UF is flipped`, `UF stays home`."""
    first = piece.stickers[0]
    target = effect.seen[first]
    if all(effect.seen[slot] == slot for slot in piece.stickers):
        return f"{piece.name} stays home"
    if target not in piece.stickers:
        return f"{piece.name} goes to {effect.name(target)}"
    if len(piece.stickers) == 2:
        return f"{piece.name} is flipped"
    sense = next(twist.sense for twist in effect.twists if twist.piece is piece)
    return f"{piece.name} is twisted {sense}"
