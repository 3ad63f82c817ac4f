"""The block `worked example`: one position, and how a method of the guide solves it, stage by stage."""

from __future__ import annotations

from dataclasses import dataclass

from sitegen.bench.cases import TooMany
from sitegen.bench.trial import Run, position_of, solve
from sitegen.effects.effect import report
from sitegen.guide.block import WrittenBlock
from sitegen.guide.blocks import keys
from sitegen.guide.blocks.method import MOST_COUNT, MOST_SEED, MethodBlock, plan_of, refers_to, too_many
from sitegen.guide.fields import Field, has_fields, read_fields, uncommented
from sitegen.guide.markdown import Fence
from sitegen.guide.method import UnknownMethod, WorkedExample
from sitegen.guide.sequence import Book, Template
from sitegen.moves.notation import write_all
from sitegen.moves.parse import parse as parse_moves
from sitegen.moves.references import references, resolve_one
from sitegen.moves.tree import Node
from sitegen.moves.turning import inverse, permutation
from sitegen.problems import Findings, Problem, shortened
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Puzzle

KEYS = ("title", "method", "moves", "seed", "position", "view", "letters", "say")


@dataclass(frozen=True, eq=False, kw_only=True)
class WorkedBlock(WrittenBlock):
    """What was written, parsed but not solved yet."""

    moves: Node | None
    seed: int
    number: int


def parse(fence: Fence, name: str, page: str, puzzle: Puzzle, html: bool) -> WorkedBlock:
    """Raises Problem, or Problems for several mistakes at once."""
    body = uncommented(fence.body).stripped()
    plain = {"moves": Field(fence.info, body)} if body.text else {}
    fields = read_fields(body, KEYS) if has_fields(body) else plain
    if ("moves" in fields) == ("seed" in fields):
        hint = "write moves that lead to it, or “seed: 7” for a random one"
        raise Problem("an example works on one position", fence.info, hint)
    findings = Findings()
    block = WorkedBlock(
        name=name,
        page=page,
        puzzle=puzzle,
        fields=fields,
        written=body,
        moves=keys.value(fields, "moves", lambda f: parse_moves(f.value, puzzle), None, findings),
        seed=keys.value(fields, "seed", lambda f: keys.number(f, 0, MOST_SEED), 0, findings),
        number=keys.value(fields, "position", lambda f: keys.number(f, 1, MOST_COUNT), 1, findings),
        shown=keys.shown(fields, puzzle, findings),
        html=html,
    )
    if "position" in fields and "seed" not in fields:
        hint = "take it away, or write a seed in place of the moves"
        findings.add(Problem("“position” counts the random ones of a seed", fields["position"].key, hint))
    findings.settle()
    return block


def check(block: WorkedBlock, book: Book, findings: Findings) -> WorkedExample:
    """The position, solved. Raises Problem where there is no such method, or it has too many cases."""
    method = _method(block, book)
    plan = plan_of(method, book)
    position, number = _position(block, book), 0 if block.moves else block.number
    try:
        if position is None:
            position = position_of(plan, block.number, block.seed)
        run = solve(plan, position, number)
    except TooMany as error:
        raise too_many(error, method, plan) from None
    fields = block.fields
    return WorkedExample(
        name=block.name,
        title=block.title,
        page=block.page,
        puzzle=block.puzzle,
        method=method.name,
        moves=_as_written(fields["moves"]) if block.moves else _set_up(run, plan.left == 1, plan.puzzle),
        seed=None if block.moves else block.seed,
        run=run,
        refers_to=tuple(dict.fromkeys([*_references(block), *refers_to(method)])),
        shown=block.shown,
        say=block.say,
    )


def _method(block: WorkedBlock, book: Book) -> MethodBlock:
    """The one that is named, or the only one that there is. Raises Problem."""
    known = {name: each for name, each in book.parsed.items() if isinstance(each, MethodBlock)}
    names = ", ".join(known)
    if "method" not in block.fields:
        if len(known) == 1:
            return next(iter(known.values()))
        hint = f"write “method: …” with one of {names}" if known else "write a block “method” first"
        raise UnknownMethod("it is not said by which method", "", block.written, hint)
    field = block.fields["method"]
    if field.text not in known:
        hint = f"methods are {names}" if known else f"the guide has no method for {book.puzzle.name}"
        message = f"no method is named {shortened(field.text)}"
        raise UnknownMethod(message, field.text, field.value, hint)
    return known[field.text]


def _position(block: WorkedBlock, book: Book) -> Permutation | None:
    """The one that moves lead to, held with the centres home; none where it is to be a random one."""
    if block.moves is None:
        return None
    turned = permutation(resolve_one(block.moves, book.trees), book.puzzle)
    return report(book.puzzle, turned).home.permutation


def _set_up(run: Run, puzzle_solved: bool, puzzle: Puzzle) -> str:
    """Moves that lead to a random position; none where the puzzle is not solved in the end."""
    return write_all(inverse(run.turns), puzzle) if run.solved and puzzle_solved else ""


def _as_written(field: Field) -> str:
    return " ".join(field.value.text.split()).replace("’", "'").replace("′", "'")


def _references(block: WorkedBlock) -> list[str]:
    return [reference.name for reference in references(block.moves)] if block.moves else []


def render(example: WorkedExample, template: Template) -> str:
    return template("blocks/worked.html", example=example)
