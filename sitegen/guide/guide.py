"""A folder to a Guide: config, pages, blocks, sequences and links; every problem on the way is kept."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from difflib import get_close_matches
from pathlib import Path
from typing import Any

from sitegen.guide.blocks import KINDS
from sitegen.guide.config import Config, read_config
from sitegen.guide.links import Targets, link_problems
from sitegen.guide.markdown import Fence, fences, inline_tokens, is_moves
from sitegen.guide.page import Page, read_page
from sitegen.guide.sequence import Book, Sequence
from sitegen.moves.parse import parse as parse_moves
from sitegen.moves.references import UnknownSequence, resolve, resolve_one
from sitegen.moves.turning import permutation
from sitegen.problems import Findings, Problem, Problems, Source
from sitegen.puzzles import catalogue

NAME = r"[a-z][a-z0-9]*(?:-[a-z0-9]+)*"
MADE = frozenset(["effects.html"])
"""Pages that the site makes by itself."""
KEPT = ("sequences/", "static/")
"""Folders that it keeps to itself."""


@dataclass
class Block:
    """One block of a page on its way from text to something checked."""

    kind: str
    name: str
    page: Page
    fence: Fence
    parsed: Any = None
    checked: Any = None
    findings: Findings = field(default_factory=Findings)


@dataclass(frozen=True)
class Guide:
    folder: Path
    config: Config
    pages: tuple[Page, ...]
    blocks: Mapping[str, tuple[Block, ...]]
    """The blocks of each page, by the page's name."""
    sequences: Mapping[str, Sequence]
    """All named sequences, in reading order."""
    books: Mapping[str, Book]
    files: tuple[str, ...]
    """Other files below content/, published as they are."""
    problems: tuple[Problem, ...] = ()

    @property
    def targets(self) -> Targets:
        pages = {page.name: page for page in self.pages}
        return Targets(pages, self.sequences, frozenset(self.files), MADE)


Progress = Callable[[Iterable[Any], int, str], Iterable[Any]]
"""Passes on the items of a long job, of which there are so many, and may show how far it is."""


def quiet(items: Iterable[Any], total: int, what: str) -> Iterable[Any]:
    return items


def read_guide(folder: Path, progress: Progress = quiet) -> Guide:
    """The guide in a folder, with its problems. Raises Problems where there is none to speak of."""
    config = read_config(folder)
    findings = Findings()
    pages = _ordered(_pages(folder, config, findings), config, findings)
    blocks = [block for page in pages for block in _blocks(page, config)]
    books = _books(blocks)
    for block in progress(blocks, len(blocks), "Checking"):
        _check(block, books)
    guide = Guide(
        folder=folder,
        config=config,
        pages=pages,
        blocks={page.name: tuple(block for block in blocks if block.page is page) for page in pages},
        sequences={b.name: b.checked for b in blocks if b.name and isinstance(b.checked, Sequence)},
        books=books,
        files=tuple(_files(folder)),
    )
    found = [
        *findings.problems,
        *(problem for block in blocks for problem in block.findings.problems),
        *_clashes(guide),
        *_prose_problems(guide),
    ]
    return replace(guide, problems=Problems(_roots(found, blocks)).problems)


def _roots(found: Iterable[Problem], blocks: Iterable[Block]) -> list[Problem]:
    """The problems without those that only follow from a sequence's having one of its own."""
    failed = {block.name for block in blocks if block.checked is None}
    return [
        problem for problem in found if not (isinstance(problem, UnknownSequence) and problem.name in failed)
    ]


def _pages(folder: Path, config: Config, findings: Findings) -> Iterator[Page]:
    """Every Markdown file, in the order of their names."""
    root = folder / "content"
    for path in sorted(root.rglob("*.md")):
        name = path.relative_to(root).with_suffix("").as_posix()
        label = f"content/{name}.md"
        try:
            yield read_page(name, Source(label, path.read_text(encoding="utf-8-sig")), config, findings)
        except UnicodeDecodeError:
            nowhere = Source(label, "").passage()
            findings.add(Problem("this is not UTF-8 text", nowhere, "save the file as UTF-8"))


def _ordered(pages: Iterable[Page], config: Config, findings: Findings) -> tuple[Page, ...]:
    """The pages that guide.yaml lists, in its order, and then all others."""
    left = {page.name: page for page in pages}
    ordered = []
    for entry in config.pages:
        name = entry.as_text().removesuffix(".md")
        if name in left:
            ordered.append(left.pop(name))
        elif any(page.name == name for page in ordered):
            findings.add(entry.problem(f"the page {name} is listed twice", "list it once"))
        else:
            near = get_close_matches(name, left, n=1)
            hint = f"is it {near[0]}?" if near else f"write content/{name}.md, or take the name away"
            findings.add(entry.problem(f"there is no page {name}.md", hint))
    ordered += left.values()
    if not any(page.name == "index" for page in ordered):
        nowhere = Source("content/index.md", "").passage()
        findings.add(Problem("the guide has no first page", nowhere, "write content/index.md"))
    return tuple(ordered)


