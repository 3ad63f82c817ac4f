"""The block `find`: claims, and the shortest sequences that satisfy them, searched for when publishing."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from hashlib import sha256
from typing import Any

from sitegen.bench.account import account
from sitegen.bench.commutators import commutators
from sitegen.bench.find import LONGEST, Found, find
from sitegen.bench.query import Query, Written, query
from sitegen.bench.turns import Allowed, Turns, read_faces, read_layer, turns
from sitegen.effects.claims import parse_claims
from sitegen.effects.piece_sets import Pieces
from sitegen.effects.words import listed
from sitegen.guide.blocks import keys
from sitegen.guide.blocks import moves as moves_block
from sitegen.guide.blocks.moves import MovesBlock
from sitegen.guide.blocks.source import free, moves_source, name_of, title_of
from sitegen.guide.fields import Field, has_fields, read_fields, uncommented
from sitegen.guide.markdown import Fence, inline_prose
from sitegen.guide.sequence import Book, Shown, Template
from sitegen.guide.ways import Way, Ways
from sitegen.moves.metrics import METRICS
from sitegen.moves.notation import write
from sitegen.moves.parse import parse as parse_moves
from sitegen.problems import Findings, Passage, Problem, written
from sitegen.puzzles.puzzle import Puzzle, Turn

SEARCH = ("claims", "faces", "slices", "wide", "metric", "longest", "most")
"""The keys that say what is searched for."""
KEYS = ("title", *SEARCH, "then", *keys.SHOWN, "tags", "say")
MOST, MOST_SHOWN = 4, 100
"""How many sequences are shown, if nothing is said, and at most."""
LONGEST_ASKED = 100
REFERENCE = re.compile(r"@([a-z][a-z0-9]*(?:-[a-z0-9]+)*)")


@dataclass(frozen=True)
class FindBlock:
    """What was written, parsed but not searched for yet."""

    name: str
    page: str
    puzzle: Puzzle
    fields: Mapping[str, Field]
    written: Passage
    """All the claims."""
    claims: tuple[Written, ...]
    turns: Turns
    longest: int | None
    most: int
    then: Turn | None
    shown: Shown
    html: bool
    defines: str = ""
    """It names no sequence."""


def parse(fence: Fence, name: str, page: str, puzzle: Puzzle, html: bool) -> FindBlock:
    """Raises Problem, or Problems for several mistakes at once."""
    body = uncommented(fence.body).stripped()
    plain = {"claims": Field(fence.info, body)} if body.text else {}
    fields = read_fields(body, KEYS) if has_fields(body) else plain
    if "claims" not in fields or not fields["claims"].text:
        hint = "write “claims:”, and below it a line for each, as in “- flips UF”"
        raise Problem("the block does not say what to find", fence.info, hint)
    findings = Findings()
    block = FindBlock(
        name=name,
        page=page,
        puzzle=puzzle,
        fields=fields,
        written=fields["claims"].value,
        claims=findings.attempt((), _claims, fields["claims"], fields is plain, puzzle, findings),
        turns=_turns(fields, puzzle, findings),
        longest=keys.value(fields, "longest", lambda f: keys.number(f, 1, LONGEST_ASKED), None, findings),
        most=keys.value(fields, "most", lambda f: keys.number(f, 1, MOST_SHOWN), MOST, findings),
        then=keys.value(fields, "then", lambda f: read_layer(f.value, puzzle), None, findings),
        shown=keys.shown(fields, puzzle, findings),
        html=html,
    )
    findings.settle()
    return block


def _claims(field: Field, plain: bool, puzzle: Puzzle, findings: Findings) -> tuple[Written, ...]:
    """Those of a list, or one a line where the body is nothing else. Raises Problem or Problems."""
    passages = keys.lines(field.value) if plain else field.items
    return tuple(claim for passage in passages for claim in parse_claims(passage, puzzle, findings))


def _turns(fields: Mapping[str, Field], puzzle: Puzzle, findings: Findings) -> Turns:
    none: tuple[str, ...] = ()
    faces = keys.value(fields, "faces", lambda f: read_faces(f.value, puzzle), none, findings)
    slices = keys.value(fields, "slices", keys.yes, False, findings)
    wide = keys.value(fields, "wide", keys.yes, False, findings)
    metric = keys.value(fields, "metric", _metric, METRICS[0], findings)
    return turns(puzzle, Allowed(faces, slices, wide), metric)


def _metric(field: Field) -> str:
    if field.text.lower() not in METRICS:
        known = ", ".join(metric.upper() for metric in METRICS)
        raise Problem(f"there is no turn metric “{field.text}”", field.value, f"write one of {known}")
    return field.text.lower()


def check(block: FindBlock, book: Book, findings: Findings) -> Ways:
    """The ways that were found. Raises Problem where there is none, or none can be."""
    asked = query(block.claims, block.turns, book.permutations, block.written)
    result = book.kept.recall(_facts(block, asked), lambda: _searched(block, asked))
    if not result["moves"]:
        hint = "allow longer ones, or more turns" if result["ended"] == LONGEST else "allow other turns"
        raise Problem(result["account"].removesuffix("."), block.written, hint)
    if "" in result["moves"]:
        raise Problem("doing nothing satisfies these claims", block.written, "claim what is to change")
    fields = block.fields
    return Ways(
        name=block.name,
        title=keys.title(fields, block.name),
        page=block.page,
        puzzle=block.puzzle,
        claims=tuple(asked.texts),
        turns=_in_words(block.turns),
        metric=block.turns.metric,
        account=result["account"],
        ways=tuple(_way(moves, block, asked, book, findings) for moves in result["moves"]),
        refers_to=tuple(dict.fromkeys(REFERENCE.findall(" ".join(asked.texts)))),
        shown=block.shown,
        tags=keys.tags(fields),
        say=inline_prose(fields["say"].value, block.html) if "say" in fields else None,
    )


def _facts(block: FindBlock, asked: Query) -> dict[str, Any]:
    """All that a result follows from."""
    named = sorted(set(REFERENCE.findall(" ".join(asked.texts))))
    return {
        "find": asked.texts,
        "of": {name: list(asked.others[name]) for name in named},
        "puzzle": block.puzzle.name,
        "turns": [write(turn, block.puzzle) for turn in block.turns.listed],
        "turned": sha256(repr(block.turns.permutations).encode()).hexdigest(),
        "metric": block.turns.metric,
        "longest": block.longest,
        "most": block.most,
    }


def _searched(block: FindBlock, asked: Query) -> dict[str, Any]:
    found = Found(block.most)
    find(asked, found, block.longest)
    return {
        "moves": [answer.moves for answer in found.answers],
        "account": account(found, block.turns.metric),
        "ended": found.ended,
    }


def _way(text: str, block: FindBlock, asked: Query, book: Book, findings: Findings) -> Way:
    """A sequence that was found, held against the claims as one that an author wrote."""
    passage = written(text)
    as_moves = MovesBlock(
        name="",
        page=block.page,
        puzzle=block.puzzle,
        fields={},
        written=passage,
        tree=parse_moves(passage, block.puzzle),
        starts=None,
        claims=block.claims,
        shown=replace(block.shown, focus=block.shown.focus or _pieces(asked)),
        html=block.html,
    )
    sequence = moves_block.check(as_moves, book, findings)
    whole = f"{sequence.moves} {sequence.turned_back}".strip()
    claim = asked.texts[0]
    return Way(
        sequence=sequence,
        commutators=commutators(whole, sequence.effect, block.then) if block.then else (),
        source=moves_source(free(name_of(claim), book.trees), title_of(claim), sequence.moves, asked.texts),
    )


def _pieces(asked: Query) -> Pieces | None:
    """The pieces that are asked about: what the others do is nobody's concern."""
    return frozenset(asked.puzzle.stickers[slot].piece for slot in asked.asked) or None


def _in_words(allowed: Turns) -> str:
    """`turns of U, R and F`."""
    return "turns of " + listed(list(allowed.names))


def render(ways: Ways, template: Template) -> str:
    return template("blocks/find.html", found=ways)
