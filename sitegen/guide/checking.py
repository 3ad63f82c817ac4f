"""Blocks as they were written, and then what turning shows of them; what takes long is found on all cores."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from functools import partial
from itertools import chain
from typing import Any

from sitegen.blocks.kind import Block
from sitegen.blocks.kinds import KINDS
from sitegen.blocks.scope import Scope
from sitegen.cache import Cache, NotKnown
from sitegen.parallel import on_all_cores
from sitegen.progress import Progress


def check_blocks(
    blocks: Sequence[Block], scopes: Mapping[str, Scope], cache: Cache, progress: Progress
) -> None:
    """Checks all blocks; what does not hold goes to their findings. The scopes keep results in the cache.

    First come those of which all is known that takes long. Then each result that is missing is found once.
    """
    missing: dict[str, Block] = {}
    left: list[Block] = []
    with cache.as_it_is():
        for block in blocks:
            before = [*block.findings.problems]
            try:
                _check(block, scopes)
            except NotKnown as unknown:
                block.findings.problems[:] = before
                missing.setdefault(unknown.key, block)
                left.append(block)
    if len(missing) > 1:
        first = sorted(missing.values(), key=lambda block: not KINDS[block.kind].takes_long)
        found = on_all_cores(partial(_results, first, scopes, cache), range(len(first)), few=2)
        for results in progress(found, len(first), f"Checking {first[0].label} and others"):
            cache.learn(results)
    for block in progress(left, len(left), "Checking"):
        _check(block, scopes)


def check_by_what_is_known(
    own: Iterable[Sequence[Block]], beside: Iterable[Block], scopes: Mapping[str, Scope], cache: Cache
) -> None:
    """Checks the blocks of some pages, and those beside. Raises NotKnown where a result is missing."""
    with cache.as_it_is():
        for block in chain(*own, beside):
            _check(block, scopes)
        for blocks in own:
            agree(blocks, scopes)


def _results(
    blocks: Sequence[Block], scopes: Mapping[str, Scope], cache: Cache, number: int
) -> dict[str, Any]:
    """What a block had to have computed."""
    with cache.learning() as results:
        _check(blocks[number], scopes)
    return results


def agree(blocks: Iterable[Block], scopes: Mapping[str, Scope]) -> None:
    """Lets the blocks of one page that are of a kind agree, where the kind wants that."""
    for opening, kind in KINDS.items():
        same = [block for block in blocks if block.kind == opening and block.checked is not None]
        if same and kind.together:
            kind.together(same, scopes[same[0].head.puzzle.name])


def _check(block: Block, scopes: Mapping[str, Scope]) -> None:
    scope = scopes[block.head.puzzle.name]
    if block.parsed is None or (block.parsed.defines and block.parsed.defines not in scope.trees):
        return
    check = KINDS[block.kind].check
    block.checked = block.findings.attempt(None, check, block.parsed, scope, block.findings)
