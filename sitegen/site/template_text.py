"""Whether all that a template says can come to stand on a page: what it extends, which blocks are there, and
where its addresses lead.

The template library passes over a block that no template above has, and over what stands outside of blocks.
Knows templates as they are written; what they are given is for those who set pages.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from contextlib import suppress
from functools import cached_property, lru_cache
from pathlib import Path
from typing import Any

from jinja2 import TemplateNotFound, TemplateSyntaxError, nodes

from sitegen.problems import Passage, Problem, Source, is_it
from sitegen.site.templates import PAGES, TEMPLATES, environment_of, is_in_theme, place_in_theme

WHOLE = re.compile(r"<!doctype\b|<html\b", re.IGNORECASE)
"""What a page of HTML begins with."""
LITERAL = re.compile(
    r"""(?<![\w-])(?:href|src)\s*=\s*(["'])(?![a-zA-Z][\w+.-]*:|[/#?])(?P<path>[^"'{}#]+)(?:\#[^"'{}]*)?\1"""
)
"""An address in a template that is worked out nowhere, and is no whole one."""
NOTE = re.compile(r"\{#.*?#\}", re.DOTALL)
ASKING = (nodes.Extends, nodes.Include, nodes.Import, nodes.FromImport)
OUTPUT = (nodes.Output, nodes.Include, nodes.CallBlock, nodes.FilterBlock)
AS_A_CHANGE = '{{% extends "{}/{}" %}}'
NO_BLOCKS = "it has no blocks to fill: begin from a copy of it"
BLOCK = "write it between {% block … %} and {% endblock %}"


def lost(names: Iterable[str], folders: Sequence[Path]) -> list[Problem]:
    """What of templates in the first folder would show nowhere; that theme is based on the others."""
    theme = _Written(folders)
    found: list[Problem] = []
    for name in names:
        # What is wrong in a template that this one asks for is told of there, or where a page is set.
        with suppress(TemplateNotFound, TemplateSyntaxError, UnicodeDecodeError):
            found += [*_lost(name, theme), *_astray(theme.read(name)[0])]
    return found


class _Written:
    """The templates of a theme in these folders, each read once."""

    def __init__(self, folders: Sequence[Path]) -> None:
        self.folders = folders
        self._environment = environment_of(folders)
        self._read: dict[str, tuple[Passage, nodes.Template]] = {}

    @cached_property
    def names(self) -> list[str]:
        return [*self._environment.list_templates()]

    def read(self, name: str) -> tuple[Passage, nodes.Template]:
        """A template as it was written, and what it says. Raises TemplateNotFound, TemplateSyntaxError."""
        if name not in self._read:
            if self._environment.loader is None:
                raise TemplateNotFound(name)
            text, file, _ = self._environment.loader.get_source(self._environment, name)
            place = place_in_theme(Path(file), self.folders) if file else name
            self._read[name] = Source(place, text).passage(), _parsed(text, name, file)
        return self._read[name]

    def base(self, name: str) -> str:
        """The theme whose template another one stands for; empty where it stands for none."""
        having = (each for each in self.folders[1:] if is_in_theme(each / TEMPLATES / name, self.folders))
        return next((folder.name for folder in having), "")

    def names_above(self, name: str) -> list[str]:
        """A template, the one that it extends, and so on. Raises TemplateNotFound where they go round."""
        names: list[str] = []
        while name:
            if name in names:
                raise TemplateNotFound(name)
            names.append(name)
            body = self.read(name)[1].body
            name = next((_name_in(node) for node in body if isinstance(node, nodes.Extends)), "")
        return names

    def chain(self, name: str) -> list[nodes.Template]:
        """What these templates say."""
        return [self.read(each)[1] for each in self.names_above(name)]


def _lost(name: str, theme: _Written) -> Iterator[Problem]:
    text, tree = theme.read(name)
    extended = next(tree.find_all(nodes.Extends), None)
    if missing := list(_missing(text, tree, theme)):
        yield from missing
    elif extended is not None and (not _name_in(extended) or extended not in tree.body):
        hint = "write its name in quotation marks, and under no condition"
        yield Problem("it cannot be known which template this extends", _line(text, extended), hint)
    elif wrong := list(_in_vain(name, text, tree, theme)):
        yield from wrong
    else:
        yield from _left_out(name, text, theme)


def _astray(text: Passage) -> Iterator[Problem]:
    """Addresses that are the same on all pages, which stand in different folders."""
    for found in LITERAL.finditer(NOTE.sub(lambda note: " " * len(note[0]), text.text)):
        message = "pages stand in different folders: from some of them this leads nowhere"
        hint = f"write {{{{ url('{found['path']}') }}}} for what stands at {found['path']} on the site"
        yield Problem(message, text.part(*found.span("path")), hint)


def _in_vain(name: str, text: Passage, tree: nodes.Template, theme: _Written) -> Iterator[Problem]:
    """What stands in a template and shows on no page."""
    if next(tree.find_all(nodes.Extends), None) is None:
        yield from _in_part(name, text, theme)
    else:
        chain = theme.chain(name)
        above = {block.name for each in chain[1:] for block in each.find_all(nodes.Block)}
        yield from _outside(tree.body, above, _shown(chain), text)


def _in_part(name: str, text: Passage, theme: _Written) -> Iterator[Problem]:
    """A template by which pages are set, and which makes no page."""
    base = theme.base(name)
    sets_pages = base and name.startswith(f"{PAGES}/") and name.endswith(".html")
    if sets_pages and not _is_whole(name, theme, frozenset()):
        change = AS_A_CHANGE.format(base, name)
        hint = f"write {change} above it, or begin a page of your own with <!doctype html>"
        yield Problem("this is neither a whole page nor a change to one", _first_line(text), hint)


def _is_whole(name: str, theme: _Written, within: frozenset[str]) -> bool:
    """Whether a page of HTML begins in a template, or in one that it asks for, as far as can be known.

    Templates that lead back to themselves are told of when a page is set.
    """
    try:
        _, tree = theme.read(name)
    except TemplateNotFound:
        return False
    asked = [_name_in(node) for node in tree.find_all(ASKING)]
    return any(WHOLE.search(data.data) for data in tree.find_all(nodes.TemplateData)) or any(
        not other or other in within | {name} or _is_whole(other, theme, within | {name}) for other in asked
    )


def _missing(text: Passage, tree: nodes.Template, theme: _Written) -> Iterator[Problem]:
    """Templates that are asked for and are not there."""
    known = theme.names
    for node in tree.find_all(ASKING):
        name = _name_in(node)
        if name and name not in known and not getattr(node, "ignore_missing", False):
            same = [each for each in known if each.endswith(f"/{name.partition('/')[2]}")]
            hint = is_it(name, same or known) or "put it into templates/, or name another"
            yield Problem(f"there is no template {name}", _line(text, node), hint)


def _left_out(name: str, text: Passage, theme: _Written) -> Iterator[Problem]:
    """Blocks that templates fill which extend this one, and that have no place in it any more."""
    base = theme.base(name)
    prefixes = tuple(f"{folder.name}/" for folder in theme.folders[1:])
    missing: set[str] = set()
    for other in theme.names if base else ():
        names = [] if other.startswith(prefixes) else theme.names_above(other)
        if name in names:
            chain = theme.chain(other)
            filling = chain[: names.index(name)]
            based_on = theme.chain(f"{base}/{name}")
            filled = {block.name for tree in filling for block in _outermost(tree)}
            missing |= filled & _shown(based_on) & _shown([*filling, *based_on]) - _shown(chain)
    if missing:
        blocks = f"block{'s' if len(missing) > 1 else ''} {', '.join(sorted(missing))}"
        written = " ".join(f"{{% block {each} %}}{{% endblock %}}" for each in sorted(missing))
        message = f"this has no place for the {blocks}, which other templates fill"
        yield Problem(message, _first_line(text), f"write where each is to stand {written}")


def _shown(chain: Sequence[nodes.Template]) -> set[str]:
    """The blocks that come to stand on a page, which is the last template's: of each name the first there is.

    A block that stands in another one is gone with it where that is written anew.
    """
    written: dict[str, list[nodes.Block]] = {}
    for block in (block for tree in chain for block in _blocks(tree)):
        written.setdefault(block.name, []).append(block)
    shown: set[tuple[str, int]] = set()
    waiting = [(block.name, 0) for block in _outermost(chain[-1])]
    while waiting:
        name, at = waiting.pop()
        if (name, at) not in shown and at < len(written[name]):
            shown.add((name, at))
            block = written[name][at]
            waiting += [(inner.name, 0) for inner in _outermost(block)]
            if _goes_on(block):
                waiting.append((name, at + 1))
    return {name for name, _ in shown}


@lru_cache(maxsize=256)
def _blocks(tree: nodes.Template) -> tuple[nodes.Block, ...]:
    return tuple(tree.find_all(nodes.Block))


@lru_cache(maxsize=1024)
def _goes_on(block: nodes.Block) -> bool:
    """Whether the block of that name in the template above comes to stand in it."""
    return any(each.name == "super" for each in block.find_all(nodes.Name))


@lru_cache(maxsize=1024)
def _outermost(node: nodes.Node) -> tuple[nodes.Block, ...]:
    """The blocks in a node that stand in no other block there."""
    return tuple(_standing_alone(node))


def _standing_alone(node: nodes.Node) -> Iterator[nodes.Block]:
    for part in node.iter_child_nodes():
        if isinstance(part, nodes.Block):
            yield part
        else:
            yield from _standing_alone(part)


def _outside(
    body: Sequence[nodes.Node], above: set[str], shown: set[str], text: Passage
) -> Iterator[Problem]:
    """What stands outside of the blocks above. A block within another of these may be a new one."""
    for node in body:
        if isinstance(node, nodes.Block):
            place = _line(text, node, rf"\bblock\s+({re.escape(node.name)})\b")
            if node.name not in above:
                blocks = f"blocks are {', '.join(sorted(above))}"
                hint = is_it(node.name, above) or (blocks if above else NO_BLOCKS)
                yield Problem(f"the template that this one extends has no block {node.name}", place, hint)
            elif node.name not in shown:
                hint = f"write {{% block {node.name} %}}{{% endblock %}} in that, where it is to stand"
                message = f"the block that had a place for the block {node.name} is written without it"
                yield Problem(message, place, hint)
        elif isinstance(node, OUTPUT):
            parts = [part for part in getattr(node, "nodes", [node]) if not _is_blank(part)]
            if parts:
                first = parts[0]
                said = first.data.split("\n") if isinstance(first, nodes.TemplateData) else [""]
                words = next((line.strip() for line in said if line.strip()), "")
                place = _line(text, first, f"({re.escape(words)})" if words else "")
                yield Problem("this stands outside of the blocks, and shows on no page", place, BLOCK)
        elif isinstance(node, nodes.If):
            yield from _outside([*node.body, *node.elif_, *node.else_], above, shown, text)
        elif isinstance(node, (nodes.For, nodes.With, nodes.Scope, nodes.ScopedEvalContextModifier)):
            yield from _outside([*node.body, *getattr(node, "else_", [])], above, shown, text)


def _is_blank(node: nodes.Node) -> bool:
    return isinstance(node, nodes.TemplateData) and not node.data.strip()


def _name_in(node: Any) -> str:
    """The template that a node asks for; empty where its name is worked out when a page is set."""
    named = node.template
    return named.value if isinstance(named, nodes.Const) and isinstance(named.value, str) else ""


@lru_cache(maxsize=256)
def _parsed(text: str, name: str, file: str | None) -> nodes.Template:
    """What a template says by itself, which is the same whatever theme it is looked at for."""
    return environment_of((Path(),)).parse(text, name, file)


def _first_line(text: Passage) -> Passage:
    """The first in which anything stands."""
    first = text.stripped().start
    end = text.text.find("\n", first)
    return text.part(first, end if end >= 0 else len(text.text))


def _line(text: Passage, node: nodes.Node, words: str = "") -> Passage:
    """The line in which a node begins, or the words from there on that a pattern holds in brackets."""
    start = text.source.line_start(node.lineno)
    found = re.compile(words).search(text.text, start) if words else None
    if found:
        return text.part(*found.span(1))
    return text.part(start, text.source.line_start(node.lineno + 1)).stripped()
