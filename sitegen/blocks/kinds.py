"""The kinds of block. A new kind is a module here with parse, check and render, and a line in KINDS."""

from __future__ import annotations

from typing import Any, Protocol

from sitegen.blocks.derivation import derivation_block
from sitegen.blocks.find import find_block
from sitegen.blocks.method import method_block
from sitegen.blocks.moves import moves_block
from sitegen.blocks.moves.sequence import Book, Template
from sitegen.blocks.position import position_block
from sitegen.blocks.practice import practice_block
from sitegen.blocks.worked import worked_block
from sitegen.pages.markdown import Fence
from sitegen.problems import Findings
from sitegen.puzzles.puzzle import Puzzle

__all__ = ["KINDS", "Kind"]


class Kind(Protocol):
    """The face of a kind of block."""

    def parse(self, fence: Fence, name: str, page: str, puzzle: Puzzle, html: bool) -> Any:
        """What was written: with `defines`, the name of a sequence that others can refer to, or nothing.

        If it defines one, also with the `tree` of its moves and the passage in which it was `written`.
        Raises Problem or Problems.
        """

    def check(self, block: Any, book: Book, findings: Findings) -> Any:
        """What turning shows of it: with `prose`, the texts in it, `refers_to`, names of sequences that it
        uses, and `sequence`, the one that it defines, or None.

        What is not so goes to the findings. Raises Problem where nothing can be shown.
        """

    def render(self, checked: Any, template: Template) -> str:
        """Its HTML."""


KINDS: dict[str, Kind] = {
    "moves": moves_block,
    "derivation": derivation_block,
    "position": position_block,
    "find": find_block,
    "method": method_block,
    "worked example": worked_block,
    "practice": practice_block,
}
