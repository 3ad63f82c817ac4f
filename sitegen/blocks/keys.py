"""The keys that several kinds of block share, and what their values mean."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import TypeVar

from sitegen.blocks.block import LEFT_OUT, Head, Shown
from sitegen.effects.claims import KINDS, Claim, claim_words, parse_claims
from sitegen.effects.likeness import alike
from sitegen.effects.piece_sets import Pieces, parse_all, piece_words
from sitegen.figures.views import DEFAULT_VIEW, available
from sitegen.folders import RESERVED
from sitegen.moves.metrics import METRICS
from sitegen.moves.notation import layer_names
from sitegen.moves.parse import parse as parse_moves
from sitegen.moves.references import NAME
from sitegen.moves.tree import Node
from sitegen.pages.block_body import read_block
from sitegen.pages.markdown import Fence, Prose, inline_prose
from sitegen.problems import Findings, Passage, Problem, shortened
from sitegen.puzzles.puzzle import Puzzle
from sitegen.settings import YES_OR_NO, Setting


def _no_words(puzzle: Puzzle) -> Iterable[str]:
    return ()


@dataclass(frozen=True)
class Meaning:
    """What stands behind a key, and the words of its grammar, for whoever helps to write it."""

    what: str
    words: Callable[[Puzzle], Iterable[str]] = _no_words
    begins: Callable[[Puzzle], Iterable[str]] | None = None
    """The words that only its beginning is written in, and what follows a semicolon; if they are others."""


Meanings = Mapping[str, Meaning]


@dataclass(frozen=True)
class Table:
    """The keys of a kind of block; those of the items in its lists; and what a body without keys says."""

    keys: Meanings
    nested: Mapping[str, Meanings] = field(default_factory=dict)
    plain: str = ""
    by_line: bool = False
    """Whether each line of a body without keys is a text of its own."""

    def read(self, fence: Fence) -> dict[str, Setting]:
        """What is written in a block. Raises Problem or Problems."""
        nested = {key: tuple(meanings) for key, meanings in self.nested.items()}
        return read_block(fence, tuple(self.keys), nested, self.plain, self.by_line)


def one_of(*words: str) -> Meaning:
    """One of some words."""
    return Meaning(" or ".join(words), lambda puzzle: words)


TEXT = Meaning("a text")
NUMBER = Meaning("a number")
MOVES = Meaning("moves")
SEQUENCES = Meaning("named sequences")
YES = one_of(*YES_OR_NO)
PIECES = Meaning("pieces", piece_words)
LAYER = Meaning("a layer", layer_names)
LAYERS = Meaning("layers", layer_names)
HOLD = Meaning("turns of the whole puzzle")
LEAD_IN = Meaning("how many turns, and of what", lambda puzzle: ["up to", "turns of", *layer_names(puzzle)])
CLAIMS = Meaning("claims", claim_words, lambda puzzle: KINDS)
VIEW = Meaning("views", available)
DRAWN: Meanings = {"view": VIEW, "focus": PIECES, "arrows": YES, "letters": YES}
"""How a block is drawn."""
SAID: Meanings = {"say": TEXT, "caption": TEXT}
"""What an author says of a block: on its card, and of it as a figure."""
ON_CARDS: Meanings = {
    "effect": replace(TEXT, words=lambda puzzle: ["no"]),
    "metrics": one_of(*(metric.upper() for metric in METRICS), "no"),
    "without": one_of(*LEFT_OUT),
}
"""What stands on a card, and on the page of its sequence."""
NOTHING: Pieces = frozenset()

T = TypeVar("T")


MOST_IN_NAME = 100
"""So many characters, with what stands before and behind, are a file name on every system."""


def check_name(name: str, place: Passage) -> None:
    """Raises Problem for what cannot be a name."""
    if not re.fullmatch(NAME, name):
        hint = "a name is small letters, digits and hyphens, as in lift-edge"
        raise Problem(f"“{name}” cannot be a name", place, hint)
    if len(name) > MOST_IN_NAME:
        hint = f"a name has {MOST_IN_NAME} characters at most, since files are called so"
        raise Problem(f"“{shortened(name)}” is too long", place, hint)
    if RESERVED.fullmatch(name):
        # Its page would be a file of that name.
        raise Problem(f"{name} is the name of a device on some systems", place, "choose another name")


def value(
    fields: Mapping[str, Setting], key: str, read: Callable[[Setting], T], otherwise: T, findings: Findings
) -> T:
    """What a key says, where it is written and can be read."""
    return findings.attempt(otherwise, read, fields[key]) if key in fields else otherwise


def tags(fields: Mapping[str, Setting], head: Head) -> tuple[str, ...]:
    """The tags of a sequence, with those that all have on its page. Raises Problem."""
    own = fields["tags"].as_texts() if "tags" in fields else ()
    return tuple(dict.fromkeys([*own, *head.tags]))


def with_defaults(fields: Mapping[str, Setting], head: Head, findings: Findings) -> dict[str, Setting]:
    """What is written in a block, and for keys that are not what holds on its page.

    What of that the puzzle cannot follow goes to the findings.
    """
    told = {key: setting for key, setting in head.defaults.items() if key not in fields}
    for key, read in (("view", _views), ("focus", _pieces)):
        if key in told:
            try:
                read(told[key], head.puzzle)
            except Problem as problem:
                message = f"{problem.message}, for a block in {head.page}.md"
                findings.add(Problem(message, problem.passage, problem.hint))
                del told[key]
    return {**told, **fields}


def first_said(key: str, *said: Mapping[str, Setting]) -> Setting | None:
    """What is said behind a key, by the first that says it."""
    return next((fields[key] for fields in said if key in fields), None)


def moves(fields: Mapping[str, Setting], key: str, puzzle: Puzzle, findings: Findings) -> Node | None:
    """The moves behind a key; None where it is not written, or they cannot be read."""
    return value(fields, key, lambda setting: parse_moves(setting.said, puzzle), None, findings)


def pieces(fields: Mapping[str, Setting], key: str, puzzle: Puzzle, findings: Findings) -> Pieces:
    """The pieces behind a key; none where it is not written, or they cannot be read."""
    return value(fields, key, lambda setting: _pieces(setting, puzzle), NOTHING, findings)


def _pieces(setting: Setting, puzzle: Puzzle) -> Pieces:
    return parse_all(setting.as_said(), puzzle)


def claims(
    fields: Mapping[str, Setting], puzzle: Puzzle, findings: Findings, own: str = ""
) -> tuple[tuple[Passage, Claim], ...]:
    """The claims that can be read, and where they stand; `own` is the name of the sequence they are about."""
    nothing: tuple[Setting, ...] = ()
    items = value(fields, "claims", Setting.as_lines, nothing, findings)
    found = parse_claims([item.said for item in items], puzzle, findings)
    for passage, claim in found:
        if claim.says_nothing_of(own):
            message = f"every sequence is the same as itself, and @{own} is this one"
            findings.add(Problem(message, passage, "name another, or take the claim away"))
    return tuple(found)


def marked(fields: Mapping[str, Setting], puzzle: Puzzle, findings: Findings) -> bool:
    """Whether pieces that look alike are told apart. A problem where no two do."""
    if "marked" in fields and not alike(puzzle):
        message = f"no two pieces of {puzzle.name} look alike"
        findings.add(
            Problem(message, fields["marked"].key, "take “marked” away: nothing else could be meant")
        )
    return value(fields, "marked", Setting.as_yes, False, findings)


def said(fields: Mapping[str, Setting], key: str, html: bool) -> Prose | None:
    """What an author says behind a key. Raises Problem."""
    return inline_prose(fields[key].said, html) if key in fields else None


def views(
    fields: Mapping[str, Setting], puzzle: Puzzle, findings: Findings, otherwise: tuple[str, ...]
) -> tuple[str, ...]:
    """The views behind “view”, or else the others."""
    return value(fields, "view", lambda setting: _views(setting, puzzle), otherwise, findings)


def shown(fields: Mapping[str, Setting], head: Head, findings: Findings, view: str = DEFAULT_VIEW) -> Shown:
    """How a block is to be shown; `view` is how it is drawn where it does not say, empty if that depends."""
    puzzle = head.puzzle
    fields = with_defaults(fields, head, findings)
    told: Prose | bool = True
    return Shown(
        title=value(fields, "title", Setting.as_plain, "", findings),
        say=findings.attempt(None, said, fields, "say", head.html),
        caption=findings.attempt(None, said, fields, "caption", head.html),
        views=views(fields, puzzle, findings, (view,) if view else ()),
        focus=pieces(fields, "focus", puzzle, findings) if "focus" in fields else None,
        arrows=value(fields, "arrows", Setting.as_yes, True, findings),
        letters=value(fields, "letters", Setting.as_yes, False, findings),
        effect=value(fields, "effect", lambda setting: _effect(setting, head.html), told, findings),
        metrics=value(fields, "metrics", _metrics, None, findings),
        without=value(fields, "without", _left_out, (), findings),
    )


def _effect(setting: Setting, html: bool) -> Prose | bool:
    """effect := "yes" | "no" | the author's own words"""
    if (setting.text or "").lower() in ("none", "off"):
        raise setting.problem("the effect is shown as this one word", "write “effect: no” to show none")
    return inline_prose(setting.said, html) if setting.says_more else setting.as_yes()


