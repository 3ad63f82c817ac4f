"""What all kinds of block have in common: where a block stands, as it was written, and as it was checked.

Knows texts and the place where they stand; what a kind says beside that is its own.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field
from typing import ClassVar

from sitegen.effects.piece_sets import Pieces
from sitegen.effects.words import listed
from sitegen.moves.references import references
from sitegen.moves.tree import Node
from sitegen.names import in_words
from sitegen.pages.markdown import Prose
from sitegen.problems import Passage, Problem
from sitegen.puzzles.puzzle import Puzzle
from sitegen.settings import Setting


@dataclass(frozen=True)
class Head:
    """How a block opens, and where: all that is known of it before its body is read."""

    name: str
    """Empty for a block without one."""
    page: str
    """The name of the page where it stands."""
    puzzle: Puzzle
    html: bool
    """Whether HTML in its texts is let through."""
    defaults: Mapping[str, Setting] = field(default_factory=dict)
    """What its page or the guide says in the place of keys that it does not write."""
    tags: tuple[str, ...] = ()
    """Those that its page and the guide add to its own."""


@dataclass(frozen=True)
class Turned:
    """How many things of each sort were found true."""

    claims: int = 0
    sequences: int = 0
    """Those with a name."""
    positions: int = 0
    """Those whose solution was turned: in blocks, exercises, worked examples and trials."""
    cases: int = 0
    """Those of methods for which a solution was found."""

    def __add__(self, other: Turned) -> Turned:
        return Turned(*map(sum, zip(vars(self).values(), vars(other).values(), strict=True)))

    def __str__(self) -> str:
        """As in `3 claims, 1 sequence and 2 positions`; empty where there is nothing."""
        return listed(
            [f"{n:,} {name.removesuffix('s') if n == 1 else name}" for name, n in vars(self).items() if n]
        )


class UnknownBlock(Problem):
    """A name that no block of its kind has; empty where none is named."""

    def __init__(self, message: str, name: str, passage: Passage, hint: str) -> None:
        super().__init__(message, passage, hint)
        self.name = name


LEFT_OUT = ("title", "layers", "related")
"""What an author may leave out: the title of a card; of a sequence's page its layers, and its relations."""


@dataclass(frozen=True)
class Shown:
    """How an author wants a block shown: what it is called, what is said of it, and how it is drawn."""

    title: str
    """As it is written; empty where none is."""
    say: Prose | None
    views: tuple[str, ...]
    """Empty where what is shown decides."""
    focus: Pieces | None
    arrows: bool
    letters: bool
    caption: Prose | None = None
    """What is said of it as a figure, beside its card."""
    effect: Prose | bool = True
    """What the card says of the effect: what turning shows, or the author's own words, or nothing."""
    metrics: tuple[str, ...] | None = None
    """Those in which its length is told; None where nothing is said."""
    without: tuple[str, ...] = ()
    """Which of `LEFT_OUT` are not shown."""


@dataclass(frozen=True, eq=False, kw_only=True)
class BlockInPlace:
    """What stays the same of a block on its way from text to page."""

    head: Head
    shown: Shown

    @property
    def name(self) -> str:
        return self.head.name

    @property
    def page(self) -> str:
        return self.head.page

    @property
    def puzzle(self) -> Puzzle:
        return self.head.puzzle

    @property
    def title(self) -> str:
        """What is written, or else the name in plain words."""
        return self.shown.title or in_words(self.name)

    @property
    def say(self) -> Prose | None:
        """The author's sentence about it."""
        return self.shown.say


@dataclass(frozen=True, eq=False, kw_only=True)
class WrittenBlock(BlockInPlace):
    """Parsed, but not turned yet."""

    defines: str = ""
    """The sequence that it names, if it does."""
    fields: Mapping[str, Setting]
    written: Passage
    """What it is about: problems with the whole of it are shown there."""

    @property
    def sequence_title(self) -> str:
        """What the sequence is called that it names."""
        return self.shown.title or in_words(self.defines)


@dataclass(frozen=True, eq=False, kw_only=True)
class CheckedBlock(BlockInPlace):
    """Turned and found true."""

    ANCHOR: ClassVar[str]
    """What its place on a page is called, before its name."""
    LINK: ClassVar[str] = ""
    """The scheme of links that lead to it by its name, as in `sequence:lift-edge`; empty where none do.

    They lead to its own page, or where it has none to its place on the page where it stands.
    """

    refers_to: tuple[str, ...]
    """The names of the sequences that it uses."""

    @property
    def sequence(self) -> CheckedBlock | None:
        """The sequence that it defines, to which others can refer."""
        return None

    @property
    def lined(self) -> bool:
        """Whether its figures have lines within stickers, of pieces that are guarded or watched."""
        return False

    @property
    def prose(self) -> tuple[Prose, ...]:
        """The author's texts in it."""
        texts = (self.say, self.shown.effect, self.shown.caption)
        return tuple(text for text in texts if text and not isinstance(text, bool))

    @property
    def anchor(self) -> str:
        """Its place on the page where it stands."""
        return self.anchor_of(self.name)

    @classmethod
    def anchor_of(cls, name: str) -> str:
        """What the place of one of its kind is called by its name."""
        return f"{cls.ANCHOR}-{name}"

    @property
    def url(self) -> str:
        """The path of its own page below output/; empty without one."""
        return self.page_of(self.name)

    @classmethod
    def page_of(cls, name: str) -> str:
        """The path of the page that one of its kind has by its name; empty where none has any."""
        return ""

    @classmethod
    def unknown(cls, name: str, passage: Passage, known: Collection[str]) -> Problem:
        """The problem with a link to one of its kind by a name that none has."""
        hint = (
            f"there are {', '.join(known)}" if known else f"no block of the guide is a {cls.LINK} with a name"
        )
        return UnknownBlock(f"no {cls.LINK} is named {name}", name, passage, hint)

    @property
    def turned(self) -> Turned:
        """What was found true in it by turning, in numbers."""
        return Turned()


def named_in(moves: Iterable[Node | None]) -> tuple[str, ...]:
    """The names of the sequences to which any of some moves refers, each once."""
    return tuple(dict.fromkeys(each.name for node in moves if node for each in references(node)))
