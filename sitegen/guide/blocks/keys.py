"""The keys that several kinds of block share, and how their values are read."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import TypeVar

from sitegen.effects.claims import Claim, parse_claims
from sitegen.effects.likeness import alike
from sitegen.effects.piece_sets import parse_pieces
from sitegen.figures.views import available
from sitegen.guide.fields import Field
from sitegen.guide.sequence import Shown
from sitegen.moves.references import NAME
from sitegen.problems import Findings, Passage, Problem, shortened
from sitegen.puzzles.puzzle import Puzzle

SHOWN = ("view", "focus", "arrows", "letters")
"""How a block is drawn."""
DEFAULT_VIEW = "corner"

T = TypeVar("T")


def check_name(name: str, place: Passage) -> None:
    """Raises Problem for what cannot be a name."""
    if not re.fullmatch(NAME, name):
        hint = "a name is small letters, digits and hyphens, as in lift-edge"
        raise Problem(f"“{name}” cannot be a name", place, hint)


def items(fields: Mapping[str, Field], key: str) -> list[Passage]:
    return fields[key].items if key in fields else []


def yes(field: Field) -> bool:
    if field.text not in ("yes", "no"):
        key = field.key.text
        raise Problem(f"{key} is yes or no, not “{field.text}”", field.value, "write yes or no")
    return field.text == "yes"


def tags(fields: Mapping[str, Field]) -> tuple[str, ...]:
    """Words with commas between them, or a list."""
    return tuple(tag.strip() for item in items(fields, "tags") for tag in item.text.split(",") if tag.strip())


def claims(
    fields: Mapping[str, Field], puzzle: Puzzle, findings: Findings
) -> tuple[tuple[Passage, Claim], ...]:
    """The claims that can be read, and where they stand."""
    passages = findings.attempt([], items, fields, "claims")
    return tuple(claim for passage in passages for claim in parse_claims(passage, puzzle, findings))


def marked(fields: Mapping[str, Field], puzzle: Puzzle, findings: Findings) -> bool:
    """Whether pieces that look alike are told apart. A problem where no two do."""
    if "marked" in fields and not alike(puzzle):
        message = f"no two pieces of {puzzle.name} look alike"
        findings.add(
            Problem(message, fields["marked"].key, "take “marked” away: nothing else could be meant")
        )
    return value(fields, "marked", yes, False, findings)


def lines(body: Passage) -> list[Passage]:
    """The lines of a body without keys."""
    return [body.part(*found.span()).stripped() for found in re.finditer(r"[^\n]*\S[^\n]*", body.text)]


def split(field: Field, pattern: str) -> list[Passage]:
    """The parts of each item that match, without blanks at their ends."""
    found = [item.part(*match.span()) for item in field.items for match in re.finditer(pattern, item.text)]
    return [part.stripped() for part in found if part.text.strip()]


def value(
    fields: Mapping[str, Field], key: str, read: Callable[[Field], T], otherwise: T, findings: Findings
) -> T:
    """What a key says, where it is written and can be read."""
    return findings.attempt(otherwise, read, fields[key]) if key in fields else otherwise


def number(field: Field, least: int, most: int) -> int:
    """A whole number within bounds. Raises Problem."""
    if not re.fullmatch(r"[0-9]{1,9}", field.text) or not least <= int(field.text) <= most:
        key = field.key.text
        message = f"{key} is a number from {least} to {most}, not “{shortened(field.text)}”"
        raise Problem(message, field.value, f"write for example {key}: {least + 1}")
    return int(field.text)


def shown(fields: Mapping[str, Field], puzzle: Puzzle, findings: Findings, view: str = DEFAULT_VIEW) -> Shown:
    default = (view,)
    return Shown(
        views=value(fields, "view", lambda field: _views(field, puzzle), default, findings),
        focus=value(fields, "focus", lambda field: parse_pieces(field.value, puzzle), None, findings),
        arrows=value(fields, "arrows", yes, True, findings),
        letters=value(fields, "letters", yes, False, findings),
    )


def _views(field: Field, puzzle: Puzzle) -> tuple[str, ...]:
    views = tuple(dict.fromkeys(view.strip() for view in field.text.split(",")))
    for view in views:
        if view not in available(puzzle):
            hint = "views are " + ", ".join(available(puzzle))
            raise Problem(f"{puzzle.name} has no view “{view}”", field.value, hint)
    return views
