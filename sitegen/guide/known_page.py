"""What is known of a page in which everything holds: all that anything beside it follows from.

A page whose text is another and of which the same is known concerns nobody else.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from sitegen.blocks.block import Turned


@dataclass(frozen=True)
class KnownBlock:
    """A block that has a name, or gives one to a sequence."""

    name: str
    """Empty where only its sequence has one."""
    defines: str
    kind: str
    puzzle: str
    text: str
    """As it is written, with its opening."""


@dataclass(frozen=True)
class KnownPage:
    head: str
    """Its settings, as they are written."""
    title: str
    puzzle: str
    """The name of the one that its moves turn."""
    places: tuple[str, ...]
    """What links can lead to on it."""
    figures: Mapping[str, int]
    """The numbers of figures on it, by their places."""
    called: Mapping[str, str]
    """What stands at a place says or is called, likewise."""
    headings: tuple[str, ...]
    """What its headings say, each behind its level, by which it is searched."""
    tags: tuple[str, ...]
    """Its own, and those of its sequences."""
    asks: bool
    """Whether it asks the reader something."""
    answers: str
    """The path of the answers, if they are published."""
    mentions: tuple[str, ...]
    """The sequences that it names, in the order of the alphabet."""
    html: tuple[str, ...]
    """What is written on it in HTML, which is held against style sheets."""
    blocks: tuple[KnownBlock, ...]
    puzzles: tuple[str, ...]
    """The names of those that its blocks turn."""
    turned: Turned
    isolates: bool
    """Whether one of its sequences isolates pieces in a layer."""
    dated: bool
    """Whether it has the day on which it was published."""
    noted: bool
    """Whether there is something about it that an author may want to know."""
