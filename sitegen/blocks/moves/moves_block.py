"""The block `moves`: a sequence with its claims, drawn before and after."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from sitegen.blocks import keys
from sitegen.blocks.block import Head, WrittenBlock, named_in
from sitegen.blocks.kind import Kind, PageRenderer, Values
from sitegen.blocks.moves.sequence import Sequence
from sitegen.blocks.moves.sequence_figures import by_cycle, pairs
from sitegen.blocks.scope import Scope
from sitegen.effects.claims import Claim, Subject
from sitegen.effects.effect import Effect
from sitegen.effects.words import brief
from sitegen.moves.metrics import length
from sitegen.moves.notation import write_all
from sitegen.moves.parse import parse as parse_moves
from sitegen.moves.references import resolve_one
from sitegen.moves.tree import Node, Series
from sitegen.moves.turning import MOST_TURNS, expand, permutation, turn_count
from sitegen.pages.config import SOLVED, ends_solved
from sitegen.pages.markdown import Fence
from sitegen.problems import Findings, Passage, Problem
from sitegen.problems import written as passage_of
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Puzzle, Turn
from sitegen.settings import Setting

TABLE = keys.Table(
    {
        "title": keys.TEXT,
        "moves": keys.MOVES,
        "starts": replace(keys.MOVES, words=lambda puzzle: [SOLVED]),
        "ends": keys.one_of(SOLVED),
        "claims": keys.CLAIMS,
        "marked": keys.YES,
        **keys.DRAWN,
        "tags": keys.TEXT,
        **keys.SAID,
        **keys.ON_CARDS,
    },
    plain="moves",
)
NO_MOVES = Series(passage_of(""), ())


@dataclass(frozen=True, eq=False, kw_only=True)
class MovesBlock(WrittenBlock):
    """What was written, parsed but not turned yet."""

    tree: Node
    starts: Node | None = None
    ends: bool = False
    """Whether it ends with the puzzle solved."""
    claims: tuple[tuple[Passage, Claim], ...]
    marked: bool = False
    """Whether pieces that look alike are told apart."""


def parse(fence: Fence, head: Head, findings: Findings) -> MovesBlock:
    """What was written; what cannot be read of it goes to the findings. Raises Problem or Problems."""
    puzzle = head.puzzle
    fields = TABLE.read(fence)
    if "moves" not in fields:
        raise Problem("the block has no moves", fence.info, "write a line “moves: …”")
    written = fields["moves"].said
    if "starts" in fields and "ends" in fields:
        message = "starts and ends exclude each other"
        findings.add(Problem(message, fields["ends"].key, "keep one of the two"))
    if "tags" in fields and not head.name:
        hint = "give the block a name, or take the tags away"
        findings.add(Problem("tags stand on the page of a named sequence", fields["tags"].key, hint))
    findings.attempt(None, keys.refuse_without_page, fields, bool(head.name))
    return MovesBlock(
        head=head,
        defines=head.name,
        fields=fields,
        written=written,
        tree=findings.attempt(NO_MOVES, parse_moves, written, puzzle),
        starts=findings.attempt(None, _starts, fields, puzzle),
        ends=findings.attempt(False, _ends, fields, head),
        claims=keys.claims(fields, puzzle, findings, head.name),
        marked=keys.marked(fields, puzzle, findings),
        shown=keys.shown(fields, head, findings, view=""),
    )


def _ends(fields: Mapping[str, Setting], head: Head) -> bool:
    """Whether the block says so, or all do and it does not say where it starts. Raises Problem."""
    ended = keys.first_said("ends", fields, {} if "starts" in fields else head.defaults)
    return ended is not None and ends_solved(ended)


def _starts(fields: Mapping[str, Setting], puzzle: Puzzle) -> Node | None:
    """The moves that lead to the position before; none where it is solved, or is to be solved."""
    if "starts" not in fields or fields["starts"].as_text() == SOLVED:
        return None
    return parse_moves(fields["starts"].said, puzzle)


def check(block: MovesBlock, scope: Scope, findings: Findings) -> Sequence:
    """The sequence, turned, with the claims that hold; those that are false go to the findings."""
    tree = scope.trees.get(block.name) or resolve_one(block.tree, scope.trees)
    turned = scope.permutations.get(block.name) or permutation(tree, scope.puzzle)
    count = turn_count(tree)
    effect = Effect(scope.puzzle, turned, block.marked)
    case = Subject(effect, length(tree, scope.puzzle), scope.permutations)
    held = [findings.attempt(False, found_true, passage, claim, case) for passage, claim in block.claims]
    before = findings.attempt(scope.puzzle.identity, _before, block, scope, case)
    return Sequence(
        head=block.head,
        shown=block.shown,
        written=block.written,
        tree=tree,
        turns=expand(tree) if count <= MOST_TURNS else (),
        count=count,
        effect=effect,
        length=case.length,
        claims=tuple(" ".join(passage.text.split()) for passage, _ in block.claims) if all(held) else (),
        stated=tuple(claim for _, claim in block.claims) if all(held) else (),
        refers_to=named_in([block.tree, block.starts]),
        before=before,
        tags=keys.tags(block.fields, block.head),
    )


def found_true(passage: Passage, claim: Claim, case: Subject, moves: str = "the moves") -> bool:
    """True, or raises the problem with a claim that does not hold; `moves` are what it is about, in words."""
    fault = claim.fault(case)
    if not fault:
        return True
    hint = f"what {moves} do: {brief(case.effect)}"
    if ending := _ending(claim, case):
        hint = f"with {write_all(ending, case.puzzle)} at the end of the moves it is true; {hint}"
    raise Problem(f"this claim is false: {fault}", passage, hint)


def _ending(claim: Claim, case: Subject) -> tuple[Turn, ...]:
    """How the whole puzzle is turned at the end for a claim to hold; not at all where that is no help."""
    for turns in claim.endings(case):
        if turns and not claim.fault(replace(case, effect=case.effect.then(turns))):
            return turns
    return ()


def _before(block: MovesBlock, scope: Scope, case: Subject) -> Permutation:
    """The position before: solved, or solved by the moves, or reached by others."""
    if block.ends:
        return perm.inverse(case.effect.permutation)
    if block.starts is None:
        return scope.puzzle.identity
    return permutation(resolve_one(block.starts, scope.trees), scope.puzzle)


def show(sequence: Sequence, page: PageRenderer) -> Values:
    colours = page.colours(sequence.puzzle)
    return {"sequence": sequence, "pairs": pairs(sequence, colours), "cycles": by_cycle(sequence, colours)}


KIND = Kind(Sequence, TABLE, parse, check, show, looks_about=False)
