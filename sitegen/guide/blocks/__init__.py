"""The kinds of block. A new kind is a module here with parse, check and render, and a line in KINDS."""

from __future__ import annotations

from typing import Any, Protocol

from sitegen.guide.blocks import derivation, find, method, moves, position, practice, worked
from sitegen.guide.markdown import Fence
from sitegen.guide.sequence import Book, Template
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
    "moves": moves,
    "derivation": derivation,
    "position": position,
    "find": find,
    "method": method,
    "worked example": worked,
    "practice": practice,
}