def _files(folder: Path) -> Iterator[str]:
    """The paths of what is published as it is: all but pages, guide.yaml and hidden files."""
    root = folder / "content"
    for path in sorted(root.rglob("*")):
        name = path.relative_to(root).as_posix()
        hidden = any(part.startswith(".") for part in name.split("/"))
        if path.is_file() and path.suffix != ".md" and name != "guide.yaml" and not hidden:
            yield name


def _blocks(page: Page, config: Config) -> Iterator[Block]:
    """The blocks of a page, parsed as far as they can be."""
    for fence in fences(page.prose):
        if not fence.words or not (kind := _kind(fence)):
            continue
        block = Block(kind, fence.words[1] if len(fence.words) > 1 else "", page, fence)
        block.parsed = block.findings.attempt(None, _parse, block, config)
        yield block


def _parse(block: Block, config: Config) -> Any:
    _check_head(block)
    page = block.page
    return KINDS[block.kind].parse(block.fence, block.name, page.name, page.puzzle, config.html)


def _kind(fence: Fence) -> str:
    """The kind that the first word names, or all but names; empty for plain code."""
    near = get_close_matches(fence.words[0], KINDS, n=1, cutoff=0.8)
    return near[0] if near else ""


def _check_head(block: Block) -> None:
    """A block opens with its kind and at most one name."""
    words, info = block.fence.words, block.fence.info
    if words[0] != block.kind:
        raise Problem(f"there is no kind of block “{words[0]}”", info, f"is it {block.kind}?")
    if len(words) > 2:
        raise Problem(
            "a block has one name", info, "join its words with hyphens: " + "-".join(words[1:]).lower()
        )
    if block.name and not re.fullmatch(NAME, block.name):
        raise Problem(
            f"“{block.name}” cannot be a name",
            info,
            "a name is small letters, digits and hyphens, as in lift-edge",
        )


def _books(blocks: list[Block]) -> dict[str, Book]:
    """The named sequences of each puzzle, with what they refer to filled in; blocks get their problems."""
    _refuse_twins(blocks)
    books = {}
    for name in dict.fromkeys(block.page.puzzle.name for block in blocks):
        puzzle = catalogue.puzzle(name)
        named = {b.name: b for b in blocks if b.name and b.parsed and b.page.puzzle is puzzle}
        trees, problems = resolve({name: block.parsed.tree for name, block in named.items()})
        for problem in problems:
            _owner(problem, named.values()).findings.add(problem)
        books[name] = Book(puzzle, trees, {name: permutation(tree, puzzle) for name, tree in trees.items()})
    return books


def _refuse_twins(blocks: list[Block]) -> None:
    first: dict[str, Block] = {}
    for block in blocks:
        if block.name and first.setdefault(block.name, block) is not block:
            there = first[block.name].fence.info
            where = f"{there.source.name}:{there.line}"
            message = f"the name {block.name} is taken, in {where}"
            block.findings.add(Problem(message, block.fence.info, "choose another name"))
            block.parsed = None


def _owner(problem: Problem, blocks: Iterable[Block]) -> Block:
    return next(block for block in blocks if block.parsed.written.source is problem.passage.source)


def _check(block: Block, books: Mapping[str, Book]) -> None:
    book = books[block.page.puzzle.name]
    unresolved = block.name and block.name not in book.trees
    if block.parsed is None or unresolved:
        return
    block.checked = block.findings.attempt(None, KINDS[block.kind].check, block.parsed, book)


def _clashes(guide: Guide) -> Iterator[Problem]:
    """Pages and files that would be published where something else goes."""
    taken = {page.url for page in guide.pages}
    paths = [(f"{page.name}.md", page.url) for page in guide.pages] + [(name, name) for name in guide.files]
    for name, path in paths:
        nowhere = Source(f"content/{name}", "").passage()
        if path in MADE or path.startswith(KEPT):
            yield Problem(f"the site makes {path} by itself", nowhere, "choose another name")
        elif name == path and path in taken:
            yield Problem(f"a page is published as {path}", nowhere, "choose another name")


def _prose_problems(guide: Guide) -> Iterator[Problem]:
    """Links that lead nowhere and inline moves that cannot be read."""
    blocks = [block for found in guide.blocks.values() for block in found]
    said = [(block.page, block.checked.say) for block in blocks if block.checked and block.checked.say]
    for page, prose in [*((page, page.prose) for page in guide.pages), *said]:
        book = guide.books.get(page.puzzle.name) or Book(page.puzzle, {}, {})
        yield from link_problems(prose, page.name, guide.targets)
        for token, passage in inline_tokens(prose):
            if is_moves(token):
                try:
                    resolve_one(parse_moves(passage, page.puzzle), book.trees)
                except Problem as problem:
                    yield problem
