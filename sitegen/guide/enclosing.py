"""Where a command is started: the guide there, with its puzzle and its sequences, or none.

Reads of the guide just what is asked for: what is wrong elsewhere in it stops nobody. Knows no commands.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import NamedTuple

from sitegen.blocks.kind import Block
from sitegen.blocks.kinds import KINDS
from sitegen.blocks.scope import Scope
from sitegen.cache import Cache
from sitegen.guide.load import read_blocks, scopes_of
from sitegen.moves.parse import parse
from sitegen.moves.references import REFERENCE, UnknownSequence, references, resolve_one
from sitegen.moves.tree import Node
from sitegen.pages.config import SETTINGS, Config, Unsaved, own_puzzles, puzzle_of, settled
from sitegen.pages.page import Page
from sitegen.problems import Findings, Passage, Problem, Problems
from sitegen.puzzles import catalogue
from sitegen.puzzles.catalogue import Catalogue
from sitegen.puzzles.puzzle import Puzzle


class Outline(NamedTuple):
    """What is written in a guide, nothing of it held to be true yet."""

    pages: tuple[Page, ...]
    blocks: list[Block]
    scopes: Mapping[str, Scope]
    """Its sequences, by puzzle."""


@dataclass(frozen=True)
class Enclosing:
    """`folder` is that of the guide; None outside of any."""

    folder: Path | None
    unsaved: Unsaved = field(default_factory=dict)

    @cached_property
    def puzzles(self) -> Catalogue:
        """All that ship, and those of the guide."""
        return own_puzzles(self.folder, self.unsaved) if self.folder else Catalogue()

    def puzzle(self, name: str | None) -> Puzzle:
        """The puzzle of this name, or the one that the guide is about.

        Raises KeyError for an unknown name, Problems where the guide does not tell.
        """
        if name is None:
            name = puzzle_of(self.folder, self.unsaved) if self.folder else Config.puzzle
        return catalogue.puzzle(name) if name in catalogue.names() else self.puzzles.puzzle(name)

    def tree(self, passage: Passage, puzzle: Puzzle) -> Node:
        """Moves with the sequences that they refer to filled in. Raises Problem or Problems."""
        return resolve_one(parse(passage, puzzle), self.scope(passage, puzzle).trees)

    def scope(self, passage: Passage, puzzle: Puzzle) -> Scope:
        """The sequences of the guide, if a text refers to any. Raises Problems that one of these has."""
        named = _named(passage)
        if not named or not self.folder:
            return Scope(puzzle, {}, {})
        scope = self.every(puzzle)
        if problems := list(self._problems(named)):
            raise Problems(problems)
        for name, place in named.items():
            for block in self.called(name):
                if name not in scope.trees:
                    raise _elsewhere(block, name, place)
        return scope

    def every(self, puzzle: Puzzle) -> Scope:
        """All sequences of the guide that turn a puzzle, as far as they can be read; none outside of a guide.

        Raises Problems where the guide does not say what it is about.
        """
        scopes = self.outline.scopes if self.folder else {}
        taken = next((scope.taken for scope in scopes.values()), frozenset())
        return scopes.get(puzzle.name, Scope(puzzle, {}, {}, taken))

    def notes(self, passage: Passage, puzzle: Puzzle) -> list[Problem]:
        """What is false of what the guide claims of sequences that a text refers to.

        They can be turned all the same: who looks into a false claim asks what they do.
        """
        scope, found = self.scope(passage, puzzle), Findings()
        for block in self._used(_named(passage)) if self.folder else ():
            found.attempt(None, KINDS[block.kind].check, block.parsed, scope, found)
        return [Problem(f"note: {each.message}", each.passage, each.hint) for each in found.problems]

    @cached_property
    def outline(self) -> Outline:
        """All that is written in the guide, and its sequences. Raises Problems."""
        assert self.folder is not None  # there are none outside a guide
        # Of a guide that does not say so nobody knows what its moves turn.
        puzzle_of(self.folder, self.unsaved)
        config = settled(self.folder, self.unsaved)
        pages, _, blocks = read_blocks(self.folder, config, Findings(), self.unsaved)
        return Outline(pages, blocks, scopes_of(blocks, Cache(), config))

    def called(self, name: str) -> list[Block]:
        """The blocks of a name, or that give it to a sequence."""
        return [b for b in self.outline.blocks if name in (b.name, b.parsed.defines if b.parsed else "")]

    def _problems(self, names: Iterable[str]) -> Iterator[Problem]:
        """What is wrong with sequences, and with all that these refer to."""
        for block in self._used(names):
            yield from (p for p in block.findings.problems if not self._follows(p))

    def _used(self, names: Iterable[str]) -> Iterator[Block]:
        """The blocks of these names, and of all that these refer to."""
        left, seen = list(names), set[str]()
        while left:
            name = left.pop()
            if name in seen:
                continue
            seen.add(name)
            for block in self.called(name):
                yield block
                if block.parsed and block.parsed.defines:
                    left += [reference.name for reference in references(block.parsed.tree)]

    def _follows(self, problem: Problem) -> bool:
        """Whether it is only that another sequence cannot be read, which is told of that one."""
        return isinstance(problem, UnknownSequence) and any(
            block.findings.problems for block in self.called(problem.name)
        )


def _named(passage: Passage) -> dict[str, Passage]:
    """The sequences that a text refers to, and where."""
    return {found[1]: passage.part(*found.span()) for found in REFERENCE.finditer(passage.text)}


def _elsewhere(block: Block, name: str, place: Passage) -> Problem:
    """Why a block of that name is no sequence here."""
    puzzle = block.head.puzzle.name
    if not block.parsed.defines:
        hint = f"{name} is a {block.kind}: name a sequence in its place"
        return Problem(f"no sequence is named {name}", place, hint)
    return Problem(f"{name} is a sequence of {puzzle}", place, f"turn that puzzle: --puzzle {puzzle}")


def enclosing(place: Path) -> Enclosing:
    """The guide in a folder, or in the nearest one above that holds one."""
    return Enclosing(guide_above(place.resolve()))


def guide_above(place: Path) -> Path | None:
    """The nearest folder that holds a guide: this one, or one above it."""
    guides = (folder for folder in (place, *place.parents) if (folder / f"content/{SETTINGS}").is_file())
    return next(guides, None)
