"""What may be written at a place: kinds of block, keys, words of their grammars, and names."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from sitegen.blocks.keys import Meaning, Table
from sitegen.blocks.kind import Block
from sitegen.blocks.kinds import KINDS
from sitegen.blocks.moves.sequence import Sequence
from sitegen.editor.leading import SCHEMES, linked
from sitegen.editor.place import Place
from sitegen.pages import config, page
from sitegen.pages.block_body import KEY
from sitegen.pages.markdown import fences
from sitegen.puzzles import catalogue
from sitegen.puzzles.puzzle import Puzzle
from sitegen.settings import words_of
from sitegen.yaml_nodes import ITEM

REFERRING = re.compile(r"@(?P<typed>[a-z0-9-]*)$")
"""What comes before the name of a sequence in moves, and as much as is written of it."""
ABOUT = re.compile(r"\{\.claim +of=(?P<typed>[a-z0-9-]*)$")
"""The same of a claim in a sentence."""
LINKING = re.compile(rf"[<(](?P<scheme>{'|'.join(SCHEMES)}):(?P<typed>[a-z0-9-]*)$")
BEGINS = re.compile(r"(?:^|(?<=[\s,;(\[>]))(?=\S|$)")
"""Where a word begins, or may."""


@dataclass(frozen=True)
class Completion:
    """A text that may be written: it takes the place of the last few characters before it."""

    text: str
    typed: int
    """How many of its characters are written already."""
    what: str
    """What it is, in a word or two."""


def completions(place: Place) -> list[Completion]:
    """All that may go on from what is written up to a place."""
    return list(_settings(place) if _is_settings(place) else _in_page(place))


def _in_page(place: Place) -> Iterator[Completion]:
    if place.page is None:
        return
    in_code = place.block or place.before.count("`") % 2
    if found := ABOUT.search(place.before) or (REFERRING.search(place.before) if in_code else None):
        scope = place.around.outline.scopes.get(place.page.puzzle.name)
        named = linked(Sequence.LINK, place.around).items()
        there = {name: block for name, block in named if scope and name in scope.trees}
        yield from _names(found["typed"], {name: _title(block) for name, block in there.items()})
    elif found := LINKING.search(place.before):
        blocks = linked(found["scheme"], place.around)
        yield from _names(found["typed"], {name: _title(block) for name, block in blocks.items()})
    elif place.block:
        source = place.block.fence.body.source
        row = place.line - source.first_line
        typed = place.before[source.indent :]
        lines = source.text.split("\n")
        table = KINDS[place.block.kind].table
        yield from _expected([*lines[:row], typed], lines[row + 1 :], table, place.page.puzzle)
    else:
        yield from _opening(place, place.page)


def _names(typed: str, titles: Mapping[str, str]) -> Iterator[Completion]:
    for name, title in titles.items():
        if name.startswith(typed):
            yield Completion(name, len(typed), title)


def _title(block: Block) -> str:
    return str(block.parsed.title) if block.parsed else ""


def _opening(place: Place, of: page.Page) -> Iterator[Completion]:
    """The kinds of block, behind the signs that begin a fence."""
    here = next((fence.info for fence in fences(of.prose) if fence.info.line == place.line), None)
    if here and place.column >= here.column:
        yield from _fitting(place.before[here.column - 1 :], KINDS, "a kind of block", only_first=True)


def _expected(lines: list[str], below: Iterable[str], table: Table, puzzle: Puzzle) -> Iterator[Completion]:
    """What may stand at the end of the last line: a key that is not written yet, or what its value says."""
    *above, current = lines
    base = min((_depth(line) for line in (*above, current) if line.strip()), default=0)
    owners = [key for key in (_key(line) for line in above if _depth(line) == base) if key in table.keys]
    dash = ITEM.match(current.lstrip())
    typed = current.lstrip()[dash.end() if dash else 0 :].lstrip()
    owner = owners[-1] if owners and (dash or _depth(current) > base) else ""
    meanings = table.nested.get(owner, {}) if owner else table.keys
    if owner and not meanings:
        yield from _words(typed, table.keys[owner], puzzle)
    elif begun := KEY.match(typed):
        if begun["key"] in meanings:
            yield from _words(typed[begun.end() :].lstrip(), meanings[begun["key"]], puzzle)
    else:
        written = set() if owner else {*owners, *map(_key, below)}
        left = (key for key in meanings if key not in written)
        for key in _fitting(typed, left, "a key", only_first=True):
            yield Completion(f"{key.text}: ", key.typed, meanings[key.text].what)
        if table.plain and not owners:
            yield from _words(typed, table.keys[table.plain], puzzle)


def _depth(line: str) -> int:
    return len(line) - len(line.lstrip())


def _key(line: str) -> str:
    found = KEY.match(line.strip())
    return found["key"] if found else ""


def _words(typed: str, meaning: Meaning, puzzle: Puzzle) -> Iterator[Completion]:
    """The words of a grammar that go on from what is written behind a key."""
    if meaning.begins is None:
        yield from _fitting(typed, meaning.words(puzzle), meaning.what)
        return
    stretch = typed.rpartition(";")[2].lstrip()
    first = list(_fitting(stretch, meaning.begins(puzzle), meaning.what, only_first=True))
    yield from first or _fitting(stretch, meaning.words(puzzle), meaning.what, never_first=True)


def _fitting(
    typed: str, words: Iterable[str], what: str, only_first: bool = False, never_first: bool = False
) -> Iterator[Completion]:
    """The words that begin as the last few that are written do, or with nothing yet."""
    starts = [found.start() for found in BEGINS.finditer(typed)]
    starts = starts[:1] if only_first else starts[never_first:]
    for word in words:
        begun = (typed[start:] for start in starts)
        found = next((text for text in begun if word.casefold().startswith(text.casefold())), None)
        if found is not None and found != word:
            yield Completion(word, len(found), what)


# Settings -------------------------------------------------------------------------------------------------


def _is_settings(place: Place) -> bool:
    """Whether this is in guide.yaml, or at the head of a page."""
    return _is_of_guide(place) or 1 < place.line <= _head(place)


def _is_of_guide(place: Place) -> bool:
    return place.file == f"content/{config.SETTINGS}"


def _head(place: Place) -> int:
    """The last line of the settings at the head of a page; nothing where it has none."""
    head = page.FRONT.match(place.text)
    return place.text.count("\n", 0, head.end("yaml")) if head else 0


def _settings(place: Place) -> Iterator[Completion]:
    if _is_of_guide(place):
        begin, end, keys, readers = 0, len(place.lines), config.KEYS, config.READERS
    else:
        begin, end, keys, readers = 1, _head(place), page.KEYS, page.READERS
    meanings = {key: _as_read(readers.get(key)) for key in keys}
    meanings["puzzle"] = Meaning("a puzzle", lambda puzzle: place.around.puzzles.names())
    lines = [*place.lines[begin : place.line - 1], place.before]
    turned = catalogue.puzzle(config.Config.puzzle)  # Which it is makes no difference to settings.
    yield from _expected(lines, place.lines[place.line : end], Table(meanings), turned)


def _as_read(read: Any) -> Meaning:
    """What stands behind a key, by what reads it."""
    return Meaning("a setting", lambda puzzle: words_of(read))
