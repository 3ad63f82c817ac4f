"""What was published the last time, and what it was made from: what has not changed need not be made again.

The record is in the user's cache folder. What it says of files is held against the files themselves, and what
is not as it was written is made again.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from importlib.metadata import PackageNotFoundError, requires, version
from pathlib import Path
from platform import python_version
from re import match
from typing import Any

from sitegen.cache import Cache, digest
from sitegen.folders import digests_below
from sitegen.guide.known_page import KnownPage
from sitegen.site.theme import THEMES, shipped

DRAFTS = "drafts"
"""What stands among what was read where drafts are shown too."""


@dataclass(frozen=True)
class MadePart:
    """What a part was made from, and its files."""

    made_from: str
    files: tuple[str, ...]


@dataclass(frozen=True)
class Record:
    """A guide in which everything holds, as it was published."""

    inputs: Mapping[str, str] = field(default_factory=dict)
    """The digests of all that was read."""
    pages: Mapping[str, KnownPage] = field(default_factory=dict)
    """In reading order."""
    sequences: int = 0
    notes: tuple[str, ...] = ()
    parts: Mapping[str, MadePart] = field(default_factory=dict)
    files: Mapping[str, str] = field(default_factory=dict)
    """The digests of all files, by their paths below the folder."""
    drawings: Mapping[str, str] = field(default_factory=dict)
    """Of pictures of pixels the digests of what they were made from, likewise."""

    def changed(self, inputs: Mapping[str, str]) -> list[str]:
        """The pages that are another text now; none where anything else has changed, or there is one more."""
        names = [name for name, made in inputs.items() if self.inputs.get(name) != made]
        pages = {f"content/{name}.md": name for name in self.pages}
        if self.inputs.keys() != inputs.keys() or not pages.keys() >= {*names}:
            return []
        return [pages[name] for name in names]


def last(output: Path, cache: Cache) -> Record:
    """What is known of a folder; of one to which nothing was published an empty record."""
    return cache.known(_place(output), Record) or Record()


def remember(output: Path, record: Record, cache: Cache) -> None:
    cache.keep(_place(output), Record, record)


def _place(output: Path) -> Mapping[str, Any]:
    return {"output": str(output.resolve()), "with": _libraries()}


def inputs_of(folder: Path, drafts: bool) -> dict[str, str]:
    """Digests of all that is read to publish the guide in a folder, but for the program itself."""
    digests = {f"content/{name}": each for name, each in digests_below(folder, "content").items()}
    themes = {"themes": folder, "shipped": shipped().parent}
    if drafts:
        digests[DRAFTS] = "shown"
    return digests | {name: digest(digests_below(place, THEMES)) for name, place in themes.items()}


@cache
def _libraries() -> Mapping[str, str]:
    """The versions of what the program is run by, and of the libraries that it uses."""
    try:
        names = [found[0] for text in requires("turnfolio") or [] if (found := match(r"[\w.-]+", text))]
    except PackageNotFoundError:
        return {}
    return {"python": python_version(), **{name: _version(name) for name in names}}


def _version(name: str) -> str:
    try:
        return version(name)
    except PackageNotFoundError:
        return ""
