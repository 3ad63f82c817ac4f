"""What a kind of block is: how it is read, what turning shows of it, and how that is set on a page.

Knows no kind; `kinds.py` lists them.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Protocol

from sitegen.blocks.block import CheckedBlock, Head, WrittenBlock
from sitegen.blocks.keys import Table
from sitegen.blocks.scope import Scope
from sitegen.figures.of_position import Palette
from sitegen.pages.markdown import Fence
from sitegen.problems import Findings
from sitegen.puzzles.puzzle import Puzzle

Values = Mapping[str, Any]
"""What a template is given, by the names by which it is called there."""


class PageRenderer(Protocol):
    """The page on which a block stands."""

    @property
    def variant(self) -> str:
        """Which variant of the exercises is set; empty for the first."""

    @property
    def answers(self) -> str:
        """The path of the page with the answers to the exercises; empty where none are published."""

    @property
    def hints(self) -> bool:
        """Whether hints to the exercises may stand on the page."""

    def colours(self, puzzle: Puzzle) -> Palette:
        """The colours of a puzzle's figures on this page."""


@dataclass
class Block:
    """One block of a page on its way from text to something checked."""

    kind: str
    head: Head
    fence: Fence
    findings: Findings
    parsed: Any = None
    """A `WrittenBlock` of its kind, once it has been read."""
    checked: Any = None
    """A `CheckedBlock` of its kind, once it has been found true."""
    defines: str = ""
    """The sequence that it gives a name, which may be known of one that cannot be read."""

    @property
    def label(self) -> str:
        """What it is, for whoever waits for it."""
        return f"{self.kind} {self.name}".rstrip()

    @property
    def name(self) -> str:
        """That of its first line, or else of what it names; empty for neither."""
        return str((self.parsed or self.head).name)


@dataclass(frozen=True)
class Kind:
    """What a kind of block may say, and its functions in the order in which they are called."""

    gives: type[CheckedBlock]
    table: Table
    parse: Callable[[Fence, Head, Findings], WrittenBlock]
    """What was written; what cannot be read of it goes to the findings, and nothing is made of the rest.

    Raises Problem or Problems where there is nothing to read.
    """
    check: Callable[[Any, Scope, Findings], CheckedBlock]
    """Of what was read what turning shows; what is not so goes to the findings.

    Raises Problem where nothing can be shown.
    """
    show: Callable[[Any, PageRenderer], Values]
    """Of what was checked what its template is given."""
    together: Callable[[Sequence[Block], Scope], None] | None = None
    """What the blocks of the kind on one page, all checked, settle among themselves."""
    answers: Callable[[Any, PageRenderer], Sequence[Any]] | None = None
    """What a page of its own shows of the answers, if the kind asks the reader something."""
    wide: bool = False
    """Whether it stands across all columns of text on paper, since one of them has no room for it."""
    takes_long: bool = False
    """Whether checking one mostly takes longer than one of another kind, so that these begin first."""
    looks_about: bool = True
    """Whether a block may follow from any other of its puzzle that has a name, and not only from its own text
    and the sequences that it refers to."""
