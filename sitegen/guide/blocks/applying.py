"""How named sequences may be applied: which, behind what lead-in, and how the puzzle may be held."""

from __future__ import annotations

import re
from collections.abc import Mapping

from sitegen.bench.tools import MOST_LEAD_IN, Tool
from sitegen.bench.turns import Allowed, Turns, read_faces, turns
from sitegen.effects.effect import Effect
from sitegen.guide.fields import Field
from sitegen.guide.sequence import Book
from sitegen.moves.notation import on_one_line, write, write_all
from sitegen.moves.parse import parse as parse_moves
from sitegen.moves.references import REFERENCE, resolve_one
from sitegen.moves.simplify import simplify
from sitegen.moves.tree import Node, Step, parts
from sitegen.moves.turning import expand, permutation
from sitegen.problems import Findings, Passage, Problem, shortened
from sitegen.puzzles.puzzle import Puzzle, Turn

METRIC = "obtm"
LEAD_IN = re.compile(r"(?:up\s+to\s+)?(?P<most>\S+?)\s+turns?(?:\s+of\s+(?P<faces>.+))?", re.DOTALL)
TOOL = re.compile(REFERENCE.pattern + "['’′]?")
LEAD_IN_HINT = "write for example “2 turns”, or “2 turns of R, U and F”"


def read_tools(field: Field, puzzle: Puzzle, hint: str) -> tuple[tuple[str, Node], ...]:
    """tools := "@" NAME "'"? (("," | "and") "@" NAME "'"?)*    Raises Problem."""
    words = [field.value.part(*found.span()) for found in re.finditer(r"[^\s,;]+", field.value.text)]
    named = [word for word in words if word.text not in ("and", "-")]
    wrong = next((word for word in named if not TOOL.fullmatch(word.text)), None)
    if wrong or not named:
        message = f"expected a named sequence; found “{shortened((wrong or field.value).text)}”"
        raise Problem(message, wrong or field.value, hint)
    return tuple((on_one_line(word.text), parse_moves(word, puzzle)) for word in named)


def tool_of(text: str, node: Node, book: Book) -> Tool:
    """A sequence with the centres home at its end, as far as turning the whole puzzle brings them home."""
    tree = resolve_one(node, book.trees)
    back = Effect(book.puzzle, permutation(tree, book.puzzle)).turning_back
    written = f"{text} {write_all(back, book.puzzle)}".strip()
    return Tool(written, simplify((*expand(tree), *back), book.puzzle))


def read_lead_in(fields: Mapping[str, Field], puzzle: Puzzle) -> tuple[Turns, int]:
    """lead_in := "up to"? NUMBER "turns" ("of" faces)?    Raises Problem."""
    if "lead-in" not in fields:
        return turns(puzzle, Allowed(), METRIC), 0
    passage = fields["lead-in"].value
    found = LEAD_IN.fullmatch(passage.text)
    if not found:
        raise Problem("expected a number of turns", passage, LEAD_IN_HINT)
    most = read_number(passage.part(*found.span("most")), 1, MOST_LEAD_IN, LEAD_IN_HINT)
    faces = read_faces(passage.part(*found.span("faces")), puzzle) if found["faces"] else ()
    return turns(puzzle, Allowed(faces), METRIC), most


def read_hold(fields: Mapping[str, Field], puzzle: Puzzle) -> tuple[Turn, ...]:
    """hold := ROTATION (("," | "and") ROTATION)*    Raises Problem."""
    if "hold" not in fields:
        return ()
    passage = fields["hold"].value
    words = [passage.part(*found.span()) for found in re.finditer(r"[^\s,]+", passage.text)]
    named = [word for word in words if word.text != "and"]
    if not named:
        raise Problem("no turn of the whole puzzle is named", fields["hold"].key, _hold_hint(puzzle))
    return tuple(_rotation(word, puzzle) for word in named)


def _rotation(word: Passage, puzzle: Puzzle) -> Turn:
    node = Findings().attempt(None, parse_moves, word, puzzle)
    items = parts(node) or (node,) if node else ()
    turns_ = [item.turn for item in items if isinstance(item, Step)]
    if len(turns_) != 1 or turns_[0].last - turns_[0].first + 1 != puzzle.layer_count:
        message = f"“{shortened(word.text)}” does not turn the whole puzzle"
        raise Problem(message, word, _hold_hint(puzzle))
    return turns_[0]


def _hold_hint(puzzle: Puzzle) -> str:
    one, two = two_holds(puzzle)
    return f"write for example hold: {one}, or hold: {one} and {two}"


def two_holds(puzzle: Puzzle) -> tuple[str, str]:
    """How to turn the whole puzzle about its first axis, and about the next that is on another line."""
    first, *others = puzzle.axes
    second = next((axis for axis in others if axis != puzzle.opposite.get(first)), first)
    one, two = (write(Turn(axis, 1, puzzle.layer_count, 1), puzzle) for axis in (first, second))
    return one, two


def read_number(passage: Passage, least: int, most: int, hint: str) -> int:
    if not re.fullmatch(r"[0-9]{1,9}", passage.text) or not least <= int(passage.text) <= most:
        message = f"expected a number from {least} to {most}; found “{shortened(passage.text)}”"
        raise Problem(message, passage, hint)
    return int(passage.text)
