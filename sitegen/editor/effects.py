"""What moves do on which somebody looks: those that stand in a place, or that a name there refers to."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from sitegen.blocks import keys
from sitegen.blocks.keys import Meanings
from sitegen.blocks.kind import Block
from sitegen.blocks.kinds import KINDS
from sitegen.blocks.moves.sequence import Sequence
from sitegen.editor.leading import linked
from sitegen.editor.place import Place
from sitegen.effects.effect import Effect
from sitegen.guide.inline import MOVES, mark_of
from sitegen.moves.metrics import length
from sitegen.moves.turning import permutation
from sitegen.problems import Findings, Passage, written
from sitegen.puzzles.puzzle import Puzzle
from sitegen.reports.effect_report import effect_in_words
from sitegen.settings import Setting


class Moves(NamedTuple):
    """Moves that stand somewhere."""

    passage: Passage
    puzzle: Puzzle
    marked: bool = False
    """Whether pieces that look alike are told apart."""


def effect_here(place: Place) -> str:
    """What the moves at a place do, line by line, as the command `effect` says it; empty for no moves.

    Nothing is said of what cannot be turned: that is a problem, and told as one.
    """
    moves = _moves(place)
    return Findings().attempt("", _told, place, moves) if moves else ""


def _told(place: Place, moves: Moves) -> str:
    """Raises Problem or Problems for what cannot be turned."""
    passage, puzzle, marked = moves
    tree = place.around.tree(passage, puzzle)
    effect = Effect(puzzle, permutation(tree, puzzle), marked)
    return "\n".join(effect_in_words(" ".join(passage.text.split()), effect, length(tree, puzzle)))


def _moves(place: Place) -> Moves | None:
    if place.page is None:
        return None
    scheme, _, name = place.link.partition(":")
    if scheme != Sequence.LINK:
        name = place.reference[0] if place.reference else ""
    if name:
        block = linked(Sequence.LINK, place.around).get(name)
        return Moves(written(f"@{name}"), block.head.puzzle, _is_marked(block)) if block else None
    if place.block:
        in_block = _in_block(place, place.block)
        return Moves(in_block, place.page.puzzle, _is_marked(place.block)) if in_block else None
    token, passage = place.code or (None, None)
    marked = mark_of(token) if token else None
    return Moves(passage, place.page.puzzle) if passage and marked and marked.kind == MOVES else None


def _fields(block: Block) -> dict[str, Setting]:
    """What is written in a block, whatever is wrong with what it says, if it can be taken apart."""
    return Findings().attempt({}, KINDS[block.kind].table.read, block.fence)


def _is_marked(block: Block) -> bool:
    return keys.value(_fields(block), "marked", Setting.as_yes, False, Findings())


def _in_block(place: Place, block: Block) -> Passage | None:
    table = KINDS[block.kind].table
    found = _said(_fields(block), table.keys, table.nested)
    return next((said for said in found if place.is_in(said)), None)


def _said(
    fields: Mapping[str, Setting], meanings: Meanings, nested: Mapping[str, Meanings]
) -> Iterator[Passage]:
    """All moves of a block, as they are written behind its keys."""
    for key, setting in fields.items():
        if meanings[key].what == keys.MOVES.what and setting.text:
            yield setting.said
        for item in setting.items:
            yield from _said(item.entries or {}, nested.get(key, {}), {})