def _metrics(setting: Setting) -> tuple[str, ...] | None:
    """metrics := "no" | METRIC ("," METRIC)*"""
    if setting.text and not setting.says_more:
        return None if setting.as_yes() else ()
    known = [metric.upper() for metric in METRICS]
    return tuple(item.as_choice(known).lower() for item in setting.as_list())


def _left_out(setting: Setting) -> tuple[str, ...]:
    return tuple(item.as_choice(LEFT_OUT) for item in setting.as_list())


def refuse_without_page(fields: Mapping[str, Setting], named: bool) -> None:
    """Raises Problem where something is left out of a page that there is not."""
    listed = fields["without"].as_list() if "without" in fields and not named else ()
    if stray := next((item for item in listed if item.text != "title"), None):
        hint = f"give the block a name, or take “{stray.text}” away"
        raise Problem("this stands on the page of a named sequence", stray.passage, hint)


def _views(setting: Setting, puzzle: Puzzle) -> tuple[str, ...]:
    named = setting.as_list()
    for view in named:
        if view.as_text() not in available(puzzle):
            hint = "views are " + ", ".join(available(puzzle))
            if " and " in view.as_text():
                hint = f"write “{', '.join(view.as_text().split(' and '))}”; {hint}"
            raise view.problem(f"{puzzle.name} has no view “{view.as_text()}”", hint)
    return tuple(view.as_text() for view in named)
