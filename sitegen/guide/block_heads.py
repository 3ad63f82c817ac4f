"""How a block opens on a page: with what page and guide say for all that have its keys."""

from __future__ import annotations

from itertools import chain

from sitegen.blocks.block import Head
from sitegen.blocks.kinds import KINDS
from sitegen.pages.config import Config
from sitegen.pages.page import Page


def head_of(name: str, kind: str, page: Page, config: Config) -> Head:
    """How a block opens, with what page and guide say for all that have its keys."""
    keys = KINDS[kind].table.keys
    said = {key: setting for key, setting in {**config.blocks, **page.blocks}.items() if key in keys}
    added = [each["tags"].as_texts() for each in (config.blocks, page.blocks) if "tags" in each]
    tags = tuple(chain.from_iterable(added)) if "tags" in keys else ()
    return Head(name, page.name, page.puzzle, config.html, said, tags)
