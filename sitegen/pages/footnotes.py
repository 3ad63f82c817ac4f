"""Footnotes: which a text has and what keeps one from being shown, where each stands, and how they are set.

Knows how Markdown reads them; what stands in one is read like any other text.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import chain, pairwise
from typing import Any

from markdown_it import MarkdownIt
from markdown_it.rules_core import StateCore
from markdown_it.token import Token
from mdit_py_plugins.footnote import footnote_plugin

REFERENCE = "footnote_ref"
"""The kind of token that a number in a text is, which leads to its footnote."""
OPENS, CLOSES = "footnote_reference_open", "footnote_reference_close"
WITHIN, AGAIN, UNUSED, EMPTY = "within", "again", "unused", "empty"
TEXT = ""
"""The text itself, among footnotes by their labels."""
WRITTEN = "footnotes written"
"""Under this a text keeps which footnotes it has while it is parsed."""


@dataclass(frozen=True)
class Footnote:
    """A footnote as it is written: what it is called, its lines, and why it is not shown, if it is not."""

    label: str
    lines: tuple[int, int]
    fault: str


def with_footnotes(markdown: MarkdownIt) -> None:
    """Has Markdown read footnotes."""
    markdown.use(footnote_plugin, inline=False)
    markdown.core.ruler.before("footnote_tail", "footnotes_written", _keep_written)
    markdown.add_render_rule(REFERENCE, _reference)
    markdown.add_render_rule("footnote_block_open", _all_open)
    markdown.add_render_rule("footnote_block_close", _all_close)
    markdown.add_render_rule("footnote_open", _open)
    markdown.add_render_rule("footnote_anchor", _back)


def _keep_written(state: StateCore) -> None:
    """Keeps which footnotes there are, before those are left out to which nothing refers."""
    if "footnotes" in state.env:
        state.env[WRITTEN] = [*_written(state.tokens, _referred(state))]


def _referred(state: StateCore) -> set[str]:
    """The labels of those that the text refers to, or footnotes that are referred to."""
    labels = {number: each["label"] for number, each in state.env["footnotes"]["list"].items()}
    leads: dict[str, set[str]] = {}
    here = [TEXT]
    for token in state.tokens:
        if token.type == OPENS:
            here.append(token.meta["label"])
        elif token.type == CLOSES:
            here.pop()
        inside = chain.from_iterable((each, *(each.children or ())) for each in token.children or ())
        numbers = (each.meta["id"] for each in inside if each.type == REFERENCE)
        leads.setdefault(here[-1], set()).update(map(labels.__getitem__, numbers))
    referred, left = set[str](), [TEXT]
    while left:
        new = leads.get(left.pop(), set()) - referred
        referred |= new
        left += new
    return referred


def _written(tokens: Sequence[Token], referred: set[str]) -> Iterator[Footnote]:
    depth, known = 0, set[str]()
    for token, behind in pairwise(tokens):
        if token.type == OPENS:
            label, (first, end) = token.meta["label"], token.map or (0, 0)
            faults = {
                WITHIN: depth > 0,
                AGAIN: label in known,
                UNUSED: label not in referred,
                EMPTY: behind.type == CLOSES,
            }
            yield Footnote(label, (first, end), next((name for name, holds in faults.items() if holds), ""))
            known.add(label)
        depth += {OPENS: 1, CLOSES: -1}.get(token.type, 0)


def give_places(tokens: Iterable[Token], example: int = 0) -> bool:
    """Says where the footnotes of a page stand, or those of an example on it; gives whether there are any."""
    notes = [*_tokens(tokens)]
    for token in notes:
        number = token.meta["id"] + 1
        token.meta["place"] = f"footnote-{example}-{number}" if example else f"footnote-{number}"
        token.meta["of"] = f" of example {example}" if example else ""
    return bool(notes)


def places(tokens: Iterable[Token]) -> Iterator[str]:
    """All that links between footnotes and their text lead to."""
    for token in _tokens(tokens):
        yield token.meta["place"] if token.type == "footnote_open" else _at(token)


def _tokens(tokens: Iterable[Token]) -> Iterator[Token]:
    every = chain.from_iterable((token, *(token.children or ())) for token in tokens)
    return (token for token in every if "id" in token.meta and token.type.startswith("footnote_"))


def _at(token: Token) -> str:
    """The place in the text from which a number leads to its footnote, and to which that leads back."""
    again = token.meta["subId"]
    return f"{token.meta['place']}-at" + (f"-{again + 1}" if again else "")


def _reference(renderer: Any, tokens: Sequence[Token], at: int, options: Any, env: Any) -> str:
    token = tokens[at]
    number, of = token.meta["id"] + 1, token.meta["of"]
    return (
        f'<sup class="to-footnote"><a href="#{token.meta["place"]}" id="{_at(token)}" role="doc-noteref"'
        f' aria-label="Footnote {number}{of}">{number}</a></sup>'
    )


def _all_open(renderer: Any, tokens: Sequence[Token], at: int, options: Any, env: Any) -> str:
    label = f"Footnotes{tokens[at + 1].meta['of']}"
    return f'<section class="footnotes" role="doc-endnotes" aria-label="{label}">\n<ol>\n'


def _all_close(renderer: Any, tokens: Sequence[Token], at: int, options: Any, env: Any) -> str:
    return "</ol>\n</section>\n"


def _open(renderer: Any, tokens: Sequence[Token], at: int, options: Any, env: Any) -> str:
    return f'<li id="{tokens[at].meta["place"]}">'


def _back(renderer: Any, tokens: Sequence[Token], at: int, options: Any, env: Any) -> str:
    """The way back to each place that refers to a footnote."""
    token = tokens[at]
    number, again = token.meta["id"] + 1, token.meta["subId"] + 1
    name = f"Back to footnote {number}{token.meta['of']} in the text" + (
        f", place {again}" if again > 1 else ""
    )
    shown = f"↑<sup>{again}</sup>" if again > 1 else "↑"
    return f' <a class="back" href="#{_at(token)}" role="doc-backlink" aria-label="{name}">{shown}</a>'
