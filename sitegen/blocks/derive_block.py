"""The block `derive`: a goal, and derivations that reach it by steps that each keep a guard."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from markdown_it.token import Token

from sitegen.blocks import keys
from sitegen.blocks.block import CheckedBlock, Head, Turned, WrittenBlock
from sitegen.blocks.derivation import derivation_block
from sitegen.blocks.derivation.derivation import Derivation
from sitegen.blocks.derivation.derivation_figures import stages
from sitegen.blocks.derivation.derivation_source import (
    derivation_blocks,
    derivation_body,
    free_for_derivations,
)
from sitegen.blocks.find_block import BESIDE, allowed_turns
from sitegen.blocks.inputs import puzzle_inputs
from sitegen.blocks.kind import Kind, PageRenderer, Values
from sitegen.blocks.scope import Scope
from sitegen.blocks.source import name_of
from sitegen.effects.piece_sets import Part
from sitegen.moves.notation import write
from sitegen.moves.parse import parse as parse_moves
from sitegen.moves.references import REFERENCE
from sitegen.moves.turning import expand
from sitegen.pages.markdown import Fence, Prose
from sitegen.problems import Findings, Problem, written
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.puzzle import Puzzle, Turn
from sitegen.reports.step_report import account_of_ways
from sitegen.search.aim import Aim, aim
from sitegen.search.clean_steps import CleanStep
from sitegen.search.derive import LONGEST_ASIDE, MOST_STEPS, USUAL_ASIDE, derive
from sitegen.search.find import LONGEST, LONGEST_SOUGHT
from sitegen.search.query import Written
from sitegen.search.step_ways import StepWays
from sitegen.search.turns import Turns
from sitegen.settings import Setting

TABLE = keys.Table(
    {
        "title": keys.TEXT,
        "claims": keys.CLAIMS,
        "guard": keys.PIECES,
        "watch": keys.PIECES,
        "marked": keys.YES,
        "faces": keys.LAYERS,
        "slices": BESIDE,
        "wide": BESIDE,
        "steps": keys.NUMBER,
        "longest": keys.NUMBER,
        "aside": keys.NUMBER,
        "most": keys.NUMBER,
        "view": keys.VIEW,
        "letters": keys.YES,
        **keys.SAID,
    },
    plain="claims",
    by_line=True,
)
MOST, MOST_SHOWN = 4, 20
"""How many ways are shown, if nothing is said, and at most."""


@dataclass(frozen=True, eq=False, kw_only=True)
class DeriveBlock(WrittenBlock):
    """What was written, parsed but not sought yet."""

    claims: tuple[Written, ...]
    guard: Part | None
    watch: Part | None
    marked: bool
    turns: Turns
    steps: int | None
    longest: int | None
    aside: int
    most: int


@dataclass(frozen=True, eq=False)
class DerivedWay:
    """A way as a derivation, and its source to paste: with the first thought that fails, if it does."""

    steps: str
    """As in `[F: E] [F': E2]`."""
    derivation: Derivation
    source: str


@dataclass(frozen=True, eq=False, kw_only=True)
class DerivedWays(CheckedBlock):
    """What was sought on a page by clean steps, the way of fewest steps first."""

    ANCHOR = "derive"
    LINK = "derive"

    claims: tuple[str, ...]
    """What was asked for, in the author's words, and that the guard is kept."""
    guarded: str
    turns: str
    """The turns that were allowed, in words."""
    account: str
    """How many there are, and how far that is certain."""
    ways: tuple[DerivedWay, ...]

    @property
    def lined(self) -> bool:
        return any(way.derivation.lined for way in self.ways)

    @property
    def prose(self) -> tuple[Prose, ...]:
        return (*super().prose, *(each for way in self.ways for each in way.derivation.prose))

    @property
    def turned(self) -> Turned:
        return Turned(claims=len(self.claims))


def parse(fence: Fence, head: Head, findings: Findings) -> DeriveBlock:
    """What was written; what cannot be read of it goes to the findings. Raises Problem or Problems."""
    puzzle = head.puzzle
    fields = TABLE.read(fence)
    claims = keys.claims(fields, puzzle, findings)
    if not claims and not findings.problems:
        hint = "write “claims:”, and below it a line for each, as in “- flips UF”"
        raise Problem("the block does not say what to derive", fence.info, hint)

    def number(key: str, most: int, otherwise: int | None) -> int | None:
        return keys.value(fields, key, lambda field: field.as_number(1, most), otherwise, findings)

    return DeriveBlock(
        head=head,
        fields=fields,
        written=fields["claims"].passage,
        claims=claims,
        guard=_part(fields, "guard", puzzle, findings),
        watch=_part(fields, "watch", puzzle, findings),
        marked=keys.marked(fields, puzzle, findings),
        turns=allowed_turns(fields, puzzle, findings),
        steps=number("steps", MOST_STEPS, None),
        longest=number("longest", LONGEST_SOUGHT, None),
        aside=number("aside", LONGEST_ASIDE, USUAL_ASIDE) or USUAL_ASIDE,
        most=number("most", MOST_SHOWN, MOST) or MOST,
        shown=keys.shown(fields, head, findings, view=""),
    )


