"""Scratch paper: moves and claims that are typed, and all that can be said of them at once.

It asks the functions by which blocks are checked and commands answer, and knows nothing else of moves.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from sitegen.blocks.block import Head, Shown
from sitegen.blocks.derivation.explained_source import explained_blocks
from sitegen.blocks.moves.moves_block import MovesBlock, check, found_true
from sitegen.blocks.moves.sequence import Sequence
from sitegen.blocks.moves.sequence_figures import by_cycle, pairs
from sitegen.blocks.scope import Scope
from sitegen.blocks.source import free, moves_source, name_of, title_of
from sitegen.effects.claims import Claim, Subject, parse_claims
from sitegen.effects.claims.claims_of_effect import claims_of
from sitegen.effects.layers import layers
from sitegen.effects.likeness import alike
from sitegen.effects.relations import RelationGroup, relations, say_how
from sitegen.effects.words import say
from sitegen.figures.of_position import palette
from sitegen.figures.views import DEFAULT_VIEW, available
from sitegen.guide.enclosing import Enclosing, Outline
from sitegen.moves.notation import write_all
from sitegen.moves.parse import parse
from sitegen.moves.turning import inverse_turns, mirror
from sitegen.pages.config import settled
from sitegen.preview.block_places import PagePlaces, SequenceLink, page_places, sequence_links
from sitegen.preview.panel import filled
from sitegen.problems import Findings, Passage, Problem, Problems, written
from sitegen.puzzles.puzzle import Puzzle
from sitegen.search.stretches import Account, account_for
from sitegen.search.structure import Structure
from sitegen.site.tables import HEADINGS_OF, row
from sitegen.site.telling import Telling

MOST_SHOWN = 120
"""Of a sequence with more turns than this the inverse and the mirror images are not written out."""
MOST_LOOKED_THROUGH, WAYS = 20, 4
"""A sequence with more turns is not looked through for how it is made; of ways so many are told."""
NAMELESS = "from-scratch-paper"
"""What a block is called of which nothing is claimed."""


@dataclass(frozen=True)
class Scratch:
    """What stands on the paper. Claims stand on lines of their own, or have semicolons between them."""

    moves: str
    claims: str = ""
    puzzle: str | None = None
    view: str = DEFAULT_VIEW
    marked: bool = False


@dataclass(frozen=True)
class ClaimSeen:
    """A claim as it is written, and what is the case instead; empty where it holds."""

    text: str
    fault: str = ""
    hint: str = ""


@dataclass(frozen=True)
class Mirrored:
    """The moves as they are seen in a mirror between two faces."""

    between: str
    moves: str


@dataclass(frozen=True)
class Paper:
    """The guide in a folder as it stands now, for all that is asked until something in it is saved."""

    folder: Path

    @cached_property
    def around(self) -> Enclosing:
        return Enclosing(self.folder)

    @cached_property
    def colours(self) -> Mapping[str, str]:
        """Those that the guide gives faces; none where it cannot be read."""
        try:
            return settled(self.folder).colours
        except Problems:
            return {}

    @cached_property
    def puzzles(self) -> list[str]:
        """The names of all puzzles, that of the guide first."""
        try:
            first = self.around.puzzle(None).name
        except (Problems, KeyError):
            return self.around.puzzles.names()
        return [first, *(name for name in self.around.puzzles.names() if name != first)]

    @cached_property
    def places(self) -> dict[str, PagePlaces]:
        """Where what stands on each page is written."""
        return page_places(self._outline.pages, self._outline.blocks)

    @cached_property
    def sequences(self) -> dict[str, SequenceLink]:
        """The pages of the guide's sequences, by their names."""
        return sequence_links(self._outline.blocks)

    @property
    def _outline(self) -> Outline:
        """Nothing where the guide cannot be read, which the panel tells."""
        try:
            return self.around.outline
        except Problems:
            return Outline((), [], {})

    def puzzle(self, name: str | None) -> Puzzle:
        """Raises Problem or Problems."""
        try:
            return self.around.puzzle(name)
        except KeyError:
            hint = "there are " + ", ".join(self.puzzles)
            raise Problem(f"no puzzle is called {name}", written(name or "", "puzzle"), hint) from None

    def known(self, puzzle: Puzzle) -> Scope:
        """The guide's sequences; none where it cannot be read, which the panel tells."""
        try:
            return self.around.every(puzzle)
        except Problems:
            return Scope(puzzle, {}, {})


@dataclass(frozen=True)
class ScratchAnswer:
    """All that is told of moves."""

    sequence: Sequence
    claims: tuple[ClaimSeen, ...]
    inverse: str
    mirrors: tuple[Mirrored, ...]
    related: tuple[RelationGroup, ...]
    ways: tuple[str, ...]
    """How else the moves are written, with fewer turns: as commutators, conjugates, repeats and products."""
    block: str
    derivation: str
    """A block that derives the moves; empty where they have no such way."""
    notes: tuple[str, ...]
    """What is false of what the guide claims of sequences that are named here."""


def answer(scratch: Scratch, paper: Paper) -> ScratchAnswer:
    """What there is to be said of what stands on the paper. Raises Problem or Problems."""
    puzzle = paper.puzzle(scratch.puzzle)
    sequence, claims = _checked(scratch, puzzle, paper.around)
    short = sequence.turns if sequence.count <= MOST_SHOWN else ()
    known = paper.known(puzzle)
    account = _account(sequence)
    return ScratchAnswer(
        sequence=sequence,
        claims=claims,
        inverse=write_all(inverse_turns(short), puzzle),
        mirrors=tuple(
            Mirrored(" and ".join(faces), write_all(mirror(short, puzzle, plane), puzzle))
            for faces, plane in (puzzle.mirrors.items() if short else ())
        ),
        related=_related(sequence, known),
        ways=tuple(form.written for form in account.forms) if account else (),
        block=_block(sequence, claims, known),
        derivation="".join(explained_blocks([account], known.taken)) if account else "",
        notes=_notes(scratch, puzzle, paper.around),
    )


