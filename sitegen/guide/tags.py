"""The pages of tags: which a guide has, and where each is.

Knows nothing of what is tagged.
"""

from __future__ import annotations

from collections.abc import Iterable
from itertools import chain, count
from unicodedata import normalize

from sitegen.folders import met_unsaved
from sitegen.pages.markdown import slug

TAGS, TAG_FOLDER = "tags.html", "tags"
LONGEST_NAME = 60
"""Of a longer tag the beginning is taken for the name of its file."""


def tag_paths(tags: Iterable[str]) -> dict[str, str]:
    """The path of the page of each tag, in the order of the alphabet; each can be a file on every system."""
    found: dict[str, str] = {}
    taken: set[str] = set()
    for tag in sorted(set(tags), key=lambda tag: (tag.casefold(), tag)):
        base = slug(normalize("NFC", tag))[:LONGEST_NAME]
        names = chain([base], (f"{base}-{number}" for number in count(2)))
        allowed = (name for name in names if not met_unsaved(f"{name}.html").wrong)
        name = next(name for name in allowed if name.casefold() not in taken)
        taken.add(name.casefold())
        found[tag] = f"{TAG_FOLDER}/{name}.html"
    return found