def _part(fields: Mapping[str, Setting], key: str, puzzle: Puzzle, findings: Findings) -> Part | None:
    """The pieces behind a key, and where they are named."""
    return (fields[key].passage, keys.pieces(fields, key, puzzle, findings)) if key in fields else None


def check(block: DeriveBlock, scope: Scope, findings: Findings) -> DerivedWays:
    """The ways that were found. Raises Problem where there is none, or none can be."""
    sought = aim(
        block.claims, block.turns, scope.permutations, block.written, block.marked, block.guard, block.watch
    )
    kept = scope.cache.recall(_facts(block, sought), SoughtWays, lambda: _sought(block, sought))
    told = account_of_ways(kept.tally(block), len(kept.ways))
    if not kept.ways:
        hint = (
            "allow more steps, or more turns" if kept.ended == LONGEST or kept.longer else "allow other turns"
        )
        raise Problem(told.removesuffix("."), block.written, hint)
    return DerivedWays(
        head=block.head,
        shown=block.shown,
        claims=sought.claims,
        guarded=sought.guarded,
        turns=str(block.turns.allowed),
        account=told,
        ways=tuple(_derived(kept, block, sought, scope, findings)),
        refers_to=tuple(dict.fromkeys(_references(sought))),
    )


def _references(sought: Aim) -> list[str]:
    return REFERENCE.findall(sought.asked)


def _facts(block: DeriveBlock, sought: Aim) -> dict[str, Any]:
    """All that a result follows from."""
    others = sought.query.others
    return {
        "derive": sought.claims,
        "guard": sorted(sought.guard),
        "marked": block.marked,
        "of": {name: list(others[name]) for name in sorted(set(_references(sought)))},
        **puzzle_inputs(block.puzzle),
        "turns": [write(turn, block.puzzle) for turn in block.turns.listed],
        "steps": block.steps,
        "longest": block.longest,
        "aside": block.aside,
        "most": block.most,
    }


@dataclass(frozen=True)
class SoughtWays:
    """What was found: of each way what is set aside and turned in each step, and what `StepWays` counts."""

    ways: tuple[tuple[tuple[str, str], ...], ...]
    counts: Mapping[int, int]
    others: int | None
    partly: int
    longer: int
    ended: str

    def tally(self, asked: DeriveBlock) -> StepWays:
        """The counts alone, of what a block asked for."""
        return StepWays(
            0,
            aside=asked.aside,
            longest=asked.longest,
            counts=dict(self.counts),
            others=self.others,
            partly=self.partly,
            longer=self.longer,
            ended=self.ended,
        )


def _sought(block: DeriveBlock, sought: Aim) -> SoughtWays:
    found = StepWays(block.most)
    derive(sought.query, sought.guard, found, steps=block.steps, longest=block.longest, aside=block.aside)
    steps = (way.steps for way in found.answers)
    ways = tuple(tuple((step.aside_written, step.turn_written) for step in each) for each in steps)
    return SoughtWays(ways, found.counts, found.others, found.partly, found.longer, found.ended)


def _derived(
    kept: SoughtWays, block: DeriveBlock, sought: Aim, scope: Scope, findings: Findings
) -> Iterator[DerivedWay]:
    """The ways, each under a name that nothing else has."""
    taken = set(scope.taken)
    for way in kept.ways:
        steps = [_step(aside, turn, block.puzzle) for aside, turn in way]
        name = free_for_derivations(name_of(sought.asked), taken)
        taken.add(name)
        yield DerivedWay(
            steps=" ".join(map(str, steps)),
            derivation=_derivation(steps, block, sought, scope, findings),
            source="\n\n".join(derivation_blocks(steps, sought, name)),
        )


def _step(aside: str, turn: str, puzzle: Puzzle) -> CleanStep:
    first, [then] = _turns(aside, puzzle), _turns(turn, puzzle)
    there = perm.successive(puzzle.identity, map(puzzle.permutation, first))
    done = perm.compose(perm.compose(there, puzzle.permutation(then)), perm.inverse(there))
    return CleanStep(puzzle, first, then, done)


def _turns(text: str, puzzle: Puzzle) -> tuple[Turn, ...]:
    return expand(parse_moves(written(text), puzzle)) if text else ()


def _derivation(
    steps: Sequence[CleanStep], block: DeriveBlock, sought: Aim, scope: Scope, findings: Findings
) -> Derivation:
    """A way, checked as if an author had written it; it gives no name to what comes of it."""
    body = derivation_body(steps, sought)
    fence = Fence(Token("fence", "code", 0, content=body), (), written(""), written(body))
    read = derivation_block.parse(fence, replace(block.head, name=""), findings)
    shown = replace(block.shown, title="", say=None)
    return derivation_block.check(replace(read, shown=shown), scope, findings)


def show(ways: DerivedWays, page: PageRenderer) -> Values:
    colours = page.colours(ways.puzzle)
    drawn = [
        (way, list(zip(way.derivation.stages, stages(way.derivation, colours), strict=True)))
        for way in ways.ways
    ]
    return {"derived": ways, "ways": drawn}


KIND = Kind(DerivedWays, TABLE, parse, check, show, wide=True)
