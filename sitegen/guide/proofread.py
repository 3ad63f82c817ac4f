"""What is wrong with a guide as a whole: links, sheets, clashing files; and what only follows."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import PurePosixPath

from sitegen.guide.chosen import cards, case_sheets
from sitegen.guide.guide import MADE, Guide
from sitegen.guide.links import broken_links
from sitegen.guide.method import Method, UnknownMethod
from sitegen.guide.page import EXERCISES, HANDOUT, Page
from sitegen.guide.practice import Practice
from sitegen.guide.printed import printed
from sitegen.moves.references import UnknownSequence
from sitegen.problems import Findings, Problem, Source

KEPT = ("sequences", "methods", "static")
"""Folders that the site keeps to itself."""


def clashes(guide: Guide) -> Iterator[Problem]:
    """Pages and files that would be published where something else goes, also where case is ignored."""
    owners = dict.fromkeys((*MADE, *KEPT), "a part of the site itself")
    paths = [(f"{page.name}.md", path) for page in guide.pages for path in published(page, guide)]
    paths += [(name, name) for name in guide.files]
    for name, path in paths:
        lower = path.casefold()
        above = [lower, *(parent.as_posix() for parent in PurePosixPath(lower).parents)]
        owner = next((owners[place] for place in above if place in owners), "")
        if owner:
            place = Source(f"content/{name}", "").passage()
            yield Problem(f"{owner} is published as {path} too", place, "choose another name")
        owners[lower] = f"content/{name}"


def published(page: Page, guide: Guide) -> list[str]:
    """What a page is published as: itself, the answers to its exercises, and what is printed of them."""
    pages = [page.url, page.answers_url] if guide.practice(page) else [page.url]
    return [*pages, *(sheet.path for sheet in printed(page, guide))]


def sheet_problems(guide: Guide) -> Iterator[Problem]:
    """Sheets with nothing on them, and what they name that there is not."""
    findings = Findings()
    for page in guide.pages:
        cards(page, guide, findings)
        case_sheets(page, guide, findings)
        findings.problems += _blank(page, guide)
    return iter(findings.problems)


def _blank(page: Page, guide: Guide) -> Iterator[Problem]:
    start = page.prose.passage.part(0, 0)
    kinds = {block.kind for block in guide.blocks[page.name]}
    if page.kind == EXERCISES and Practice.KIND not in kinds:
        hint = f"write a block “{Practice.KIND}”, or “kind: {HANDOUT}” at the head"
        yield Problem("there are no exercises on this page", start, hint)
    if (
        page.kind == HANDOUT
        and page.sheet
        and not (page.prose.tokens or page.sheet.cards or page.sheet.cases)
    ):
        yield Problem("there is nothing on this sheet", start, "write something, or “cards: …” at the head")


def link_problems(guide: Guide) -> Iterator[Problem]:
    """Links and pictures that lead nowhere."""
    for page in guide.pages:
        for prose in guide.texts(page):
            yield from broken_links(prose, page.name, guide.targets)


def roots(found: Iterable[Problem], guide: Guide) -> list[Problem]:
    """The problems, each once, without those that only follow from a block's having one of its own."""
    every = [block for blocks in guide.blocks.values() for block in blocks]
    blocks = {block.parsed.defines if block.parsed else block.name: block for block in every}
    others = {block.name: block.kind for block in every if block.name}
    failed = {block.name for block in every if block.kind == Method.KIND and block.checked is None}
    kept = []
    for problem in {(problem.headline(), problem.hint): problem for problem in found}.values():
        if isinstance(problem, UnknownMethod) and (problem.name in failed or (failed and not problem.name)):
            continue
        named = blocks.get(problem.name) if isinstance(problem, UnknownSequence) else None
        if named and named.checked is None:
            continue
        if named:
            puzzle = named.page.puzzle.name
            problem.hint = f"it is a sequence of {puzzle}; moves refer to those of their own puzzle"
        elif isinstance(problem, UnknownSequence) and (other := others.get(problem.name)):
            problem.hint = f"{problem.name} is a {other}; a sequence has the name that its block gives it"
        kept.append(problem)
    return kept
