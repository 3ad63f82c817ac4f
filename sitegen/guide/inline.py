"""Inline code by the mark behind it: moves, a claim in prose, or only itself; read, and held to be true.

Knows the marks and what they ask for; where a text stands and how it is set is for others.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator
from dataclasses import dataclass, field

from markdown_it.token import Token

from sitegen.blocks.cell_figures import AFTER, CASE, FIGURES, CellFigure, of_moves, of_sequence
from sitegen.blocks.moves.moves_block import found_true
from sitegen.blocks.played import MOST_PLAYED, Played
from sitegen.blocks.position_block import Position
from sitegen.blocks.scope import Scope
from sitegen.effects.claims import VERBS, Subject, parse_claims
from sitegen.effects.effect import Effect
from sitegen.effects.words import listed
from sitegen.figures.trace import MOST_MARKED
from sitegen.guide.block_heads import head_of
from sitegen.guide.denials import denied_by
from sitegen.guide.guide import Guide, Stated
from sitegen.moves.metrics import length
from sitegen.moves.parse import parse as parse_moves
from sitegen.moves.references import NAME, REFERENCE, UnknownSequence, resolve_one
from sitegen.moves.tree import Node, Reference, SingleTurn
from sitegen.moves.turning import expand, permutation, turn_count
from sitegen.pages.config import Config
from sitegen.pages.markdown import Placed, mark, slug
from sitegen.pages.page import Page
from sitegen.problems import Findings, Note, Passage, Problem, nearest, shortened, written
from sitegen.puzzles.puzzle import Puzzle
from sitegen.settings import set_off

MOVES, CLAIM, PLAIN = "moves", "claim", "plain"
KINDS = (MOVES, CLAIM, PLAIN, *FIGURES)
MARK = re.compile(rf"\{{\.(?P<kind>{MOVES}|{PLAIN}|{'|'.join(FIGURES)}|{CLAIM}(?: +of=(?P<of>{NAME}))?)\}}")
STRAY = re.compile(r"\{\s*(?P<sign>[.#:]?)\s*\.?(?P<word>\w+)(?:[^\w{}\n][^{}\n]*|(?=\}|$))\}?")
"""What may be meant for a mark, in a text."""
TICKS = "✓✔☑✅"
"""What readers take for the tick behind a claim."""
BACK = 80
"""So many letters before a claim are looked at for what may deny it."""
WIDTHS = ("half", "third")
"""What a picture can have of the width of the text."""
NARROWER = "take it away; a picture has a half or a third of the width of the text by {.half} or {.third}"
MARKS = (
    f"{{.{MOVES}}}, {{.{CLAIM}}}, {{.{CLAIM} of=NAME}} or {{.{PLAIN}}}, and in the cell of a table also "
    f"{' or '.join(f'{{.{kind}}}' for kind in FIGURES)}"
)


@dataclass(frozen=True)
class Mark:
    """What stands in braces behind inline code: `{.claim of=lift-edge}` is of the kind `claim`."""

    kind: str
    of: str = ""
    """The sequence that a claim is about, where it says so."""


@dataclass
class Inline:
    """What was found in the texts of a guide."""

    stated: dict[int, Stated] = field(default_factory=dict)
    """By the identity of their tokens."""
    played: dict[int, Played] = field(default_factory=dict)
    """Moves that a page can play, likewise."""
    drawn: dict[int, CellFigure] = field(default_factory=dict)
    """What is drawn in cells, likewise."""
    findings: Findings = field(default_factory=Findings)
    notes: list[Note] = field(default_factory=list)


def mark_of(token: Token) -> Mark | None:
    """What inline code is said to be; None where nothing is said, or nothing that can be read."""
    found = MARK.fullmatch(mark(token)) if token.type == "code_inline" else None
    return Mark(found["kind"].split()[0], found["of"] or "") if found else None


def mentioned(token: Token) -> Iterator[str]:
    """The sequences that inline code names."""
    marked = mark_of(token)
    if marked and marked.kind != PLAIN:
        yield from filter(None, [marked.of])
        yield from REFERENCE.findall(token.content)


def read_inline(guide: Guide) -> Inline:
    """All that is marked in a guide, read and checked; and what goes unmarked by a slip, or seems to."""
    found = Inline()
    for page in guide.read:
        scope = guide.scopes.get(page.puzzle.name) or Scope(page.puzzle, {}, {})
        for prose in guide.texts(page):
            cells = {*map(id, prose.cells)}
            for paragraph in prose.paragraphs:
                _read(paragraph, cells, page, scope, guide, found)
    return found


def _read(
    paragraph: list[Placed], cells: Collection[int], page: Page, scope: Scope, guide: Guide, found: Inline
) -> None:
    """A claim is about the sequence that it names, or about the moves that stand last before it."""
    beside: Passage | None = None
    before = ""
    behind = [*(_words(token) for token, _ in paragraph[1:]), ""]
    for (token, passage), then in zip(paragraph, behind, strict=True):
        said, before = before, "" if token.type == "code_inline" else f"{before}{_words(token)}"[-BACK:]
        if token.type != "code_inline":
            found.findings.problems += [*_strays(token, passage), *_of_links(token, passage, guide.config)]
            found.notes += [*_names_in_text(token, passage, guide), *_ticks(token, passage)]
            continue
        marked = mark_of(token)
        if mark(token) and not marked:
            found.findings.add(_unread(mark(token), _place_of(mark(token), passage)))
        elif marked and marked.kind in (MOVES, *FIGURES) and not token.content.strip():
            message = f"there are no moves in this code, of which {mark(token)} says that it is moves"
            found.findings.add(Problem(message, passage, "write moves between the backticks"))
        elif not marked and reads_as_moves(token.content, scope.puzzle):
            found.notes.append(_unmarked(token.content, passage, "moves", MOVES))
        elif not marked and _reads_as_claims(token.content, scope.puzzle):
            found.notes.append(_unmarked(token.content, passage, "a claim", CLAIM))
        elif marked and marked.kind == MOVES:
            beside = passage
            tree = found.findings.attempt(None, _moves, MOVES, passage, scope, guide)
            if tree and turn_count(tree) <= MOST_PLAYED:
                found.played[id(token)] = Played(
                    puzzle=scope.puzzle, parts=(expand(tree),), before=scope.puzzle.identity
                )
        elif marked and marked.kind in FIGURES and id(token) not in cells:
            hint = "put it in the cell of a table, or write a block"
            message = f"{mark(token)} draws a small figure, for which there is room in tables alone"
            found.findings.add(Problem(message, passage, hint))
        elif marked and marked.kind in FIGURES:
            figure = found.findings.attempt(None, _figure, marked.kind, passage, page, scope, guide)
            if figure:
                found.drawn[id(token)] = figure
            if figure and figure.says_nothing:
                hint = f"write {{.{CASE}}} or {{.{AFTER}}}: arrows show no more than {MOST_MARKED} pieces"
                message = "this figure is of a solved puzzle, and shows nothing of what the moves do"
                found.notes.append(Note(message, [passage], hint))
            # A position has no moves that a claim could be about.
            beside = beside if figure and isinstance(figure.of, Position) else passage
        elif marked and marked.kind == CLAIM:
            of = _place_of(mark(token), passage)
            stated = found.findings.attempt(None, _state, marked, passage, of, beside, scope, guide)
            if stated and (denial := denied_by(said, then, guide.config.language)):
                hint = f"say what holds, or write {{.{PLAIN}}}, which has no tick"
                message = f"“{denial}” denies this claim, which was found true"
                found.findings.add(Problem(message, passage, hint))
            if stated:
                found.stated[id(token)] = stated


def _words(token: Token) -> str:
    """What a token says between pieces of code; emphasis says nothing by itself."""
    return " " if token.type in ("softbreak", "hardbreak") else token.content


def _turn(passage: Passage, scope: Scope) -> Node:
    return resolve_one(parse_moves(passage, scope.puzzle), scope.trees)


def _figure(which: str, passage: Passage, page: Page, scope: Scope, guide: Guide) -> CellFigure:
    """What is drawn of moves, or of what has the name that stands alone. Raises Problem or Problems."""
    named = REFERENCE.fullmatch(passage.text)
    name = named[1] if named else ""
    if name in guide.sequences:
        return of_sequence(guide.sequences[name], which)
    if (position := guide.targets.linked[Position.LINK].get(name)) and isinstance(position, Position):
        if which != CASE:
            hint = f"write {{.{CASE}}}, or name a sequence"
            raise Problem(f"{name} is a position, which has no {which}", passage, hint)
        return CellFigure(position, which)
    tree = _moves(which, passage, scope, guide)
    return of_moves(passage, tree, head_of("", "moves", page, guide.config), which, scope)


def _moves(kind: str, passage: Passage, scope: Scope, guide: Guide) -> Node:
    """The moves in a passage with such a mark. Raises Problem."""
    try:
        return _turn(passage, scope)
    except UnknownSequence:
        raise
    except Problem:
        said = passage.text.strip()
        if said in guide.sequences or said in guide.targets.linked[Position.LINK]:
            hint = f"is it `@{said}`{{.{kind}}}?"
        elif said.split()[0].lower() in VERBS:
            hint = f"a claim has the mark {{.{CLAIM}}}"
        else:
            raise
        message = f"{{.{kind}}} stands behind moves or an @name, and this is neither"
        raise Problem(message, passage, hint) from None


def _place_of(mark: str, code: Passage) -> Passage:
    """Where a mark stands, right behind its code; of one that names a sequence where the name stands."""
    source, named = code.source, MARK.fullmatch(mark)
    start = source.text.find(mark, code.end)
    if start < 0:
        return code
    first, end = named.span("of") if named and named["of"] else (0, len(mark))
    return Passage(source, start + first, start + end)


def _state(
    marked: Mark, passage: Passage, of: Passage, beside: Passage | None, scope: Scope, guide: Guide
) -> Stated:
    """The claims in a passage, found true; `of` is where its mark is. Raises Problem or Problems."""
    if marked.of:
        case, about = _named(marked.of, of, guide), f"@{marked.of}"
    elif beside:
        case, about = _of_moves(beside, scope), " ".join(beside.text.split())
    else:
        hint = f"write moves before it in the same paragraph, or name a sequence: {{.{CLAIM} of=lift-edge}}"
        raise Problem("nothing stands here that this claim could be about", passage, hint)
    findings = Findings()
    claims = parse_claims([passage], case.puzzle, findings)
    findings.settle()
    if not claims:
        raise Problem("no claim is made", passage, "write for example flips UF; keeps U except UF")
    moves = "the moves" if marked.of else f"{about}, the last moves before it,"
    for where, claim in claims:
        findings.attempt(False, found_true, where, claim, case, moves)
    findings.settle()
    return Stated(about, len(claims))


def _named(name: str, passage: Passage, guide: Guide) -> Subject:
    """The case of a sequence of the guide, on whatever puzzle."""
    if name not in guide.sequences:
        raise UnknownSequence(name, passage, guide.sequences)
    sequence = guide.sequences[name]
    return Subject(sequence.effect, sequence.length, guide.scopes[sequence.puzzle.name].permutations)


def _of_moves(moves: Passage, scope: Scope) -> Subject:
    tree = _turn(moves, scope)
    effect = Effect(scope.puzzle, permutation(tree, scope.puzzle))
    return Subject(effect, length(tree, scope.puzzle), scope.permutations)


def _unread(text: str, passage: Passage) -> Problem:
    """What is wrong with a mark."""
    named = re.search(r"of\s*=\s*[\"“]?@?(?P<name>[\w-]+)", text)
    near = [kind for word in re.findall(r"\w+", text) for kind in nearest(word.lower(), KINDS)]
    kind = CLAIM if named else near[0] if near else ""
    of = f" of={named['name']}" if named else ""
    meant = f"{{.{kind}{of}}}"
    hint = f"what stands in braces behind code is {MARKS}"
    if undone := re.search(r"of\s*=\s*[\"“]?@?(?P<name>[\w-]+)['’′]", text):
        hint = f"a sequence undone is written as moves before the claim: `@{undone['name']}'`{{.{MOVES}}}"
    elif text.count("{") > 1:
        hint = "code has one mark: keep one of these"
    elif named and near and near[0] in FIGURES:
        hint = f"write the name in the place of the moves: `@{named['name']}`{{.{near[0]}}}"
    elif kind and MARK.fullmatch(meant) and meant != text:
        hint = f"is it {meant}?"
    return Problem(f"{shortened(text)} says nothing of the code before it", passage, hint)


def _strays(token: Token, passage: Passage) -> Iterator[Problem]:
    """What seems to be a mark and stands behind no code. Braces that the author has escaped are none."""
    for found in STRAY.finditer(token.content if token.type == "text" else ""):
        near, width = (nearest(found["word"].lower(), known) for known in (KINDS, WIDTHS))
        unescaped = re.compile(rf"(?<![\\`}}]){re.escape(found.group())}")
        written = unescaped.search(passage.source.text, passage.start, passage.end)
        if written and found["sign"] and (found["sign"] != "." or not near):
            hint = "take it away, or write \\{ for a brace that is to be seen"
            if found["sign"] == "#" and (name := slug(found.group())):
                hint = f"what names a heading is {{#{name}}}, in small letters at its end; else {hint}"
            elif width:
                hint = f"write {{.{width[0]}}} right behind a picture, with no blank between them"
            message = f"{found.group()} says nothing of this text, and is shown as it is written"
            yield Problem(message, Passage(passage.source, *written.span()), hint)
        elif written and passage.source.text[written.start() - 1] == ")" and (width or "=" in found.group()):
            message = f"{found.group()} is shown as it is written"
            hint = f"is it {{.{width[0]}}}?" if width else NARROWER
            yield Problem(message, Passage(passage.source, *written.span()), hint)
        elif written and near and (found["sign"] or near[0] == found["word"]):
            hint = f"write `…`{{.{near[0]}}}, with the text between backticks and no blank behind them"
            yield Problem(
                f"{found.group()} stands behind no code", Passage(passage.source, *written.span()), hint
            )


def _names_in_text(token: Token, passage: Passage, guide: Guide) -> Iterator[Note]:
    """Sequences that are named in a text as moves name them, where readers are shown the sign."""
    for found in REFERENCE.finditer(token.content if token.type == "text" else ""):
        before = token.content[: found.start()][-1:]
        if found[1] in guide.sequences and not before.isalnum():
            at = passage.text.find(found.group())
            place = passage.part(at, at + len(found.group())) if at >= 0 else passage
            hint = f"write `{found.group()}`{{.{MOVES}}} or <sequence:{found[1]}>"
            yield Note(f"{found.group()} is shown as it is written", [place], hint)


def _ticks(token: Token, passage: Passage) -> Iterator[Note]:
    """A tick that an author has written, which readers take for the one behind claims."""
    typed = {*TICKS}.intersection(token.content) if token.type == "text" else ()
    for sign in sorted(typed):
        at = passage.source.text.find(sign, passage.start, passage.end)
        hint = f"mark a claim as code with {{.{CLAIM}}}, which has a tick if it holds; or write a word"
        message = f"{sign} looks like the tick of a claim that was checked"
        yield Note(message, [Passage(passage.source, at, at + 1) if at >= 0 else passage], hint)


def _of_links(token: Token, passage: Passage, config: Config) -> Iterator[Problem]:
    """What stands in braces behind a link or a picture: a width, or a class of the author's own."""
    widths = WIDTHS if token.type == "image" else ()
    others = [f"“{name}”" for name in token.meta.get("insecure_attrs", ())]
    classes = str(token.attrGet("class") or "").split()
    meant = [near for name in classes if name not in widths for near in nearest(name.lower(), widths)]
    own = config.html or "theme" in config.places
    unknown = [name for name in classes if name not in widths and (name in KINDS or meant or not own)]
    if said := [*others, *(f"“.{name}”" for name in unknown)]:
        what, hint = "link", "take it away; moves and claims are marked behind code"
        if token.type == "image":
            what, hint = "picture", f"is it {{.{meant[0]}}}?" if meant else NARROWER
        says = "says" if len(said) == 1 else "say"
        yield Problem(f"{listed(said)} {says} nothing of a {what}", passage, hint)
    if problem := _signs_in_title(token, passage):
        yield problem
    if not said and len(classes) > 1 and {*classes} <= {*widths}:
        yield Problem("a picture has one width", passage, "take one of these away")


