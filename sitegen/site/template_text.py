"""Whether all that a template says can come to stand on a page: what it extends, and which blocks are there.

The template library passes over a block that no template above has, and over what stands outside of blocks.
Knows templates as they are written; what they are given is for those who set pages.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from jinja2 import Environment, TemplateNotFound, TemplateSyntaxError, nodes

from sitegen.problems import Passage, Problem, Source, is_it
from sitegen.site.templates import PAGES, TEMPLATES, environment_of, place_in_theme

WHOLE = re.compile(r"<!doctype\b|<html\b", re.IGNORECASE)
"""What a page of HTML begins with."""
ASKING = (nodes.Extends, nodes.Include, nodes.Import, nodes.FromImport)
OUTPUT = (nodes.Output, nodes.Include, nodes.CallBlock, nodes.FilterBlock)
AS_A_CHANGE = '{{% extends "{}/{}" %}}'
BLOCK = "write it between {% block … %} and {% endblock %}"


def lost(name: str, folders: Sequence[Path]) -> list[Problem]:
    """What of a template in the first folder would show nowhere; that theme is based on the others."""
    environment = environment_of(folders)
    try:
        return list(_lost(name, environment, folders))
    except (TemplateNotFound, TemplateSyntaxError, UnicodeDecodeError):
        return []  # In one that it asks for, and told of there.


def _lost(name: str, environment: Environment, folders: Sequence[Path]) -> Iterator[Problem]:
    text, tree = _read(name, environment, folders)
    extended = next(tree.find_all(nodes.Extends), None)
    if missing := list(_missing(text, tree, environment)):
        yield from missing
    elif extended is None:
        yield from _in_part(name, text, environment, folders)
    elif not _name_in(extended) or extended not in tree.body:
        hint = "write its name in quotation marks, and under no condition"
        yield Problem("it cannot be known which template this extends", _line(text, extended), hint)
    else:
        yield from _outside(tree.body, _blocks_above(tree, environment, folders), text)


def _in_part(
    name: str, text: Passage, environment: Environment, folders: Sequence[Path]
) -> Iterator[Problem]:
    """A template by which pages are set, and which makes no page."""
    base = next((folder.name for folder in folders[1:] if (folder / TEMPLATES / name).is_file()), "")
    sets_pages = base and name.startswith(f"{PAGES}/") and name.endswith(".html")
    if sets_pages and not _is_whole(name, environment, folders, frozenset()):
        change = AS_A_CHANGE.format(base, name)
        hint = f"write {change} above it, or begin a page of your own with <!doctype html>"
        first = text.stripped().start
        end = text.text.find("\n", first)
        place = text.part(first, end if end >= 0 else len(text.text))
        yield Problem("this is neither a whole page nor a change to one", place, hint)


def _is_whole(name: str, environment: Environment, folders: Sequence[Path], within: frozenset[str]) -> bool:
    """Whether a page of HTML begins in a template, or in one that it asks for, as far as can be known.

    Templates that lead back to themselves are told of when a page is set.
    """
    try:
        _, tree = _read(name, environment, folders)
    except TemplateNotFound:
        return False
    asked = [_name_in(node) for node in tree.find_all(ASKING)]
    return any(WHOLE.search(data.data) for data in tree.find_all(nodes.TemplateData)) or any(
        not other or other in within | {name} or _is_whole(other, environment, folders, within | {name})
        for other in asked
    )


def _missing(text: Passage, tree: nodes.Template, environment: Environment) -> Iterator[Problem]:
    """Templates that are asked for and are not there."""
    known = environment.list_templates()
    for node in tree.find_all(ASKING):
        name = _name_in(node)
        if name and name not in known and not getattr(node, "ignore_missing", False):
            hint = is_it(name, known) or "put it into templates/, or name another"
            yield Problem(f"there is no template {name}", _line(text, node), hint)


def _blocks_above(tree: nodes.Template, environment: Environment, folders: Sequence[Path]) -> set[str]:
    """The names of all blocks in the templates that one extends."""
    found: set[str] = set()
    seen: set[str] = set()
    while (extended := next(tree.find_all(nodes.Extends), None)) and _name_in(extended) not in seen | {""}:
        seen.add(_name_in(extended))
        _, tree = _read(_name_in(extended), environment, folders)
        found |= {block.name for block in tree.find_all(nodes.Block)}
    return found


def _outside(body: Sequence[nodes.Node], above: set[str], text: Passage) -> Iterator[Problem]:
    """What stands outside of the blocks above. A block within another of these may be a new one."""
    for node in body:
        if isinstance(node, nodes.Block):
            if node.name not in above:
                hint = is_it(node.name, above) or f"blocks are {', '.join(sorted(above))}"
                message = f"the template that this one extends has no block {node.name}"
                yield Problem(message, _line(text, node, rf"\bblock\s+({re.escape(node.name)})\b"), hint)
        elif isinstance(node, OUTPUT):
            parts = [part for part in getattr(node, "nodes", [node]) if not _is_blank(part)]
            if parts:
                first = parts[0]
                said = first.data.split("\n") if isinstance(first, nodes.TemplateData) else [""]
                words = next((line.strip() for line in said if line.strip()), "")
                place = _line(text, first, f"({re.escape(words)})" if words else "")
                yield Problem("this stands outside of the blocks, and shows on no page", place, BLOCK)
        elif isinstance(node, nodes.If):
            yield from _outside([*node.body, *node.elif_, *node.else_], above, text)
        elif isinstance(node, (nodes.For, nodes.With, nodes.Scope)):
            yield from _outside([*node.body, *getattr(node, "else_", [])], above, text)


def _is_blank(node: nodes.Node) -> bool:
    return isinstance(node, nodes.TemplateData) and not node.data.strip()


def _name_in(node: Any) -> str:
    """The template that a node asks for; empty where its name is worked out when a page is set."""
    named = node.template
    return named.value if isinstance(named, nodes.Const) and isinstance(named.value, str) else ""


def _read(name: str, environment: Environment, folders: Sequence[Path]) -> tuple[Passage, nodes.Template]:
    """A template as its author wrote it, and what it says. Raises TemplateNotFound, TemplateSyntaxError."""
    if environment.loader is None:
        raise TemplateNotFound(name)
    text, file, _ = environment.loader.get_source(environment, name)
    place = place_in_theme(Path(file), folders) if file else name
    return Source(place, text).passage(), environment.parse(text, name, file)


def _line(text: Passage, node: nodes.Node, words: str = "") -> Passage:
    """The line in which a node begins, or the words from there on that a pattern holds in brackets."""
    start = text.source.line_start(node.lineno)
    found = re.compile(words).search(text.text, start) if words else None
    if found:
        return text.part(*found.span(1))
    return text.part(start, text.source.line_start(node.lineno + 1)).stripped()
