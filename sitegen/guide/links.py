"""Links in prose: to pages, headings, sequences and files of the guide; checked and resolved."""

from __future__ import annotations

import posixpath
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from urllib.parse import quote, unquote, urlsplit

from sitegen.guide.markdown import Prose, inline_tokens
from sitegen.guide.page import Page
from sitegen.guide.sequence import Sequence
from sitegen.moves.references import UnknownSequence
from sitegen.problems import Passage, Problem

SEQUENCE = "sequence:"
LINKED = {"link_open": "href", "image": "src"}
"""The tokens that lead somewhere, and the attribute that says where."""


@dataclass(frozen=True)
class Targets:
    """All that can be linked to. `made` are pages that no file in content/ stands for."""

    pages: Mapping[str, Page]
    sequences: Mapping[str, Sequence]
    files: frozenset[str]
    made: frozenset[str]


def relative(url: str, here: str) -> str:
    """The way from one page of the site to another, both given by their paths below output/."""
    return quote(posixpath.relpath(url, posixpath.dirname(here) or "."))


def link_problems(prose: Prose, page: str, targets: Targets) -> Iterator[Problem]:
    """A problem for each link and image, of a text on a page, that leads nowhere."""
    for token, passage in inline_tokens(prose):
        name = LINKED.get(token.type)
        if name:
            try:
                resolve(str(token.attrGet(name) or ""), page, "", targets, passage)
            except Problem as problem:
                yield problem


def text_of(target: str, targets: Targets) -> str:
    """What a link without text of its own says."""
    sequence = targets.sequences.get(target.removeprefix(SEQUENCE)) if target.startswith(SEQUENCE) else None
    return sequence.title if sequence else target


def resolve(target: str, page: str, here: str, targets: Targets, passage: Passage) -> str:
    """The address to publish at the path `here` for a target written on a page.

    Raises Problem where nothing is there.
    """
    if target.startswith(SEQUENCE):
        return relative(_sequence(target.removeprefix(SEQUENCE), targets, passage), here)
    parts = urlsplit(target)
    if parts.scheme or parts.netloc:
        return target
    path = (
        posixpath.normpath(posixpath.join(posixpath.dirname(page), unquote(parts.path))) if parts.path else ""
    )
    if not path or path.endswith(".md"):
        return _page(path.removesuffix(".md") or page, unquote(parts.fragment), page, here, targets, passage)
    if path in targets.files or path in targets.made:
        return relative(path, here) + (f"#{parts.fragment}" if parts.fragment else "")
    raise Problem(f"the guide has no file {path}", passage, _near(path, [*targets.files, *targets.made]))


def _sequence(name: str, targets: Targets, passage: Passage) -> str:
    if name not in targets.sequences:
        raise UnknownSequence(name, passage, targets.sequences)
    return targets.sequences[name].url


def _page(name: str, anchor: str, page: str, here: str, targets: Targets, passage: Passage) -> str:
    if name not in targets.pages:
        raise Problem(
            f"there is no page {name}.md", passage, _near(f"{name}.md", [f"{p}.md" for p in targets.pages])
        )
    target = targets.pages[name]
    if not anchor:
        return relative(target.url, here)
    anchors = [heading.anchor for heading in target.headings]
    sequences = [s.anchor for s in targets.sequences.values() if s.page == name]
    if anchor not in [*anchors, *sequences]:
        raise Problem(f"{name}.md has no heading #{anchor}", passage, _heading(anchor, anchors))
    return f"#{anchor}" if name == page and target.url == here else f"{relative(target.url, here)}#{anchor}"


def _heading(anchor: str, anchors: list[str]) -> str:
    if not anchors:
        return "that page has no headings"
    near = get_close_matches(anchor, anchors, n=1)
    return f"is it #{near[0]}?" if near else "headings there: " + ", ".join(f"#{name}" for name in anchors)


def _near(name: str, known: Mapping[str, object] | list[str]) -> str:
    near = get_close_matches(name, list(known), n=1)
    return f"is it {near[0]}?" if near else "a link is written from the page it stands on"
