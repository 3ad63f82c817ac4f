"""The block `moves`: a sequence with its claims, drawn before and after."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from sitegen.effects.claims import Case, Claim, parse_claim
from sitegen.effects.effect import report
from sitegen.effects.piece_sets import parse_pieces
from sitegen.effects.words import say
from sitegen.figures.views import available
from sitegen.guide.fields import Field, has_fields, read_fields
from sitegen.guide.markdown import Fence, inline_prose
from sitegen.guide.sequence import Book, Sequence, Shown, Template
from sitegen.moves.metrics import length
from sitegen.moves.parse import parse as parse_moves
from sitegen.moves.references import references, resolve_one
from sitegen.moves.tree import Node
from sitegen.moves.turning import MOST_TURNS, expand, permutation, turn_count
from sitegen.problems import Passage, Problem, Problems
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Puzzle

KEYS = (
    "title",
    "moves",
    "starts",
    "ends",
    "claims",
    "view",
    "focus",
    "arrows",
    "letters",
    "tags",
    "say",
)
DEFAULT_VIEW = "corner"


@dataclass(frozen=True)
class MovesBlock:
    """What was written, parsed but not turned yet."""

    name: str
    page: str
    puzzle: Puzzle
    fields: Mapping[str, Field]
    written: Passage
    tree: Node
    claims: tuple[tuple[Passage, Claim], ...]
    shown: Shown
    html: bool


def parse(fence: Fence, name: str, page: str, puzzle: Puzzle, html: bool) -> MovesBlock:
    """Raises Problem, or Problems for several claims at once."""
    body = fence.body.stripped()
    fields = read_fields(body, KEYS) if has_fields(body) else {}
    written = (fields["moves"].value if "moves" in fields else fence.info) if fields else body
    if (fields and "moves" not in fields) or not written.text:
        raise Problem("the block has no moves", fence.info, "write a line “moves: …”")
    if "starts" in fields and "ends" in fields:
        raise Problem("starts and ends exclude each other", fields["ends"].key, "keep one of the two")
    return MovesBlock(
        name=name,
        page=page,
        puzzle=puzzle,
        fields=fields,
        written=written,
        tree=parse_moves(written, puzzle),
        claims=_claims(fields, puzzle),
        shown=_shown(fields, puzzle),
        html=html,
    )


def _claims(fields: Mapping[str, Field], puzzle: Puzzle) -> tuple[tuple[Passage, Claim], ...]:
    claims, problems = [], []
    for passage in fields["claims"].items if "claims" in fields else []:
        try:
            claims.append((passage, parse_claim(passage, puzzle)))
        except Problem as problem:
            problems.append(problem)
    if problems:
        raise Problems(problems)
    return tuple(claims)


def _shown(fields: Mapping[str, Field], puzzle: Puzzle) -> Shown:
    return Shown(
        views=_views(fields["view"], puzzle) if "view" in fields else (DEFAULT_VIEW,),
        focus=parse_pieces(fields["focus"].value, puzzle) if "focus" in fields else None,
        arrows=_yes(fields, "arrows", default=True),
        letters=_yes(fields, "letters", default=False),
    )


def _views(field: Field, puzzle: Puzzle) -> tuple[str, ...]:
    views = tuple(view.strip() for view in field.text.split(","))
    for view in views:
        if view not in available(puzzle):
            raise Problem(
                f"{puzzle.name} has no view “{view}”",
                field.value,
                "views are " + ", ".join(available(puzzle)),
            )
    return views


def _yes(fields: Mapping[str, Field], key: str, default: bool) -> bool:
    if key not in fields:
        return default
    text = fields[key].text
    if text not in ("yes", "no"):
        raise Problem(f"{key} is yes or no, not “{text}”", fields[key].value, f"write {key}: yes")
    return text == "yes"


def check(block: MovesBlock, book: Book) -> Sequence:
    """The sequence, turned; raises Problems with every claim that is false."""
    tree = book.trees.get(block.name) or resolve_one(block.tree, book.trees)
    turned = permutation(tree, book.puzzle)
    count = turn_count(tree)
    case = Case(report(book.puzzle, turned), length(tree, book.puzzle), book.permutations)
    problems = [problem for passage, claim in block.claims if (problem := _fault(passage, claim, case))]
    if problems:
        raise Problems(problems)
    fields = block.fields
    return Sequence(
        name=block.name,
        title=fields["title"].text if "title" in fields else _title(block.name),
        page=block.page,
        puzzle=book.puzzle,
        written=block.written,
        tree=tree,
        turns=expand(tree) if count <= MOST_TURNS else (),
        count=count,
        report=case.report,
        length=case.length,
        claims=tuple(" ".join(passage.text.split()) for passage, _ in block.claims),
        refers_to=tuple(dict.fromkeys(reference.name for reference in references(block.tree))),
        before=_before(block, book, turned),
        shown=block.shown,
        tags=tuple(tag.strip() for tag in fields["tags"].text.split(",")) if "tags" in fields else (),
        say=inline_prose(fields["say"].value, block.html) if "say" in fields else None,
    )


def _title(name: str) -> str:
    return name.replace("-", " ").capitalize()


def _fault(passage: Passage, claim: Claim, case: Case) -> Problem | None:
    """The problem with a claim that does not hold."""
    try:
        fault = claim.fault(case)
    except Problem as problem:
        return problem
    if not fault:
        return None
    effect = say(case.report.seen)
    return Problem(f"this claim is false: {fault}", passage, f"what the moves do: {effect}")


def _before(block: MovesBlock, book: Book, turned: Permutation) -> Permutation:
    """Solved, unless the block says what it ends as, or gives the moves it starts from."""
    if "ends" in block.fields:
        field = block.fields["ends"]
        if field.text != "solved":
            raise Problem(f"ends is solved, not “{field.text}”", field.value, "write ends: solved")
        return perm.inverse(turned)
    if "starts" not in block.fields or block.fields["starts"].text == "solved":
        return book.puzzle.identity
    tree = resolve_one(parse_moves(block.fields["starts"].value, book.puzzle), book.trees)
    return permutation(tree, book.puzzle)


def render(sequence: Sequence, template: Template) -> str:
    return template("blocks/moves.html", sequence=sequence)
