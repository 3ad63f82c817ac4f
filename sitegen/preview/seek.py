"""A search for scratch paper: bounded, and stopped at any time with what was found by then.

Knows that it is worked in another process, and nothing of who asks.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from sitegen.blocks.scope import Scope
from sitegen.blocks.source import found_blocks
from sitegen.effects.words import brief
from sitegen.guide.asked import Asking, asked_within
from sitegen.guide.enclosing import Enclosing
from sitegen.preview.other_process import interruptible
from sitegen.problems import Findings
from sitegen.reports.search_report import account
from sitegen.search.find import Found, find

MOST = 12
"""So many of what was found are shown."""
SECONDS = 60.0
"""A search that takes longer is stopped."""
MEMORY = 400 * 10**6
"""Bytes that it may take."""


@dataclass(frozen=True)
class Sought:
    """An answer: its moves, what they do, how long they are, and a block; empty for no turn at all."""

    moves: str
    does: str
    length: str
    block: str


@dataclass(frozen=True)
class SearchResult:
    """What a search has found, and how far that is certain; or else what is wrong with what was asked."""

    answers: tuple[Sought, ...] = ()
    account: str = ""
    problems: tuple[str, ...] = ()


def seek(folder: Path, asking: Asking) -> SearchResult:
    """Searches within the guide in a folder. An interrupt ends it, and what was found by then is told."""
    around, found, findings = Enclosing(folder), Found(MOST), Findings()
    sought = findings.attempt(None, asked_within, around, around.puzzle(asking.puzzle), asking)
    if sought is None:
        return SearchResult(problems=tuple(map(str, findings.problems)))
    try:
        with interruptible():
            find(sought, found, asking.longest, MEMORY)
    except KeyboardInterrupt:
        pass
    known = findings.attempt(Scope(sought.puzzle, {}, {}), around.every, sought.puzzle)
    blocks = found_blocks(sought, found, None, known.taken)
    answers = tuple(
        Sought(each.moves, brief(each.effect), str(each.length), next(blocks) if each.turns else "")
        for each in found.answers
    )
    return SearchResult(answers, account(found, len(answers), sought))
