"""Where names and links lead: the block that has a name, the page that a link is to."""

from __future__ import annotations

from sitegen.blocks.kind import Block
from sitegen.blocks.kinds import KINDS
from sitegen.blocks.moves.sequence import Sequence
from sitegen.editor.place import Place
from sitegen.guide.enclosing import Enclosing
from sitegen.guide.links import path_of
from sitegen.problems import Passage, Source


def leads_to(place: Place) -> Passage | None:
    """The first line of the block, or the beginning of the page, to which what stands here leads."""
    if place.page is None:
        return None
    if place.reference:
        name, _ = place.reference
        return _opening(linked(Sequence.LINK, place.around).get(name))
    scheme, _, name = place.link.partition(":")
    if scheme in SCHEMES:
        return _opening(linked(scheme, place.around).get(name))
    try:
        path = path_of(place.link, place.page.name)
    except ValueError:  # as for an address with brackets that are not closed
        return None
    there = any(f"{page.name}.md" == path for page in place.around.outline.pages)
    return Source(f"content/{path}", "").passage() if there else None


SCHEMES = tuple(dict.fromkeys(kind.gives.LINK for kind in KINDS.values() if kind.gives.LINK))
"""What links begin with that lead to blocks by name."""


def linked(scheme: str, around: Enclosing) -> dict[str, Block]:
    """The blocks that links of a scheme lead to, by name; those of sequences are what `@` refers to."""
    found: dict[str, Block] = {}
    for block in around.outline.blocks:
        defines = block.parsed.defines if block.parsed else ""
        if scheme == Sequence.LINK and defines:
            found.setdefault(defines, block)
        if block.name and scheme == KINDS[block.kind].gives.LINK:
            found.setdefault(block.name, block)
    return found


def _opening(block: Block | None) -> Passage | None:
    return block.fence.info if block else None
