"""The block `find`: claims, and the shortest sequences that satisfy them, searched for when publishing."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from sitegen.blocks import keys
from sitegen.blocks.block import CheckedBlock, Head, Turned, WrittenBlock
from sitegen.blocks.inputs import puzzle_inputs
from sitegen.blocks.kind import Kind, PageRenderer, Values
from sitegen.blocks.moves import moves_block
from sitegen.blocks.moves.moves_block import MovesBlock
from sitegen.blocks.moves.sequence import Sequence
from sitegen.blocks.moves.sequence_figures import results
from sitegen.blocks.scope import Scope
from sitegen.blocks.source import free, moves_source, name_of, title_of
from sitegen.moves.metrics import METRICS
from sitegen.moves.notation import write
from sitegen.moves.parse import parse as parse_moves
from sitegen.moves.references import REFERENCE
from sitegen.pages.markdown import Fence
from sitegen.problems import Findings, Problem, written
from sitegen.puzzles.puzzle import Puzzle, Turn
from sitegen.reports.search_report import account
from sitegen.search.commutators import LayerCommutator, commutators
from sitegen.search.find import LONGEST, LONGEST_SOUGHT, Found, Tally, find
from sitegen.search.query import Query, Written, query
from sitegen.search.turns import (
    Allowed,
    Turns,
    check_faces,
    faces_hint,
    has_beside,
    read_layer,
    refuse_beside,
    turns,
)
from sitegen.settings import YES_OR_NO, Setting

BESIDE = keys.Meaning(keys.YES.what, lambda puzzle: YES_OR_NO if has_beside(puzzle) else YES_OR_NO[1:])
"""Whether layers beside the outer ones are turned, where there are any."""
TABLE = keys.Table(
    {
        "title": keys.TEXT,
        "claims": keys.CLAIMS,
        "marked": keys.YES,
        "faces": keys.LAYERS,
        "slices": BESIDE,
        "wide": BESIDE,
        "metric": keys.one_of(*(metric.upper() for metric in METRICS)),
        "longest": keys.NUMBER,
        "most": keys.NUMBER,
        "then": keys.LAYER,
        "view": keys.VIEW,
        "focus": keys.PIECES,
        "letters": keys.YES,
        **keys.SAID,
    },
    plain="claims",
    by_line=True,
)
MOST, MOST_SHOWN = 4, 100
"""How many sequences are shown, if nothing is said, and at most."""


@dataclass(frozen=True, eq=False, kw_only=True)
class FindBlock(WrittenBlock):
    """What was written, parsed but not searched for yet."""

    claims: tuple[Written, ...]
    marked: bool
    turns: Turns
    longest: int | None
    most: int
    then: Turn | None


@dataclass(frozen=True, eq=False)
class Way:
    """A sequence, with what it becomes together with turns of a layer, and its source to paste."""

    sequence: Sequence
    commutators: tuple[LayerCommutator, ...]
    name: str
    """What it is called in the source to paste: a name that nothing in the guide has."""
    source: str


@dataclass(frozen=True, eq=False, kw_only=True)
class Ways(CheckedBlock):
    """What a search on a page has found: ways to do what was asked for, the shortest first."""

    ANCHOR = "find"
    LINK = "find"

    claims: tuple[str, ...]
    """What was asked for, in the author's words."""
    turns: str
    """The turns that were allowed, in words."""
    metric: str
    muted: bool
    """Whether pieces that were not asked about are muted in the figures."""
    account: str
    """How many there are, and how far that is certain."""
    ways: tuple[Way, ...]

    @property
    def turned(self) -> Turned:
        return Turned(claims=len(self.claims))


def parse(fence: Fence, head: Head, findings: Findings) -> FindBlock:
    """What was written; what cannot be read of it goes to the findings. Raises Problem or Problems."""
    puzzle = head.puzzle
    fields = TABLE.read(fence)
    claims = keys.claims(fields, puzzle, findings)
    if not claims and not findings.problems:
        hint = "write “claims:”, and below it a line for each, as in “- flips UF”"
        raise Problem("the block does not say what to find", fence.info, hint)
    return FindBlock(
        head=head,
        fields=fields,
        written=fields["claims"].passage,
        claims=claims,
        marked=keys.marked(fields, puzzle, findings),
        turns=allowed_turns(fields, puzzle, findings),
        longest=keys.value(fields, "longest", lambda f: f.as_number(1, LONGEST_SOUGHT), None, findings),
        most=keys.value(fields, "most", lambda f: f.as_number(1, MOST_SHOWN), MOST, findings),
        then=keys.value(fields, "then", lambda f: read_layer(f.said, puzzle), None, findings),
        shown=keys.shown(fields, head, findings),
    )