def _signs_in_title(token: Token, passage: Passage) -> Problem | None:
    """What is wrong with the title of a link or a picture, unless its signs are escaped."""
    source, title = passage.source, str(token.attrGet("title") or "")
    at = source.text.find(title, passage.start)
    return set_off(Passage(source, at, at + len(title)), "a title") if title and at >= 0 else None


def reads_as_moves(text: str, puzzle: Puzzle) -> bool:
    """Whether these are two turns or more. Letters side by side, as in UF, are rather a place."""
    if not re.search(r"[\s\[(]", text):
        return False
    try:
        tree = parse_moves(written(text), puzzle)
    except Problem:
        return False
    return len(tree.items) > 1 or any(not isinstance(item, (SingleTurn, Reference)) for item in tree.items)


def _reads_as_claims(text: str, puzzle: Puzzle) -> bool:
    """Whether these are claims, each of which could be checked."""
    findings = Findings()
    verb = text.split(maxsplit=1)[0] if text.strip() else ""
    return verb in VERBS and bool(parse_claims([written(text)], puzzle, findings)) and not findings.problems


def _unmarked(text: str, passage: Passage, what: str, mark: str) -> Note:
    hint = f"write {{.{mark}}} right behind, or {{.{PLAIN}}} if it is only to be shown"
    return Note(f"“{shortened(text)}” reads as {what} and is not checked", [passage], hint)
