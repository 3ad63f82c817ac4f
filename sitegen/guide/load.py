"""A folder to a Guide: read the pages, parse the blocks, fill in what they refer to, check, proofread."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import groupby
from pathlib import Path

from sitegen.blocks.block import WrittenBlock
from sitegen.blocks.keys import check_name
from sitegen.blocks.kind import Block
from sitegen.blocks.kinds import KINDS
from sitegen.blocks.scope import Scope
from sitegen.cache import Cache
from sitegen.guide.block_heads import head_of
from sitegen.guide.checking import agree, check_blocks
from sitegen.guide.guide import Guide
from sitegen.guide.headings import headed
from sitegen.guide.inline import read_inline
from sitegen.guide.proofread import (
    clashes,
    draft_notes,
    empty_notes,
    feed_notes,
    fence_notes,
    html_notes,
    html_problems,
    id_problems,
    link_problems,
    roots,
    setting_problems,
    sheet_problems,
    sign_notes,
    tag_notes,
    view_notes,
)
from sitegen.moves.references import NAME, resolve
from sitegen.moves.turning import permutation
from sitegen.pages.config import ALL_SAVED, Config, Unsaved, settled
from sitegen.pages.files import other_files, read_pages
from sitegen.pages.markdown import EXAMPLE, Fence, fences
from sitegen.pages.misread import misread_problems
from sitegen.pages.page import Page
from sitegen.pages.scheme import scheme_problems
from sitegen.pages.unread import unread_problems
from sitegen.problems import Findings, Problem, Problems, nearest
from sitegen.progress import Progress, quiet

OPENINGS = frozenset([EXAMPLE, *(kind.split()[0] for kind in KINDS)])
"""The first words of the fences in which something is read."""
NAMED = re.compile(rf"(?m)^names:[ \t]*({NAME})[ \t]*$")
"""What gives a sequence its name, also in a block that cannot be read."""


def read_guide(
    folder: Path, progress: Progress = quiet, unsaved: Unsaved = ALL_SAVED, drafts: bool = False
) -> Guide:
    """The guide in a folder, with its problems, and with its drafts or without.

    Raises Problems where there is none to speak of.
    """
    config = settled(folder, unsaved)
    findings = Findings()
    pages, unread, blocks = read_blocks(folder, config, findings, unsaved)
    left_out = tuple(page for page in pages if page.draft and not drafts)
    on_drafts = _names_on({page.name for page in left_out}, blocks)
    pages = tuple(page for page in pages if page not in left_out)
    shown = {page.name for page in pages}
    blocks = [block for block in blocks if block.head.page in shown]
    by_page = groupby(blocks, lambda block: block.head.page)
    on_page = dict.fromkeys((page.name for page in pages), ()) | {name: tuple(of) for name, of in by_page}
    pages, titles = headed(pages, on_page, findings)
    cache = Cache()
    scopes = scopes_of(blocks, cache, config)
    check_blocks(blocks, scopes, cache, progress)
    for each in on_page.values():
        agree(each, scopes)
    guide = Guide(
        folder=folder,
        config=config,
        pages=pages,
        blocks=on_page,
        sequences={s.name: s for b in blocks if b.checked and (s := b.checked.sequence)},
        scopes=scopes,
        files=tuple(other_files(folder)),
        titles=titles,
        unread=unread,
        left_out=left_out,
        on_drafts=on_drafts,
    )
    found = [
        *config.problems,
        *config.puzzles.problems,
        *findings.problems,
        *scheme_problems(config, dict.fromkeys(page.puzzle for page in pages)),
        *clashes(guide),
    ]
    return proofread(guide, found)


def proofread(guide: Guide, found: Sequence[Problem]) -> Guide:
    """A guide with all that is wrong on the pages that were read, beside what was found already."""
    inline = read_inline(guide)
    blocks = (block for page in guide.read for block in guide.blocks[page.name])
    every = [
        *found,
        *(problem for block in blocks for problem in block.findings.problems),
        *sheet_problems(guide),
        *link_problems(guide),
        *setting_problems(guide),
        *id_problems(guide),
        *(problem for page in guide.read for problem in unread_problems(page.prose, OPENINGS)),
        *(problem for page in guide.read for problem in misread_problems(page.prose)),
        *html_problems(guide),
        *inline.findings.problems,
    ]
    return replace(
        guide,
        stated=inline.stated,
        played=inline.played,
        drawn=inline.drawn,
        problems=Problems(roots(every, guide)).problems,
        notes=(
            *feed_notes(guide),
            *tag_notes(guide),
            *fence_notes(guide),
            *view_notes(guide),
            *html_notes(guide),
            *sign_notes(guide),
            *inline.notes,
            *empty_notes(guide),
            *draft_notes(guide),
        ),
    )


def _names_on(pages: Collection[str], blocks: Iterable[Block]) -> dict[str, str]:
    """The names that blocks have on some pages, each with the page."""
    names = ((block, name) for block in blocks for name in (block.name, block.defines))
    return {name: block.head.page for block, name in names if name and block.head.page in pages}


def read_blocks(
    folder: Path, config: Config, findings: Findings, unsaved: Unsaved = ALL_SAVED
) -> tuple[tuple[Page, ...], frozenset[str], list[Block]]:
    """The pages, those that cannot be read, and all blocks as they were written; nothing is turned yet."""
    pages, unread = read_pages(folder, config, findings, unsaved)
    return pages, unread, [block for page in pages for block in blocks_of(page, config)]


def blocks_of(page: Page, config: Config) -> Iterator[Block]:
    """The blocks of a page, parsed as far as they can be."""
    for fence in fences(page.prose):
        if not fence.words or not (kind := _kind(fence)):
            continue
        name = next(iter(fence.words[len(kind.split()) :]), "")
        block = Block(kind, head_of(name, kind, page, config), fence, Findings())
        block.parsed = block.findings.attempt(None, _parse, block)
        yield block


def _parse(block: Block) -> WrittenBlock | None:
    _check_head(block)
    if named := NAMED.search(block.fence.body.text):
        block.defines = named[1]
    parsed = KINDS[block.kind].parse(block.fence, block.head, block.findings)
    block.defines = parsed.defines
    return None if block.findings.problems else parsed


def _kind(fence: Fence) -> str:
    """The kind that the first words name, or all but name; empty for plain code."""
    word = next((kind for kind in KINDS if _begins(fence, kind)), fence.words[0].lower())
    longer = [kind for kind in KINDS if word.startswith(kind)]
    meant = {kind.split()[0]: kind for kind in KINDS} | {kind: kind for kind in KINDS}
    near = longer or [meant[text] for text in nearest(word, meant, cutoff=0.8)]
    return near[0] if near else ""


def _begins(fence: Fence, kind: str) -> bool:
    """Whether a block opens with the words of a kind."""
    return fence.words[: len(kind.split())] == tuple(kind.split())


def _check_head(block: Block) -> None:
    """A block opens with its kind and at most one name."""
    words, info = block.fence.words, block.fence.info
    if not _begins(block.fence, block.kind):
        raise Problem(f"there is no kind of block “{words[0]}”", info, f"is it {block.kind}?")
    name = words[len(block.kind.split()) :]
    if len(name) > 1:
        joined = "-".join(name).lower()
        whole = re.fullmatch(NAME, joined)
        hint = (
            f"join its words with hyphens: {joined}" if whole else f"write {block.kind} {name[0]} and no more"
        )
        raise Problem("a block has one name", info, hint)
    if block.name:
        check_name(block.name, info)


def scopes_of(
    blocks: Sequence[Block], cache: Cache, config: Config, others: Iterable[str] = ()
) -> dict[str, Scope]:
    """The named sequences of each puzzle, with what they refer to filled in; blocks get their problems.

    `others` are the names of blocks that are not among these.
    """
    taken = _refuse_twins(blocks).union(others)
    scopes = {}
    for name in dict.fromkeys(block.head.puzzle.name for block in blocks):
        puzzle = config.puzzles.puzzle(name)
        here = [b for b in blocks if b.parsed and b.head.puzzle is puzzle]
        named = {b.parsed.defines: b for b in here if b.parsed.defines}
        trees, problems = resolve({name: block.parsed.tree for name, block in named.items()})
        for problem in problems:
            _owner(problem, named.values()).findings.add(problem)
        turned = {name: permutation(tree, puzzle) for name, tree in trees.items()}
        parsed = {block.name: block.parsed for block in here if block.name}
        scopes[name] = Scope(puzzle, trees, turned, taken, cache, parsed)
    return scopes


def _refuse_twins(blocks: Sequence[Block]) -> frozenset[str]:
    """All names; a block whose name another has is given a problem."""
    first: dict[str, Block] = {}
    for block in blocks:
        for name in dict.fromkeys(filter(None, [block.name, block.defines])):
            if first.setdefault(name, block) is not block:
                there = first[name].fence.info
                where = f"{there.source.name}:{there.line}"
                message = f"the name {name} is taken, in {where}"
                block.findings.add(Problem(message, block.fence.info, "choose another name"))
                block.parsed = None
    return frozenset(first)


def _owner(problem: Problem, blocks: Iterable[Block]) -> Block:
    """The block in which a problem stands: each is a source of its own, which begins on a line of its own."""
    source = problem.passage.source
    return next(
        block
        for block in blocks
        if (block.fence.body.source.name, block.fence.body.source.first_line)
        == (source.name, source.first_line)
    )