def _notes(scratch: Scratch, puzzle: Puzzle, around: Enclosing) -> tuple[str, ...]:
    findings = Findings()
    named = [written(text) for text in (scratch.moves, scratch.claims)]
    found = [note for text in named for note in findings.attempt([], around.notes, text, puzzle)]
    return tuple(dict.fromkeys(note.headline() for note in found))


def _account(sequence: Sequence) -> Account | None:
    """How moves are made, if a way is found to write them with fewer turns."""
    puzzle, short = sequence.puzzle, sequence.turns if sequence.count <= MOST_LOOKED_THROUGH else ()
    forms = Structure(puzzle).forms(short, WAYS)
    return account_for(short, forms, puzzle, sequence.effect.marked) if forms else None


def _checked(scratch: Scratch, puzzle: Puzzle, around: Enclosing) -> tuple[Sequence, tuple[ClaimSeen, ...]]:
    """The moves as the block `moves` checks them, and each claim by itself."""
    moves = written(" ".join(scratch.moves.split()))
    claimed = written(claims_in_a_row(scratch.claims), "claims")
    block = MovesBlock(
        head=Head("", "", puzzle, html=False),
        shown=Shown("", None, (_view(scratch.view, puzzle),), None, arrows=True, letters=False),
        fields={},
        written=moves,
        tree=parse(moves, puzzle),
        claims=(),
        marked=scratch.marked and bool(alike(puzzle)),
    )
    sequence = check(block, around.scope(moves, puzzle), Findings())
    return sequence, tuple(_claims_seen(claimed, sequence, around))


def claims_in_a_row(claims: str) -> str:
    """Claims with semicolons between them, from lines as they stand in a block: of a list, with comments."""
    lines = (re.sub(r"^\s*- ", "", line).strip() for line in claims.split("\n"))
    return "; ".join(line for line in lines if line and not re.match("#( |$)", line))


def _view(view: str, puzzle: Puzzle) -> str:
    return view if view in available(puzzle) else DEFAULT_VIEW


def _claims_seen(claimed: Passage, sequence: Sequence, around: Enclosing) -> Iterator[ClaimSeen]:
    """Those that can be read, checked; then what is wrong with the others."""
    unread = Findings()
    for passage, claim in parse_claims([claimed], sequence.puzzle, unread):
        text, false = " ".join(passage.text.split()), Findings()
        false.attempt(False, _holds, passage, claim, sequence, around)
        first = next(iter(false.problems), None)
        yield ClaimSeen(text, first.message, first.hint) if first else ClaimSeen(text)
    yield from (
        ClaimSeen(" ".join(p.passage.text.split()) or "…", p.message, p.hint) for p in unread.problems
    )


def _holds(passage: Passage, claim: Claim, sequence: Sequence, around: Enclosing) -> bool:
    """True, or raises what is wrong with a claim, or with a sequence to which it refers."""
    others = around.scope(passage, sequence.puzzle).permutations
    return found_true(passage, claim, Subject(sequence.effect, sequence.length, others))


def _related(sequence: Sequence, known: Scope) -> tuple[RelationGroup, ...]:
    """The guide's sequences to which this one is related by its effect."""
    effects = {**known.permutations, "": sequence.effect.permutation}
    return relations(effects, sequence.puzzle, sequence.effect.marked)[""]


def _block(sequence: Sequence, claims: tuple[ClaimSeen, ...], known: Scope) -> str:
    """A block with the claims that hold, or else with all that can be claimed. Empty for no moves."""
    if not sequence.turns and not sequence.count:
        return ""
    true = [*dict.fromkeys(each.text for each in claims if not each.fault)] or claims_of(sequence.effect)
    first = next(iter(true), "")
    name = free(name_of(first) or NAMELESS, known.taken)
    title = title_of(first or NAMELESS.replace("-", " "))
    return moves_source(name, title, sequence.moves, true, sequence.effect.marked)


def answered(scratch: Scratch, paper: Paper) -> str:
    """The answer as HTML, or what is wrong with what stands on the paper."""
    if not scratch.moves.strip():
        return filled("blank.html")
    findings = Findings()
    found = findings.attempt(None, answer, scratch, paper)
    if found is None:
        return filled("unread.html", problems=[str(problem) for problem in findings.problems])
    puzzle = found.sequence.puzzle
    colours = palette(puzzle, paper.colours)
    moves = Telling(puzzle, lambda name: _way_to(name, paper), heard=True)
    return filled(
        "answer.html",
        moves=moves,
        found=found,
        sequence=found.sequence,
        pairs=pairs(found.sequence, colours),
        cycles=by_cycle(found.sequence, colours),
        layers=layers(found.sequence.effect),
        row=row(found.sequence),
        sequences=paper.sequences,
        headings=HEADINGS_OF,
        way=say_how,
        url=lambda path: f"/{path}",
        say=lambda effect: moves.words(say(effect)),
    )


def _way_to(name: str, paper: Paper) -> str:
    return f"/{paper.sequences[name].url}" if name in paper.sequences else ""
