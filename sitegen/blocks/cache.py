"""What took long to compute, kept in the guide's folder for the next time that it is published."""

from __future__ import annotations

import json
import os
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, is_dataclass
from functools import cache
from hashlib import sha256
from pathlib import Path
from typing import Any, get_args, get_origin, get_type_hints

from sitegen import __version__
from sitegen.puzzles.puzzle import Puzzle

FOLDER = ".turnfolio"
"""Beside content/ and output/. It may be deleted: what is lost is time."""
FILE = "kept.json"


@dataclass
class Cache:
    """Results by a digest of all that they follow from; any of them can be written as JSON."""

    known: Mapping[str, Any] = field(default_factory=dict)
    used: dict[str, Any] = field(default_factory=dict)

    def recall(self, follows_from: Mapping[str, Any], make: Callable[[], Any]) -> Any:
        """What is known to follow, or else what is made, just as it will be read the next time."""
        key = digest(follows_from)
        if key not in self.used:
            self.used[key] = self.known[key] if key in self.known else json.loads(json.dumps(make()))
        return self.used[key]

    def save(self, folder: Path, whole: bool) -> None:
        """Writes what was used to a guide's folder; if that was not the whole guide, the rest stays as well.

        Where nothing can be written, nothing is kept.
        """
        entries = self.used if whole else {**self.known, **self.used}
        if entries == self.known:
            return
        try:
            text = json.dumps({"digest": digest(entries), "entries": entries}, sort_keys=True, indent=1)
            _write(folder / FOLDER, text)
        except OSError:
            return


def read_cache(folder: Path) -> Cache:
    """What was kept in a guide's folder; nothing where that cannot be read, or was not written by `save`."""
    try:
        found = json.loads((folder / FOLDER / FILE).read_text(encoding="utf-8"))
        whole = found["digest"] == digest(found["entries"])
    except (OSError, ValueError, TypeError, LookupError, RecursionError):
        return Cache()
    return Cache(found["entries"]) if whole else Cache()


def digest(facts: Mapping[str, Any]) -> str:
    """SHA-256 of what JSON can say, and of the version of Turnfolio, in hexadecimal digits."""
    text = json.dumps({"version": __version__, **facts}, sort_keys=True)
    return sha256(text.encode()).hexdigest()


def rebuilt(kind: Any, kept: Any) -> Any:
    """A value of a type again, from what `asdict` and then JSON have made of it.

    JSON knows no tuples, and no numbers as keys; types here are dataclasses of those, or of what may be None.
    """
    of = get_args(kind)
    if isinstance(kind, type) and is_dataclass(kind):
        types = _types(kind)
        return kind(**{name: rebuilt(types[name], value) for name, value in kept.items()})
    if get_origin(kind) is tuple:
        return tuple(rebuilt(of[0], each) for each in kept)
    if get_origin(kind) in (dict, Mapping):
        return {of[0](key): rebuilt(of[1], value) for key, value in kept.items()}
    return rebuilt(of[0], kept) if of and kept is not None else kept


_types = cache(get_type_hints)


@cache
def puzzle_inputs(puzzle: Puzzle) -> dict[str, Any]:
    """All of a puzzle that a result can follow from: an author may come to define another of its name."""
    turned = [list(puzzle.permutation(turn)) for turn in puzzle.turns()]
    return {
        "puzzle": puzzle.name,
        "places": [sticker.name for sticker in puzzle.stickers],
        "turned": sha256(repr(turned).encode()).hexdigest(),
    }


def _write(folder: Path, text: str) -> None:
    """Whole or not at all, and out of sight of version control."""
    folder.mkdir(exist_ok=True)
    (folder / ".gitignore").write_text("*\n", encoding="utf-8")
    beside = folder / f"{FILE}.new"
    beside.write_text(text, encoding="utf-8")
    os.replace(beside, folder / FILE)