def allowed_turns(fields: Mapping[str, Setting], puzzle: Puzzle, findings: Findings) -> Turns:
    """The turns that an author lets sequences be made of: those of the faces, if nothing is said."""
    none: tuple[str, ...] = ()
    faces = keys.value(fields, "faces", lambda f: _faces(f, puzzle), none, findings)
    slices, wide = (
        keys.value(fields, key, lambda f: _beside(f, puzzle), False, findings) for key in ("slices", "wide")
    )
    metric = keys.value(fields, "metric", _metric, METRICS[0], findings)
    return turns(puzzle, Allowed(faces, slices, wide), metric)


def _beside(setting: Setting, puzzle: Puzzle) -> bool:
    if said := setting.as_yes():
        refuse_beside(setting.key, puzzle)
    return said


def _faces(setting: Setting, puzzle: Puzzle) -> tuple[str, ...]:
    return check_faces(setting.as_names("a face", faces_hint(puzzle)), puzzle)


def _metric(setting: Setting) -> str:
    text = setting.as_text()
    if text.lower() not in METRICS:
        known = ", ".join(metric.upper() for metric in METRICS)
        raise setting.problem(f"there is no turn metric “{text}”", f"write one of {known}")
    return text.lower()


def check(block: FindBlock, scope: Scope, findings: Findings) -> Ways:
    """The ways that were found. Raises Problem where there is none, or none can be."""
    sought = query(block.claims, block.turns, scope.permutations, block.written, block.marked)
    moves, tally = _found(block, sought, scope)
    told = account(tally, len(moves), sought)
    if not moves:
        hint = "allow longer ones, or more turns" if tally.ended == LONGEST else "allow other turns"
        raise Problem(told.removesuffix("."), block.written, hint)
    if tally.shortest == 0:
        raise Problem("doing nothing satisfies these claims", block.written, "claim what is to change")
    return Ways(
        head=block.head,
        shown=block.shown,
        claims=tuple(sought.texts),
        turns=str(block.turns.allowed),
        metric=block.turns.metric,
        muted=block.shown.focus is None and 0 < len(sought.pieces) < len(block.puzzle.pieces),
        account=told,
        ways=tuple(_ways(moves, block, sought, scope, findings)),
        refers_to=tuple(dict.fromkeys(_references(sought))),
    )


def _found(block: FindBlock, sought: Query, scope: Scope) -> tuple[tuple[str, ...], Tally]:
    """The moves of the first few sequences, and how many there are; kept or searched for."""
    found = scope.cache.recall(_facts(block, sought), Searched, lambda: _searched(block, sought))
    return found.moves, Tally(counts=dict(found.counts), partly=found.partly, ended=found.ended)


def _references(sought: Query) -> list[str]:
    return [name for text in sought.texts for name in REFERENCE.findall(text)]


def _facts(block: FindBlock, sought: Query) -> dict[str, Any]:
    """All that a result follows from."""
    return {
        "claims": sought.texts,
        "marked": block.marked,
        "of": {name: list(sought.others[name]) for name in sorted(set(_references(sought)))},
        **puzzle_inputs(block.puzzle),
        "turns": [write(turn, block.puzzle) for turn in block.turns.listed],
        "metric": block.turns.metric,
        "longest": block.longest,
        "most": block.most,
    }


@dataclass(frozen=True)
class Searched:
    """What was found: the moves of the first few, and what a `Tally` says."""

    moves: tuple[str, ...]
    counts: Mapping[int, int]
    partly: int
    ended: str


def _searched(block: FindBlock, sought: Query) -> Searched:
    found = Found(block.most)
    find(sought, found, block.longest)
    return Searched(tuple(each.moves for each in found.answers), found.counts, found.partly, found.ended)


def _ways(
    moves: tuple[str, ...], block: FindBlock, sought: Query, scope: Scope, findings: Findings
) -> Iterator[Way]:
    """The sequences that were found, each under a name that nothing else has."""
    claim, taken = sought.texts[0], set(scope.taken)
    for text in moves:
        sequence = _sequence(text, block, sought, scope, findings)
        name = free(name_of(claim), taken)
        taken.add(name)
        yield Way(
            sequence=sequence,
            commutators=commutators(sequence.moves, sequence.effect, block.then) if block.then else (),
            name=name,
            source=moves_source(name, title_of(claim), sequence.moves, sought.texts, block.marked),
        )


def _sequence(text: str, block: FindBlock, sought: Query, scope: Scope, findings: Findings) -> Sequence:
    """Moves that were found, held against the claims as those that an author wrote."""
    passage = written(text)
    as_moves = MovesBlock(
        head=replace(block.head, name=""),
        fields={},
        written=passage,
        tree=parse_moves(passage, block.puzzle),
        claims=block.claims,
        marked=block.marked,
        shown=replace(block.shown, title="", say=None, focus=block.shown.focus or sought.pieces or None),
    )
    return moves_block.check(as_moves, scope, findings)


def show(ways: Ways, page: PageRenderer) -> Values:
    colours = page.colours(ways.puzzle)
    drawn = [(way, results(way.sequence, colours)) for way in ways.ways]
    return {"found": ways, "ways": drawn}


KIND = Kind(Ways, TABLE, parse, check, show, wide=True)
