"""How named sequences may be applied: which, behind what lead-in, and how the puzzle may be held."""

from __future__ import annotations

import re
from collections.abc import Mapping

from sitegen.blocks.scope import Scope
from sitegen.effects.effect import Effect
from sitegen.methods.tools import MOST_LEAD_IN, Tool
from sitegen.moves.notation import on_one_line, write, write_all
from sitegen.moves.parse import parse as parse_moves
from sitegen.moves.references import REFERENCE, resolve_one
from sitegen.moves.simplify import simplify
from sitegen.moves.tree import Node, SingleTurn, parts
from sitegen.moves.turning import expand, permutation
from sitegen.names import NAMES, read_names
from sitegen.problems import Findings, Passage, Problem, shortened
from sitegen.puzzles.puzzle import Puzzle, Turn
from sitegen.search.turns import Allowed, Turns, check_faces, faces_hint, turns
from sitegen.settings import Setting
from sitegen.tokenizer import Tokenizer

METRIC = "obtm"
TURNS_OF = {
    "any": r"[Aa]ny(?!\S)",
    "up to": r"up\s+to(?!\S)",
    "turns": r"turns?(?!\S)",
    "of": r"of(?!\S)",
    "number": r"[0-9]+(?!\S)",
    **NAMES,
}
"""The tokens in which it is said how many turns of what are meant."""
TOOL = re.compile(REFERENCE.pattern + "['’′]?")
LEAD_IN_HINT = "write for example “2 turns”, or “2 turns of R, U and F”"


def read_tools(setting: Setting, puzzle: Puzzle, hint: str) -> tuple[tuple[str, Node], ...]:
    """tools := names, each "@" NAME "'"?    Raises Problem."""
    named = setting.as_names("a named sequence", hint)
    wrong = next((word for word in named if not TOOL.fullmatch(word.text)), None)
    if wrong:
        raise Problem(f"expected a named sequence; found “{shortened(wrong.text)}”", wrong, hint)
    return tuple((on_one_line(word.text), parse_moves(word, puzzle)) for word in named)


def tool_of(text: str, node: Node, scope: Scope) -> Tool:
    """A sequence with the centres home at its end, as far as turning the whole puzzle brings them home."""
    tree = resolve_one(node, scope.trees)
    back = Effect(scope.puzzle, permutation(tree, scope.puzzle)).turning_back
    written = f"{text} {write_all(back, scope.puzzle)}".strip()
    turns = (*expand(tree), *back)
    fewer = simplify(turns, scope.puzzle)
    return Tool(written, fewer if len(fewer) < len(turns) else turns)


def no_lead_in(puzzle: Puzzle) -> tuple[Turns, int]:
    """All turns, and none at most: what a lead-in may be where nothing is written of one."""
    return turns(puzzle, Allowed(), METRIC), 0


def read_lead_in(fields: Mapping[str, Setting], puzzle: Puzzle) -> tuple[Turns, int]:
    """lead_in := "up to"? NUMBER "turns" ("of" faces)?    Raises Problem."""
    if "lead-in" not in fields:
        return no_lead_in(puzzle)
    tokens = Tokenizer(fields["lead-in"].said, TURNS_OF)
    tokens.read("up to")
    most = read_most(tokens, MOST_LEAD_IN, LEAD_IN_HINT)
    tokens.expect("“turns”", "turns", hint=LEAD_IN_HINT)
    faces = read_faces_of(tokens, puzzle)
    tokens.expect_end("“of” and faces, or the end", LEAD_IN_HINT)
    return turns(puzzle, Allowed(check_faces(faces, puzzle)), METRIC), most


def read_faces_of(tokens: Tokenizer, puzzle: Puzzle) -> tuple[Passage, ...]:
    """faces_of := ("of" names)?"""
    return read_names(tokens, "a face", faces_hint(puzzle), "up to") if tokens.read("of") else ()


def read_most(tokens: Tokenizer, most: int, hint: str) -> int:
    """The number of turns that are allowed."""
    token = tokens.expect(f"a number from 1 to {most}", "number", hint=hint)
    if len(token.text) > len(str(most)) or not 1 <= int(token.text) <= most:
        message = f"expected a number from 1 to {most}; found “{shortened(token.text)}”"
        raise Problem(message, token.passage, hint)
    return int(token.text)


def read_hold(fields: Mapping[str, Setting], puzzle: Puzzle) -> tuple[Turn, ...]:
    """hold := names, each a turn of the whole puzzle    Raises Problem."""
    if "hold" not in fields:
        return ()
    named = fields["hold"].as_names("a turn of the whole puzzle", _hold_hint(puzzle))
    return tuple(_rotation(word, puzzle) for word in named)


def _rotation(word: Passage, puzzle: Puzzle) -> Turn:
    node = Findings().attempt(None, parse_moves, word, puzzle)
    items = parts(node) or (node,) if node else ()
    turns_ = [item.turn for item in items if isinstance(item, SingleTurn)]
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
